"""Which hours a price is built on, and that the price to cover does not depend on it."""

from collections.abc import Callable, Iterator
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from ledger.book import Book
from ledger.book.tables.ground import SettingValue
from ledger.costing.sheet import CostSheet
from ledger.costing.spread import cost_without_hours
from ledger.designs.model import Count, Design, Part
from ledger.designs.store import save_design
from ledger.jobs.closeout import close_job, take_account
from ledger.jobs.jobs import find_job, new_job, set_basis
from ledger.jobs.pricing import price_job, range_of
from ledger.labor.log import TimeEntry, log_hours
from ledger.labor.standards import standards
from ledger.measures.money import Money
from ledger.quotes.draft import Wishes, draft_quote

BENCH = Design(
    name="bench", title="Bench", units="mm", parts=(Part("S", "Seat", "1", "1200", "400", "PLY"),),
    counts=(Count("joints", "10"), Count("dowels", "24")),
)  # fmt: skip


@pytest.fixture
def bench(
    tmp_path: Path, put_book: Callable[..., None], equip: Callable[[Book], None]
) -> Iterator[Book]:
    """A metric euro book with two jobs of one bench."""
    path, day = tmp_path / "shop.sqlite", date(2025, 4, 25)
    put_book(path, day, equip, currency="EUR", units="mm")
    with Book(path, day) as book:
        design = save_design(book, BENCH).key
        for title in ("Bench", "Another one"):
            set_basis(book, new_job(book, title), design, {})
        yield book


def price(book: Book) -> CostSheet:
    return price_job(book, find_job(book, "another"))


def setting(book: Book, name: str, value: str) -> None:
    with book.entry("shop set"):
        book.set(name, value)


def build_the_first(book: Book) -> None:
    job = find_job(book, "bench")
    for code, minutes in (("ASM", 120), ("DWL", 60)):
        log_hours(book, TimeEntry(job, standards(book)[code], minutes, book.today), sure=True)
    close_job(book, take_account(book, job, price_job(book, job), Money(50000), Money(0)))


def test_the_standards_are_used_until_a_job_is_closed_and_then_the_shops_own(bench: Book) -> None:
    first = price(bench)
    assert first.estimate_from == "standards"
    assert first.totals.estimate_hours == sum(line.standard for line in first.hours)
    assert first.range.published == 1

    build_the_first(bench)
    own = price(bench)
    assert own.estimate_from == "history"
    assert own.range.work == sum(line.history for line in own.hours) < own.range.p50
    assert own.totals.estimate_hours == own.range.p50
    assert 0 < own.range.published < 1

    setting(bench, "estimate", "standards")
    assert price(bench).totals.estimate_hours == first.totals.estimate_hours


@pytest.mark.parametrize(
    ("cover", "point"), [("typical", "p50"), ("8 in 10", "p80"), ("19 in 20", "p95")]
)
def test_a_covered_price_is_the_same_by_the_standards_and_by_the_shops_own_hours(
    bench: Book, cover: str, point: str
) -> None:
    build_the_first(bench)
    setting(bench, "contingency", cover)
    own = price(bench)
    setting(bench, "estimate", "standards")
    assert price(bench).totals.price == own.totals.price
    assert own.totals.price == getattr(range_of(bench, own), point).price


def test_a_price_below_the_typical_one_warns_with_its_chance(bench: Book) -> None:
    found = price(bench)
    assert found.prospect is not None
    assert found.prospect.over_paid > Decimal("0.5")
    assert any("below the typical one" in warning for warning in found.warnings)
    setting(bench, "contingency", "8 in 10")
    found = price(bench)
    assert found.prospect is not None
    assert found.prospect.over_paid <= Decimal("0.201")
    assert not any("below the typical one" in warning for warning in found.warnings)


def test_a_quote_warns_of_the_price_that_is_asked_not_of_the_computed_one(bench: Book) -> None:
    job = find_job(bench, "another")
    sheet = price(bench)
    material, typical = cost_without_hours(sheet.totals, sheet.rates), range_of(bench, sheet).p50

    def told(asked: Money) -> list[str]:
        warnings = draft_quote(bench, job, Wishes(price=asked)).warnings
        return [one for one in warnings if one.startswith("This price")]

    assert told(typical.price) == told(typical.price.times(10)) == []
    (below,) = told(typical.price - Money(1))
    assert "below the typical one" in below
    (loss,) = told(typical.cost - Money(1))
    assert bench.currency.show(typical.cost) in loss
    assert bench.currency.show(typical.cost) not in below
    (gift,) = told(material - Money(1))
    assert bench.currency.show(material) in gift
    assert "below the typical one" in told(sheet.totals.price)[0]
    half = price_job(bench, job, price_asked=typical.price.times(Fraction(4, 5))).prospect
    whole = price_job(bench, job, price_asked=typical.price).prospect
    assert half is not None and whole is not None
    assert half.paid_hours < whole.paid_hours
    assert half.over_paid > whole.over_paid


def test_a_contingency_of_the_range_from_an_older_book_is_read_anew_and_told(bench: Book) -> None:
    setting(bench, "contingency", "typical")
    assert not any("8 jobs in 10" in warning for warning in price(bench).warnings)
    with bench.entry("shop set"):
        bench.post(SettingValue(name="contingency", value="range"))
    bench.forget_settings()
    found = price(bench)
    assert any("8 jobs in 10" in warning for warning in found.warnings)
    assert any("8 in 10" in line.calculation for line in found.build_up)


def test_a_price_on_typical_hours_pays_for_their_rework_and_has_one_basis(bench: Book) -> None:
    """Before, its lines had the work alone and rework was asked for as if nothing paid for it."""

    def is_rework_open(sheet: CostSheet) -> bool:
        return any(item.item == "rework" and item.is_open for item in sheet.forgotten)

    build_the_first(bench)
    own, points = price(bench), range_of(bench, price(bench))
    billed = {line.name: line.calculation for line in own.build_up}
    assert billed["owner hours"].startswith(f"{own.range.p50 - own.totals.helper_hours} ×")
    assert own.totals.full_cost == points.p50.cost
    assert points.standard is None
    assert not is_rework_open(own)

    setting(bench, "estimate", "standards")
    plain = price(bench)
    assert plain.totals.estimate_hours == sum(line.standard for line in plain.hours)
    assert is_rework_open(plain)
    setting(bench, "contingency", "8 in 10")
    assert not is_rework_open(price(bench))
