"""Counts that follow from the parts and joints, and the figures that formulas may name."""

from collections.abc import Sequence
from fractions import Fraction

from ledger.designs.built import BuiltBand, BuiltCoat, BuiltCount, BuiltJoint, BuiltPart
from ledger.designs.counting_rules import abrasive_discs, dowels, pocket_holes, scuffed, sprayed
from ledger.designs.tree import Measure
from ledger.measures.area import Area
from ledger.measures.length import NANOMETERS, Length


def band_lengths(parts: Sequence[BuiltPart]) -> tuple[BuiltBand, ...]:
    """Net length and number of banded edges by edging material, in the order of the parts."""
    bands: dict[str, BuiltBand] = {}
    for part in parts:
        if part.edging is None or not part.banded:
            continue
        edges = [part.length if edge.startswith("L") else part.width for edge in part.banded]
        so_far = bands.get(part.edging, BuiltBand(part.edging, Length(0), 0))
        length = so_far.length + sum(edges, Length(0)) * part.quantity
        count = so_far.edges + len(edges) * part.quantity
        bands[part.edging] = BuiltBand(part.edging, length, count)
    return tuple(bands.values())


def holes(joints: Sequence[BuiltJoint]) -> int:
    """Pocket holes of all pocket joints."""
    return sum(pocket_holes(j.length) * j.quantity for j in joints if j.kind == "pocket")


def pegs(joints: Sequence[BuiltJoint]) -> int:
    """Dowels of all doweled joints."""
    return sum(dowels(j.length) * j.quantity for j in joints if j.kind == "dowel")


def figures_of(
    parts: Sequence[BuiltPart],
    joints: Sequence[BuiltJoint],
    finish: Sequence[BuiltCoat],
    bands: Sequence[BuiltBand],
    area: Area,
) -> dict[str, Measure]:
    """The figures that needs, counts and facts may name, as `scope.FIGURES` lists them."""
    coats = sum(coat.coats for coat in finish if coat.area is None)
    numbers: dict[str, int | Fraction] = {
        "part_lines": len(parts),
        "pieces_cut": sum(part.quantity for part in parts),
        "joints": sum(joint.quantity for joint in joints),
        "pocket_holes": holes(joints),
        "dowels": pegs(joints),
        "band_edges": sum(band.edges for band in bands),
        "coats": coats,
        "discs": abrasive_discs(area, coats),
    }
    length = sum(band.length.nm for band in bands)
    return {name: Measure(Fraction(number), 0) for name, number in numbers.items()} | {
        "band_length": Measure(Fraction(length), 1),
        "finish_area": Measure(Fraction(area.nm2), 2),
    }


def counts_of(
    parts: Sequence[BuiltPart],
    joints: Sequence[BuiltJoint],
    finish: Sequence[BuiltCoat],
    bands: Sequence[BuiltBand],
    area: Area,
    units: str,
) -> dict[str, BuiltCount]:
    """The drivers of labor that follow from the lists, each with its reason; none that is zero."""
    sessions = sum(coat.coats for coat in finish if coat.method == "spray")
    edges = sum(band.edges for band in bands)
    length = sum(band.length.nm for band in bands)
    derived = {
        "part_lines": (_number(len(parts)), "lines of the parts list"),
        "joints": (_number(sum(joint.quantity for joint in joints)), "joints of the design"),
        "pocket_holes": (_number(holes(joints)), "pocket holes by the length of each joint"),
        "dowels": (_number(pegs(joints)), "dowels by the length of each joint"),
        "band": (Measure(Fraction(length), 1), f"{edges} banded edges"),
        "sand": (_area(area), "finished faces of the parts"),
        "scuff": (_area(scuffed(area, finish)), "finished faces × gaps between coats"),
        "spray": (_area(sprayed(area, finish)), "finished faces × sprayed coats"),
        "sessions": (_number(sessions), "one set-up of the spray gun for each coat"),
    }
    counts = {}
    for driver, (measure, basis) in derived.items():
        quantity, unit = in_units(measure, units)
        if quantity:
            counts[driver] = BuiltCount(quantity, unit, basis, entered=False, fixed=False)
    return counts


def in_units(measure: Measure, units: str) -> tuple[Fraction, str]:
    """A measure as labor counts it: feet and square feet, or meters and square meters.

    >>> in_units(Measure(Fraction(609_600_000), 1), "inch")
    (Fraction(2, 1), 'ft')
    >>> in_units(Measure(Fraction(3 * 10**18), 2), "mm")
    (Fraction(3, 1), 'm²')
    """
    unit = "ft" if units == "inch" else "m"
    names = ("", unit, "sq ft" if units == "inch" else "m²")
    return measure.value / NANOMETERS[unit] ** measure.power, names[measure.power]


def _number(count: int) -> Measure:
    return Measure(Fraction(count), 0)


def _area(area: Area) -> Measure:
    return Measure(Fraction(area.nm2), 2)
