"""A disk that is full or read-only: a sentence, and the book as it was."""

import os
import resource
import subprocess
import sys

import pytest

from ledger.book import Book
from ledger.book.check import examine_file

LIMITED = """
import resource, sys
size = int(sys.argv.pop(1))
resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))
from ledger.cli import main
main()
"""


def typed(book, *words, size=resource.RLIM_INFINITY):
    environment = os.environ | {"BENCHLEDGER_BOOK": str(book.path)}
    environment |= {"BENCHLEDGER_TODAY": "2025-04-25"}
    return subprocess.run(
        [sys.executable, "-c", LIMITED, str(size), *words],
        env=environment, capture_output=True, text=True, check=False, timeout=60,
    )  # fmt: skip


def test_a_file_that_may_not_grow_is_said_and_the_book_stays_as_it_was(book):
    book.close()
    size = book.path.stat().st_size
    said = typed(book, "shop", "set", f"address={'x' * 20_000}", size=size)
    assert said.returncode == 1
    assert "nothing was written" in said.stderr
    assert "Traceback" not in said.stderr
    assert [sentence for finding in examine_file(book.path) for sentence in finding.wrong] == []
    with Book(book.path, book.today) as again:
        assert len(again.deeds()) == 1
        assert again.setting("address") == ""


@pytest.mark.parametrize("words", [["backup", "copy.sqlite"], ["export", "tables"]])
def test_a_copy_that_does_not_fit_is_said(book, tmp_path, words):
    target = str(tmp_path / words[1])
    said = typed(book, words[0], target, size=100)
    assert said.returncode == 1
    assert "Traceback" not in said.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["shop.sqlite"]


def test_a_new_book_that_does_not_fit_is_not_there(book, tmp_path):
    said = typed(book, "new", str(tmp_path / "other.sqlite"), "--shop", "Q", size=100_000)
    assert said.returncode == 1
    assert "Traceback" not in said.stderr
    assert sorted(path.name for path in tmp_path.iterdir()) == ["shop.sqlite"]
