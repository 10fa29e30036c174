"""What was posted stands for ever: no statement changes, replaces or deletes it."""

import sqlite3
from contextlib import closing

import pytest

from ledger.book import schema
from ledger.book.tables.materials import Supplier
from ledger.errors import BookTrouble, NotAllowed


@pytest.fixture
def with_supplier(book):
    with book.entry("a"):
        book.post(Supplier(name="Copper Vale Lumber"))
    return book


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE supplier SET name = 'x'",
        "DELETE FROM supplier",
        "INSERT OR REPLACE INTO supplier (id, deed, name) VALUES (1, 1, 'x')",
        "REPLACE INTO supplier (id, deed, name) VALUES (1, 1, 'x')",
        "INSERT INTO supplier (id, deed, name) VALUES (1, 1, 'x') ON CONFLICT (id)"
        " DO UPDATE SET name = excluded.name",
        "UPDATE deed SET words = 'x'",
        "DELETE FROM deed WHERE id = 2",
        "INSERT OR REPLACE INTO deed (id, at, day, who, verb) VALUES (2, 'x', 'x', 'x', 'x')",
        "UPDATE setting SET value = 'EUR' WHERE name = 'currency'",
    ],
)
def test_no_statement_changes_a_posted_row(with_supplier, sql):
    before = with_supplier.query("SELECT * FROM supplier, deed, setting")
    with pytest.raises(NotAllowed, match=r"a posted row of .* is never (changed|deleted)"):
        with_supplier.query(sql)
    assert with_supplier.query("SELECT * FROM supplier, deed, setting") == before


def test_a_row_changed_in_a_class_is_not_saved_by_the_next_entry(with_supplier):
    row = with_supplier.last(Supplier)
    row.name = "x"
    with with_supplier.entry("b"):
        pass
    assert with_supplier.last(Supplier).name == "Copper Vale Lumber"


def test_a_row_changed_in_a_class_inside_its_entry_is_refused(book):
    with pytest.raises(NotAllowed, match="is never changed"), book.entry("a"):
        row = book.post(Supplier(name="Copper Vale Lumber"))
        row.name = "x"
    assert book.rows(Supplier) == []


def test_every_table_of_posted_rows_has_both_triggers(book):
    with closing(sqlite3.connect(book.path)) as connection:
        tables = schema.posted_tables(connection)
        triggers = connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
        found = {name for (name,) in triggers}
    assert {"deed", "setting", "material", "price", "job"} <= set(tables)
    assert "client" not in tables
    assert found >= {f"{t}_is_never_{word}" for t in tables for word in ("changed", "deleted")}


@pytest.mark.parametrize(
    "sql",
    [
        "DROP TRIGGER supplier_is_never_changed",
        "DROP TRIGGER supplier_is_never_changed; CREATE TRIGGER supplier_is_never_changed"
        " BEFORE UPDATE ON supplier WHEN 0 BEGIN SELECT 1; END",
    ],
)
def test_a_book_whose_triggers_are_gone_or_toothless_is_not_opened(book, sql):
    with closing(sqlite3.connect(book.path)) as connection:
        connection.executescript(sql)
    with pytest.raises(BookTrouble, match=r"lacks 1 of the triggers .*supplier_is_never_changed"):
        schema.bring_up_to_date(book.path)
