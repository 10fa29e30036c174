"""Solid parts are laid on rough boards, and board feet bought stand against net."""

from fractions import Fraction

import pytest

from ledger.cutting import CutPart, Stock
from ledger.cutting.boards import INCH, board_feet, plan_boards
from ledger.cutting.drawing import sheet_svg
from ledger.cutting.sketch import sketch
from ledger.errors import BadValue, NotAllowed

KERF = INCH // 8
BOARD = Stock("new", 96 * INCH, 9 * INCH // 2, 0, 2040, None, "4-1/2 in x 8 ft")


def part(name: str, length: str, width: str, quantity: int = 1) -> CutPart:
    """One solid part, sizes in inches."""
    return CutPart(
        name, name, int(Fraction(length) * INCH), int(Fraction(width) * INCH), quantity,
        material="BIRCH44",
    )  # fmt: skip


CAPS = (part("B8", "1319/16", "23/32", 2), part("B9", "61", "23/32", 2))
"""The rim caps of the workshop's fold-down bed: 82-7/16 in and 61 in, a quarter inch thick."""


def test_the_rim_caps_of_the_bed_take_one_board_of_three_board_feet() -> None:
    plan = plan_boards(
        CAPS, BOARD, INCH, kerf_nm=KERF, waste=Fraction(1, 4)
    )  # fmt: skip

    assert (plan.laid, plan.boards, plan.bought) == (1, 1, 3)
    assert plan.net == (2 * Fraction(1319, 16) + 2 * 61) * Fraction(23, 32) / 144
    assert plan.needed == plan.net / Fraction(3, 4)
    assert plan.cost == 2040
    assert plan.net < plan.needed < plan.bought


def test_waste_is_a_divisor_and_may_ask_for_more_boards_than_the_parts_fill() -> None:
    parts = [part("R", "94", "4", 1)]

    assert plan_boards(parts, BOARD, INCH, kerf_nm=KERF).boards == 1
    assert plan_boards(parts, BOARD, INCH, kerf_nm=KERF, waste=Fraction(3, 10)).boards == 2


def test_parts_are_laid_oversize_before_dressing() -> None:
    fits = plan_boards([part("R", "95", "17/4")], BOARD, INCH, kerf_nm=KERF)

    (placement,) = fits.layout.sheets[0].placements
    assert (placement.length_nm, placement.width_nm) == (96 * INCH, 9 * INCH // 2)
    with pytest.raises(NotAllowed, match="too long"):
        plan_boards([part("R", "1521/16", "17/4")], BOARD, INCH, kerf_nm=KERF)


def test_stock_under_four_quarters_counts_as_an_inch() -> None:
    assert board_feet(INCH // 2, 6 * INCH, 96 * INCH) == board_feet(INCH, 6 * INCH, 96 * INCH) == 4


def test_eight_quarters_counts_twice() -> None:
    assert board_feet(2 * INCH, 6 * INCH, 96 * INCH) == 8


@pytest.mark.parametrize("waste", [Fraction(1), Fraction(-1, 10)])
def test_a_waste_share_of_everything_or_less_than_nothing_is_refused(waste: Fraction) -> None:
    with pytest.raises(BadValue, match="waste share"):
        plan_boards(CAPS, BOARD, INCH, kerf_nm=KERF, waste=waste)


def test_no_parts_need_no_board() -> None:
    plan = plan_boards([], BOARD, INCH, kerf_nm=KERF)

    assert (plan.boards, plan.net, plan.bought, plan.cost) == (0, 0, 0, 0)


def test_a_board_is_drawn_wider_than_it_is_with_every_part_named() -> None:
    plan = plan_boards(CAPS, BOARD, INCH, kerf_nm=KERF)
    picture = sheet_svg(plan.problem, plan.layout, 1, name="board")

    assert "Board 1 of 1: BIRCH44, rough board, " in picture
    assert "The board is drawn wider than it is." in picture
    assert (picture.count(">B8  "), picture.count(">B9  ")) == (2, 2)


def test_a_sketch_of_a_board_has_room_for_the_names_of_its_strips() -> None:
    plan = plan_boards(CAPS, BOARD, INCH, kerf_nm=KERF)
    lines = sketch(plan.problem, plan.layout.sheets[0], 1, name="board")

    assert lines[0].startswith("Board 1: BIRCH44, rough, ")
    said = "\n".join(lines[1:])
    assert (said.count("B8"), said.count("B9")) == (2, 2)
    assert max(map(len, lines)) <= 80
