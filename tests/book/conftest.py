"""One valid row of every table, as any program could write it."""

import json
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


@pytest.fixture
def put():
    """Insert a row: `put(connection, "price", {"amount": "1"})`."""

    def insert(connection, table, row):
        places = ", ".join(f":{name}" for name in row)
        connection.execute(f"INSERT INTO {table} ({', '.join(row)}) VALUES ({places})", row)

    return insert


@pytest.fixture
def filled(tmp_path, sample_rows, put):
    """A connection to a new book that holds the sample rows; nothing is committed."""
    path = tmp_path / "filled.sqlite"
    schema.create(path)
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA foreign_keys=ON")
        for table, row in sample_rows.items():
            put(connection, table, row)
        yield connection
