"""What a plan that is sold says besides sizes: its lines, its steps, corrections of old versions.

Formulas in braces are worked out and shown as a buyer can measure them, in the plan's units and
in the other ones behind them. A length in braces (`{3/4 in}`) is such a formula.
"""

import re
from collections.abc import Iterator, Sequence
from functools import partial

from ledger.designs.built import BuiltCorrection, BuiltStep, Guide
from ledger.designs.cells import show_measure
from ledger.designs.closing import SIGNS
from ledger.designs.corrections import versions_in
from ledger.designs.model import PLAN_LINES, Correction, Design, Step
from ledger.designs.row import DesignRow
from ledger.designs.scope import Scope
from ledger.designs.tree import Measure
from ledger.errors import BadValue, NotFound
from ledger.measures.length import Length, measured_length
from ledger.measures.rounding import half_up_whole
from ledger.measures.spoken import quoted

_WORKED_OUT = re.compile(r"\{([^{}]*)\}")
_CONDITION = re.compile(r"([^<>=]+)(<=|>=|<|>|=)([^<>=]+)")
_SAID = {"=": "", "<": "under ", "<=": "up to ", ">": "over ", ">=": "from "}
_ONCE = ("picture", "size", "time")
_IN_ONE_UNIT = ("picture", "size")
_OTHER = {"inch": "mm", "mm": "inch"}
_TYPED_LENGTH = re.compile(
    r"(?<![\w.,/-])\d[\d.,/ -]*(?:(?:mm|cm|m|ft|inch|inches)\b|[\"”″])"
    r"|(?<![\w.,/-])(?:\d+[- ])?\d+/\d+ ?in\b"
    r"|(?<![\w.,/-])\d+ in(?= (?:long|wide|deep|thick|high|below|above|from|behind|over|apart|of)\b"
    r"|[.,;:)])"
)
"""Lengths that are surely lengths: “2 in one pass” is none."""


def guide_of(design: Design, scope: Scope, there: Sequence[str], units: str) -> Guide:
    """The words of the plan in these units; `there` are the ids of the parts that the piece has."""
    return Guide(
        lines=_lines(design, scope, units),
        steps=tuple(sorted(_steps(design, scope, there, units), key=lambda step: step.number)),
        corrections=tuple(_corrections(design, scope, units)),
    )


def typed_lengths(text: str) -> list[str]:
    """Lengths that stand in words without braces, so that a plan cannot give them in both units.

    >>> typed_lengths("Cut 2 in one pass: 1-1/2 in deep, {3/4 in} wide, 12 mm from the edge.")
    ['1-1/2 in', '12 mm']
    """
    return _TYPED_LENGTH.findall(_WORKED_OUT.sub("", text))


def filled(scope: Scope, words: str, units: str, *, in_both: bool = True) -> str:
    """Words with their formulas in braces worked out, lengths as they can be measured."""
    return _WORKED_OUT.sub(
        lambda match: _measured(scope.measure(match[1].strip()), units, in_both=in_both), words
    )


def _lines(design: Design, scope: Scope, units: str) -> dict[str, tuple[str, ...]]:
    lines: dict[str, tuple[str, ...]] = {}
    for place, line in enumerate(design.plan):
        row = DesignRow(scope, "plan", place)
        row.one_of("name", line.name, PLAN_LINES)
        if line.name in _ONCE and line.name in lines:
            row.flaw("name", f"{quoted(line.name)} stands twice; a plan says it once.")
        in_both = line.name not in _IN_ONE_UNIT
        words = row.work("words", partial(filled, scope, line.words, units, in_both=in_both))
        if line.name == "leave out" and line.words.casefold() not in map(
            str.casefold, design.materials
        ):
            row.flaw("words", str(NotFound("material", line.words, sorted(design.materials))))
        lines[line.name] = (*lines.get(line.name, ()), words or "")
    return lines


def _steps(design: Design, scope: Scope, there: Sequence[str], units: str) -> Iterator[BuiltStep]:
    seen = set[int]()
    for place, step in enumerate(design.steps):
        row = DesignRow(scope, "steps", place)
        if step.number in seen:
            row.flaw("number", f"Step {step.number} stands twice; each step has its own number.")
        seen.add(step.number)
        words = row.work("words", partial(filled, scope, step.words, units))
        named = _parts(row, step, scope)
        parts = tuple(mark for mark in named if mark in there)
        yield BuiltStep(step.number, words or "", parts, step.picture, bool(parts) or not named)


def _parts(row: DesignRow, line: Step | Correction, scope: Scope) -> list[str]:
    """The marks that a line names, as the parts list writes them; an unknown one is a flaw."""
    ids = {part.id.casefold(): part.id for part in scope.part_lines}
    for mark in line.parts:
        if mark.casefold() not in ids:
            row.flaw("parts", str(NotFound("part", mark, ids.values())))
    return [ids[mark.casefold()] for mark in line.parts if mark.casefold() in ids]


def _corrections(design: Design, scope: Scope, units: str) -> Iterator[BuiltCorrection]:
    numbers = [step.number for step in design.steps]
    for place, line in enumerate(design.corrections):
        row = DesignRow(scope, "corrections", place)
        versions = row.work("versions", partial(versions_in, line.versions))
        held = row.work("sizes", partial(_conditions, scope, line.sizes, units)) or []
        for number in line.steps:
            if number not in numbers:
                known = [str(known) for known in numbers]
                row.flaw("steps", str(NotFound("step", str(number), known)))
        yield BuiltCorrection(
            versions=versions or (),
            sizes=", ".join(words for words, _ in held),
            wrong=row.work("wrong", partial(filled, scope, line.wrong, units)) or "",
            right=row.work("right", partial(filled, scope, line.right, units)) or "",
            parts=tuple(_parts(row, line, scope)),
            steps=line.steps,
            touches=all(is_met for _, is_met in held),
        )


def _conditions(scope: Scope, text: str, units: str) -> list[tuple[str, bool]]:
    """Conditions such as `width > 30 in; legs = 4` in words, and whether each is met."""
    return [_condition(scope, part.strip(), units) for part in text.split(";") if part.strip()]


def _condition(scope: Scope, text: str, units: str) -> tuple[str, bool]:
    match = _CONDITION.fullmatch(text)
    if match is None:
        hint = "write for example width > 30 in; legs = 4"
        raise BadValue(f"{quoted(text)} is no condition on sizes; {hint}.")
    name, sign, value = (side.strip() for side in match.groups())
    left, right = scope.measure(name), scope.measure(value)
    if left.power != right.power:
        raise BadValue(f"{quoted(name)} is {left.kind}, but {quoted(value)} is {right.kind}.")
    words = f"{name.replace('_', ' ')} {_SAID[sign]}{_measured(right, units)}"
    return words, SIGNS[sign](left.value, right.value)


def _measured(measure: Measure, units: str, *, in_both: bool = True) -> str:
    if measure.power != 1:
        return show_measure(measure, units)
    length = Length(half_up_whole(measure.value))
    words = measured_length(length, units, suffix=True)
    if not in_both:
        return words
    return f"{words} ({measured_length(length, _OTHER[units], suffix=True)})"
