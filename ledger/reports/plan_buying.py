"""What the buyer of a plan buys: in whole packs, whole boards, and the units of the edition first.

What a design marks with `leave out` is the shop's own and is no buyer's. Pure.
"""

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from math import ceil

from ledger.book.tables.materials import Material
from ledger.cutting.boards import BoardPlan
from ledger.designs.built import Guide
from ledger.measures.length import Length
from ledger.measures.quantity import Quantity
from ledger.measures.rounding import half_up
from ledger.measures.spoken import how_many
from ledger.measures.units import convert, kind, show_bought, show_count
from ledger.reports.plan_page import Purchase
from ledger.reports.plan_parts import both

ORDER = (
    "sheet", "lumber", "edging", "hardware", "fastener", "adhesive", "finish", "abrasive", "supply",
)  # fmt: skip
"""The kinds of material in the order in which they are bought."""

MORE = "more"
"""The kind of what no list of the design has, as its maker types it."""

_METRIC = ("m", "mm", "cm", "m²", "m³", "L", "ml", "kg", "g")
_OTHER_MEASURE = {
    "ft": "m", "in": "mm", "yd": "m", "m": "ft", "mm": "in", "cm": "in", "bd ft": "m³",
    "gal": "L", "quart": "L", "pint": "L", "fl oz": "ml", "L": "quart", "ml": "fl oz",
    "sq ft": "m²", "m²": "sq ft", "lb": "kg", "oz": "g", "kg": "lb", "g": "oz", "m³": "bd ft",
}  # fmt: skip


def for_buyer(needs: Mapping[str, Quantity], guide: Guide) -> dict[str, Quantity]:
    """The needs without what is the shop's own."""
    left_out = {code.casefold() for code in guide.lines.get("leave out", ())}
    return {code: need for code, need in needs.items() if code.casefold() not in left_out}


def purchases(
    needs: Mapping[str, Quantity],
    known: Mapping[str, Material],
    boards: Mapping[str, BoardPlan],
    guide: Guide,
    units: str,
) -> Iterator[Purchase]:
    """A line for each material that a buyer needs, then what the maker adds in words."""

    def place(code: str) -> int:
        return ORDER.index(known[code].kind) if known[code].kind in ORDER else len(ORDER)

    for code in sorted(for_buyer(needs, guide), key=place):
        material = known[code]
        if code in boards:
            words, note = _boards(material, needs[code], boards[code], units)
        else:
            words, note = _packs(material, needs[code], units), ""
        yield Purchase(material.kind, material.name, words, note)
    for words in guide.lines.get("buy", ()):
        yield Purchase(MORE, words, "")


def bought(material: Material, need: Quantity) -> Quantity:
    """A need in whole packs; what is sold by measure stays as it is."""
    if kind(material.unit) != "count" and material.pack == Quantity.of(1) and not material.whole:
        return need
    return Quantity.of(ceil(need.fraction / material.pack.fraction) * material.pack.fraction)


def _packs(material: Material, need: Quantity, units: str) -> str:
    """Packs, or a measure in both units, and how large each is."""
    if material.unit == "lot":
        return "as the work takes it"
    quantity = bought(material, need)
    if material.pack != Quantity.of(1):
        packs = ceil(need.fraction / material.pack.fraction)
        words = f"{how_many(packs, 'pack')} of {show_count(material.pack, material.unit)}"
    else:
        words = _measure(quantity.fraction, material.unit, units)
    sizes = [size for size in (material.length, material.width) if size]
    if sizes and material.kind in ("sheet", "edging"):
        words += f" of {_in_both(sizes, units)}"
    return words


def _boards(material: Material, need: Quantity, plan: BoardPlan, units: str) -> tuple[str, str]:
    """Whole boards as drawn with what goes into the parts, and how much of any other boards."""
    count = max(plan.boards, plan.laid)
    sizes = [size for size in (material.length, material.width, material.thickness) if size]
    all_of = _measure(plan.bought / plan.boards * count, "bd ft", units)
    words = (
        f"{how_many(count, 'board')} of {_in_both(sizes, units)}, {all_of};"
        f" the parts take {_measure(plan.net, 'bd ft', units)} of it"
    )
    if not material.by_tally:
        return words, ""
    pieces = plan.problem.pieces
    long = Length(max(part.length_nm + part.extra_length_nm for part in pieces))
    wide = Length(max(part.width_nm + part.extra_width_nm for part in pieces))
    note = (
        f"Or boards of other sizes: {_measure(need.fraction, material.unit, units)}, some at least"
        f" {_in_both([long], units)} long and some {_in_both([wide], units)} wide."
    )
    return words, note


def _measure(quantity: Fraction, unit: str, units: str) -> str:
    """A quantity in its unit, and in that of the other system behind it, the edition's first."""
    if unit not in _OTHER_MEASURE:
        return show_bought(Quantity.of(quantity), unit)
    there = _OTHER_MEASURE[unit]
    pair = [(quantity, unit), (convert(quantity, unit, there), there)]
    if (unit in _METRIC) != (units == "mm"):
        pair.reverse()
    first, second = (f"{half_up(value, 3 if name == 'm³' else 1).normalize():f} {name}"
                     for value, name in pair)  # fmt: skip
    return f"{first} ({second})"


def _in_both(sizes: Sequence[Length], units: str) -> str:
    spelled = both(sizes, units)
    first, second = ("in", "mm") if units == "inch" else ("mm", "in")
    return f"{spelled.first} {first} ({spelled.second} {second})"
