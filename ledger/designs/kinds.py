"""Which starter design a description means, and which of its sizes goes where.

The first parameters of a starter are its overall sizes in the order in which they are usually said
(width, height, depth of a bookcase; length, width, height of a table). A size that names its side
goes there; the others go in that order, or, where a limit refuses that, in the first other order
that all limits allow. A count goes to the parameter of that name (`5 shelves`). Pure.
"""

import csv
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from functools import cache
from importlib import resources
from itertools import permutations

from msgspec import Struct

from ledger.designs.build import build
from ledger.designs.cells import is_plain, read_cell
from ledger.designs.model import Design, Parameter
from ledger.designs.tree import Literal
from ledger.errors import BadValue
from ledger.measures.length import Length, show_length
from ledger.measures.sizes import SpokenSize, SpokenSizes

_SIDES = {"width": ("width", "depth"), "depth": ("depth", "width"), "height": ("height",),
          "length": ("length", "width", "mattress_length")}  # fmt: skip
"""The parameters that a said side may mean, the nearest first."""

_OTHER_SHAPES = frozenset({"round", "oval", "curved", "circular", "corner"})
"""Words of pieces that no starter can be, for all of them are straight."""


class PlacedSizes(Struct, frozen=True):
    """Parameters of a design as a description sets them, and its overall sizes that it leaves."""

    values: Mapping[str, str]
    usual: tuple[str, ...]

    @property
    def words(self) -> str:
        """What was set, and what is left as it is usual: `width 96 in; depth as it is usual`."""
        placed = [f"{name.replace('_', ' ')} {value}" for name, value in self.values.items()]
        left = f"; {_list(self.usual)} as it is usual" if self.usual else ""
        return f"Taken as {', '.join(placed) or 'its usual size'}{left}."


@cache
def _phrases() -> dict[tuple[str, ...], str]:
    page = (resources.files("ledger.designs") / "kinds.csv").read_text(encoding="utf-8")
    rows = csv.DictReader(page.splitlines())
    return {tuple(row["phrase"].split()): row["starter"] for row in rows}


def starter_for(words: frozenset[str]) -> str:
    """The starter design of the longest phrase whose words all stand there, or nothing.

    A round or curved piece has none.

    >>> starter_for(frozenset({"oak", "side", "table"})), starter_for(frozenset({"pulpit"}))
    ('side-table', '')
    """
    if words & _OTHER_SHAPES:
        return ""
    fitting = [phrase for phrase in _phrases() if words.issuperset(phrase)]
    return _phrases()[max(fitting, key=len)] if fitting else ""


def starter_words() -> str:
    """Each starter design with some words that find it, for somebody whose piece finds none."""
    words: dict[str, list[str]] = {}
    for phrase, name in _phrases().items():
        if not name.replace("-", "").startswith("".join(phrase)):
            words.setdefault(name, []).append(" ".join(phrase))
    for said in words.values():
        said.sort(key=lambda phrase: " " in phrase)
    return "; ".join(f"{name} ({', '.join(said[:5])})" for name, said in sorted(words.items()))


def place_sizes(design: Design, read: SpokenSizes) -> PlacedSizes:
    """The parameters that sizes and counts of a description set.

    Raises:
        BadValue: a size has no place in the design, or none where its limits allow it.

    """
    overall = tuple(_overall(design))
    placed: dict[str, Length] = {}
    free = []
    for size in read.sizes:
        names = [n for n in _SIDES.get(size.side, ()) if n in overall and n not in placed]
        if names:
            placed[names[0]] = size.length
        elif size.side in ("", "length", "width", "depth", "height"):
            free.append(size)
        else:
            raise BadValue(f"{design.title} has no {size.side} to set; it has {_list(overall)}.")
    left = [name for name in overall if name not in placed]
    placed |= _fitted(design, free, left, placed)
    values = {name: _written(length, design.units) for name, length in placed.items()}
    settable = {row.name for row in design.parameters if is_plain(row.value)}
    for number, noun in read.counts:
        for name in (noun, f"{noun}s", {"shelf": "shelves"}.get(noun, noun)):
            if name in settable:
                values[name] = str(number)
                break
    return PlacedSizes(values, tuple(name for name in overall if name not in placed))


def within_limits(design: Design, placed: PlacedSizes) -> tuple[PlacedSizes, str]:
    """The sizes brought within the design's plain limits, and in words what was beyond them."""
    values, beyond = dict(placed.values), []
    for row in design.parameters:
        value = _plain_value(values.get(row.name, ""))
        least, most = _plain_value(row.minimum), _plain_value(row.maximum)
        for bound, limit, is_beyond in (
            ("at least", row.minimum, value is not None and least is not None and value < least),
            ("at most", row.maximum, value is not None and most is not None and value > most),
        ):
            if is_beyond:
                name = row.name.replace("_", " ")
                beyond.append(f"{name} is {values[row.name]}, {bound} {limit}")
                values[row.name] = limit
    return PlacedSizes(values, placed.usual), "; ".join(beyond)


def _plain_value(text: str) -> Fraction | None:
    node = read_cell(text) if text else None
    return node.measure.value if isinstance(node, Literal) else None


def _overall(design: Design) -> Iterator[str]:
    """The first parameters that are lengths, at most three: the overall sizes."""
    for row in design.parameters[:3]:
        node = read_cell(row.value) if is_plain(row.value) else None
        if not isinstance(node, Literal) or node.measure.power != 1:
            return
        yield row.name


def _is_built(design: Design, placed: Mapping[str, Length]) -> bool:
    """Whether nothing of a design is flawed at these sizes, as a top that is wider than long."""
    try:
        build(design, {name: _written(length, design.units) for name, length in placed.items()})
    except BadValue:
        return False
    return True


def _fitted(
    design: Design, sizes: Sequence[SpokenSize], names: Sequence[str], placed: dict[str, Length]
) -> dict[str, Length]:
    if len(sizes) > len(names):
        raise BadValue(f"{design.title} has no place for {len(sizes)} sizes: {_list(names)}.")
    limits = {row.name: row for row in design.parameters}
    orders = [
        dict(zip(order, (size.length for size in sizes), strict=True))
        for order in permutations(names, len(sizes))
    ]
    fitting = [
        order
        for order in orders
        if all(_is_within(limits[name], length) for name, length in order.items())
    ]
    built = (one for one in fitting if len(fitting) > 1 and _is_built(design, placed | one))
    return next(built, (fitting or orders)[0])  # building it says which limit is passed


def _is_within(row: Parameter, length: Length) -> bool:
    least, most = _plain_value(row.minimum or "0"), _plain_value(row.maximum or "0")
    return (not row.minimum or least is None or length.nm >= least) and (
        not row.maximum or most is None or length.nm <= most
    )


def _written(length: Length, units: str) -> str:
    shown = show_length(length, units, suffix=True)
    return f"{length.mm:f} mm" if shown.startswith("~") else shown


def _list(names: Sequence[str]) -> str:
    return ", ".join(name.replace("_", " ") for name in names)
