"""Work that the parts list calls for and that no hours stand for: told, never passed over.

Each stage of the work that the design implies needs a count of one of its operations. Where all
are absent a gap is told, until a count by hand or an answer, 0 allowed, speaks of it.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from math import ceil

from msgspec import Struct

from ledger.book.tables.materials import Material
from ledger.costing.completeness import HINGED, SANDING, doubts, named
from ledger.costing.counted import WorkCounts
from ledger.costing.stages import Gap, of_job
from ledger.costing.taken import board_parts
from ledger.designs.built import Build, BuiltCoat, BuiltPart
from ledger.designs.counting import in_units
from ledger.designs.counting_rules import blank_feet
from ledger.designs.tree import Measure
from ledger.designs.wood import Board
from ledger.measures.area import Area
from ledger.measures.rounding import half_up, trimmed
from ledger.measures.spoken import how_many
from ledger.measures.units import convert

CUTS_A_PART = 2
"""Crosscuts of a solid part, one rough and one to length: common practice, no source."""

_SHEETS = ("sheets", "strips", "wide_crosscuts", "narrow_crosscuts")
_BY_GUN = ("spray", "sessions")
_NOT_APPLIED = (
    "sand", "sand_painted", "sand_solid", "solid_pieces", "scuff", "hand_sessions", *_BY_GUN,
    "brush", "wipe", "fill", "mask", "rub", "strip",
)  # fmt: skip
_OTHER_JOINTS = ("rabbet", "miter_joints", "laps", "dovetails", "dovetail_width")
_JOINTS = {
    "pocket": ("pocket holes", "pocket_holes"), "dowel": ("doweling", "dowels"),
    "tenon": ("tenons", "tenons"), "loose tenon": ("loose tenons", "loose_tenons"),
    "joiner tenon": ("loose tenons", "joiner_tenons"), "lap": ("laps", "laps"),
    "jig dovetail": ("dovetails", "jig_dovetails"), "frame": ("frame joints", "frame_corners"),
    "miter": ("miters", "miter_joints"),
}  # fmt: skip


_DERIVED = {
    "glue_line": "gluing up panels", "shaped": "shaping edges", "tapers": "tapering",
    "spindle": "turning", "bowl": "turning", "solid_edge": "solid edging",
    "sand": "sanding", "sand_solid": "sanding solid wood", "sand_painted": "sanding before paint",
}  # fmt: skip
"""The stages whose counts follow from the lists, and are silent only where no operation counts."""


_TIMED_BY_STAGE = frozenset({
    *_SHEETS, *SANDING, *_OTHER_JOINTS, *_DERIVED, *(driver for _, driver in _JOINTS.values()),
    "band", "board_feet", "blanks", "joints", "drawers", "spray", "brush", "wipe", "fittings",
    "mechanisms", "install", "delivery",
})  # fmt: skip
"""Counts whose absence the stages tell, each for itself."""


class _Missing(Struct, frozen=True):
    """A stage without a count: its basis, the driver that would count it, and how much."""

    stage: str
    basis: str
    driver: str
    number: str
    own: "_Own | None" = None
    """An operation of the shop's own that would count it."""


class _Own(Struct, frozen=True):
    """An operation that a shop may add for work that no starting standard counts."""

    code: str
    name: str
    group: str
    units: tuple[str, ...]

    def added(self, code: str) -> str:
        """What is typed after `standards add`."""
        unit = f'"{self.units[0]}"' if " " in self.units[0] else self.units[0]
        return f'{code} "{self.name}" --group {self.group} --minutes MINUTES --unit {unit}'


def find_gaps(
    job: str,
    build: Build,
    materials: Mapping[str, Material],
    counts: WorkCounts,
    answered: Iterable[str],
) -> tuple[Gap, ...]:
    """The stages that a design implies and nobody has counted or answered."""
    closed = set(answered)
    closed |= HINGED if "doors" in closed else set()  # once asked about as doors
    missing = (
        *_sawing(build, counts),
        *_solid(build, materials, counts),
        *_uncounted(build, counts),
        *_joining(build, counts),
        *_finishing(build, counts),
        *_fitting(build, materials, counts),
    )
    silent = [Gap(one.stage, one.basis, _command(job, one, counts)) for one in missing]
    silent += [of_job(gap, job) for gap in doubts(build, materials, counts, _TIMED_BY_STAGE)]
    first = {gap.what: gap for gap in reversed(silent)}  # of two by one name the stage's own
    return tuple(gap for gap in silent if gap.what not in closed and first[gap.what] is gap)


def _command(job: str, one: _Missing, counts: WorkCounts) -> str:
    code, own = counts.code_for(one.driver), one.own
    if own and not code:
        code = counts.own_code(own.group, own.units)
    if code:
        return f"benchledger job count {job} {code} {one.number}"
    if own is None:
        return "benchledger standards load"
    code = own.code + ("2" if own.code in counts.operations else "")
    return (
        f"benchledger standards add {own.added(code)}, then: benchledger job count {job}"
        f" {code} {one.number}"
    )


def _sawing(build: Build, counts: WorkCounts) -> Iterator[_Missing]:
    sheets = counts.drivers.get("sheets")
    if sheets and sheets.quantity and not counts.is_counted(_SHEETS, "cutting"):
        number = _plain(sheets.quantity)
        yield _Missing(
            "sheet cutting", f"{how_many(int(sheets.quantity), 'sheet')} laid out", "sheets", number
        )
    if build.bands and not counts.is_counted(("band", "solid_edge"), "edging"):
        edges = sum(band.edges for band in build.bands)
        length = Measure(Fraction(sum(band.length.nm for band in build.bands)), 1)
        amount, unit = in_units(length, build.units)
        number = _plain(amount, 1)
        yield _Missing("banding", f"{how_many(edges, 'edge')}, {number} {unit}", "band", number)


def _solid(
    build: Build, materials: Mapping[str, Material], counts: WorkCounts
) -> Iterator[_Missing]:
    solid = board_parts(build, materials)
    pieces = sum(part.quantity for parts in solid.values() for part in parts)
    if pieces and not counts.is_counted(("board_feet",), "cutting"):
        unit = "bd ft" if build.units == "inch" else "m³"
        amount = convert(_milled(solid, materials), "bd ft", unit)
        number = _plain(_up(amount, 10 if unit == "bd ft" else 1000))
        basis = f"{number} {unit} of solid stock in {how_many(pieces, 'part')}: {_all(solid)}"
        yield _Missing("milling", basis, "board_feet", number)
    if pieces and not counts.is_counted(("blanks", *_SHEETS[1:]), "cutting"):
        basis = (
            f"{how_many(pieces, 'part')} from rough boards, {CUTS_A_PART} cuts each: {_all(solid)}"
        )
        yield _Missing("board cutting", basis, "narrow_crosscuts", str(CUTS_A_PART * pieces))


def _all(solid: Mapping[str, Sequence[BuiltPart]]) -> str:
    return named([part for parts in solid.values() for part in parts])


def _milled(
    solid: Mapping[str, Sequence[BuiltPart]], materials: Mapping[str, Material]
) -> Fraction:
    """Board feet that go over the jointer: the parts cut oversize, in the rough thickness."""
    return sum(
        (
            blank_feet(part, Board(None, thickness, thickness))
            for code, parts in solid.items()
            if (thickness := materials[code].thickness) is not None
            for part in parts
        ),
        Fraction(0),
    )


def _uncounted(build: Build, counts: WorkCounts) -> Iterator[_Missing]:
    """What the lists call for and no operation of the shop is counted by."""
    for driver, stage in _DERIVED.items():
        count = build.counts.get(driver)
        if count is not None and count.quantity and not counts.is_counted((driver,)):
            number = _plain(count.quantity, 1)
            basis = f"{number} {count.unit}, {count.basis}".replace(" ,", ",")
            yield _Missing(stage, basis, driver, number)


def _joining(build: Build, counts: WorkCounts) -> Iterator[_Missing]:
    listed = Counter[str]()
    for joint in build.joints:
        listed[joint.kind] += 0 if joint.is_in_box else joint.quantity
    for name, (stage, driver) in _JOINTS.items():
        if listed[name] and not counts.is_counted((driver,), "joinery"):
            basis = how_many(listed[name], f"{name} joint")
            yield _Missing(stage, basis, driver, str(listed[name]))
    if listed["other"] and not counts.is_counted(_OTHER_JOINTS, "joinery"):
        basis = how_many(
            listed["other"],
            "joint that is neither a pocket hole nor a dowel",
            "joints that are neither pocket holes nor dowels",
        )
        own = _Own("JNT", "Cut joints", "joinery", ("joint", "joints", "piece", "pieces"))
        yield _Missing("joinery", basis, "", str(listed["other"]), own)
    pieces = sum(part.quantity for part in build.parts)
    if pieces > 1 and not counts.is_counted(("joints", "drawers"), "assembly"):
        joints = listed.total()
        of_what = how_many(joints, "joint") if joints else "no joint in the design"
        basis = f"{of_what} for {how_many(pieces, 'part')}: {named(build.parts)}"
        yield _Missing("assembly", basis, "joints", str(joints or pieces - 1))


def _finishing(build: Build, counts: WorkCounts) -> Iterator[_Missing]:
    sprayed = [coat for coat in build.finish if coat.method == "spray"]
    faces = build.finish_area if any(coat.area is None for coat in build.finish) else None
    if faces is not None and not faces.nm2 and not counts.is_counted(SANDING, "finish"):
        coats = sum(coat.coats for coat in build.finish)
        basis = f"{how_many(coats, 'coat')} and no face of a part that gets finish"
        yield _Missing("finished faces", basis, "sand", "AREA")
    if _area(sprayed, build) and not counts.is_counted(("spray",)):
        number, unit = _coated(sprayed, build)
        yield _Missing("spraying", f"{_coats(sprayed)}, {number} {unit}", "spray", number)
    for method, stage in (("brush", "brushing"), ("wipe", "wiping")):
        by_hand = [coat for coat in build.finish if coat.method == method]
        if _area(by_hand, build) and not (
            counts.is_counted((method,)) or counts.has_other("finish", _NOT_APPLIED)
        ):
            number, unit = _coated(by_hand, build)
            own = _Own("BRU", "Brush a coat", "finish", (unit,))
            basis = f"{_coats(by_hand)} put on by hand, {number} {unit}"
            yield _Missing(stage, basis, method, number, own)


def _fitting(
    build: Build, materials: Mapping[str, Material], counts: WorkCounts
) -> Iterator[_Missing]:
    hardware = [
        need
        for need in build.needs
        if materials[need.material].kind == "hardware" and need.minutes is None
    ]
    pieces = sum((need.exact for need in hardware), Fraction(0))
    if pieces and not counts.is_counted(("fittings", "mechanisms"), "assembly"):
        basis = f"{how_many(ceil(pieces), 'piece')} of hardware"
        yield _Missing("fitting hardware", basis, "fittings", str(ceil(pieces)))
    if "wall_fixed" in build.tags and not counts.is_counted(("install",), "out_of_shop"):
        yield _Missing("installation", "it is fixed to a wall", "install", "HOURS")
    installed = "wall_fixed" in build.tags or counts.quantity("install") > 0
    if installed and not counts.is_counted(("delivery",), "out_of_shop"):
        yield _Missing("delivery", "it is installed on site", "delivery", "HOURS")


def _area(coats: Sequence[BuiltCoat], build: Build) -> Area:
    return sum(
        ((build.finish_area if one.area is None else one.area) * one.coats for one in coats),
        Area(0),
    )


def _coated(coats: Sequence[BuiltCoat], build: Build) -> tuple[str, str]:
    amount, unit = in_units(Measure(Fraction(_area(coats, build).nm2), 2), build.units)
    return _plain(amount, 0 if unit == "sq ft" else 1), f"{unit} × coat"


def _coats(coats: Sequence[BuiltCoat]) -> str:
    named = (f"{how_many(one.coats, 'coat')} of {one.material}" for one in coats)
    return ", ".join(named)


def _up(amount: Fraction, parts: int) -> Fraction:
    return Fraction(ceil(amount * parts), parts)


def _plain(amount: Fraction, digits: int = 3) -> str:
    return f"{trimmed(half_up(amount, digits)):f}"
