"""The statement of a sponsor's goods closes in units and to the cent, month by month."""

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.book.questions.sponsors import GivenLot, GivenMove, given_lots, given_moves
from ledger.measures.day import Month
from ledger.measures.money import Money, total
from ledger.measures.quantity import Quantity
from ledger.sponsors.statement import Amount, statement
from ledger.stock import issue, put_back, withdraw

BRIGHTFELL = "Brightfell Panels"
SHELVES, BED = 1, 2


def lines(book, first, last, sponsor=BRIGHTFELL):
    return statement(given_lots(book, sponsor, last), given_moves(book, sponsor, last), first, last)


def month(book, text, sponsor=BRIGHTFELL):
    asked = Month(*(int(part) for part in text.split("-")))
    return lines(book, asked.first, asked.last, sponsor)


def sheets(count, value):
    return Amount(Quantity.of(count), Money(round(value * 100)))


@pytest.mark.parametrize(
    ("text", "opening", "received", "used", "wasted", "closing"),
    [
        ("2025-04", (0, 0), (12, 1152), (-4, -384), (-1, -96), (7, 672)),
        ("2025-05", (7, 672), (0, 0), (-5, -480), (0, 0), (2, 192)),
        ("2025-06", (2, 192), (0, 0), (0, 0), (0, 0), (2, 192)),
    ],
)
def test_the_example_closes_each_month(brightfell, text, opening, received, used, wasted, closing):
    (line,) = month(brightfell, text)
    assert (line.item, line.unit, line.loan) == ("Birch ply 3/4", "sheet", False)
    assert line.opening == sheets(*opening)
    assert line.received == sheets(*received)
    assert line.used == sheets(*used)
    assert line.wasted == sheets(*wasted)
    assert line.closing == sheets(*closing)
    assert not (line.sent_back or line.otherwise)


def test_three_months_in_one_span_are_the_months_added_up(brightfell):
    (line,) = lines(brightfell, date(2025, 4, 1), date(2025, 6, 30))
    assert (line.opening, line.closing) == (Amount(), sheets(2, 192))
    assert line.used == sheets(-9, -864)


def test_what_a_build_gives_back_is_not_used(brightfell):
    put_back(brightfell, BED, "PLY34", Quantity.of(1), day=date(2025, 5, 30))
    (line,) = month(brightfell, "2025-05")
    assert (line.used, line.closing) == (sheets(-4, -384), sheets(3, 288))


def test_goods_sent_back_stand_in_a_column_of_their_own(brightfell):
    withdraw(brightfell, "to_supplier", "PLY34", Quantity.of(2), lot=1, day=date(2025, 6, 2))
    (line,) = month(brightfell, "2025-06")
    assert (line.sent_back, line.closing) == (sheets(-2, -192), Amount())


def test_a_line_that_had_nothing_in_the_span_is_left_out(brightfell):
    withdraw(brightfell, "to_supplier", "PLY34", Quantity.of(2), lot=1, day=date(2025, 5, 30))
    assert month(brightfell, "2025-06") == []
    assert month(brightfell, "2025-03") == []


def test_goods_of_another_giver_and_bought_goods_are_not_in_it(brightfell, give):
    give(brightfell, 3, sponsor="Tallowgate Ply", day="2025-06-02")
    give(brightfell, 2, sponsor="Copper Vale Lumber", kind="bought", day="2025-06-02")
    (line,) = month(brightfell, "2025-06")
    assert (line.received, line.closing) == (Amount(), sheets(2, 192))
    (theirs,) = month(brightfell, "2025-06", "Tallowgate Ply")
    assert theirs.received == sheets(3, 288)


def test_a_name_in_other_capitals_is_the_same_sponsor(brightfell, give):
    give(brightfell, 1, sponsor="BRIGHTFELL PANELS", day="2025-06-02")
    (line,) = month(brightfell, "2025-06")
    assert line.received == sheets(1, 96)


def test_a_entry_taken_back_is_gone_from_the_statement(brightfell):
    moved = issue(brightfell, BED, "PLY34", Quantity.of(1), day=date(2025, 6, 3))
    brightfell.reverse(moved[0].entry, "wrong job")
    (line,) = month(brightfell, "2025-06")
    assert line.used == Amount()


def test_gifts_and_loans_of_the_same_goods_are_two_lines(brightfell, give):
    give(brightfell, 3, kind="borrowed", day="2025-06-02", method="", evidence="")
    withdraw(brightfell, "damage", None, Quantity.of(1), lot=2, day=date(2025, 6, 3),
             reason="scratched")  # fmt: skip
    gift, loan = month(brightfell, "2025-06")
    assert (gift.loan, gift.closing) == (False, sheets(2, 192))
    assert (loan.loan, loan.received, loan.closing) == (True, sheets(3, 288), sheets(2, 192))
    assert loan.wasted == sheets(-1, -96)


FIRST = date(2025, 1, 1)
PARTS = st.lists(st.integers(1, 400_000), min_size=1, max_size=8)


def lot(number, quantity, value, *, lent=False):
    return GivenLot(number, "PLY34", "Birch ply", "sheet", "sheet", FIRST,
                    "borrowed" if lent else "in_kind", Quantity(quantity),
                    Money(0 if lent else value), Money(value if lent else 0),
                    "", "", "")  # fmt: skip


@settings(max_examples=60)
@given(parts=PARTS, value=st.integers(0, 10**7), lent=st.booleans(), cut=st.integers(0, 10))
def test_any_two_spans_that_meet_close_into_each_other(parts, value, lent, cut):
    held = lot(1, sum(parts), value, lent=lent)
    left, moves = value, []
    for number, part in enumerate(parts):
        cost = left if number == len(parts) - 1 else min(left, value * part // sum(parts))
        left -= cost
        moves.append(
            GivenMove(number, 1, "issue" if number % 2 else "damage", FIRST + timedelta(number),
                      Quantity(-part), Money(0 if lent else -cost), None, "", None)
        )  # fmt: skip
    meet, end = FIRST + timedelta(cut), FIRST + timedelta(30)
    before = statement([held], moves, FIRST, meet)
    after = statement([held], moves, meet + timedelta(1), end)
    closing = before[0].closing
    assert (after[0].opening if after else Amount()) == closing
    assert statement([held], moves, FIRST, end)[0].closing == Amount()
    assert total(line.used.value + line.wasted.value for line in before + after) == Money(-value)
