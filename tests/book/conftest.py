"""One valid row of every table, as any program could write it."""

import json
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from ledger.book import schema

ROWS = Path(__file__).with_name("versions") / "rows.json"


@pytest.fixture(scope="session")
def sample_rows():
    """The rows by table, in an order in which each one finds what it refers to."""
    return json.loads(ROWS.read_text("utf-8"), object_hook=_bytes)


def _bytes(found):
    """What stands as {"blob": "text"} are the text's bytes."""
    return found["blob"].encode() if set(found) == {"blob"} else found


def _insert(connection, table, row):
    places = ", ".join(f":{name}" for name in row)
    connection.execute(f"INSERT INTO {table} ({', '.join(row)}) VALUES ({places})", row)


@pytest.fixture
def put():
    """Insert a row: `put(connection, "price", {"amount": "1"})`."""
    return _insert


@pytest.fixture(scope="session")
def filled_file(tmp_path_factory, sample_rows):
    """A new book that holds the sample rows; tests take a copy."""
    path = tmp_path_factory.mktemp("filled") / "book.sqlite"
    schema.create(path)
    with closing(sqlite3.connect(path)) as connection, connection:
        connection.execute("PRAGMA foreign_keys=ON")
        for table, row in sample_rows.items():
            _insert(connection, table, row)
    return path


@pytest.fixture
def filled(tmp_path, filled_file):
    """A connection to a book that holds the sample rows."""
    path = shutil.copyfile(filled_file, tmp_path / "filled.sqlite")
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA foreign_keys=ON")
        yield connection
