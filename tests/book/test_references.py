"""What later entries rest on is not undone, and a book in which it was is not sound."""

from datetime import date
from decimal import Decimal

import pytest

from ledger.book import references
from ledger.book.tables.designs import DesignVersion
from ledger.book.tables.ground import Job, JobBasis
from ledger.book.tables.jobs import Payment
from ledger.book.tables.materials import Material, Price, Supplier
from ledger.errors import NotAllowed
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity

DAY = date(2025, 4, 25)


def posted(book, verb, *rows):
    with book.entry(verb) as entry:
        for row in rows:
            book.post(row)
    return entry.id


def material(code, name="Birch plywood"):
    return Material(code=code, name=name, kind="finish", unit="sheet", pack=Quantity.of(1))


def price(code, **more):
    return Price(material=code, day=DAY, amount=Decimal(96), **more)


def design(body):
    return DesignVersion(name="bed", version=1, title="Bed", schema_number=1, body=body, digest="0")


def payment():
    return Payment(job=1, day=DAY, amount=Money(5000), how="cash")


@pytest.fixture
def job(metric_book):
    return posted(metric_book, "job new", Job(number="J-2501", title="Painted built-in"))


@pytest.fixture
def unguarded(monkeypatch):
    """Let the book take back whatever is asked, as a program without the guard would."""
    monkeypatch.setattr(references, "keep_what_others_rest_on", lambda book, entry: None)


def test_a_job_with_payments_is_not_undone_and_the_newest_is_named(metric_book, job):
    first, second = (posted(metric_book, "job pay", payment()) for _ in range(2))
    with pytest.raises(NotAllowed, match=rf"2 entries rest on it.*entry {second} of"):
        metric_book.reverse(job, "mistake")
    metric_book.reverse(second, "mistake")
    metric_book.reverse(first, "mistake")
    metric_book.reverse(job, "mistake")
    assert references.rests_on_what_stands(metric_book) == []


def test_what_rests_on_what_rests_on_it_comes_first(metric_book, job):
    drawn = posted(metric_book, "design load", design("{}"))
    posted(metric_book, "job set", JobBasis(job=1, design=1, parameters="{}"))
    with pytest.raises(NotAllowed, match=r"one entry.*\(job set\)"):
        metric_book.reverse(drawn, "mistake")
    assert metric_book.is_in_force(drawn)


def test_a_material_is_kept_by_whatever_names_it_until_another_row_carries_the_code(book):
    first = posted(book, "material load", material("OAK"), price("OAK"))
    priced = posted(book, "material price", price("OAK"))
    with pytest.raises(NotAllowed, match="material price"):
        book.reverse(first, "mistake")
    again = posted(book, "material load", material("OAK", "White oak"))
    book.reverse(first, "mistake")
    with pytest.raises(NotAllowed, match="material price"):
        book.reverse(again, "mistake")
    book.reverse(priced, "mistake")
    book.reverse(again, "mistake")


@pytest.mark.parametrize(
    "body",
    [
        '{"parts": [{"material": "OAK"}]}',
        '{"needs": [{"material": "OAK"}]}',
        '{"finish": [{"material": "OIL", "tint": "OAK"}]}',
    ],
)
def test_a_material_is_kept_by_a_design_that_is_made_of_it(book, body, unguarded):
    loaded = posted(book, "material load", material("OAK"))
    posted(book, "design load", design(body))
    assert references.resting_on(book, loaded) == [loaded + 1]
    book.reverse(loaded, "mistake")
    assert references.rests_on_what_stands(book) == [
        f"Entry {loaded + 1} names the material OAK, which was taken back (design_version)."
    ]


def test_the_first_entry_that_names_a_supplier_may_be_undone(book):
    first = posted(book, "material load", material("OAK"), Supplier(name="Copper Vale Lumber"))
    posted(book, "material price", price("PINE", supplier=1))
    book.reverse(first, "mistake")
    assert references.rests_on_what_stands(book) == []


def test_what_was_undone_under_others_is_found(metric_book, job, unguarded):
    posted(metric_book, "job pay", payment())
    metric_book.reverse(job, "mistake")
    assert references.rests_on_what_stands(metric_book) == [
        "Entry 3 rests on job 1, which was taken back (payment 1)."
    ]


def test_every_foreign_key_between_posted_rows_is_guarded(book):
    guarded = {key.table for key in references.keys(book)}
    assert {"payment", "quote", "work", "movement", "job_basis", "clock_stop"} <= guarded
    assert "on_hand" not in guarded
    assert all(key.parent not in {"deed", "client"} for key in references.keys(book))


def test_what_is_declared_by_name_is_in_the_schema(book):
    for _, names, parent, column in references.NAMES:
        assert book.query(f"SELECT deed, name FROM ({names})") == []
        assert book.query(f"SELECT {column} FROM {parent}") == []


def test_a_misspelt_reference_is_no_silent_one(book, monkeypatch):
    wrong = references.NameReference("price", "SELECT deed, matreial AS name FROM price", *"ab")
    monkeypatch.setattr(references, "NAMES", (wrong,))
    with pytest.raises(Exception, match="no such"):
        book.reverse(posted(book, "job new", Job(number="J-1", title="x")), "mistake")


@pytest.mark.parametrize("column", ["material", "operation", "sponsor"])
def test_a_column_that_names_something_is_declared(book, column):
    """What is worked out anew when it does not fit rests on nothing: layouts, what is on hand."""
    rows = book.query(
        "SELECT m.name FROM sqlite_master m JOIN pragma_table_info(m.name) c"
        " WHERE m.type = 'table' AND c.name = :column AND c.type = 'TEXT'",
        column=column,
    )
    declared = {name.table for name in references.NAMES if name.parent == column}
    assert {table for (table,) in rows} - {"layout", "on_hand"} <= declared
