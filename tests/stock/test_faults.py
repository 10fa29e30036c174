"""The recount finds what was changed behind the program's back."""

import sqlite3
from contextlib import closing

import pytest

from ledger.measures.quantity import Quantity
from ledger.stock import issue
from ledger.stock.stock_rules import faults


@pytest.fixture
def drawn(june, buy):
    """A lot of 50 ft of which a job took 40."""
    buy("EDGE78", "50", "11.00")
    issue(june, 1, "EDGE78", Quantity.of(40))
    assert faults(june) == []
    return june


def tamper(book, sql):
    with closing(sqlite3.connect(book.path)) as connection, connection:
        for name in ("changed", "deleted"):
            connection.execute(f"DROP TRIGGER movement_is_never_{name}")
            connection.execute(f"DROP TRIGGER lot_is_never_{name}")
        connection.execute(sql)


@pytest.mark.parametrize(
    ("sql", "sentence"),
    [
        ("UPDATE on_hand SET full = full + 1", "Lot 1: the balance kept is not what"),
        ("DELETE FROM on_hand", "Lot 1: the balance kept is not what"),
        ("UPDATE movement SET quantity = -60000000", "Lot 1: below zero on 2025-06-30."),
        ("DELETE FROM movement", "Lot 1: the balance kept is not what"),
    ],
)
def test_a_changed_figure_is_found(drawn, sql, sentence):
    tamper(drawn, sql)

    assert any(fault.startswith(sentence) for fault in faults(drawn)), faults(drawn)
