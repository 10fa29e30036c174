"""The rack: leftovers leave a job as a credit once, and are charged to the job that takes them."""

from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.errors import NotAllowed
from ledger.measures.length import Length
from ledger.measures.quantity import Quantity
from ledger.stock import issue, keep_offcuts, rack, receive, value_on
from ledger.stock.offcuts import OffcutSize
from ledger.stock.stock_rules import REVERSAL_RULES, faults
from ledger.stock.worth import job_material, offcut_credit


def piece(length, width):
    return OffcutSize(Length.of(Fraction(length), "in"), Length.of(Fraction(width), "in"))


def qty(text):
    return Quantity.of(Decimal(text))


TWO = [piece("191/2", "251/16"), piece("191/2", "251/16")]  # 95-1/2 x 15-11/16


def test_kept_pieces_are_worth_half_of_their_area_cost_and_add_up(june, buy, usd):
    buy("PLY12", "2", "144.00")
    issue(june, 1, "PLY12", qty("2"))

    kept = keep_offcuts(june, 1, "PLY12", TWO)

    assert [lot.full for lot in kept] == [usd("11.71"), usd("11.70")]
    assert offcut_credit(june, 1) == (usd("23.41"), usd("23.41"))


def test_pieces_below_the_threshold_are_left_out(june, buy):
    buy("PLY12", "2", "144.00")
    issue(june, 1, "PLY12", qty("2"))

    kept = keep_offcuts(june, 1, "PLY12", [piece("315/4", "23/2"), piece("20", "20"), TWO[0]])

    assert [lot.width.inches for lot in kept] == [Fraction(251, 16)]
    assert keep_offcuts(june, 1, "PLY12", [piece("20", "20")]) == []


def test_an_offcut_of_sheets_in_kind_has_a_cash_of_zero(june, document, line, usd):
    free = line("PLY34", "5", "480.00", method="usual buying price")
    receive(june, document(free, kind="in_kind"))
    issue(june, 1, "PLY34", qty("5"))

    (kept,) = keep_offcuts(june, 1, "PLY34", [piece("507/16", "30")])

    assert (kept.full, kept.cash) == (usd("9.90"), usd("0"))


def test_no_more_area_comes_back_than_the_job_got(june, buy):
    buy("PLY12", "1", "72.00")
    issue(june, 1, "PLY12", qty("1"))
    keep_offcuts(june, 1, "PLY12", [piece("96", "24")])

    with pytest.raises(NotAllowed, match=r"got 32\.0 sq ft .* 16\.0 sq ft of it on the rack"):
        keep_offcuts(june, 1, "PLY12", [piece("96", "25")])


def test_a_job_that_got_no_sheets_has_nothing_left_over(june):
    with pytest.raises(NotAllowed, match="got no sheets of PLY12"):
        keep_offcuts(june, 1, "PLY12", TWO)


def test_the_rack_shows_sizes_and_what_a_piece_charges(june, buy, usd):
    buy("PLY12", "2", "144.00", thickness=Length.of(Decimal("12.1"), "mm"))
    issue(june, 1, "PLY12", qty("2"))
    keep_offcuts(june, 1, "PLY12", TWO[:1])

    (found,) = rack(june, "PLY12")

    assert (found.length.inches, found.width.inches) == (Fraction(191, 2), Fraction(251, 16))
    assert (found.full, found.thickness.mm) == (usd("11.70"), Decimal("12.1"))
    assert rack(june, "PLY34") == []


def test_a_piece_that_is_taken_charges_the_next_job_and_leaves_the_rack(june, buy, usd):
    buy("PLY12", "2", "144.00")
    issue(june, 1, "PLY12", qty("2"))
    (kept,) = keep_offcuts(june, 1, "PLY12", TWO[:1])

    issue(june, 2, "PLY12", qty("1"), lot=kept.key)

    assert rack(june) == []
    assert [use.full for use in job_material(june, 2)] == [usd("11.70")]


def test_whole_sheets_are_never_drawn_from_the_rack(june, buy):
    buy("PLY12", "2", "144.00")
    issue(june, 1, "PLY12", qty("2"))
    keep_offcuts(june, 1, "PLY12", TWO)

    with pytest.raises(NotAllowed, match="On hand: 0 sheet"):
        issue(june, 2, "PLY12", qty("1"))


def test_the_issue_behind_a_credit_cannot_be_taken_back_alone(june, buy):
    buy("PLY12", "2", "144.00")
    (issued,) = issue(june, 1, "PLY12", qty("2"))
    (kept,) = keep_offcuts(june, 1, "PLY12", TWO[:1])

    with pytest.raises(NotAllowed, match="undo the offcuts first"):
        june.reverse(issued.entry, "wrong job", REVERSAL_RULES)
    june.reverse(kept.entry, "wrong job", REVERSAL_RULES)
    june.reverse(issued.entry, "wrong job", REVERSAL_RULES)
    assert faults(june) == []
    assert sum(row.quantity.decimal for row in value_on(june)) == 2


def test_an_issue_is_taken_back_while_the_sheets_left_cover_the_offcuts(june, buy):
    buy("PLY12", "3", "216.00")
    issued = [row for number in ("1", "2") for row in issue(june, 1, "PLY12", qty(number))]
    keep_offcuts(june, 1, "PLY12", TWO)  # 65 % of a sheet

    june.reverse(issued[1].entry, "one too many", REVERSAL_RULES)
    with pytest.raises(NotAllowed, match="undo the offcuts first"):
        june.reverse(issued[0].entry, "wrong job", REVERSAL_RULES)
