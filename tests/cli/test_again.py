"""A command that read what another one changed begins again."""

import pytest

from ledger.book import Book
from ledger.cli.main import run
from ledger.errors import BookChanged


@pytest.fixture
def typed(book, monkeypatch, capsys):
    """The program typed at `book`, with another command coming in between so many times."""
    monkeypatch.setenv("BENCHLEDGER_BOOK", str(book.path))
    monkeypatch.setenv("BENCHLEDGER_TODAY", "2025-04-25")

    def type_in(*words, disturbed):
        left, truth = [disturbed], Book.entry

        def entry(self, *args, **more):
            if left[0] and self is not book:
                left[0] -= 1
                raise BookChanged
            return truth(self, *args, **more)

        with monkeypatch.context() as patched, pytest.raises(SystemExit) as ended:
            patched.setattr(Book, "entry", entry)
            run(list(words))
        return ended.value.code, capsys.readouterr()

    return type_in


def test_a_disturbed_command_posts_once_and_says_so_once(typed, book):
    code, said = typed("shop", "set", "kerf=3 mm", disturbed=3)
    assert (code, said.out) == (0, "kerf = 3 mm\n")
    assert [entry.verb for entry in book.entries()] == ["shop set", "new"]


def test_a_command_that_is_disturbed_all_the_time_gives_up_with_a_sentence(typed, book):
    code, said = typed("shop", "set", "kerf=3 mm", disturbed=1000)
    assert (code, said.out) == (1, "")
    assert said.err.startswith("Other commands keep changing the book; nothing was posted.")
    assert len(book.entries()) == 1


def test_a_command_that_was_disturbed_thrice_keeps_others_waiting_the_next_time(
    typed, book, monkeypatch
):
    held = []
    truth = Book.hold
    monkeypatch.setattr(Book, "hold", lambda book: held.append(1) or truth(book))
    assert typed("shop", "set", "kerf=3 mm", disturbed=2)[0] == 0
    assert held == []
    assert typed("shop", "set", "kerf=4 mm", disturbed=3)[0] == 0
    assert held == [1]
    assert [entry.verb for entry in book.entries()] == ["shop set", "shop set", "new"]


def test_an_undo_that_came_second_takes_back_the_entry_before(book, monkeypatch, capsys):
    monkeypatch.setenv("BENCHLEDGER_BOOK", str(book.path))
    monkeypatch.setenv("BENCHLEDGER_TODAY", "2025-04-25")
    for kerf in ("1 mm", "2 mm"):
        with book.entry("shop set", f"kerf={kerf}"):
            book.set("kerf", kerf)
    truth, others = Book.reverse, [book]

    def reverse(self, number, *more):
        if others:
            truth(others.pop(), number, "another command was first")
        return truth(self, number, *more)

    monkeypatch.setattr(Book, "reverse", reverse)
    with pytest.raises(SystemExit) as ended:
        run(["undo"])
    assert (ended.value.code, capsys.readouterr().err) == (0, "")
    assert [entry.reverses for entry in book.entries(2)] == [2, 3]


def test_a_refusal_of_what_nobody_changed_is_said_at_once(typed, book, monkeypatch):
    opened, truth = [], Book.__init__
    monkeypatch.setattr(
        Book, "__init__", lambda self, *args, **more: opened.append(1) or truth(self, *args, **more)
    )
    code, said = typed("undo", "77", disturbed=0)
    assert (code, said.out, len(opened)) == (1, "", 1)
    assert "There is no entry 77" in said.err
