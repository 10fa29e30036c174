"""An entry: one transaction that carries when, who and in what words."""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from ledger.book import Book, troubles
from ledger.book.tables.ground import SettingValue
from ledger.book.tables.materials import Price, Supplier
from ledger.errors import BadValue, BookChanged, BookTrouble, NotAllowed


def posted(book):
    return [row.name for row in book.rows(Supplier)]


def test_a_entry_says_when_on_which_day_who_and_in_what_words(book):
    with Book(book.path, date(2025, 5, 6), lambda: datetime(2025, 5, 6, 20, 5, tzinfo=UTC)) as late:
        with late.entry("receipt add", "two sheets of PLY34"):
            late.post(Supplier(name="Copper Vale Lumber"))
        entry = late.entries(1)[0]
    assert (entry.at, entry.day) == ("2025-05-06T20:05:00Z", date(2025, 5, 6))
    assert (entry.who, entry.verb, entry.words) == ("owner", "receipt add", "two sheets of PLY34")


def test_each_row_carries_the_number_of_its_entry(book):
    with book.entry("a") as first:
        one = book.post(Supplier(name="one"))
    with book.entry("b") as second:
        two = book.post(Supplier(name="two"))
    assert (one.entry, two.entry) == (first.id, second.id) == (2, 3)


def test_a_entry_that_fails_leaves_nothing(book):
    before = len(book.entries(100))
    with pytest.raises(ZeroDivisionError), book.entry("a"):
        book.post(Supplier(name="one"))
        raise ZeroDivisionError
    assert posted(book) == []
    assert len(book.entries(100)) == before


def test_a_row_that_the_schema_refuses_takes_the_whole_entry_with_it(book):
    with pytest.raises(NotAllowed, match="a row that is not there"), book.entry("a"):
        book.post(Supplier(name="one"))
        price = Price(material="X", supplier=99, day=book.today, amount=Decimal(1))
        book.post(price)
    assert posted(book) == []


def test_the_book_goes_on_after_a_entry_that_failed(book):
    with pytest.raises(ZeroDivisionError), book.entry("a"):
        raise ZeroDivisionError
    with book.entry("b"):
        book.post(Supplier(name="two"))
    assert posted(book) == ["two"]


def test_a_entry_inside_a_entry_joins_it(book):
    with book.entry("outer") as outer:
        book.post(Supplier(name="one"))
        with book.entry("inner") as inner:
            book.post(Supplier(name="two"))
    assert inner is outer
    assert [entry.verb for entry in book.entries(2)] == ["outer", "new"]


def test_a_failing_outer_entry_takes_the_inner_one_with_it(book):
    with pytest.raises(ZeroDivisionError), book.entry("outer"):
        with book.entry("inner"):
            book.post(Supplier(name="two"))
        raise ZeroDivisionError
    assert posted(book) == []


def test_an_inner_entry_that_was_refused_leaves_nothing_in_the_outer_one(book):
    with book.entry("outer"):
        book.post(Supplier(name="one"))
        with pytest.raises(NotAllowed), book.entry("inner"):
            book.post(Supplier(name="two"))
            raise NotAllowed("not this one")
        book.post(Supplier(name="three"))
    assert posted(book) == ["one", "three"]


def test_a_question_inside_a_entry_sees_what_was_posted_in_it(book):
    with book.entry("a"):
        book.post(Supplier(name="one"))
        assert posted(book) == ["one"]
        assert book.query("SELECT count(*) FROM supplier") == [(1,)]


def test_a_question_from_outside_does_not_see_a_entry_under_way(book):
    with Book(book.path, book.today) as other, book.entry("a"):
        book.post(Supplier(name="one"))
        assert posted(other) == []
    assert posted(book) == ["one"]


def test_a_row_can_only_be_posted_inside_a_entry(book):
    with pytest.raises(RuntimeError, match="inside an entry"):
        book.post(Supplier(name="one"))


def test_a_question_never_writes(book):
    book.query("INSERT INTO supplier (deed, name) VALUES (1, 'one')  RETURNING id")
    assert posted(book) == []


def test_rows_come_in_the_order_they_were_posted_or_asked_for(book):
    for name in ("b", "a", "c"):
        with book.entry("a"):
            book.post(Supplier(name=name))
    assert posted(book) == ["b", "a", "c"]
    first, second, third = (row.key for row in book.rows(Supplier))
    named = [row.name for row in book.rows_of(Supplier, [third, 99, first, second, first])]
    assert named == ["c", "b", "a", "b"]
    assert book.last(Supplier).name == "c"
    assert book.last(Supplier, name="a").key == 2
    assert book.last(Supplier, name="d") is None


def test_a_row_can_be_asked_for_by_its_number(book):
    with book.entry("a"):
        key = book.post(Supplier(name="one")).key
    assert book.row(Supplier, key).name == "one"
    assert book.row(Supplier, key + 1) is None


def test_a_row_that_was_not_posted_has_no_number():
    with pytest.raises(RuntimeError, match="has not been posted"):
        _ = Supplier(name="one").key


def test_a_number_too_large_for_the_book_is_refused_in_a_sentence(book):
    with pytest.raises(BadValue, match="too large for the book"), book.entry("a"):
        book.query("SELECT :number", number=2**63)


def test_a_text_that_no_file_can_hold_is_refused_in_a_sentence(book):
    with pytest.raises(BadValue, match="cannot be seen"), book.entry("a"):
        book.post(SettingValue(name="shop", value="\udcff"))
    assert book.settings.shop == "Quillhaven Workshop"


def test_what_is_done_before_writing_is_done_once_for_each_entry_and_not_for_questions(book):
    asked = []
    with Book(book.path, book.today, before_writing=asked.append) as other:
        other.rows(Supplier)
        assert asked == []
        with other.entry("a"), other.entry("b"):
            pass
    assert asked == [other]


def test_a_entry_that_rests_on_what_has_changed_meanwhile_is_not_posted(book):
    with Book(book.path, book.today, only_unchanged=True) as reader:
        assert reader.rows(Supplier) == []
        with book.entry("a"):
            book.post(Supplier(name="one"))
        with pytest.raises(BookChanged, match="meanwhile"), reader.entry("b"):
            reader.post(Supplier(name="two"))
    assert posted(book) == ["one"]


def test_what_a_command_posted_itself_is_no_change(book):
    with Book(book.path, book.today, only_unchanged=True, before_writing=Book.entries) as reader:
        for name in ("one", "two"):
            with reader.entry("a"):
                reader.post(Supplier(name=name))
    assert posted(book) == ["one", "two"]


def test_after_an_answer_was_kept_the_book_must_still_be_unchanged(book):
    with Book(book.path, book.today, only_unchanged=True, before_writing=Book.entries) as reader:
        with reader.entry("layout"):
            reader.post(Supplier(name="kept"))
        with reader.entry("layout"):
            reader.post(Supplier(name="kept too"))
        with book.entry("a"):
            book.post(Supplier(name="one"))
        with pytest.raises(BookChanged), reader.entry("b"):
            reader.post(Supplier(name="two"))
    assert posted(book) == ["kept", "kept too", "one"]


def test_a_book_that_is_held_is_changed_by_nobody_else_until_its_entry_stands(book, monkeypatch):
    monkeypatch.setattr(troubles, "WAIT_SECONDS", 0.05)
    with Book(book.path, book.today, only_unchanged=True) as holder:
        holder.hold()
        assert holder.rows(Supplier) == []
        with pytest.raises(BookTrouble, match="command is writing"), book.entry("a"):
            pass
        with holder.entry("b"):
            holder.post(Supplier(name="one"))
        with book.entry("a"):
            book.post(Supplier(name="two"))
        assert [row.name for row in holder.rows(Supplier)] == ["one", "two"]


def test_a_book_that_was_held_for_nothing_is_let_go(book):
    with Book(book.path, book.today) as holder:
        holder.hold()
        assert holder.settings.shop == "Quillhaven Workshop"
    with pytest.raises(ValueError, match="no"), Book(book.path, book.today) as holder:
        holder.hold()
        with holder.entry("a"):
            holder.post(Supplier(name="one"))
            raise ValueError("no")
    with book.entry("b"):
        book.post(Supplier(name="two"))
    assert posted(book) == ["two"]


@pytest.mark.parametrize("number", [1, 2])
def test_entries_are_listed_newest_first_up_to_a_limit(book, number):
    with book.entry("a"):
        pass
    assert [entry.verb for entry in book.entries(number)] == ["a", "new"][:number]
