"""The tables of a design worked out row by row; a flawed row is left out and told."""

import re
from collections.abc import Iterable, Iterator
from functools import partial

from ledger.designs.built import BuiltCoat, BuiltCount, BuiltJoint, BuiltNeed, BuiltPart
from ledger.designs.cells import is_plain, show_measure
from ledger.designs.closing import SIGNS, require_closed
from ledger.designs.counting import BY_THE_INCH, in_units
from ledger.designs.expanding import read_values
from ledger.designs.guide import filled
from ledger.designs.model import (
    BY_LENGTH,
    CUTS,
    DRIVERS,
    EDGES,
    GRAINS,
    JOINED,
    JOINT_SIZES,
    JOINTS,
    METHODS,
    TAGS,
    Coat,
    Count,
    Design,
    Joint,
    Need,
    Part,
)
from ledger.designs.row import DesignRow
from ledger.designs.scope import Scope
from ledger.errors import NotFound
from ledger.measures.fields import made_of
from ledger.measures.length import Length
from ledger.measures.spoken import quoted

_WORKED_OUT = re.compile(r"\{([^{}]*)\}")


class Lines:
    """The rows of one design within one scope."""

    def __init__(self, design: Design, scope: Scope) -> None:
        self.design, self.scope = design, scope

    def parts(self, units: str) -> tuple[BuiltPart, ...]:
        """The parts list; a line whose formula comes to no pieces is left out."""
        rows = self._rows("parts", "id", [part.id for part in self.design.parts])
        if not self.design.parts:
            DesignRow(self.scope, "parts", 0).flaw("id", "A design has at least one part.")
        built = (_part(row, part, units) for row, part in zip(rows, self.design.parts, strict=True))
        return tuple(part for part in built if part is not None)

    def carried(self) -> dict[str, int]:
        """How many alike there are of each piece that is carried by itself."""
        table = self.design.carried
        rows = self._rows("carried", "name", [piece.name for piece in table])
        used = {part.carried for part in self.design.parts}
        units = {}
        for row, piece in zip(rows, table, strict=True):
            count = row.pieces("pieces", piece.pieces)
            if used and piece.name not in used:
                named = f"No part is carried in {quoted(piece.name)}; name it in a part's line."
                row.flaw("name", named)
            elif count:
                units[piece.name] = count
        return units

    def joints(self, units: str) -> tuple[BuiltJoint, ...]:
        """The joints; a line whose formula comes to none is left out."""
        rows = self._rows("joints", "id", [joint.id for joint in self.design.joints])
        both = zip(rows, self.design.joints, strict=True)
        built = (_joint(row, joint, units) for row, joint in both)
        return tuple(joint for joint in built if joint is not None)

    def finish(self) -> tuple[BuiltCoat, ...]:
        """The coats."""
        rows = self._rows("finish", "material", ())
        built = (_coat(row, coat) for row, coat in zip(rows, self.design.finish, strict=False))
        return tuple(coat for coat in built if coat is not None)

    def needs(self) -> tuple[BuiltNeed, ...]:
        """What is asked for by count; what comes to none is left out."""
        rows = self._rows("needs", "material", ())
        built = (_need(row, need) for row, need in zip(rows, self.design.needs, strict=False))
        return tuple(need for need in built if need is not None)

    def counts(self, units: str) -> dict[str, BuiltCount]:
        """The drivers that the design fixes."""
        rows = self._rows("counts", "driver", [count.driver for count in self.design.counts])
        both = zip(rows, self.design.counts, strict=True)
        built = {count.driver: _count(row, count, units) for row, count in both}
        return {driver: count for driver, count in built.items() if count is not None}

    def facts(self, units: str) -> dict[str, str]:
        """What a quote may say of the piece, formulas in braces worked out."""
        rows = self._rows("facts", "name", [fact.name for fact in self.design.facts])
        shown = {}
        for row, fact in zip(rows, self.design.facts, strict=True):
            words = row.work("words", partial(self._fill_in, fact.words, units))
            shown[fact.name] = words or ""
        return shown

    def checks(self) -> None:
        """Tell of the closing sums that do not close, and by how much."""
        rows = self._rows("checks", "sum", ())
        for row, check in zip(rows, self.design.checks, strict=True):
            if row.one_of("sign", check.sign, SIGNS):
                row.work("sum", partial(require_closed, self.scope, check))

    def tags(self) -> None:
        """Tell of tags that no caution knows."""
        for row, tag in zip(self._rows("tags", "tag", ()), sorted(self.design.tags), strict=False):
            row.one_of("tag", tag, TAGS)

    def _fill_in(self, words: str, units: str) -> str:
        return _WORKED_OUT.sub(
            lambda match: show_measure(self.scope.measure(match[1].strip()), units), words
        )

    def _rows(self, table: str, column: str, names: Iterable[str]) -> Iterator[DesignRow]:
        """The rows of a table, after telling of names that stand twice."""
        seen: set[str] = set()
        for place, name in enumerate(names):
            if name.casefold() in seen:
                twice = f"{quoted(name)} stands twice; each {column} has one line."
                DesignRow(self.scope, table, place).flaw(column, twice)
            seen.add(name.casefold())
        return (
            DesignRow(self.scope, table, place) for place in range(len(getattr(self.design, table)))
        )


def _part(row: DesignRow, part: Part, units: str) -> BuiltPart | None:
    pieces = row.pieces("quantity", part.quantity)
    length, width = row.size("length", part.length), row.size("width", part.width)
    thickness = row.size("thickness", part.thickness) if part.thickness else None
    oversize = row.allowance("oversize", part.oversize)
    _check_words(row, part)
    if not pieces or length is None or width is None:
        return None
    return made_of(
        BuiltPart,
        part,
        quantity=pieces,
        length=length,
        width=width,
        thickness=thickness,
        edging=part.edging or None,
        faces=part.faces or 0,
        is_faces_said=part.faces is not None,
        matched=part.matched or None,
        oversize=oversize,
        note=_note(row, part.note, units),
        tapers=_tapers(row, part.tapers),
    )


def _note(row: DesignRow, note: str, units: str) -> str:
    return row.work("note", partial(filled, row.scope, note, units)) or ""


def _tapers(row: DesignRow, text: str) -> int:
    """Tapered faces of one piece, none where the cell is empty."""
    number = row.number("tapers", text) if text else None
    if number is None:
        return 0
    if number.denominator != 1 or number > 4:
        row.flaw("tapers", f"A piece has 0 to 4 tapered faces, not {quoted(text)}.")
        return 0
    return int(number)


def _check_words(row: DesignRow, part: Part) -> None:
    row.one_of("grain", part.grain, GRAINS)
    row.one_of("cut", part.cut, CUTS)
    for edge in part.banded:
        row.one_of("banded", edge, EDGES)
    for edge in part.shaped:
        row.one_of("shaped", edge, EDGES)
    _check_joined(row, part)
    if not part.id:
        row.flaw("id", "A part has a short mark such as A1.")
    if not part.material:
        row.flaw("material", "Say which material the part is cut from, by its code.")
    if part.banded and not part.edging:
        row.flaw("edging", "The part has banded edges; say which edging, by its code.")
    if part.faces not in (None, 0, 1, 2):
        row.flaw("faces", f"A part has 0, 1 or 2 finished faces, not {part.faces}.")
    if part.sanded not in (None, 0, 1, 2):
        row.flaw("sanded", f"A part has 0, 1 or 2 sanded faces, not {part.sanded}.")


def _check_joined(row: DesignRow, part: Part) -> None:
    """How a part is held: a word of `JOINED`, or `in` and another part's id."""
    within, _, other = part.joined.partition(" ")
    if within == "in" and other.strip():
        ids = [line.id for line in row.scope.part_lines]
        if other.strip().casefold() not in {one.casefold() for one in ids}:
            row.flaw("joined", str(NotFound("part", other.strip(), ids)))
    elif part.joined and part.joined not in JOINED:
        known = ", ".join(JOINED)
        words = f"{quoted(part.joined)} is none of {known}, or “in” and the id of a part."
        row.flaw("joined", words)


def _joint(row: DesignRow, joint: Joint, units: str) -> BuiltJoint | None:
    row.one_of("kind", joint.kind, JOINTS)
    count, length = row.pieces("quantity", joint.quantity), _joint_length(row, joint)
    sizes, tenons = _joint_sizes(row, joint)
    note = _note(row, joint.note, units)
    if not count or length is None:
        return None
    return BuiltJoint(joint.id, joint.kind, length, count, note, sizes=sizes, tenons=tenons)


def _joint_sizes(row: DesignRow, joint: Joint) -> tuple[dict[str, Length], int]:
    """The sizes by which a joint is cut, and how many tenons stand side by side."""
    sizes, tenons = {}, 1
    for name, text in (row.work("sizes", partial(read_values, joint.sizes)) or {}).items():
        if name not in JOINT_SIZES:
            row.flaw("sizes", str(NotFound("size of a joint", name, JOINT_SIZES)))
        elif name == "tenons":
            tenons = row.pieces("sizes", text) or 1
        elif (size := row.allowance("sizes", text)) is not None:
            sizes[name] = size
    return sizes, tenons


def _joint_length(row: DesignRow, joint: Joint) -> Length | None:
    """The length of a joint; 0 where it has none and is counted by the joint."""
    if joint.length:
        return row.size("length", joint.length)
    if joint.kind in BY_LENGTH:
        row.flaw("length", f"A {joint.kind} joint is counted by its length, so it needs one.")
        return None
    return Length(0)


def _coat(row: DesignRow, coat: Coat) -> BuiltCoat | None:
    row.one_of("method", coat.method, METHODS)
    if not 1 <= coat.coats <= 20:
        row.flaw("coats", f"A finish has 1 to 20 coats, not {coat.coats}.")
    if bool(coat.tint) != bool(coat.tint_share):
        row.flaw("tint", "A tint has both a material and a share of the finish, such as 5 %.")
    area = row.area("area", coat.area) if coat.area else None
    if coat.area and area is None:
        return None
    tint = coat.tint or None
    return BuiltCoat(coat.material, coat.coats, coat.method, tint, coat.tint_share, area)


def _need(row: DesignRow, need: Need) -> BuiltNeed | None:
    number = row.number("quantity", need.quantity)
    if not number:
        return None
    basis = need.basis or f"{need.quantity} by the design"
    minutes = row.number("minutes", need.minutes) if need.minutes else None
    return BuiltNeed(need.material, number, basis, minutes)


def _count(row: DesignRow, count: Count, units: str) -> BuiltCount | None:
    if not row.one_of("driver", count.driver, DRIVERS):
        return None
    measure = row.work("quantity", lambda: row.scope.measure(count.quantity))
    if measure is None:
        return None
    if measure.value < 0:
        row.flaw("quantity", f"{quoted(count.quantity)} comes to less than zero.")
        return None
    quantity, unit = in_units(measure, units, is_fine=count.driver in BY_THE_INCH)
    basis = count.basis or ("by the design" if is_plain(count.quantity) else count.quantity)
    return BuiltCount(quantity, unit, basis, entered=measure.power == 0, fixed=True)
