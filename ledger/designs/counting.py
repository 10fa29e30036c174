"""Counts that follow from the parts and joints, and the figures that formulas may name."""

import re
from collections.abc import Hashable, Iterator, Sequence
from fractions import Fraction
from math import ceil

from msgspec import Struct

from ledger.designs.built import BuiltBand, BuiltCoat, BuiltCount, BuiltJoint, BuiltNeed, BuiltPart
from ledger.designs.counting_rules import (
    FLUSH,
    LEAST_CORNER,
    abrasive_discs,
    blank_feet,
    coated,
    dowels,
    edging_feet,
    pocket_holes,
    scuffed,
)
from ledger.designs.joined import is_nameless, unjoined
from ledger.designs.tree import Measure
from ledger.designs.wood import ShopWood, assumed_joint
from ledger.measures.area import Area
from ledger.measures.length import NANOMETERS, Length, show_length
from ledger.measures.spoken import how_many
from ledger.measures.values import replace

BY_THE_INCH = ("bowl", "dovetail_width")
"""Drivers that are counted in inches (centimeters), not in feet."""

BUTTON_MINUTES = 3
_BUTTONS = "buttons assumed for"

THINNEST_JOINED = Length.of(Fraction(1, 2), "in")
_CUBIC_METERS = Fraction("0.002359737216")
"""Of one board foot."""

_JOINT_DRIVERS = {
    "tenon": "tenons", "loose tenon": "loose_tenons", "joiner tenon": "joiner_tenons",
    "lap": "laps", "dovetail": "dovetails", "jig dovetail": "jig_dovetails",
    "frame": "frame_corners", "miter": "miter_joints",
}  # fmt: skip
_SIZES = {"tenon": "tenon_sizes", "frame": "frame_sizes"}
_ONE_SIZE = "one size assumed"
_SLATTED = re.compile(r"\b(chair|stool|slat|spindle)", re.IGNORECASE)

type _Derived = tuple[str, Measure, str]


class BuiltLists(Struct, frozen=True):
    """The lists of a piece worked out, and the shop's wood; `fixed` are the drivers it fixes."""

    title: str
    parts: tuple[BuiltPart, ...]
    joints: tuple[BuiltJoint, ...]
    finish: tuple[BuiltCoat, ...]
    bands: tuple[BuiltBand, ...]
    tags: frozenset[str]
    fixed: frozenset[str]
    wood: ShopWood

    @property
    def is_milled_by_hand_count(self) -> bool:
        """Whether the design counts its solid work itself, so that nothing of it is derived."""
        return bool(self.fixed & {"board_feet", "solid_edge"})

    @property
    def solid(self) -> list[BuiltPart]:
        """The parts that are cut from lumber in the shop."""
        return [part for part in self.parts if part.is_solid and part.cut != "bought"]

    @property
    def area(self) -> Area:
        """All that gets the finish."""
        return sum((part.finish_area for part in self.parts), Area(0))

    def sanded(self, *, solid: bool) -> Area:
        """All that is sanded, of solid wood or of sheets."""
        areas = (part.sanded_area for part in self.parts if part.is_solid == solid)
        return sum(areas, Area(0))

    @property
    def is_painted(self) -> bool:
        """Whether all finished faces get an opaque coat; one with an area of its own may not."""
        over_all = {coat.material for coat in self.finish if coat.area is None}
        return "painted" in self.tags or not over_all.isdisjoint(self.wood.paints)

    @property
    def scuffed(self) -> Area:
        """All that is scuffed between coats."""
        return scuffed(self.area, self.finish, self.wood.films)


def band_lengths(parts: Sequence[BuiltPart], wood: ShopWood, lip: Length) -> tuple[BuiltBand, ...]:
    """Net length and number of banded edges by edging material, in the order of the parts.

    `lip` is how thick solid edging is; its strips are cut thicker, to be flushed.
    """
    bands: dict[str, BuiltBand] = {}
    for part in parts:
        if part.edging is None or not part.banded:
            continue
        is_solid = part.edging in wood.boards
        new = BuiltBand(part.edging, Length(0), 0, is_solid=is_solid)
        if is_solid:
            new = replace(new, strip=lip + FLUSH + wood.kerf)
        so_far = bands.get(part.edging, new)
        length = so_far.length + part.edges(part.banded)
        count = so_far.edges + len(part.banded) * part.quantity
        bands[part.edging] = replace(so_far, length=length, edges=count)
    return tuple(bands.values())


def with_assumed(lists: BuiltLists) -> BuiltLists:
    """The lists with the joints that stand for lumber parts which nothing joins.

    So many joints a piece: 1 in the base of a table, 1-1/4 in a case, 1-4/5 in a chair and in
    slatted work; common practice, no source.
    """
    if (
        lists.is_milled_by_hand_count
        or len(lists.parts) < 2
        or is_nameless(lists.parts, lists.joints)
    ):
        return lists
    open_parts = [
        part
        for part in unjoined(lists.parts, lists.joints)
        if part.is_solid
        and part.cut == "board"
        and (part.depth is None or part.depth >= THINNEST_JOINED)
    ]
    pieces = sum(part.quantity for part in open_parts)
    if not pieces:
        return lists
    if any(_SLATTED.search(name) for name in (lists.title, *(part.name for part in open_parts))):
        share = Fraction(9, 5)
    else:
        is_case = any(not part.is_solid for part in lists.parts)
        share = Fraction(5, 4) if is_case else Fraction(1)
    assumed = assumed_joint(ceil(share * pieces), lists.wood.default_joint, open_parts)
    return replace(lists, joints=(*lists.joints, assumed))


def holes(joints: Sequence[BuiltJoint]) -> int:
    """Pocket holes of all pocket joints."""
    return sum(pocket_holes(j.length) * j.quantity for j in joints if j.kind == "pocket")


def pegs(joints: Sequence[BuiltJoint]) -> int:
    """Dowels of all doweled joints."""
    return sum(dowels(j.length) * j.quantity for j in joints if j.kind == "dowel")


def figures_of(lists: BuiltLists) -> dict[str, Measure]:
    """The figures that needs, counts and facts may name, as `scope.FIGURES` lists them."""
    sheet, solid = lists.sanded(solid=False), lists.sanded(solid=True)
    numbers: dict[str, int | Fraction] = {
        "part_lines": len(lists.parts),
        "pieces_cut": sum(part.quantity for part in lists.parts),
        "joints": sum(joint.quantity for joint in lists.joints),
        "pocket_holes": holes(lists.joints),
        "dowels": pegs(lists.joints),
        "band_edges": sum(band.edges for band in lists.bands),
        "coats": sum(coat.coats for coat in lists.finish if coat.area is None),
        "discs": abrasive_discs(sheet, solid, lists.scuffed),
    }
    length = sum(band.length.nm for band in lists.bands)
    return {name: Measure(Fraction(number), 0) for name, number in numbers.items()} | {
        "band_length": Measure(Fraction(length), 1),
        "finish_area": Measure(Fraction(lists.area.nm2), 2),
    }


def counts_of(lists: BuiltLists, needs: Sequence[BuiltNeed], units: str) -> dict[str, BuiltCount]:
    """The drivers of labor that follow from the lists, each with its reason; none that is zero."""
    counts = {}
    for driver, measure, basis in (
        *_of_parts(lists),
        *_of_edges(lists),
        *_of_joints(lists, units),
        *_of_finish(lists),
        *_of_needs(lists, needs),
    ):
        quantity, unit = in_units(measure, units, is_fine=driver in BY_THE_INCH)
        if quantity:
            counts[driver] = BuiltCount(quantity, unit, basis, entered=False, fixed=False)
    milled = Fraction(0) if lists.is_milled_by_hand_count else _milled(lists)
    if milled:
        amount, unit = (milled, "bd ft") if units == "inch" else (milled * _CUBIC_METERS, "m³")
        basis = "solid parts cut oversize, in the rough thickness"
        counts["board_feet"] = BuiltCount(amount, unit, basis, entered=False, fixed=False)
    return _marked(counts, lists)


def _marked(counts: dict[str, BuiltCount], lists: BuiltLists) -> dict[str, BuiltCount]:
    """The counts, with those marked that hold something assumed."""
    fitted = counts.get("fitting_minutes")
    if fitted is not None and fitted.basis.startswith(_BUTTONS):
        counts["fitting_minutes"] = replace(fitted, is_assumed=True)
    for driver in _SIZES.values():
        if driver in counts and counts[driver].basis.startswith(_ONE_SIZE):
            counts[driver] = replace(counts[driver], is_assumed=True)
    own = {"pocket": "pocket_holes", "dowel": "dowels"} | _JOINT_DRIVERS
    for joint in lists.joints:
        if not joint.is_assumed:
            continue
        drivers = ["joints", own.get(joint.kind, "joints")]
        if all(one.is_assumed for one in lists.joints if one.kind == joint.kind):
            drivers.append(_SIZES.get(joint.kind, "joints"))
        for driver in drivers:
            words = f"{how_many(joint.quantity, 'joint')} assumed for {joint.note}"
            basis = counts[driver].basis.partition(";")[0]
            counts[driver] = replace(counts[driver], basis=f"{basis}; {words}", is_assumed=True)
    return counts


def _of_parts(lists: BuiltLists) -> Iterator[_Derived]:
    yield "part_lines", _number(len(lists.parts)), "lines of the parts list"
    if not lists.is_milled_by_hand_count:
        blanks = sum(part.quantity * part.strips for part in lists.solid)
        yield "blanks", _number(blanks), "solid parts, each strip of a glued one by itself"
    panels = [part for part in lists.solid if part.cut == "glued"]
    seams = sum(((p.strips - 1) * p.quantity * p.length.nm for p in panels), 0)
    yield "glue_line", Measure(Fraction(seams), 1), "seams of glued panels"
    yield "panels", _number(sum(part.quantity for part in panels)), "panels glued up"
    yield "panel_area", _area(sum((part.area for part in panels), Area(0))), "panels glued up"
    shaped = sum(part.edges(part.shaped).nm for part in lists.parts)
    yield "shaped", Measure(Fraction(shaped), 1), "edges rounded or profiled"
    tapers = sum(part.tapers * part.quantity for part in lists.parts)
    yield "tapers", _number(tapers), "tapered faces"
    turned = [part for part in lists.parts if part.cut == "turned"]
    long = [part for part in turned if part.length > part.width * Fraction(3, 2)]
    yield (
        "spindle",
        Measure(Fraction(sum(part.length.nm * part.quantity for part in long)), 1),
        "turned parts along their length",
    )
    wide = [part for part in turned if part not in long]
    across = sum(max(part.length, part.width).nm * part.quantity for part in wide)
    yield "bowl", Measure(Fraction(across), 1), "turned parts across"


def _of_edges(lists: BuiltLists) -> Iterator[_Derived]:
    for driver, is_solid, words in (
        ("band", False, "banded edges"), ("solid_edge", True, "edges with solid edging"),
    ):  # fmt: skip
        bands = [band for band in lists.bands if band.is_solid == is_solid]
        length = sum(band.length.nm for band in bands)
        edges = sum(band.edges for band in bands)
        yield driver, Measure(Fraction(length), 1), f"{edges} {words}"


def _of_joints(lists: BuiltLists, units: str) -> Iterator[_Derived]:
    joints = [joint for joint in lists.joints if not joint.is_in_box]
    boxed = sum(joint.quantity for joint in lists.joints if joint.is_in_box)
    on = [part for part in lists.parts if part.joined in ("glued on", "screwed on")]
    pieces = sum(part.quantity for part in on)
    basis = "joints of the design" + (f" and {pieces} glued or screwed on" if on else "")
    basis += f" without {how_many(boxed, 'corner')} of drawer boxes" if boxed else ""
    count = sum(joint.quantity for joint in joints) + pieces
    yield "joints", _number(count), basis
    yield "pocket_holes", _number(holes(joints)), "pocket holes by the length of each joint"
    yield "dowels", _number(pegs(joints)), "dowels by the length of each joint"
    for kind, driver in _JOINT_DRIVERS.items():
        of_kind = [joint for joint in joints if joint.kind == kind]
        yield driver, _number(sum(joint.quantity for joint in of_kind)), f"{kind} joints"
        if kind in _SIZES:
            sizes, basis = len(_sizes(of_kind)), f"different sizes of {kind} joints"
            if of_kind and not sizes:
                sizes, basis = 1, f"{_ONE_SIZE} of {kind} joints, for none is said"
            yield _SIZES[kind], _number(sizes), basis
    widths = (
        max(joint.length, LEAST_CORNER).nm * joint.quantity
        for joint in joints
        if joint.kind == "dovetail"
    )
    least = show_length(LEAST_CORNER, units, suffix=True)
    basis = f"dovetail corners across, each at least {least}"
    yield "dovetail_width", Measure(Fraction(sum(widths)), 1), basis


def _sizes(joints: Sequence[BuiltJoint]) -> set[Hashable]:
    """The sizes that joints say; one that is assumed, or says none, adds no size to them."""
    said = (
        joint.length or frozenset(joint.sizes.items()) for joint in joints if not joint.is_assumed
    )
    return {size for size in said if size}


def _of_finish(lists: BuiltLists) -> Iterator[_Derived]:
    driver = "sand_painted" if lists.is_painted else "sand"
    yield driver, _area(lists.sanded(solid=False)), "finished faces of the parts"
    solid = lists.sanded(solid=True)
    yield "sand_solid", _area(solid), "finished faces and edges of the solid parts"
    seen = sum(p.quantity for p in lists.parts if p.is_solid and p.sanded_area)
    yield "solid_pieces", _number(seen), "solid pieces that are seen"
    yield "scuff", _area(lists.scuffed), "finished faces × gaps between coats"
    for method, words in (("spray", "sprayed"), ("brush", "brushed"), ("wipe", "wiped")):
        area = coated(lists.area, lists.finish, method)
        yield method, _area(area), f"finished faces × {words} coats"
    by_gun = sum(coat.coats for coat in lists.finish if coat.method == "spray")
    yield "sessions", _number(by_gun), "one set-up of the spray gun for each coat"
    by_hand = sum(coat.coats for coat in lists.finish if coat.method != "spray")
    yield "hand_sessions", _number(by_hand), "one set-up and clean-up for each coat by hand"


def _of_needs(lists: BuiltLists, needs: Sequence[BuiltNeed]) -> Iterator[_Derived]:
    """Minutes of fittings that say their own, unless the design counts fittings itself.

    A glued panel that nothing joins is assumed to be held by buttons, for it moves.
    """
    if "fittings" in lists.fixed:
        return
    timed = [need for need in needs if need.minutes is not None]
    minutes = sum((n.quantity.fraction * (n.minutes or 0) for n in timed), Fraction(0))
    basis = "fittings by the minutes each of them takes"
    tops = [] if timed else _loose_panels(lists)
    if tops:
        minutes = Fraction(sum(_buttons(part) for part in tops) * BUTTON_MINUTES)
        named = ", ".join(part.id for part in tops)
        basis = f"{_BUTTONS} {named}: two a foot of length, {BUTTON_MINUTES} min each"
    yield "fitting_minutes", Measure(minutes, 0), basis


def _loose_panels(lists: BuiltLists) -> list[BuiltPart]:
    """Glued panels of a piece that nothing says how they are held."""
    if (
        lists.is_milled_by_hand_count
        or len(lists.parts) < 2
        or is_nameless(lists.parts, lists.joints)
    ):
        return []
    return [part for part in unjoined(lists.parts, lists.joints) if part.cut == "glued"]


def _buttons(part: BuiltPart) -> int:
    """Two for every foot of length, on all pieces of the line: common practice, no source."""
    return 2 * ceil(part.length.feet) * part.quantity


def _milled(lists: BuiltLists) -> Fraction:
    """Board feet that go over the jointer: blanks of the parts and strips of solid edging."""
    boards = lists.wood.boards
    parts = (blank_feet(p, boards[p.material]) for p in lists.solid if p.material in boards)
    strips = (edging_feet(b, boards[b.material]) for b in lists.bands if b.is_solid)
    return sum(parts, Fraction(0)) + sum(strips, Fraction(0))


def in_units(measure: Measure, units: str, *, is_fine: bool = False) -> tuple[Fraction, str]:
    """A measure as labor counts it: feet and square feet, or meters and square meters.

    What is fine is counted in inches or centimeters.

    >>> in_units(Measure(Fraction(609_600_000), 1), "inch")
    (Fraction(2, 1), 'ft')
    >>> in_units(Measure(Fraction(3 * 10**18), 2), "mm")
    (Fraction(3, 1), 'm²')
    """
    if is_fine and measure.power == 1:
        fine = "in" if units == "inch" else "cm"
        return measure.value / NANOMETERS[fine], fine
    unit = "ft" if units == "inch" else "m"
    names = ("", unit, "sq ft" if units == "inch" else "m²")
    return measure.value / NANOMETERS[unit] ** measure.power, names[measure.power]


def _number(count: int) -> Measure:
    return Measure(Fraction(count), 0)


def _area(area: Area) -> Measure:
    return Measure(Fraction(area.nm2), 2)
