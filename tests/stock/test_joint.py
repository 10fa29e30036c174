"""Sheets that jobs share: one draw split over them, to the millionth and the cent."""

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from ledger.measures.money import Money, split
from ledger.measures.quantity import Quantity
from ledger.stock.joint import credit_within, split_draws
from ledger.stock.lots import Drawn, Pool
from ledger.stock.shared import is_of


def drawn(lot, quantity, full, cash=None):
    return Drawn(
        lot, Pool(Quantity.of(quantity), Money(full), Money(full if cash is None else cash))
    )


def test_two_lots_are_split_so_that_each_job_pays_its_share_of_all():
    parts = split_draws([drawn(1, 1, 7000), drawn(2, 1, 7501)], [9867, 4337])
    paid = [sum(one.pool.full.minor for one in mine) for mine in parts]
    assert paid == [10073, 4428]
    assert [sum(one.pool.quantity.millionths for one in mine) for mine in parts] == [
        1_389_327, 610_673,
    ]  # fmt: skip


def test_goods_in_kind_cost_no_job_cash():
    parts = split_draws([drawn(1, 3, 9601, 0)], [2, 1])
    assert [one.pool.cash for mine in parts for one in mine] == [Money(0), Money(0)]
    assert [one.pool.full.minor for mine in parts for one in mine] == [6401, 3200]


pools = st.builds(
    lambda millionths, full, share: Pool(
        Quantity(millionths), Money(full), Money(int(full * share))
    ),
    st.integers(1, 20_000_000), st.integers(0, 500_000), st.fractions(0, 1),
)  # fmt: skip


@given(
    st.lists(pools, min_size=1, max_size=5),
    st.lists(st.integers(0, 100_000), min_size=2, max_size=5).filter(any),
)
def test_parts_add_up_by_lot_and_by_job_and_none_is_negative(amounts, weights):
    draws = [Drawn(number, pool) for number, pool in enumerate(amounts)]
    parts = split_draws(draws, weights)
    for draw in draws:
        of_lot = [one.pool for mine in parts for one in mine if one.lot == draw.lot]
        assert sum(pool.quantity.millionths for pool in of_lot) == draw.pool.quantity.millionths
        assert sum(pool.full.minor for pool in of_lot) == draw.pool.full.minor
        assert sum(pool.cash.minor for pool in of_lot) == draw.pool.cash.minor
    for mine in parts:
        for one in mine:
            assert 0 <= one.pool.cash.minor <= one.pool.full.minor
            assert one.pool.quantity.millionths >= 0
    cash = split(Money(sum(pool.cash.minor for pool in amounts)), weights)
    assert [sum(one.pool.cash.minor for one in mine) for mine in parts] == [m.minor for m in cash]
    for weight, mine in zip(weights, parts, strict=True):
        exact = Fraction(sum(pool.full.minor for pool in amounts) * weight, sum(weights))
        assert abs(sum(one.pool.full.minor for one in mine) - exact) < 2


def test_a_size_of_its_own_is_of_its_material():
    assert is_of("PLY34", "PLY34")
    assert is_of("PLY34/60", "PLY34")
    assert not is_of("PLY340", "PLY34")


def test_a_credit_takes_cash_off_what_was_paid_and_the_rest_off_what_came_in_kind():
    credit, passed = Pool(Quantity(0), Money(404), Money(276)), []
    for full, cash in ((3603, 0), (7747, 7747)):  # a sheet of a sponsor's, then two that were paid
        part = credit_within(credit, Money(full), Money(cash))
        passed.append((part.full.minor, part.cash.minor))
        credit = credit - part
    assert passed == [(128, 0), (276, 276)]
    assert credit == Pool(Quantity(0), Money(0), Money(0))
