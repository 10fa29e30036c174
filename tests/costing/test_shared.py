"""What jobs that share sheets pay: in proportion to what each pays alone, to the cent."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.costing.shared import SheetCost, share_out, sheet_cost
from ledger.cutting.layout import LaidSheet, Layout, Leftover
from ledger.measures.money import Money, total

INCH = 25_400_000


def cost(sheets, minor, offcuts=0):
    return SheetCost(sheets, Money(minor), Money(offcuts))


def test_the_published_pair_is_shared_in_proportion_to_the_cost_alone():
    """5 and 11 sheets alone, 15 together: 4.69 and 10.31."""
    shared = share_out(cost(15, 150_00), {"J-1": cost(5, 50_00), "J-2": cost(11, 110_00)})
    assert [share.cost for share in shared.shares] == [Money(46_88), Money(103_12)]
    assert [share.saved for share in shared.shares] == [Money(3_12), Money(6_88)]
    assert shared.is_worth_it


def test_a_cent_that_is_left_goes_to_the_largest_remainder():
    thirds = {name: cost(1, 40_00) for name in ("J-1", "J-2", "J-3")}
    shared = share_out(cost(2, 100_00), thirds)
    assert [share.cost.minor for share in shared.shares] == [33_34, 33_33, 33_33]


def test_offcuts_go_by_the_same_shares():
    alone = {"J-1": cost(2, 200_00, 40_00), "J-2": cost(1, 100_00, 60_00)}
    shared = share_out(cost(2, 150_00, 20_00), alone)
    assert [share.sheets_cost.minor for share in shared.shares] == [120_00, 30_00]
    assert [share.offcuts.minor for share in shared.shares] == [16_00, 4_00]
    assert [share.cost.minor for share in shared.shares] == [104_00, 26_00]


@pytest.mark.parametrize(
    "together",
    [
        cost(3, 300_00),  # nothing saved
        cost(4, 290_00),  # cheaper, yet of more sheets
        cost(3, 290_00, 0),  # dearer once the offcuts of the jobs alone are counted
    ],
)
def test_where_it_saves_nothing_it_is_not_worth_it(together):
    alone = {"J-1": cost(2, 200_00, 10_00), "J-2": cost(1, 100_00)}
    assert not share_out(together, alone).is_worth_it


def test_it_is_not_worth_it_where_one_would_pay_more_until_the_offcuts_come_back():
    alone = {"J-1": cost(1, 100_00), "J-2": cost(1, 100_00, 40_00)}
    shared = share_out(cost(2, 190_00, 40_00), alone)
    assert shared.together.cost < shared.alone.cost
    assert shared.shares[0].sheets_cost > Money(100_00)
    assert not shared.is_worth_it


def test_sheets_that_cost_nothing_save_nothing():
    shared = share_out(cost(1, 0), {"J-1": cost(1, 0), "J-2": cost(1, 0)})
    assert [share.cost for share in shared.shares] == [Money(0), Money(0)]
    assert not shared.is_worth_it


def costs():
    return st.builds(
        lambda sheets, price, share: cost(sheets, price, int(price * share)),
        st.integers(1, 20), st.integers(0, 200_000), st.fractions(0, 1),
    )  # fmt: skip


@given(st.lists(costs(), min_size=2, max_size=6), costs())
def test_shares_always_add_up_and_none_is_above_the_cost_alone(alone, together):
    shared = share_out(together, {f"J-{at}": one for at, one in enumerate(alone)})
    assert total(share.sheets_cost for share in shared.shares) == together.sheets_cost
    assert total(share.offcuts for share in shared.shares) == together.offcuts
    assert total(share.cost for share in shared.shares) == together.cost
    if shared.is_worth_it:
        for share, own in zip(shared.shares, alone, strict=True):
            assert share.alone == own
            assert share.cost <= own.cost
            assert share.sheets_cost <= own.sheets_cost
        assert together.sheets_cost < total(own.sheets_cost for own in alone)
        assert together.sheets <= sum(own.sheets for own in alone)


@given(st.lists(st.integers(1, 50_000), min_size=2, max_size=6), st.integers(0, 300_000))
def test_without_offcuts_every_saving_is_shared_by_all(alone, together):
    costs_alone = {f"J-{at}": cost(1, minor) for at, minor in enumerate(alone)}
    shared = share_out(cost(1, together), costs_alone)
    assert shared.is_worth_it is (together < sum(alone))
    for share in shared.shares:
        exact = Fraction(together * share.alone.cost.minor, sum(alone))
        assert abs(share.cost.minor - exact) < 1


def test_an_offcut_is_worth_a_share_of_its_area():
    sheet = LaidSheet(
        "PLY34", "new", 96 * INCH, 48 * INCH, 0, 96_00, "PLY34", (),
        (Leftover(0, 0, 48 * INCH, 48 * INCH, True), Leftover(0, 0, 48 * INCH, 4 * INCH, False)),
    )  # fmt: skip
    layout = Layout("PLY34", (sheet, sheet), 0, 2, proven=True, least_cost=192_00)
    assert sheet_cost(layout, Fraction(1, 2)) == cost(2, 192_00, 48_00)
    nothing = Layout("PLY34", (), 0, 0, proven=True, least_cost=0)
    assert sheet_cost(nothing, Fraction(1, 2)) == cost(0, 0)
