"""Bounds that hold of any plan: never above what can be cut, and as high as the published ones."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.cutting.covers import (
    IMPOSSIBLE,
    Cover,
    dual_covers,
    least,
    left_out,
    reachable,
    rounded,
    stepped,
)
from ledger.cutting.engine import Blank, Effort, EqualParts, pack

SIDES = st.integers(1, 60)


@given(st.integers(4, 60), st.data())
@pytest.mark.parametrize("function", [left_out, rounded, stepped])
def test_no_cut_of_a_side_gains_anything(function: object, whole: int, data: st.DataObject) -> None:
    threshold = data.draw(st.integers(1, whole // 2))
    one = data.draw(st.integers(0, whole))
    two = data.draw(st.integers(0, whole - one))
    value = lambda side: function(whole, threshold, side)  # type: ignore[operator]  # noqa: E731

    assert 0 <= value(one) + value(two) <= value(one + two) <= value(whole)


@given(
    st.lists(st.tuples(SIDES, SIDES, st.booleans(), st.integers(1, 3)), min_size=1, max_size=6),
    st.lists(st.tuples(st.integers(0, 30), st.integers(0, 30)), min_size=1, max_size=3),
)
def test_no_bound_exceeds_a_plan(
    parts: list[tuple[int, int, bool, int]], more: list[tuple[int, int]]
) -> None:
    kinds = [EqualParts(*part) for part in parts]
    blanks = [Blank(60 + dx, 60 + dy, 99, 7 * (60 + dx) + dy) for dx, dy in more]
    covers = dual_covers(kinds, blanks)

    for number, blank in enumerate(blanks):
        sheets = len(pack(kinds, [blank], Effort("tree", 16)).patterns)
        assert all(cover.room[number] * sheets >= cover.need for cover in covers)
        assert least([blank.cost for blank in blanks], [99] * len(blanks), covers) <= (
            sheets * blank.cost
        )


@pytest.mark.parametrize(
    ("parts", "sheets"),
    [
        # More than half the sheet each way: no two share one.
        ([(51, 51, True, 5)], 5),
        # Of those that stand upright two share a sheet, of those that lie along it none: 4 + 3.
        ([(100, 51, False, 4), (34, 100, False, 5)], 7),
        # Each of the wide ones stands alone, with room for one narrow one beside it.
        ([(58, 100, False, 2), (23, 100, False, 3)], 3),
        # Area alone says 3.
        ([(60, 60, False, 3), (41, 41, False, 9)], 6),
    ],
)
def test_it_sees_what_the_area_does_not(
    parts: list[tuple[int, int, bool, int]], sheets: int
) -> None:
    kinds = [EqualParts(*part) for part in parts]
    covers = dual_covers(kinds, [Blank(100, 100, 99)])

    assert least([1], [99], covers) == sheets
    assert len(pack(kinds, [Blank(100, 100, 99)], Effort("tree", 64)).patterns) >= sheets
    assert least([1], [99], covers[:1]) < sheets


def test_whole_sheets_of_several_prices_meet_every_cover_at_the_least_cost() -> None:
    # Three parts on the large sheet at most, two on the small one, four to be cut.
    four = Cover((3, 2), 4)

    assert least([3300, 2520], [9, 9], [four]) == 5040
    assert least([3300, 2520], [9, 1], [four]) == 5820
    assert least([3300, 2520], [0, 1], [four]) == IMPOSSIBLE
    # Two pieces on the rack would do, but there is one.
    assert [least([1, 10], [n, 9], [Cover((2, 3), 4)]) for n in (2, 1)] == [2, 11]
    assert reachable(5041, [3300, 2520], [9, 9], [four]) == 5820


def test_more_sheets_never_cost_more() -> None:
    covers = [Cover((7, 5, 3), 31), Cover((2, 2, 1), 9)]
    bounds = [least([70, 45, 30], [n, n, n], covers) for n in range(3, 9)]

    assert all(more <= fewer for fewer, more in pairwise(bounds))


def test_short_of_nodes_the_bound_is_what_divisible_sheets_cost_rounded_up(monkeypatch) -> None:
    monkeypatch.setattr("ledger.cutting.covers.MOST_NODES", 0)

    # Four of a sheet's three parts at 3301 are 4401 1/3; with one such sheet, the fourth from a
    # sheet of two parts at 2521.
    assert least([3301, 2521], [9, 9], [Cover((3, 2), 4)]) == 4402
    assert least([3301, 2521], [1, 9], [Cover((3, 2), 4)]) == 3301 + 1261


@pytest.mark.parametrize("most", [1, 200, 100_000])
def test_the_cover_of_the_area_stands_first_however_few_are_tried(
    most: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("ledger.cutting.covers.MOST_PRODUCTS", most)
    kinds = [EqualParts(7 * n, 5 * n + 1, False, n) for n in range(1, 8)]
    first = dual_covers(kinds, [Blank(60, 40, 99)])[0]
    area = sum(kind.length * kind.width * kind.copies for kind in kinds)

    assert Fraction(first.need, first.room[0]) == Fraction(area, 60 * 40)
