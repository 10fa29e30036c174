"""The schema: the numbered SQL files are the truth, the classes a typed view of them."""

import importlib
import pkgutil
import sqlite3
from contextlib import closing
from typing import get_args

import pytest
from sqlalchemy.types import Boolean, Integer, LargeBinary
from sqlmodel import SQLModel

from ledger.book import schema, tables

for module in pkgutil.iter_modules(tables.__path__):
    importlib.import_module(f"{tables.__name__}.{module.name}")
CLASSES = {
    str(mapper.local_table.name): mapper.class_
    for mapper in SQLModel._sa_registry.mappers
    if mapper.class_.__module__.startswith("ledger.")
}
KEPT_BY_TRIGGERS = {"on_hand", "entry_digest"}
"""Tables that no class writes."""


@pytest.fixture(scope="module")
def connection(tmp_path_factory):
    path = tmp_path_factory.mktemp("schema") / "book.sqlite"
    schema.create(path)
    with closing(sqlite3.connect(path)) as connection:
        yield connection


def all_tables(connection):
    rows = connection.execute("SELECT name, strict FROM pragma_table_list WHERE type = 'table'")
    return {name: strict for name, strict in rows if not name.startswith("sqlite_")}


def columns_of(connection, table):
    rows = connection.execute(f"PRAGMA table_xinfo({table})")
    return {name: (kind, bool(needed or key)) for _, name, kind, needed, _, key, _ in rows}


def storage(kind):
    if isinstance(getattr(kind, "impl", kind), Integer | Boolean):
        return "INTEGER"
    return "BLOB" if isinstance(kind, LargeBinary) else "TEXT"


def test_every_table_is_strict(connection):
    loose = [name for name, strict in all_tables(connection).items() if not strict]
    assert loose == []


def test_every_table_has_its_class_and_every_class_its_table(connection):
    assert set(CLASSES) == set(all_tables(connection)) - KEPT_BY_TRIGGERS


@pytest.mark.parametrize("name", sorted(CLASSES))
def test_a_class_has_the_columns_of_its_table(connection, name):
    classes = {
        column.name: (storage(column.type), not column.nullable)
        for column in CLASSES[name].__table__.columns
    }
    assert classes == columns_of(connection, name)


@pytest.mark.parametrize("name", sorted(CLASSES))
def test_a_class_lets_lack_what_its_table_lets_lack(name):
    for field, said in CLASSES[name].model_fields.items():
        column = CLASSES[name].__mapper__.columns[field]
        if not column.primary_key:
            assert column.nullable == (type(None) in get_args(said.annotation)), field


def test_nothing_is_a_real_number_in_sqlite(connection):
    for table in all_tables(connection):
        kinds = {kind for kind, _ in columns_of(connection, table).values()}
        assert kinds <= {"INTEGER", "TEXT", "BLOB"}, table


def test_every_posted_row_refers_to_its_entry(connection):
    for table in schema.posted_tables(connection):
        if table != "deed":
            keys = connection.execute(f"PRAGMA foreign_key_list({table})").fetchall()
            assert ("deed", "deed", "id") in {(key[3], key[2], key[4]) for key in keys}, table


def test_every_check_has_a_name(connection):
    for (sql,) in connection.execute("SELECT sql FROM sqlite_master WHERE type = 'table'"):
        lines = " ".join(sql.split())
        assert lines.count("CHECK (") == lines.count("CONSTRAINT "), sql


def test_a_strict_table_refuses_what_is_not_of_its_column(connection):
    with pytest.raises(sqlite3.IntegrityError, match="cannot store TEXT value in INTEGER column"):
        connection.execute("INSERT INTO setting (deed, name, value) VALUES ('first', 'a', 'b')")


def test_the_numbered_files_follow_one_another():
    numbers = [number for number, _ in schema.steps()]
    assert numbers == list(range(1, len(numbers) + 1))
    assert schema.newest() == len(numbers)


def test_a_book_is_marked_as_one_and_carries_its_number(connection):
    assert connection.execute("PRAGMA application_id").fetchone() == (0x424C4447,)
    assert connection.execute("PRAGMA user_version").fetchone() == (schema.newest(),)
    assert connection.execute("PRAGMA journal_mode").fetchone() == ("delete",)
