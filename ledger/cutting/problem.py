"""What is to be cut, from what, and with which saw: the question put to the cutting room.

All lengths are whole nanometers. A piece's length runs along the grain, and so does a sheet's;
only a piece that may turn is ever laid across. A sheet's trim is lost at each of its four edges,
blade included; the kerf is lost at every cut between two parts.
"""

import hashlib
import json
from collections.abc import Callable
from functools import cached_property
from typing import Literal

from msgspec import Struct
from msgspec.structs import asdict

from ledger.cutting.tools import INCH_TOOLS, Tools, tool_faults
from ledger.errors import BadValue, NotAllowed

METHOD = 9
"""Raised whenever the room's own way of laying changes, so that stored layouts are laid anew."""

type Edge = Literal["near", "far", "left", "right"]

ALL_EDGES: tuple[Edge, ...] = ("near", "far", "left", "right")
"""A sheet's edges: near and far run along its length, left and right across it."""

EDGES = ("L1", "L2", "W1", "W2")
"""A piece's edges: L1 and L2 run along its length (near, far), W1 and W2 across (left, right)."""

type Show = Callable[[int], str]


def show_mm(length_nm: int) -> str:
    """Say a length in millimeters, exactly: 15875000 is "15.875 mm"."""
    return f"{mm(length_nm)} mm"


def mm(length_nm: int) -> str:
    """Write nanometers as a decimal number of millimeters without a float in between."""
    sign = "-" if length_nm < 0 else ""
    whole, rest = divmod(abs(length_nm), 1_000_000)
    digits = f"{rest:06}".rstrip("0")
    return f"{sign}{whole}.{digits}" if digits else f"{sign}{whole}"


def mm_fields(one: object, names: str) -> dict[str, str]:
    """Write the lengths of a value, `length_nm` as `length_mm`, in the order they are named."""
    return {f"{name}_mm": mm(getattr(one, f"{name}_nm")) for name in names.split()}


class CutPart(Struct, frozen=True):
    """One row of a parts list: so many equal parts of one sheet material.

    `marks` are the copies' own ids where they need them (the left and the right of a pair), one
    for each copy. Pieces with the same `group` are cut side by side from one sheet. What is cut
    oversize first is laid larger by `extra_length_nm` and `extra_width_nm`; what is cut `later`
    stays such a blank until the case it goes into is measured.
    """

    id: str
    name: str
    length_nm: int
    width_nm: int
    quantity: int = 1
    may_turn: bool = False
    material: str = ""
    banded: tuple[str, ...] = ()
    marks: tuple[str, ...] = ()
    group: str = ""
    extra_length_nm: int = 0
    extra_width_nm: int = 0
    later: bool = False

    @property
    def cut_length_nm(self) -> int:
        """The length it is cut to on the sheet, oversize included."""
        return self.length_nm + self.extra_length_nm

    @property
    def cut_width_nm(self) -> int:
        """The width it is cut to on the sheet, oversize included."""
        return self.width_nm + self.extra_width_nm

    @property
    def own_name(self) -> str:
        """Its name, or nothing where that only says the id again."""
        return "" if self.name == self.id else self.name

    @property
    def copies(self) -> tuple[str, ...]:
        """The id each copy is marked with at the saw: its own, or the row's."""
        return self.marks or (self.id,) * self.quantity


class Stock(Struct, frozen=True):
    """Sheets to cut from: one on the rack (an offcut) or any number of new ones at a price.

    `cost` is in minor units of the book's currency, None where no price is known. `copies` None
    means one from the rack and as many new ones as needed. The grain runs along `length_nm`.
    """

    source: Literal["new", "rack"]
    length_nm: int
    width_nm: int
    trim_nm: int = 0
    cost: int | None = None
    copies: int | None = None
    label: str = ""
    factory: tuple[Edge, ...] = ALL_EDGES

    @property
    def available(self) -> int | None:
        """How many there are, None for as many as needed."""
        return 1 if self.copies is None and self.source == "rack" else self.copies

    def trimmed(self, *edges: Edge) -> int:
        """Give what is lost at these edges together."""
        return self.trim_nm * sum(edge in self.factory for edge in edges)

    @property
    def usable_length_nm(self) -> int:
        """What is left of the length between the trims."""
        return self.length_nm - self.trimmed("left", "right")

    @property
    def usable_width_nm(self) -> int:
        """What is left of the width between the trims."""
        return self.width_nm - self.trimmed("near", "far")


class Problem(Struct, frozen=True, dict=True):
    """All parts of one material, the sheets there are, and how the shop cuts.

    A leftover counts as usable from `usable_length_nm` × `usable_width_nm`, either way round.
    `grams_per_m2` is the sheets' weight, 0 where it is not known; then only whole sheets count as
    too heavy for one person. Solid `boards` are laid like sheets but never broken down like them.
    """

    material: str
    pieces: tuple[CutPart, ...]
    stocks: tuple[Stock, ...]
    kerf_nm: int
    rip_first: bool = False
    tools: Tools = INCH_TOOLS
    usable_length_nm: int = 609_600_000
    usable_width_nm: int = 304_800_000
    grams_per_m2: int = 0
    boards: bool = False

    @cached_property
    def rows(self) -> tuple[CutPart, ...]:
        """The pieces in the one order in which they are solved, however they were listed."""
        return tuple(sorted(self.pieces, key=_order))

    @cached_property
    def by_id(self) -> dict[str, CutPart]:
        """The pieces by their id."""
        return {piece.id: piece for piece in self.pieces}

    @property
    def parts_count(self) -> int:
        """How many parts are to be cut in all."""
        return sum(piece.quantity for piece in self.pieces)

    def digest(self, solver_version: str, method: int = METHOD) -> str:
        """Give a fingerprint of everything that decides the layout; names shown do not."""
        payload = {
            "method": method,
            "solver": solver_version,
            "material": self.material,
            "pieces": [asdict(piece) | {"name": "", "banded": ()} for piece in self.rows],
            "stocks": sorted((asdict(stock) for stock in self.stocks), key=json.dumps),
            "kerf_nm": self.kerf_nm,
            "rip_first": self.rip_first,
            "tools": self.tools.to_dict(),
            "grams_per_m2": self.grams_per_m2,
            "usable_nm": (self.usable_length_nm, self.usable_width_nm),
        }
        text = json.dumps(payload, sort_keys=True, separators=(",", ":"))
        return hashlib.sha256(text.encode()).hexdigest()


def check_problem(problem: Problem, show: Show = show_mm) -> None:
    """Refuse a question that has no answer, saying which row and what would be right."""
    _check_shop(problem, show)
    for stock in problem.stocks:
        _check_stock(problem, stock, show)
    seen: set[str] = set()
    for piece in problem.pieces:
        _check_piece(problem, piece, show)
        if piece.id in seen:
            raise BadValue(f"The id {piece.id} stands twice in the parts list; give each its own.")
        seen.add(piece.id)
    for piece in problem.pieces:
        _check_fits(problem, piece, show)


def _order(piece: CutPart) -> tuple[int, int, bool, str]:
    return (-piece.cut_length_nm, -piece.cut_width_nm, piece.may_turn, piece.id)


def _check_shop(problem: Problem, show: Show) -> None:
    if problem.kerf_nm < 0:
        raise BadValue(f"The kerf is {show(problem.kerf_nm)}; it may be 0, never less.")
    sides = [] if problem.boards else [min(s.length_nm, s.width_nm) for s in problem.stocks]
    for name, why in tool_faults(problem.tools, sides):
        raise BadValue(f"The shop's {name} makes no sense: {why}. Set it: shop set {name}=…")
    if problem.usable_length_nm < 0 or problem.usable_width_nm < 0:
        raise BadValue("The least size of a usable offcut may be 0, never less.")
    if not problem.stocks:
        raise NotAllowed(f"There is no sheet of {problem.material or 'the material'} to cut from.")


def _check_stock(problem: Problem, stock: Stock, show: Show) -> None:
    name = f"The {stock.label or 'sheet'} of {problem.material or 'the material'}"
    size = f"{show(stock.length_nm)} × {show(stock.width_nm)}"
    if stock.length_nm <= 0 or stock.width_nm <= 0:
        raise BadValue(f"{name} is {size}; both must be more than 0.")
    if stock.trim_nm < 0:
        raise BadValue(f"{name} has a trim of {show(stock.trim_nm)}; it may be 0, never less.")
    if stock.usable_length_nm <= 0 or stock.usable_width_nm <= 0:
        raise BadValue(
            f"{name} is {size}; a trim of {show(stock.trim_nm)} at each edge leaves nothing of it."
        )
    if stock.copies is not None and stock.copies < 0:
        raise BadValue(f"{name} is there {stock.copies} times; it may be 0, never less.")
    if stock.cost is None:
        raise NotAllowed(f"{name} ({size}) has no price; give it one, 0 if it costs nothing.")
    if stock.cost < 0:
        raise BadValue(f"{name} costs less than nothing; a price may be 0, never less.")


def _check_piece(problem: Problem, piece: CutPart, show: Show) -> None:
    name = _said(piece)
    if piece.length_nm <= 0 or piece.width_nm <= 0:
        size = f"{show(piece.length_nm)} × {show(piece.width_nm)}"
        raise BadValue(f"{name} is {size}; length and width must be more than 0.")
    if piece.quantity <= 0:
        raise BadValue(
            f"{name} is wanted {piece.quantity} times; say how many, or leave the row out."
        )
    if piece.extra_length_nm < 0 or piece.extra_width_nm < 0:
        raise BadValue(f"{name} is cut oversize by less than nothing; it may be 0, never less.")
    if piece.material not in ("", problem.material):
        raise BadValue(f"{name} is of {piece.material}, not of {problem.material}.")
    if piece.marks and len(piece.marks) != piece.quantity:
        raise BadValue(f"{name} is wanted {piece.quantity} times but has {len(piece.marks)} marks.")
    strange = [edge for edge in piece.banded if edge not in EDGES]
    if strange:
        raise BadValue(f"{name} has no edge {strange[0]}; its edges are {', '.join(EDGES)}.")
    least = min(piece.length_nm, piece.width_nm)
    if problem.kerf_nm > least:
        raise BadValue(
            f"The kerf of {show(problem.kerf_nm)} is wider than {name} ({show(least)}); "
            "one of the two is mistyped."
        )


def _check_fits(problem: Problem, piece: CutPart, show: Show) -> None:
    sheets = [stock for stock in problem.stocks if stock.available != 0]
    if not sheets:
        raise NotAllowed(f"There is no sheet of {problem.material or 'the material'} to cut from.")
    over = [_over(piece.cut_length_nm, piece.cut_width_nm, sheet) for sheet in sheets]
    across = [_over(piece.cut_width_nm, piece.cut_length_nm, sheet) for sheet in sheets]
    if (0, 0) in over or (piece.may_turn and (0, 0) in across):
        return
    if (0, 0) in across:
        raise NotAllowed(
            f"{_said(piece)} fits the sheet only across the grain; let it turn (grain any), "
            "make it smaller, or take a sheet whose grain runs the other way."
        )
    longer, wider = min(over + across if piece.may_turn else over, key=sum)
    ways = []
    if longer:
        ways.append(f"{show(longer)} too long")
    if wider:
        ways.append(f"{show(wider)} too wide")
    raise NotAllowed(
        f"{_said(piece)} ({show(piece.cut_length_nm)} × {show(piece.cut_width_nm)}) is larger than "
        f"any sheet of {problem.material or 'the material'}: {' and '.join(ways)} for what the "
        "largest leaves inside its trim; make it smaller, or take a larger sheet."
    )


def _over(length_nm: int, width_nm: int, sheet: Stock) -> tuple[int, int]:
    """By how much a part is longer and wider than the sheet between its trims."""
    return (
        max(0, length_nm - sheet.usable_length_nm),
        max(0, width_nm - sheet.usable_width_nm),
    )


def _said(piece: CutPart) -> str:
    return f"{piece.id} {piece.own_name}".strip()
