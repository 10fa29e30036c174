"""The accountant's side: income in kind by month, the same value as expense, loans apart."""

from datetime import date

import pytest

from ledger.measures.day import Month
from ledger.measures.length import Length
from ledger.measures.money import Money, total
from ledger.measures.quantity import Quantity
from ledger.sponsors import in_kind_account
from ledger.stock import issue, keep_offcuts, withdraw
from ledger.stock.offcuts import OffcutSize

BED = 2
SAW = {"words": "Track saw", "category": "tool", "unit": "each", "material": None}


def account(book, text="2025-06"):
    month = Month(*(int(part) for part in text.split("-")))
    return in_kind_account(book, month.first, month.last)


def usd(amount):
    return Money(round(amount * 100))


@pytest.mark.parametrize(
    ("text", "opening", "received", "used", "lost", "closing"),
    [
        ("2025-04", 0, 1152, 384, 96, 672),
        ("2025-05", 672, 0, 480, 0, 192),
        ("2025-06", 192, 0, 0, 0, 192),
    ],
)
def test_the_example_by_month(brightfell, text, opening, received, used, lost, closing):
    said = account(brightfell, text)
    assert (said.opening, said.received, said.used) == (usd(opening), usd(received), usd(used))
    assert (said.lost, said.sent_back, said.own_use) == (usd(lost), Money(0), Money(0))
    assert said.closing == usd(closing)


def test_income_names_its_evidence_and_how_the_value_was_found(brightfell):
    (row,) = account(brightfell, "2025-04").of("received")
    assert (row.day, row.sponsor, row.quantity) == (
        date(2025, 4, 14), "Brightfell Panels", Quantity.of(12)
    )  # fmt: skip
    assert row.method == "retail price seen"
    assert row.evidence == "yard price page saved 2025-04-14"
    assert row.document == "note 2025-04-14"


def test_expense_names_its_job(brightfell):
    (row,) = account(brightfell, "2025-05").of("used")
    assert (row.job, row.quantity, row.value) == ("J-2507", Quantity.of(5), usd(480))


def test_offcuts_kept_lower_what_was_used(brightfell):
    size = OffcutSize(Length.of(48, "in"), Length.of(48, "in"))
    keep_offcuts(brightfell, BED, "PLY34", [size], day=date(2025, 5, 30))
    said = account(brightfell, "2025-05")
    (_, kept) = said.of("used")
    assert (kept.sponsor, kept.words) == ("Brightfell Panels", "offcut kept")
    assert (said.used, said.closing) == (usd(480 - 24), usd(192 + 24))


def test_an_offcut_from_two_givers_sheets_names_both(brightfell, give):
    lot = give(brightfell, 1, sponsor="Tallowgate Ply", day="2025-05-02").key
    issue(brightfell, BED, "PLY34", Quantity.of(1), lot=lot, day=date(2025, 5, 3))
    size = OffcutSize(Length.of(48, "in"), Length.of(48, "in"))
    keep_offcuts(brightfell, BED, "PLY34", [size], day=date(2025, 5, 30))
    assert account(brightfell, "2025-05").of("used")[-1].sponsor == (
        "Brightfell Panels, Tallowgate Ply"
    )


def test_bought_goods_are_not_in_it(brightfell, give):
    give(brightfell, 3, kind="bought", sponsor="Copper Vale Lumber", day="2025-06-02")
    said = account(brightfell)
    assert (said.rows, said.received) == ((), Money(0))


def test_loans_stand_apart_and_are_no_income(brightfell, give):
    lot = give(brightfell, 2, "300.00", kind="borrowed", day="2025-06-02", method="", evidence="",
               **SAW).key  # fmt: skip
    withdraw(brightfell, "to_supplier", None, Quantity.of(1), lot=lot, day=date(2025, 6, 20))
    said = account(brightfell)
    assert (said.received, said.tools) == (Money(0), ())
    (loan,) = said.loans
    assert (loan.words, loan.quantity, loan.left) == ("Track saw", Quantity.of(2), Quantity.of(1))
    assert loan.declared == usd(600)


def test_tools_kept_are_told_apart_until_they_go(brightfell, give):
    lot = give(brightfell, 1, "480.00", day="2025-05-02", **SAW).key
    (tool,) = account(brightfell).tools
    assert (tool.item, tool.value, tool.tool) == ("Track saw", usd(480), True)
    withdraw(brightfell, "to_supplier", None, Quantity.of(1), lot=lot, day=date(2025, 6, 20))
    said = account(brightfell)
    assert (said.tools, said.sent_back) == ((), usd(480))


def test_what_the_shop_keeps_for_itself_is_own_use(brightfell):
    withdraw(brightfell, "own_use", "PLY34", Quantity.of(1), day=date(2025, 6, 3), reason="bench")
    withdraw(brightfell, "giveaway", "PLY34", Quantity.of(1), day=date(2025, 6, 4))
    assert (account(brightfell).own_use, account(brightfell).closing) == (usd(192), Money(0))


def test_each_span_closes_and_opens_the_next(brightfell):
    parts = [account(brightfell, text) for text in ("2025-04", "2025-05", "2025-06")]
    for said in parts:
        out = said.used + said.lost + said.sent_back + said.own_use
        assert said.opening + said.received - out == said.closing
        assert said.used == total(row.value for row in said.of("used"))
    assert [said.opening for said in parts[1:]] == [said.closing for said in parts[:-1]]


def test_tax_is_left_to_the_adviser(brightfell):
    assert "tax adviser" in account(brightfell).note
