"""Drawing from lots: first in first out, and values that always add up again."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import NotAllowed
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.stock.lots import EMPTY, Pool, draw, drawable


def pool(quantity, full, cash=None):
    return Pool(Quantity.of(Fraction(quantity)), Money(full), Money(full if cash is None else cash))


def test_the_oldest_lot_is_drawn_first_and_the_next_one_for_the_rest():
    drawn = draw([(1, pool(2, 200)), (2, pool(5, 750))], Quantity.of(3))

    assert [(d.lot, d.pool) for d in drawn] == [(1, pool(2, 200)), (2, pool(1, 150))]


def test_the_last_draw_takes_the_remainder_to_the_cent():
    left, taken = pool(3, 100), []
    for _ in range(3):
        part = draw([(1, left)], Quantity.of(1))[0].pool
        taken.append(part.full.minor)
        left = left - part

    assert taken == [33, 34, 33]
    assert left == EMPTY


def test_a_lot_in_kind_keeps_its_full_value_and_a_cash_of_zero():
    (drawn,) = draw([(1, pool(12, 115200, 0))], Quantity.of(5))

    assert drawn.pool == pool(5, 48000, 0)


def test_more_than_is_on_hand_is_refused_saying_what_is_there():
    with pytest.raises(NotAllowed, match=r"On hand: 7 ft of EDGE78; 8 cannot"):
        draw([(1, pool(2, 10)), (2, pool(5, 10))], Quantity.of(8), "EDGE78", "ft")


@pytest.mark.parametrize("quantity", [0, -1])
def test_a_draw_of_nothing_is_refused(quantity):
    with pytest.raises(NotAllowed, match="more than zero"):
        draw([(1, pool(2, 10))], Quantity.of(quantity))


def test_a_draw_entered_late_leaves_enough_for_what_was_drawn_after_it():
    # 10 came, 6 went later: on the earlier day no more than 4 may still go.
    assert drawable(pool(4, 400), [-pool(6, 600)]) == pool(4, 400)


def test_a_later_return_does_not_help_an_earlier_draw():
    # 10 came, 9 went, then 5 came back: between the two only 1 was there.
    assert drawable(pool(6, 600), [-pool(9, 900), pool(5, 500)]) == pool(1, 100)


POOLS = st.builds(
    lambda quantity, full, paid: Pool(Quantity(quantity), Money(full), Money(full if paid else 0)),
    st.integers(1, 10**9), st.integers(0, 10**7), st.booleans(),
)  # fmt: skip


@given(st.lists(POOLS, min_size=1, max_size=4), st.lists(st.integers(1, 10**9), max_size=8))
def test_whatever_is_drawn_and_what_stays_add_up_to_the_lots(lots, wishes):
    left, taken = dict(enumerate(lots)), EMPTY
    for wish in wishes:
        there = sum(left.values(), EMPTY).quantity.millionths
        if not there:
            break
        for drawn in draw(left.items(), Quantity(min(wish, there))):
            left[drawn.lot] = left[drawn.lot] - drawn.pool
            taken = taken + drawn.pool

    assert taken + sum(left.values(), EMPTY) == sum(lots, EMPTY)
    for rest in left.values():
        assert rest.quantity.millionths >= 0
        assert rest.full >= rest.cash >= Money(0)
        assert rest.quantity or not rest.full
