"""How hard sheets are to cut: what decides between plans of the same cost.

Weighed are cuts that no tool holds or a clamp must, cuts by guide rail, settings of a fence or a
stop, push sticks, and every cut: ratios of minutes, common practice, no source. Whole numbers, the
least of them one cut.
"""

from collections.abc import Iterable

from msgspec import Struct

from ledger.cutting.apart import Cut, take_sheet_apart
from ledger.cutting.layout import LaidSheet
from ledger.cutting.problem import Problem

NO_TOOL, CLAMPED, BY_RAIL, A_SETTING, PUSHED, A_CUT = 200, 60, 20, 10, 4, 1


class Hardship(Struct, frozen=True):
    """What makes sheets hard to cut: cuts hard to hold, the effort of all, and their settings."""

    awkward: int
    effort: int
    settings: frozenset[tuple[str, int]]

    @property
    def worth(self) -> tuple[int, int]:
        """Compare it: the less the better, cuts that are hard to hold first."""
        return -self.awkward, -self.effort - A_SETTING * len(self.settings)


def hardship(problem: Problem, sheet: LaidSheet) -> Hardship:
    """Give the hardship of one sheet's first round."""
    cuts = take_sheet_apart(problem, sheet, 1).cuts
    return Hardship(
        sum(NO_TOOL if cut.tool == "none" else CLAMPED for cut in cuts if is_awkward(cut)),
        sum(
            A_CUT + BY_RAIL * (cut.tool == "guide rail") + PUSHED * (cut.aid == "push stick")
            for cut in cuts
        ),
        frozenset((cut.tool, cut.setting_nm) for cut in cuts if not cut.shape.too_heavy),
    )


def together(sheets: Iterable[Hardship]) -> Hardship:
    """Give the hardship of several sheets; one setting serves all of them."""
    sheets = tuple(sheets)
    return Hardship(
        sum(one.awkward for one in sheets),
        sum(one.effort for one in sheets),
        frozenset().union(*(one.settings for one in sheets)),
    )


def is_awkward(cut: Cut) -> bool:
    """Ask whether a cut is clamped or fits no tool because the piece is too short to hold."""
    return cut.aid == "clamp" or (cut.tool == "none" and cut.aid != "helper")
