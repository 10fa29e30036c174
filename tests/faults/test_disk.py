"""A disk that is full or read-only: a sentence, and the book as it was."""

import os
import subprocess
import sys

import pytest

from ledger.book import Book
from ledger.book.check import examine_file


@pytest.fixture
def typed(book, program, tmp_path):
    """The program as a process whose files may not grow beyond a size."""
    environment = os.environ | {"BENCHLEDGER_BOOK": str(book.path)}
    environment |= {"BENCHLEDGER_TODAY": "2025-04-25"}
    said = tmp_path.parent / f"{tmp_path.name}-said"
    said.mkdir()

    def type_in(*words, size):
        return program.run(words, environment, said, size)

    return type_in


def test_a_file_that_may_not_grow_is_said_and_the_book_stays_as_it_was(book, typed):
    book.close()
    size = book.path.stat().st_size
    said = typed("shop", "set", f"address={'x' * 20_000}", size=size)
    assert said.returncode == 1
    assert b"nothing was written" in said.stderr
    assert b"Traceback" not in said.stderr
    assert [sentence for finding in examine_file(book.path) for sentence in finding.wrong] == []
    with Book(book.path, book.today) as again:
        assert len(again.entries()) == 1
        assert again.settings.address == ""


@pytest.mark.parametrize("words", [["backup", "copy.sqlite"], ["export", "tables"]])
def test_a_copy_that_does_not_fit_is_said(book, tmp_path, typed, words):
    with book.entry("shop set"):
        book.set("address", "x" * 500)
    target = str(tmp_path / words[1])
    said = typed(words[0], target, size=400)
    assert said.returncode == 1
    assert b"Traceback" not in said.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["shop.sqlite"]


def test_a_new_book_that_does_not_fit_is_not_there(tmp_path, typed):
    said = typed("new", str(tmp_path / "other.sqlite"), "--shop", "Q", size=100_000)
    assert said.returncode == 1
    assert b"Traceback" not in said.stderr
    assert sorted(path.name for path in tmp_path.iterdir()) == ["shop.sqlite"]


LONG_SHEET = """
import resource, sys
from pathlib import Path
from openpyxl import Workbook
from ledger.errors import NotAllowed
from ledger.workbooks.paper import save
workbook = Workbook()
for _ in range(1000):
    workbook.active.append(["a client's details"] * 5)
resource.setrlimit(resource.RLIMIT_FSIZE, (5000, 5000))
try:
    save(workbook, Path(sys.argv[1]))
except NotAllowed as refusal:
    sys.exit(str(refusal))
"""


def test_a_workbook_that_does_not_fit_is_said_in_one_line(tmp_path):
    """In a process that ends as usual: what it left half written says nothing more at its end."""
    said = subprocess.run(
        [sys.executable, "-c", LONG_SHEET, str(tmp_path / "long.xlsx")],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert said.returncode == 1
    assert "cannot be written" in said.stderr
    assert said.stderr.count("\n") == 1
    assert list(tmp_path.iterdir()) == []
