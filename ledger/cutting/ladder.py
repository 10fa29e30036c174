"""How hard to look: the efforts tried one after another until the bound is met.

All figures are measured, on jobs of a shop's kind and on published instances. Combining whole
sheets (column generation) finds what branching over cuts does not, where few parts share a sheet;
where many do, it takes minutes and finds nothing more, and branching more widely does. To have all
sheets ripped first, or all crosscut first, takes half the time of leaving it to each sheet; only
where the same parts come again and again does a mixture find more.
"""

from msgspec import Struct

from ledger.cutting.engine import Effort, First, Method

BRANCHING = 256
"""The width of the first search, a second for a hundred parts."""

PARTS_PER_SHEET = 16
"""Column generation pays where at most about so many parts share a sheet."""

FEW_PARTS, VERY_FEW_PARTS = 64, 40
"""Up to so many parts a wider search takes a few seconds."""

FEW_PER_SHEET = 8
"""Where at most so many parts share a sheet a column is found quickly."""

HEAVY = 2000
"""Parts times parts on a sheet: with more a column takes long to find."""


MANY_PARTS = 200
"""With more parts nothing is tried after the pool of patterns, unless with leave."""


class Size(Struct, frozen=True):
    """How large a question is: its parts, how many different ones, and the fewest sheets."""

    parts: int
    kinds: int
    fewest: int

    def each(self, most: int) -> bool:
        """Ask whether no more than so many parts share a sheet where the fewest are taken."""
        return self.parts <= most * self.fewest

    @property
    def repeated(self) -> bool:
        """Ask whether the same parts come again and again, as they do in furniture."""
        return self.parts >= 2 * self.kinds

    @property
    def heavy(self) -> bool:
        """Ask whether only the narrowest column generation is quick."""
        return self.parts**2 > HEAVY * self.fewest


def rungs(size: Size, first: First, harder: bool) -> tuple[Effort, ...]:
    """Give the efforts after the first search, in their order, each once."""
    efforts = _by_columns(size, first) if size.each(PARTS_PER_SHEET) else _by_cuts(size, first)
    if harder:
        efforts += _harder(size, first)
    return tuple(dict.fromkeys(efforts))


def mixing(size: Size, first: First, *, harder: bool) -> Effort:
    """Give the effort for the cheapest mix of all the sheets there are."""
    if size.each(PARTS_PER_SHEET):
        return Effort("columns", 128 if harder else 8, first)
    return Effort("tree", 2048 if harder else BRANCHING, first)


def _by_columns(size: Size, first: First) -> list[Effort]:
    few_each = size.each(FEW_PER_SHEET)
    if size.parts > FEW_PARTS:  # anything wider would take minutes
        mixture = [Effort("columns", 8, first)] if few_each and size.repeated else []
        return [*mixture, Effort("columns", 8 if size.heavy else 32, "rip")]
    efforts = [Effort("columns", 8, first)]
    if few_each:
        efforts += _each_way("columns", 32, first)
    if few_each and size.parts <= VERY_FEW_PARTS:
        efforts += _each_way("columns", 128, first)
    return efforts


def _by_cuts(size: Size, first: First) -> list[Effort]:
    return _each_way("tree", 2048, first) if size.parts <= FEW_PARTS else []


def _harder(size: Size, first: First) -> list[Effort]:
    """Search more widely, what is quickest first."""
    efforts = _each_way("tree", 2048, first)
    if size.each(PARTS_PER_SHEET):
        efforts += _each_way("columns", 32, first)
        efforts.append(Effort("columns", 8, first))
        efforts += _each_way("columns", 128, first)
        if not size.heavy:
            efforts.append(Effort("columns", 128, first))
    else:
        efforts += _each_way("tree", 4096, first)
    return efforts


def _each_way(method: Method, queue: int, first: First) -> list[Effort]:
    """Search with all sheets ripped first, then (where the shop may) with all crosscut first."""
    ways: tuple[First, ...] = ("rip",) if first == "rip" else ("rip", "crosscut")
    return [Effort(method, queue, way) for way in ways]
