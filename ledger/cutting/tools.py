"""Which tool makes a cut: by the piece on the bench, never by the words rip or crosscut.

The starting figures follow published shop rules and manuals where there are some (a push stick
below 6 in, no piece shorter than 12 in along the fence, 6 in clear of a miter saw's blade, 4 in as
the least that is held at all); the rest is common practice, no source. They promise no safety: the
manual of the saw and the law stand above them. Lengths are whole nanometers, weights grams.
"""

from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import Literal

from msgspec import Struct
from msgspec.structs import asdict

type Tool = Literal["guide rail", "table saw", "miter saw", "sled", "none"]
type Aid = Literal["push stick", "clamp", "filler strip", "helper", ""]

INCH = 25_400_000
RAIL_LEAST = (12 * INCH, 6 * INCH)
"""A piece shorter or narrower than this is not cut by rail: common practice, no source."""


class Tools(Struct, frozen=True):
    """What the shop's tools can do, and from where on a piece is too much for one of them.

    `fence_ratio` is the least length along the fence as a share of the side across it. A capacity
    of 0 says that there is no such tool.
    """

    rip_capacity: int = 30 * INCH
    fence_edge: int = 12 * INCH
    fence_ratio: Fraction = Fraction(1)
    fence_least: int = INCH // 2
    push_below: int = 6 * INCH
    crosscut_capacity: int = 12 * INCH
    miter_hold: int = 8 * INCH
    clamp_hold: int = 4 * INCH
    rail_cut: int = 100 * INCH
    rail_support: int = 8 * INCH
    carry_alone: int = 22_680
    sled_capacity: int = 0

    def to_dict(self) -> dict[str, int | str]:
        """Give them as plain numbers, the ratio as a fraction in words such as 2/3."""
        return asdict(self) | {"fence_ratio": str(self.fence_ratio)}


INCH_TOOLS = Tools()


class CutShape(Struct, frozen=True):
    """What decides on the tool: the run of the blade, the side across it, and what that becomes.

    `size` comes off and `rest` stays. `too_heavy` says that the piece is a whole sheet or more
    than one person carries; `rest_is_true` that the far edge of what stays is cut already, so
    that it may lie against the fence.
    """

    run: int
    across: int
    size: int
    rest: int
    too_heavy: bool = False
    rest_is_true: bool = False

    @property
    def held(self) -> int:
        """The larger of the two, by which the piece is held."""
        return max(self.size, self.rest)


class ToolChoice(Struct, frozen=True):
    """A tool for a cut, what else it takes, and the size that lies against fence or stop."""

    tool: Tool
    aid: Aid
    setting: int


def choose(tools: Tools, shape: CutShape) -> ToolChoice:
    """Give the tool of a cut.

    >>> from ledger.cutting.tools import INCH as inch
    >>> choose(Tools(), CutShape(90 * inch, 40 * inch, 5 * inch, 34 * inch))
    ToolChoice(tool='table saw', aid='push stick', setting=127000000)
    >>> choose(Tools(), CutShape(9 * inch, 47 * inch, 3 * inch, 43 * inch)).tool
    'miter saw'
    >>> choose(Tools(), CutShape(20 * inch, 47 * inch, 3 * inch, 43 * inch)).tool
    'guide rail'
    """
    return next(iter(choices(tools, shape)))


def choices(tools: Tools, shape: CutShape) -> tuple[ToolChoice, ...]:
    """Give every tool that the shop may take for a cut, the one to prefer first.

    Where none fits the only choice is `none`; a cut too long for the rail calls for a helper.
    """
    if shape.too_heavy:
        fits = shape.run <= tools.rail_cut
        return (ToolChoice("guide rail" if fits else "none", "" if fits else "helper", shape.size),)
    tried = tuple(_by_rule(tools, shape))
    return tried or (ToolChoice("none", "", shape.size),)


def _by_rule(tools: Tools, shape: CutShape) -> Iterator[ToolChoice]:
    run, size = shape.run, shape.size
    fence = _fence_setting(tools, shape)
    if fence:
        yield ToolChoice("table saw", "push stick" if fence < tools.push_below else "", fence)
    at_miter = run <= tools.crosscut_capacity
    if at_miter and shape.held >= tools.miter_hold:
        yield ToolChoice("miter saw", "", size)
    if run <= tools.sled_capacity and shape.held >= tools.clamp_hold:
        yield ToolChoice("sled", "", size)
    sides = sorted((run, shape.across))
    by_rail = run <= tools.rail_cut and sides[1] >= RAIL_LEAST[0] and sides[0] >= RAIL_LEAST[1]
    if by_rail and not at_miter and shape.held >= tools.rail_support:
        yield ToolChoice("guide rail", "", size)
    if at_miter and tools.clamp_hold <= shape.held < tools.miter_hold:
        yield ToolChoice("miter saw", "clamp", size)
    if by_rail and shape.held < tools.rail_support <= shape.across:
        yield ToolChoice("guide rail", "filler strip", size)


def _fence_setting(tools: Tools, shape: CutShape) -> int:
    """Give what lies against the fence, 0 where the piece does not belong there.

    What is too narrow for the fence falls off the far side, and what stays lies against it.
    """
    if shape.run < tools.fence_edge or shape.run < shape.across * tools.fence_ratio:
        return 0
    narrow = shape.size < tools.fence_least
    setting = shape.rest if narrow and shape.rest_is_true else shape.size
    return setting if tools.fence_least <= setting <= tools.rip_capacity else 0


def tool_faults(tools: Tools, sheet_sides: Iterable[int] = ()) -> list[tuple[str, str]]:
    """Name the settings that make no sense together, each with why.

    `sheet_sides` are the shorter sides of the sheets to cut from, where they are known.
    """
    faults = []
    if 0 < tools.rip_capacity < max(tools.fence_edge, tools.fence_least):
        faults.append(
            ("rip_capacity", "the fence opens less than the least edge that may lie against it")
        )
    if tools.clamp_hold > tools.miter_hold:
        faults.append(("clamp_hold", "a clamp holds shorter pieces than a hand, not longer ones"))
    if tools.fence_least > tools.push_below:
        faults.append(("push_below", "every strip at the fence would be wider than that"))
    if not 0 < tools.fence_ratio <= 2:
        faults.append(("fence_ratio", "it is more than 0 % and at most 200 %"))
    if tools.carry_alone <= 0:
        faults.append(("carry_alone", "nothing could be carried"))
    narrowest = min(sheet_sides, default=0)
    if tools.rail_cut < narrowest:
        faults.append(("rail_cut", "the rail is shorter than any sheet is wide"))
    return faults
