"""The answer of the cutting room: which part lies where on which sheet.

x runs along a sheet's length (the grain), y across it; the origin is a corner of the untrimmed
sheet. A placement's length and width are as laid, so a turned part shows its own width as length.
"""

from collections.abc import Callable, Iterator
from fractions import Fraction
from typing import Literal

from msgspec import Struct, field

from ledger.cutting.problem import ALL_EDGES, Edge, Problem

SQUARE_FOOT = 304_800_000**2
"""One square foot in square nanometers: the step in which leftovers are compared."""


type Name = Literal["sheet", "board"]
"""What the stock is called in a picture; boards are laid and drawn like narrow sheets."""

type Progress = Callable[[str], None]
"""Is told in words, while sheets are laid out, how far that is."""


class Placement(Struct, frozen=True, order=True):
    """One part on a sheet. `part` is the row's id, `mark` the copy's own."""

    x_nm: int
    y_nm: int
    length_nm: int
    width_nm: int
    part: str
    mark: str
    turned: bool = False


class Leftover(Struct, frozen=True, order=True):
    """One piece that remains of a sheet; usable from the shop's least size on."""

    x_nm: int
    y_nm: int
    length_nm: int
    width_nm: int
    usable: bool = False

    @property
    def area(self) -> int:
        """Its area in square nanometers."""
        return self.length_nm * self.width_nm


class LaidSheet(Struct, frozen=True):
    """One sheet with the parts cut from it and what remains of it."""

    material: str
    source: Literal["new", "rack"]
    length_nm: int
    width_nm: int
    trim_nm: int
    cost: int
    label: str
    placements: tuple[Placement, ...]
    leftovers: tuple[Leftover, ...] = ()
    factory: tuple[Edge, ...] = ALL_EDGES

    def trimmed(self, edge: Edge) -> int:
        """Give what is lost at an edge: the trim where it is a factory edge."""
        return self.trim_nm if edge in self.factory else 0

    @property
    def area(self) -> int:
        """The whole sheet's area in square nanometers, trim included."""
        return self.length_nm * self.width_nm

    @property
    def parts_area(self) -> int:
        """The area of its parts in square nanometers."""
        return sum(part.length_nm * part.width_nm for part in self.placements)

    @property
    def largest_leftover(self) -> Leftover | None:
        """The largest usable leftover in one piece, if there is any."""
        usable = [rest for rest in self.leftovers if rest.usable]
        return max(usable, key=lambda rest: rest.area, default=None)


class Layout(Struct, frozen=True):
    """All sheets of one material, at the least cost that was found.

    `least_cost` is the bound on the cost in minor units, `fewest_possible` that on the number of
    sheets: of those that cost no more, where the bound on the cost is met. `proven` says that both
    are met.
    """

    material: str
    sheets: tuple[LaidSheet, ...]
    kerf_nm: int
    fewest_possible: int
    proven: bool
    least_cost: int
    digest: str = ""
    notes: tuple[str, ...] = field(default=())

    @property
    def cost(self) -> int:
        """What the sheets cost together, in minor units."""
        return sum(sheet.cost for sheet in self.sheets)

    @property
    def sheet_yield(self) -> Fraction:
        """The parts' share of the sheets' area."""
        area = sum(sheet.area for sheet in self.sheets)
        return Fraction(sum(sheet.parts_area for sheet in self.sheets), area or 1)

    @property
    def largest_leftover(self) -> Leftover | None:
        """The largest usable leftover in one piece on any sheet, if there is any."""
        rests = (sheet.largest_leftover for sheet in self.sheets)
        return max((rest for rest in rests if rest), key=lambda rest: rest.area, default=None)

    def placements(self) -> Iterator[tuple[int, Placement]]:
        """Every part with the number of its sheet, counted from 1."""
        for number, sheet in enumerate(self.sheets, start=1):
            for placement in sheet.placements:
                yield number, placement


def proof_words(problem: Problem, layout: Layout) -> str:
    """Say what is proven of a layout's sheets, as it stands after their number.

    Of sheets of one size it is that there are no fewer; where several could be had (the rack's
    among them) only that none are cheaper.
    """
    sizes = {(s.length_nm, s.width_nm) for s in problem.stocks if s.available != 0}
    what = "fewest" if len(sizes) == 1 else "cheapest"
    if layout.proven:
        return f"the {what} possible"
    if len(sizes) == 1:
        return f"{layout.fewest_possible} can't be ruled out"
    return "cheaper ones can't be ruled out"
