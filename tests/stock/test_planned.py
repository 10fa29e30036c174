"""What the estimate says is issued at once, less what the job has; opening stock."""

from datetime import date
from decimal import Decimal

import pytest

from ledger.book.tables.stock import Movement
from ledger.errors import NotAllowed
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.stock import issue, put_back, value_on, withdraw
from ledger.stock.offcuts import OffcutSize, keep_offcuts
from ledger.stock.opening import OpeningRow, open_stock
from ledger.stock.planned import issue_planned, still_planned
from ledger.stock.rack_pieces import rack


def qty(text):
    return Quantity.of(Decimal(text))


PLAN = {"EDGE78": qty("84"), "DISC5": qty("36")}


def test_all_that_is_planned_is_issued_in_one_entry(june, buy):
    buy("EDGE78", "100", "22.00")
    buy("DISC5", "50", "32.50")

    moved = issue_planned(june, 1, PLAN)

    assert [-m.quantity.decimal for m in moved] == [84, 36]
    assert len({m.entry for m in moved}) == 1


def test_what_the_job_has_is_not_issued_again(june, buy):
    buy("EDGE78", "100", "22.00")
    buy("DISC5", "50", "32.50")
    issue(june, 1, "EDGE78", qty("80"))
    issue(june, 1, "DISC5", qty("40"))

    assert [(row.material, row.left) for row in still_planned(june, 1, PLAN)] == [
        ("EDGE78", qty("4"))
    ]
    assert len(issue_planned(june, 1, PLAN)) == 1


def test_what_was_scrapped_is_issued_again(june, buy):
    buy("EDGE78", "100", "22.00")
    issue(june, 1, "EDGE78", qty("84"))
    withdraw(june, "scrap", "EDGE78", qty("4"), reason="torn", job=1)
    assert still_planned(june, 1, {"EDGE78": qty("84")}) == []
    put_back(june, 1, "EDGE78", qty("10"))
    (row,) = still_planned(june, 1, {"EDGE78": qty("84")})
    assert row.left == qty("10")


def test_every_shortage_is_named_and_nothing_is_issued(june, buy):
    buy("EDGE78", "50", "11.00")

    with pytest.raises(NotAllowed, match="EDGE78: 50 ft on hand, 84 ft to issue; DISC5: 0 discs"):
        issue_planned(june, 1, PLAN)
    assert june.rows(Movement) == []


def test_a_shortage_says_how_much_could_be_issued_in_all(june, buy):
    buy("EDGE78", "50", "11.00")
    issue(june, 1, "EDGE78", qty("20"))

    with pytest.raises(NotAllowed, match=r"EDGE78: 30 ft on hand, 64 ft to issue.*EDGE78=50"):
        issue_planned(june, 1, {"EDGE78": qty("84")})


def test_a_piece_from_the_rack_is_issued_once_and_no_sheet_for_it(june, buy):
    buy("PLY12", "1", "72.00")
    issue(june, 1, "PLY12", qty("1"))
    piece = OffcutSize(Length.of(40, "in"), Length.of(30, "in"))
    (lot,) = keep_offcuts(june, 1, "PLY12", [piece])

    (moved,) = issue_planned(june, 2, {}, pieces=[lot.key])

    assert (moved.lot, moved.full) == (lot.key, -lot.full)
    assert issue_planned(june, 2, {}, pieces=[lot.key]) == []


def test_a_shortage_keeps_the_pieces_on_the_rack_too(june, buy):
    buy("PLY12", "1", "72.00")
    issue(june, 1, "PLY12", qty("1"))
    (lot,) = keep_offcuts(june, 1, "PLY12", [OffcutSize(Length.of(40, "in"), Length.of(30, "in"))])

    with pytest.raises(NotAllowed, match="PLY34: 0 sheets on hand, 1 sheet to issue"):
        issue_planned(june, 2, {"PLY34": qty("1")}, pieces=[lot.key])
    assert [piece.lot for piece in rack(june)] == [lot.key]


def test_opening_stock_is_what_the_month_began_with(june):
    open_stock(june, [
        OpeningRow("EDGE78", qty("250"), Money(5500), Money(5500)),
        OpeningRow("PLY34", qty("2"), Money(19200), Money(0), sponsor="Brightfell Panels"),
    ], day=date(2025, 4, 1))  # fmt: skip

    assert [(row.source, row.full, row.cash) for row in value_on(june)] == [
        ("opening", Money(5500), Money(5500)),
        ("opening", Money(19200), Money(0)),
    ]
    assert value_on(june, date(2025, 3, 31)) == []


@pytest.mark.parametrize(
    "row",
    [
        OpeningRow("PLY99", qty("1"), Money(100), Money(100)),
        OpeningRow("PLY34", qty("0"), Money(100), Money(100)),
        OpeningRow("PLY34", qty("1"), Money(100), Money(101)),
    ],
)
def test_an_opening_lot_that_cannot_be_is_refused_and_the_others_with_it(june, row):
    good = OpeningRow("EDGE78", qty("250"), Money(5500), Money(5500))

    with pytest.raises(NotAllowed):
        open_stock(june, [good, row])
    assert value_on(june) == []
