"""Goods in kind, on consignment and in publications, held against what others published.

- OpenStax, Principles of Accounting, Volume 1, 2019, chapter 10: consigned goods belong to their
  owner and stay out of the holder's stock.
- FTC Endorsement Guides, 16 CFR 255.5 (2023 text, read in copies): free or discounted goods are a
  connection to disclose clearly, whether or not an endorsement was asked for.
- IRS Publication 525, bartering (read in copies): fair market value, at the time received.
"""

from datetime import date
from decimal import Decimal

import pytest

from ledger.book import Book
from ledger.book.questions.stock import taken_by_job
from ledger.book.tables.ground import Job
from ledger.errors import NotAllowed
from ledger.measures.money import Money, total
from ledger.measures.quantity import Quantity
from ledger.reports.sponsor import sponsor_report
from ledger.reports.sponsor_json import sponsor_json
from ledger.sponsors import add_sponsor, disclose, in_kind_account, publish, undisclosed
from ledger.sponsors.publications import NewPublication, disclosures
from ledger.stock import issue, receive, value_on
from ledger.stock.documents import Document, DocumentLine
from ledger.stock.materials import MaterialRow, save_materials, set_price

TODAY, CAME = date(2025, 6, 30), date(2025, 4, 14)
GIVER = "Brightfell Panels"


@pytest.fixture
def bench(tmp_path, put_book):
    """A book with one tape, one sponsor and one job; nothing in stock."""
    path = tmp_path / "bench.sqlite"
    put_book(path, TODAY)
    with Book(path, TODAY) as book:
        save_materials(book, [MaterialRow("TAPE", "Edge tape", "edging", "ft")])
        sponsor = add_sponsor(book, GIVER, "Show the edge")
        with book.entry("job new"):
            job = book.post(Job(number="J-2507", title="Bed")).key
        yield book, sponsor, job


def take_in(book, kind="in_kind", quantity=10, worth=2000, day=CAME, supplier=GIVER):
    line = DocumentLine(
        words="Edge tape",
        category="edging",
        quantity=Quantity.of(quantity),
        unit="ft",
        net=Money(worth),
        material="TAPE",
        method="retail price seen",
        evidence="price page saved that day",
    )
    return receive(book, Document(supplier, day, (line,), kind)).lots[0].key


def test_consigned_goods_stay_out_of_our_stock_and_out_of_jobs(bench):
    """OpenStax: what is on consignment is its owner's, in quantity and in value."""
    book, _, job = bench
    lot = take_in(book, "borrowed")
    assert total(row.full for row in value_on(book)) == Money(0)
    assert in_kind_account(book, CAME, TODAY).received == Money(0)
    with pytest.raises(NotAllowed, match="On hand: 0"):
        issue(book, job, "TAPE", Quantity.of(1))
    with pytest.raises(NotAllowed, match="not ours"):
        issue(book, job, "TAPE", Quantity.of(1), lot=lot)
    (loan,) = in_kind_account(book, CAME, TODAY).loans
    assert (loan.left, loan.declared) == (Quantity.of(10), Money(2000))


def test_every_free_item_in_a_publication_carries_a_disclosure_with_its_day(bench):
    """FTC Endorsement Guides: free goods are disclosed, seen on camera or not."""
    book, _, job = bench
    take_in(book)
    issue(book, job, "TAPE", Quantity.of(4), on_camera=False)
    row = publish(book, NewPublication("Bed", "long", TODAY, (), (job,)))
    (item,) = disclosures(book)
    assert (item.sponsor, item.quantity, item.day) == (GIVER, Quantity.of(4), None)
    assert undisclosed(book) == [item]
    disclose(book, row, "spoken, and in the description", TODAY)
    (item,) = disclosures(book)
    assert (item.day, item.how) == (TODAY, "spoken, and in the description")
    assert undisclosed(book) == []


def test_income_in_kind_is_the_fair_value_of_the_day_it_came(bench):
    """IRS Publication 525: the value at the time received; a later price changes nothing."""
    book, _, _ = bench
    take_in(book)
    set_price(book, "TAPE", Decimal("9.00"), day=date(2025, 5, 1))
    (row,) = in_kind_account(book, CAME, CAME).of("received")
    assert (row.value, row.method) == (Money(2000), "retail price seen")
    assert row.evidence == "price page saved that day"
    assert in_kind_account(book, date(2025, 5, 1), TODAY).received == Money(0)


def test_the_sponsors_report_shows_value_basis_day_use_and_cash_of_zero(bench):
    """IRS Publication 525: fair value with its basis and day; no cash moved."""
    book, sponsor, job = bench
    take_in(book)
    issue(book, job, "TAPE", Quantity.of(4))
    facts = sponsor_json(sponsor_report(book, sponsor, CAME, TODAY).report)
    (lot,), (line,) = facts["lots"], facts["statement"]
    assert (lot["day"], lot["value"], lot["cash"]) == ("2025-04-14", "20.00", "0.00")
    assert (lot["method"], lot["evidence"]) == ("retail price seen", "price page saved that day")
    assert line["used"] == {"quantity": "-4", "value": "-8.00"}
    assert line["closing"] == {"quantity": "6", "value": "12.00"}


def test_a_job_costs_the_same_in_full_whether_its_goods_were_bought_or_given(bench):
    """Common practice, no source: cash 0 is never cost 0."""
    book, _, job = bench
    with book.entry("job new"):
        other = book.post(Job(number="J-2508", title="Bench")).key
    given = take_in(book)
    bought = take_in(book, "bought", supplier="Copper Vale Lumber")
    issue(book, job, "TAPE", Quantity.of(4), lot=given)
    issue(book, other, "TAPE", Quantity.of(4), lot=bought)
    (free,), (paid,) = taken_by_job(book, job), taken_by_job(book, other)
    assert free.full == paid.full == Money(800)
    assert (free.cash, paid.cash) == (Money(0), Money(800))
