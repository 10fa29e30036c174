"""A mistake is answered by a reversing entry, which names it and says why."""

from datetime import date
from decimal import Decimal

import pytest

from ledger.book import Book, close_month
from ledger.book.tables.ground import JournalEntry
from ledger.book.tables.materials import Price, Supplier
from ledger.errors import NotAllowed
from ledger.measures.day import Month


def supply(book, name):
    with book.entry("supplier add", name) as entry:
        book.post(Supplier(name=name))
    return entry.id


def names(book):
    return [row.name for row in book.rows(Supplier)]


def test_the_rows_of_a_reversed_entry_are_no_longer_in_force(book):
    supply(book, "one")
    number = supply(book, "two")
    assert book.is_in_force(number)
    taken_back = book.reverse(number, "typed twice")
    assert (taken_back.id, taken_back.words) == (number, "two")
    assert not book.is_in_force(number)
    assert names(book) == ["one"]
    assert book.last(Supplier).name == "one"


def test_a_reversed_row_still_stands_in_the_book(book):
    book.reverse(supply(book, "one"), "never existed")
    assert [row.name for row in book.rows(Supplier, in_force=False)] == ["one"]
    assert book.row(Supplier, 1).name == "one"


def test_the_reversing_entry_names_what_it_takes_back_and_why(book):
    number = supply(book, "one")
    book.reverse(number, "never existed")
    entry = book.entries(1)[0]
    assert (entry.verb, entry.words) == ("reverse", "supplier add one")
    assert (entry.reverses, entry.why) == (number, "never existed")


def test_an_earlier_setting_is_in_force_again_when_the_later_one_is_taken_back(book):
    with book.entry("shop set"):
        book.set("kerf", "3.2 mm")
    book.reverse(2, "the old blade is back")
    assert book.setting_text("kerf") == "1/8 in"


def test_a_entry_is_reversed_once(book):
    number = supply(book, "one")
    book.reverse(number, "a")
    with pytest.raises(NotAllowed, match=r"Entry 2 .*reversed already"):
        book.reverse(number, "b")


def test_two_commands_cannot_reverse_the_same_entry(book):
    number = supply(book, "one")
    with (
        pytest.raises(NotAllowed, match="reversed already"),
        book.entry("reverse", reverses=number, why="a"),
    ):
        book.post(Supplier(name="x"))
        book.query(
            "INSERT INTO deed (at, day, who, verb, reverses, why)"
            " VALUES ('', '', '', 'reverse', :number, 'b')",
            number=number,
        )
    assert book.is_in_force(number)


def test_a_reversal_is_not_reversed(book):
    book.reverse(supply(book, "one"), "a")
    with pytest.raises(NotAllowed, match="Entry 3 is itself a reversal"):
        book.reverse(3, "b")


def test_a_entry_that_is_not_there_is_refused(book):
    for number in (0, 99, -1):
        with pytest.raises(NotAllowed, match=f"no entry {number} "):
            book.reverse(number, "a")


def test_the_making_of_the_book_is_not_reversed(book):
    with pytest.raises(NotAllowed, match="Entry 1 made this book"):
        book.reverse(1, "a")


@pytest.mark.parametrize("why", ["", "  ", None])
def test_a_reversal_says_why(book, why):
    number = supply(book, "one")
    with pytest.raises(NotAllowed, match="entry says why"):
        book.reverse(number, why)
    assert names(book) == ["one"]


def test_a_rule_that_raises_keeps_the_book_as_it_was(book):
    number = supply(book, "one")

    def used(of: Book, entry: JournalEntry) -> None:
        assert of.rows(Supplier) == [], "the rule is asked once the reversal stands"
        raise NotAllowed(f"{entry.words} is still needed.")

    with pytest.raises(NotAllowed, match="one is still needed"):
        book.reverse(number, "a", [used])
    assert names(book) == ["one"]
    assert len(book.entries(10)) == 2


def test_a_entry_on_a_day_of_a_closed_month_is_not_taken_back(book):
    with book.entry("material price", "PLY34"):
        book.post(Price(material="PLY34", day=date(2025, 3, 31), amount=Decimal(96)))
    close_month(book, Month(2025, 3))
    with pytest.raises(NotAllowed, match="2025-03-31, and 2025-03 is closed"):
        book.reverse(2, "wrong sum")
    assert book.is_in_force(2)


def test_a_entry_on_a_day_of_an_open_month_is_taken_back_whatever_else_is_closed(book):
    close_month(book, Month(2025, 2))
    with book.entry("material price", "PLY34"):
        book.post(Price(material="PLY34", day=date(2025, 3, 1), amount=Decimal(96)))
    book.reverse(3, "wrong sum")
    assert book.rows(Price) == []
