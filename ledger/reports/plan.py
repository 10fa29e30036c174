"""A plan to sell worked out from a version of a design: parts, diagrams, what to buy, steps.

Sheets are laid out by their area, never by what they cost, and never on what the shop has left
over: a plan must not change with the shop's prices or its rack.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.designs import DesignVersion
from ledger.book.tables.materials import Material
from ledger.costing.cautions import cautions_for
from ledger.costing.lumber import board_plans
from ledger.costing.takeoff import Allowances, needed, take_off
from ledger.cutting.boards import BoardPlan
from ledger.cutting.sequence import CutCounts, count_cuts
from ledger.designs.build import build
from ledger.designs.built import Build, BuiltStep
from ledger.designs.cells import is_plain
from ledger.designs.guide import typed_lengths
from ledger.designs.model import Design
from ledger.designs.store import design_of, versions
from ledger.errors import NotAllowed
from ledger.jobs.estimate import drivers_of, hours_range
from ledger.jobs.plans import MaterialLayout, kept_layout, plans
from ledger.jobs.shop_floor import wood_of
from ledger.labor.history import history
from ledger.labor.hours_range import HoursRange
from ledger.labor.standards import standards
from ledger.measures.length import measured_length, parse_length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.measures.rounding import half_up
from ledger.measures.values import replace
from ledger.reports.plan_buying import bought, for_buyer, purchases
from ledger.reports.plan_page import (
    ChosenSize,
    PlanPage,
    PlanVersion,
    TwoSizes,
)
from ledger.reports.plan_parts import OTHER, diagrams_of, joints_of, materials_of
from ledger.stock.materials import materials
from ledger.stock.prices import current_prices

NOT_BUILDING = ("office", "deliver", "service")
"""Stages of the shop's own work that whoever builds from a plan does not have."""


class PlanWork(Struct, frozen=True):
    """A version of a design with the sizes chosen for a copy, laid out.

    `inch` and `mm` are the same piece with its words in either unit.
    """

    row: DesignVersion
    design: Design
    inch: Build
    mm: Build
    known: Mapping[str, Material]
    sheets: Mapping[str, MaterialLayout]
    boards: Mapping[str, BoardPlan]
    needs: Mapping[str, Quantity]


class Outlay(Struct, frozen=True):
    """What the material costs at the book's prices, the oldest of which is of `day`.

    `lacking` are the materials without a price.
    """

    material: Money
    day: date | None
    lacking: tuple[str, ...]


def work_out(book: Book, row: DesignVersion, values: Mapping[str, str]) -> PlanWork:
    """Work out a version of a design for a buyer's sizes and lay it out.

    Raises:
        BadValue: the sizes are outside of what the design allows.
        NotAllowed: a material is not in the price list.
    """
    design, known, wood = design_of(row), materials(book), wood_of(book)
    missing = sorted(design.materials - known.keys())
    if missing:
        names = ", ".join(missing)
        raise NotAllowed(f"The design “{design.name}” names {names}, not in the price list.")
    inch, mm = (build(design, values, units, wood) for units in OTHER)
    piece = inch if book.units == "inch" else mm
    by_area = {
        code: Decimal(half_up((one.length * one.width).square_feet, 2))
        for code, one in known.items()
        if one.length and one.width
    }
    kerf = book.settings.kerf
    sheets = plans(book, piece, known, by_area)
    layouts = {code: laid.layout for code, laid in sheets.items()}
    allowances = Allowances(book.settings.edging_allowance, book.settings.fastener_allowance)
    taken = take_off(
        piece, layouts, known, allowances, kerf, {}, lambda problem: kept_layout(book, problem)
    )
    boards = board_plans(piece, _by_boards(known), kerf, lambda problem: kept_layout(book, problem))
    return PlanWork(row, design, inch, mm, known, sheets, boards, needed(taken))


def plan_page(book: Book, work: PlanWork, units: str, outlay: str = "") -> PlanPage:
    """One edition of a plan."""
    piece, other = (work.inch, work.mm) if units == "inch" else (work.mm, work.inch)
    lines, there = piece.guide.lines, other.guide.lines
    sheets = {code: (laid.problem, laid.layout) for code, laid in work.sheets.items()}
    return PlanPage(
        title=work.design.title,
        version=work.row.version,
        day=_day(book, work.row),
        maker=book.settings.shop,
        contact=book.settings.contact,
        units=units,
        picture=_one(lines, "picture"),
        size=TwoSizes(_one(lines, "size"), _one(there, "size")),
        chosen=tuple(_chosen(work.design, piece, other)),
        audience=lines.get("for", ()),
        tools=lines.get("tool", ()),
        time=_one(lines, "time"),
        cautions=(*lines.get("caution", ()), *_cautions(book, work, piece, units)),
        conditions=lines.get("conditions", ()),
        kerf=measured_length(book.settings.kerf, units, suffix=True),
        is_edged=any(part.banded and part.edging for part in piece.parts),
        materials=materials_of(piece, work.known, units),
        joints=joints_of(piece, work.known, units),
        diagrams=tuple(diagrams_of(sheets, work.boards, work.known, units)),
        purchases=tuple(purchases(work.needs, work.known, work.boards, piece.guide, units)),
        outlay=outlay,
        steps=tuple(_steps(piece)),
        history=tuple(
            PlanVersion(row.version, _day(book, row), _worked_out(row.errata, work.design, piece))
            for row in versions(book, work.row.name)
            if row.version <= work.row.version
        ),
        corrections=piece.guide.corrections,
    )


def _worked_out(errata: str, design: Design, piece: Build) -> str:
    """What a version put right, with the sizes of this copy where its corrections have formulas."""
    for typed, line in zip(design.corrections, piece.guide.corrections, strict=True):
        errata = errata.replace(typed.right, line.right)
    return errata


def outlay_of(book: Book, work: PlanWork) -> Outlay:
    """What the material of a copy costs at the book's prices, in whole packs, before tax."""
    prices = current_prices(book)
    total, days, lacking = Money(0), [], []
    for code, quantity in for_buyer(work.needs, work.inch.guide).items():
        price = prices.get(code)
        if price is None:
            lacking.append(work.known[code].name)
            continue
        total += book.currency.money(price.amount * bought(work.known[code], quantity).decimal)
        days.append(price.day)
    return Outlay(total, min(days, default=None), tuple(lacking))


def shop_hours(book: Book, work: PlanWork) -> HoursRange:
    """What building it would take the shop itself, for the maker's eyes; office and trips aside."""
    counts = sum(
        (count_cuts(laid.problem, laid.layout) for laid in work.sheets.values()), CutCounts()
    )
    sheets = sum(len(laid.layout.sheets) for laid in work.sheets.values())
    piece = work.inch if book.units == "inch" else work.mm
    building = {code: row for code, row in standards(book).items() if row.stage not in NOT_BUILDING}
    return hours_range(building, drivers_of(piece, sheets, counts), history(book))


def bare_lengths(design: Design) -> dict[int, list[str]]:
    """The steps with lengths that stand in one unit alone, for want of braces."""
    found = {step.number: typed_lengths(step.words) for step in design.steps}
    return {number: lengths for number, lengths in found.items() if lengths}


def unnamed_parts(page: PlanPage) -> tuple[str, ...]:
    """The parts that no step of the plan handles."""
    named = {part for step in page.steps for part in step.parts}
    parts = (part for material in page.materials for part in material.parts)
    return tuple(part.mark for part in parts if f"{part.mark} {part.name}".strip() not in named)


def _by_boards(known: Mapping[str, Material]) -> dict[str, Material]:
    """All lumber as boards of its usual size, so that a plan can show how parts lie on them."""
    return {
        code: one.model_copy(update={"by_tally": False}) if one.by_tally else one
        for code, one in known.items()
    }


def _one(lines: Mapping[str, Sequence[str]], name: str) -> str:
    return next(iter(lines.get(name, ())), "")


def _day(book: Book, row: DesignVersion) -> date:
    return book.entry_of(row.entry).day


def _chosen(design: Design, piece: Build, other: Build) -> Iterator[ChosenSize]:
    inner = tuple(f"{block.name}_" for block in design.blocks)
    for line in design.parameters:
        if line.name.startswith(inner):
            continue
        if is_plain(line.value) and line.name in piece.parameters:
            sizes = (_taped(build.parameters[line.name], build.units) for build in (piece, other))
            yield ChosenSize(line.name.replace("_", " "), line.words, TwoSizes(*sizes))


def _taped(words: str, units: str) -> str:
    """A parameter in words as it can be measured; a number stays as it is."""
    if not words.endswith((" in", " mm")):
        return words
    return measured_length(parse_length(words.lstrip("~"), units), units, suffix=True)


def _cautions(book: Book, work: PlanWork, piece: Build, units: str) -> Iterator[str]:
    """The cautions that hold, with names of materials in place of the shop's codes."""
    names = {code: work.known[code].name for code in work.design.materials}
    codes = re.compile(rf"\b({'|'.join(map(re.escape, sorted(names, key=len, reverse=True)))})\b")
    in_us = book.currency.code == "USD"
    for caution in cautions_for(piece, work.known, units, in_us=in_us):
        yield codes.sub(lambda match: names[match[1]], caution.words)


def _steps(piece: Build) -> Iterator[BuiltStep]:
    names = {part.id: f"{part.id} {part.name}".strip() for part in piece.parts}
    for step in piece.guide.steps:
        parts = tuple(names[mark] for mark in dict.fromkeys(step.parts))
        yield replace(step, parts=parts)
