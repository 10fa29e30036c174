"""The tool of a cut follows from the piece: its run, what lies across, and what each side becomes.

Sources: no fence for what is wider than it is long (a makerspace's shop rules); no piece shorter
than 12 in along the fence, push stick below 6 in (table-saw manuals); hands 6 in clear of a miter
saw's blade (a school's shop rules), 100 mm as the least that is held (the power-tool standard's
warning text, from memory); 51 lb as one person's lift (NIOSH 94-110, as OSHA cites it). The rest
is common practice, no source.
"""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.cutting.tools import INCH, INCH_TOOLS, CutShape, Tools, choices, choose, tool_faults
from ledger.measures.values import replace


def shape(
    run: float, across: float, size: float, *, heavy: bool = False, true: bool = True
) -> CutShape:
    """A cut in inches, an eighth lost to the blade."""
    rest = across - size - 0.125
    sides = (int(side * INCH) for side in (run, across, size, max(rest, 0)))
    return CutShape(*sides, too_heavy=heavy, rest_is_true=true)


@pytest.mark.parametrize(
    ("cut", "tool", "aid"),
    [
        (shape(96, 48, 24, heavy=True), "guide rail", ""),
        (shape(101, 48, 24, heavy=True), "none", "helper"),
        (shape(88, 36, 12), "table saw", ""),
        (shape(88, 36, 4), "table saw", "push stick"),
        (shape(47.75, 31.9375, 16), "table saw", ""),  # called a crosscut, safe on the fence
        (shape(88, 60, 31), "guide rail", ""),  # wider than the fence opens
        (shape(9.25, 47.5, 3), "miter saw", ""),  # called a rip, wider than long
        (shape(11, 11, 5), "miter saw", "clamp"),  # 11 in does not ride on the fence
        (shape(11, 20, 5), "miter saw", ""),
        (shape(9.25, 7, 1.5), "miter saw", "clamp"),
        (shape(9.25, 4, 1.5), "none", ""),
        (shape(16.5, 24, 11.75), "guide rail", ""),
        (shape(13, 15, 7), "guide rail", "filler strip"),
        (shape(20, 4, 1.5), "table saw", "push stick"),
    ],
)
def test_the_rule_by_the_piece(cut: CutShape, tool: str, aid: str) -> None:
    chosen = choose(INCH_TOOLS, cut)

    assert (chosen.tool, chosen.aid) == (tool, aid)


def test_what_is_too_narrow_for_the_fence_falls_off_the_far_side_of_a_cut_edge() -> None:
    narrow = shape(40, 12, 0.25)

    assert choose(INCH_TOOLS, narrow).setting == narrow.rest
    assert choose(INCH_TOOLS, replace(narrow, rest_is_true=False)).tool == "guide rail"


def test_a_sled_takes_what_is_too_wide_for_the_miter_saw() -> None:
    cut = shape(16.5, 24, 11.75)

    assert choose(replace(INCH_TOOLS, sled_capacity=24 * INCH), cut).tool == "sled"


def test_a_heavy_saw_may_be_told_to_take_a_shorter_edge() -> None:
    cut = shape(24, 34.5, 17)

    assert choose(INCH_TOOLS, cut).tool == "guide rail"
    assert choose(replace(INCH_TOOLS, fence_ratio=Fraction(2, 3)), cut).tool == "table saw"


sides = st.integers(1, 100 * 32).map(lambda n: n * INCH // 32)


@given(sides, sides, st.integers(0, 32), st.booleans())
def test_no_choice_ever_breaks_the_shops_limits(
    run: int, across: int, share: int, heavy: bool
) -> None:
    size = across * share // 32
    cut = CutShape(run, across, size, max(across - size - INCH // 8, 0), heavy, rest_is_true=True)
    for chosen in choices(INCH_TOOLS, cut):
        if chosen.tool == "table saw":
            assert not heavy
            assert run >= 12 * INCH
            assert run >= across
            assert INCH // 2 <= chosen.setting <= 30 * INCH
            assert (chosen.aid == "push stick") == (chosen.setting < 6 * INCH)
        elif chosen.tool == "miter saw":
            assert run <= 12 * INCH
            assert max(cut.size, cut.rest) >= (4 if chosen.aid == "clamp" else 8) * INCH
        elif chosen.tool == "guide rail":
            assert run <= 100 * INCH


@pytest.mark.parametrize(
    ("tools", "sheets", "name"),
    [
        (Tools(rip_capacity=11 * INCH), [], "rip_capacity"),
        (Tools(clamp_hold=9 * INCH), [], "clamp_hold"),
        (Tools(push_below=INCH // 4), [], "push_below"),
        (Tools(fence_ratio=Fraction(0)), [], "fence_ratio"),
        (Tools(carry_alone=0), [], "carry_alone"),
        (Tools(rail_cut=47 * INCH), [48 * INCH, 60 * INCH], "rail_cut"),
    ],
)
def test_settings_that_make_no_sense_together_are_named(
    tools: Tools, sheets: list[int], name: str
) -> None:
    assert [fault for fault, _ in tool_faults(tools, sheets)] == [name]


def test_the_starting_settings_make_sense_and_so_does_one_short_rail() -> None:
    assert tool_faults(INCH_TOOLS, [48 * INCH]) == []
    assert tool_faults(replace(INCH_TOOLS, rail_cut=48 * INCH), [48 * INCH, 96 * INCH]) == []
    assert tool_faults(replace(INCH_TOOLS, rip_capacity=0)) == []
