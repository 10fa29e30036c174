"""Sub-assemblies: a design that stands inside another one, its rows written out under a name.

`base, carcass, width=36 in; fixed=0` puts the design `carcass` into another one as `base`: its
parameters are named `base_width`, its parts `base-A1`, and the formulas around it may use
`base_inside`. What `values` says fills in a parameter (by a size or a formula of the outer design),
a material (`ply=OAK34`), or `times`: how many of it there are. Rows are written out once, when the
design is read, and kept so: a later version of the sub-assembly moves no design that has it.

The outer design's own rows stand first. Counts of one driver are added up. A need that is counted
over the whole design (`pocket_holes`) stands once, however many sub-assemblies ask for it. Pure.

A design that was written in inches, in round millimeters.
"""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from fractions import Fraction
from typing import Any

from msgspec import Struct

from ledger.designs.cells import is_plain, read_cell
from ledger.designs.model import (
    ClosingSum,
    Count,
    Design,
    Flaw,
    Joint,
    Need,
    Parameter,
    Part,
    SubAssembly,
)
from ledger.designs.scope import FIGURES
from ledger.designs.tree import Literal, names_in
from ledger.errors import BadValue, LedgerError, NotFound
from ledger.measures.length import Length, show_length
from ledger.measures.rounding import half_up_whole
from ledger.measures.spoken import quoted
from ledger.measures.values import replace

_STEPS = ((100, Fraction(10)), (20, Fraction(1)), (2, Fraction(1, 2)), (0, Fraction(1)))
"""From how many millimeters on a size is rounded, and to how many."""


def in_millimeters(design: Design) -> Design:
    """A design with its plain sizes in round millimeters; formulas stay as they are.

    From 100 mm on they are whole centimeters, from 20 mm millimeters, from 2 mm half ones.
    """
    return replace(
        design,
        units="mm",
        parameters=tuple(
            replace(
                row,
                value=rounded(row.value),
                minimum=rounded(row.minimum),
                maximum=rounded(row.maximum),
            )
            for row in design.parameters
        ),
    )


def rounded(text: str) -> str:
    """A plain length in round millimeters; any other text as it is.

    >>> [rounded(text) for text in ("36 in", "23/32 in", "1/16 in", "5", "2*ply_t", "0 in")]
    ['910 mm', '18.5 mm', '2 mm', '5', '2*ply_t', '0 mm']
    """
    node = read_cell(text) if text and is_plain(text) else None
    if not isinstance(node, Literal) or node.measure.power != 1:
        return text
    millimeters = node.measure.value / 1_000_000
    step = next(step for least, step in _STEPS if millimeters >= least)
    return show_length(Length.of(half_up_whole(millimeters / step) * step, "mm"), "mm", suffix=True)


TIMES = "times"
_NAME = re.compile(r"[a-z][a-z0-9_]*")
_WORD = re.compile(r"(?<![\w.])[a-z][a-z0-9_]*")
_IN_BRACES = re.compile(r"\{[^{}]*\}")
_HINT = "write NAME=VALUE; NAME=VALUE, such as width=36 in; ply=PLY34"

type FindBlock = Callable[[str], tuple[Design, str]]
"""The design of a sub-assembly by its name, and its version; raises NotFound."""


class Expanded(Struct, frozen=True):
    """A design with the rows of its sub-assemblies in it, and where each of these came from.

    `origins` names the place in `blocks` of each row that was written in, by table and place.
    """

    design: Design
    origins: Mapping[tuple[str, int], int]
    flaws: tuple[Flaw, ...]


def expand(design: Design, find: FindBlock) -> Expanded:
    """Write out all sub-assemblies of a design that are not written out yet."""
    tables: dict[str, list[tuple[object, int]]] = {
        table: [(row, -1) for row in getattr(design, table)] for table in _TABLES
    }
    tags, flaws, blocks, seen = set(design.tags), list[Flaw](), list(design.blocks), set[str]()
    for place, block in enumerate(design.blocks):
        if block.version:
            continue
        try:
            _require_name(block.name, seen)
            inner, version = find(block.block)
            if design.units == "mm" and inner.units == "inch":
                inner = in_millimeters(inner)
            for table, row in _written_out(block, inner):
                tables[table].append((row, place))
        except LedgerError as wrong:
            column = "block" if isinstance(wrong, NotFound) else "values"
            flaws.append(Flaw("blocks", place, column, str(wrong)))
            continue
        blocks[place] = replace(block, version=version)
        tags |= inner.tags
    tables["counts"] = _added_up(tables["counts"])
    tables["needs"] = _each_once(tables["needs"])
    rows: dict[str, Any] = {
        table: tuple(row for row, _ in pairs) for table, pairs in tables.items()
    }
    origins = {
        (table, number): place
        for table, pairs in tables.items()
        for number, (_, place) in enumerate(pairs)
        if place >= 0
    }
    full = replace(design, **rows, blocks=tuple(blocks), tags=frozenset(tags))
    return Expanded(full, origins, tuple(flaws))


_TABLES = ("parameters", "parts", "joints", "needs", "counts", "checks")


def _require_name(name: str, seen: set[str]) -> None:
    if not _NAME.fullmatch(name):
        raise BadValue(f"{quoted(name)} is no name; use small letters, digits and _.")
    if name in seen:
        raise BadValue(f"{quoted(name)} stands twice; each sub-assembly has a name of its own.")
    seen.add(name)


def read_values(text: str) -> dict[str, str]:
    """The values that fill in a sub-assembly, by name.

    >>> read_values("width=36 in; thin ply=PLY14")
    {'width': '36 in', 'thin ply': 'PLY14'}
    >>> read_values("36 in")
    Traceback (most recent call last):
    ledger.errors.BadValue: “36 in” fills in nothing; write NAME=VALUE; NAME=VALUE, such as \
width=36 in; ply=PLY34.
    """
    values = {}
    for pair in filter(None, (part.strip() for part in text.split(";"))):
        name, mark, value = (side.strip() for side in pair.partition("="))
        if not mark or not name or not value:
            raise BadValue(f"{quoted(pair)} fills in nothing; {_HINT}.")
        values[name] = value
    return values


def _written_out(block: SubAssembly, inner: Design) -> Iterator[tuple[str, object]]:
    """The rows of a sub-assembly as they stand in the outer design, with their tables."""
    values = read_values(block.values)
    times = values.pop(TIMES, "1")
    settable = {row.name: row for row in inner.parameters if is_plain(row.value)}
    for name in values:
        worked_out = next((p for p in inner.parameters if p.name == name), None)
        if worked_out is not None and name not in settable:
            raise BadValue(f"{name} of {inner.name} is worked out ({worked_out.value}).")
        if worked_out is None and name not in inner.materials:
            known = [*settable, *sorted(inner.materials), TIMES]
            raise NotFound(f"parameter or material of {inner.name}", name, known, are_all=True)
    materials = {name: value for name, value in values.items() if name not in settable}
    ids = "|".join(re.escape(part.id) for part in inner.parts) or "(?!)"
    names = {row.name for row in inner.parameters}
    own = _Renamed(block.name, names, rf"(?<!\w)(?:{ids})(?!\w)")
    for row in inner.parameters:
        yield "parameters", own.parameter(row, values.get(row.name))
    for part in with_materials(inner, materials).parts:
        yield "parts", own.part(part, times)
    for joint in inner.joints:
        yield "joints", own.joint(joint, times)
    for need in with_materials(inner, materials).needs:
        yield "needs", own.need(need, times)
    for count in inner.counts:
        yield "counts", own.count(count, times)
    for check in inner.checks:
        yield "checks", own.check(check)


class _Renamed(Struct, frozen=True):
    """Rows of a sub-assembly, its parameters' names with its own name before them."""

    name: str
    parameters: set[str]
    ids: str
    """A pattern of the ids of its parts."""

    def text(self, formula: str) -> str:
        """A formula of the sub-assembly in the outer design's names."""
        return _WORD.sub(
            lambda word: f"{self.name}_{word[0]}" if word[0] in self.parameters else word[0],
            formula.lower(),
        )

    def words(self, text: str) -> str:
        """Words with the formulas in braces in the outer design's names."""
        return _IN_BRACES.sub(lambda formula: self.text(formula[0]), text)

    def parameter(self, row: Parameter, value: str | None) -> Parameter:
        return Parameter(
            name=f"{self.name}_{row.name}",
            value=self.text(row.value) if value is None else value.lower(),
            minimum=self.text(row.minimum),
            maximum=self.text(row.maximum),
            words=row.words,
        )

    def part(self, part: Part, times: str) -> Part:
        return replace(
            part,
            id=f"{self.name}-{part.id}",
            quantity=_multiplied(self.text(part.quantity), times),
            length=self.text(part.length),
            width=self.text(part.width),
            thickness=self.text(part.thickness),
            oversize=self.text(part.oversize),
            tapers=self.text(part.tapers),
            joined=re.sub(self.ids, lambda inner: f"{self.name}-{inner[0]}", part.joined),
            note=self.words(part.note),
        )

    def joint_id(self, text: str) -> str:
        """A joint's name with the new names of the parts that it names."""
        renamed = (
            re.sub(self.ids, lambda part: f"{self.name}-{part[0]}", text) if self.ids else text
        )
        return renamed if renamed != text else f"{self.name}-{text}"

    def joint(self, joint: Joint, times: str) -> Joint:
        return replace(
            joint,
            id=self.joint_id(joint.id),
            length=self.text(joint.length),
            quantity=_multiplied(self.text(joint.quantity), times),
            sizes=self.text(joint.sizes),
            note=self.words(joint.note),
        )

    def need(self, need: Need, times: str) -> Need:
        text = self.text(need.quantity)
        counted = text if _is_of_all(text) else _multiplied(text, times)
        return replace(need, quantity=counted, minutes=self.text(need.minutes))

    def count(self, count: Count, times: str) -> Count:
        return replace(count, quantity=_multiplied(self.text(count.quantity), times))

    def check(self, check: ClosingSum) -> ClosingSum:
        sides = {"sum": self.text(check.sum), "value": self.text(check.value)}
        words = f"{self.name}, {check.words}" if check.words else self.name
        return replace(check, **sides, words=words)


def _is_of_all(formula: str) -> bool:
    """Whether a formula counts over the whole design, as `pocket_holes` does."""
    try:
        return not is_plain(formula) and bool(set(names_in(read_cell(formula))) & set(FIGURES))
    except LedgerError:
        return False  # told when it is worked out


def _multiplied(formula: str, times: str) -> str:
    if times == "1":
        return formula
    return f"{_grouped(times)} * {_grouped(formula)}"


def _grouped(formula: str) -> str:
    """A formula in parentheses, where it needs them beside a sign."""
    is_one = is_plain(formula) or _NAME.fullmatch(formula)
    return formula if is_one else f"({formula})"


def _added_up(pairs: Iterable[tuple[object, int]]) -> list[tuple[object, int]]:
    """The counts with one line a driver, in the order in which each was first named."""
    lines: dict[str, tuple[Count, int]] = {}
    for row, place in pairs:
        assert isinstance(row, Count)
        if place < 0 or row.driver not in lines:
            lines[row.driver] = (row, place)
            continue
        so_far, first = lines[row.driver]
        both = f"{_grouped(so_far.quantity)} + {_grouped(row.quantity)}"
        lines[row.driver] = (replace(so_far, quantity=both, basis=so_far.basis), first)
    return list(lines.values())


def _each_once(pairs: Iterable[tuple[object, int]]) -> list[tuple[object, int]]:
    """The needs, those that are counted over the whole design once."""
    kept: list[tuple[object, int]] = []
    seen = set[tuple[str, str]]()
    for row, place in pairs:
        assert isinstance(row, Need)
        key = (row.material, row.quantity)
        if place >= 0 and _is_of_all(row.quantity) and key in seen:
            continue
        seen.add(key)
        kept.append((row, place))
    return kept


def with_materials(design: Design, codes: Mapping[str, str]) -> Design:
    """A design with other codes in the place of the materials or material words it names."""

    def code(name: str) -> str:
        return codes.get(name, name)

    return replace(
        design,
        parts=tuple(
            replace(part, material=code(part.material), edging=code(part.edging))
            for part in design.parts
        ),
        needs=tuple(replace(need, material=code(need.material)) for need in design.needs),
        finish=tuple(
            replace(coat, material=code(coat.material), tint=code(coat.tint))
            for coat in design.finish
        ),
    )
