"""What is asked many times a day is looked up by an index, however large the book has grown."""

import re
import sqlite3
from contextlib import closing

import pytest

from ledger.book import schema

GROW = ("entry", "movement", "lot", "work", "receipt", "receipt_line", "receipt_share", "price",
        "hours_plan", "layout", "payment", "due")  # fmt: skip
"""The tables that grow with every day of work."""

COMMANDS = (
    ("hours", "add", "bed", "sand", "1h"),
    ("stock", "issue", "bed", "EDGE78", "2"),
    ("receipt", "add", "PLY34", "1", "96", "--from", "Copper Vale Lumber"),
    ("clock", "on", "bed", "sand"),
    ("stock", "list"),
    ("today",),
    ("month", "2025-05"),
)

CODES = ("PLY34", "EDGE78", "PLY12")

MAY_SCAN = {
    "today": {"payment", "due"},  # one sum over all jobs, cheaper than asking each of them
    "month": {"payment", "price"},
}
"""What a command reads whole because all of it counts."""


@pytest.fixture
def asked(monkeypatch):
    """Every statement that books are sent, as SQLite runs it."""
    found = []
    truth = schema.connect

    def connect(path):
        connection = truth(path)
        connection.set_trace_callback(found.append)
        return connection

    monkeypatch.setattr(schema, "connect", connect)
    return found


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_no_table_that_grows_is_read_from_end_to_end(stocked, asked, tmp_path, words):
    said = stocked(*words)
    assert said.code == 0, said.err

    statements = {sql for sql in asked if sql.lstrip().startswith(("SELECT", "WITH"))}
    assert statements
    may = MAY_SCAN.get(words[0], set())
    with closing(sqlite3.connect(tmp_path / "shop.sqlite")) as book:
        for sql in statements:
            steps = [step for *_, step in book.execute(f"EXPLAIN QUERY PLAN {sql}")]
            if sql.rstrip().endswith("LIMIT 1 OFFSET 0") and not any("B-TREE" in s for s in steps):
                continue  # the last row alone, found from the end
            for step in steps:
                scanned = re.fullmatch(r"SCAN (\w+)(?: USING .*)?", step)
                assert not scanned or scanned[1] not in set(GROW) - may, (step, sql)


def test_a_file_of_receipts_reads_the_price_list_as_a_whole_once(stocked, asked, tmp_path):
    rows = [f"R-90{at},2025-05-01,Vale {at},{code},2,1.50" for at, code in enumerate(CODES)]
    heads = "receipt,day,supplier,material,quantity,unit_price"
    (tmp_path / "many.csv").write_text("\n".join([heads, *rows]), encoding="utf-8")
    assert stocked("receipt", "load", "many.csv").code == 0

    whole = [sql for sql in asked if "FROM material" in sql and "material.code =" not in sql]
    assert len(whole) == 1
