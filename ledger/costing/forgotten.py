"""The costs that get forgotten: each line answered by the estimate or by the maker, 0 allowed.

The list is common practice, no source. A line that an operation, a material or a computed line of
the price already covers answers itself; the others stay open until `job answer` speaks.
"""

from collections.abc import Container, Iterable, Mapping, Sequence

from msgspec import Struct

from ledger.costing.completeness import COATING, SANDING
from ledger.costing.sheet import BuildUpLine, CostLine, ForgottenItem, OtherCost, SheetHours
from ledger.costing.stages import STAGES
from ledger.measures.chosen import choose
from ledger.measures.driving import driving
from ledger.measures.money import Money
from ledger.measures.values import replace


class Forgettable(Struct, frozen=True):
    """One cost that gets forgotten, and the drivers, kinds of material or costs that cover it."""

    item: str
    words: str
    drivers: tuple[str, ...] = ()
    kinds: tuple[str, ...] = ()
    computed: tuple[str, ...] = ()
    costs: tuple[str, ...] = ()


TAX_INSIDE = "tax on purchases"
"""What computes the line of tax that stays a cost: it is inside the prices of the materials."""

REWORK_INSIDE = "rework in the hours"
"""What computes rework: the price is built on hours, or covers hours, that have it in them."""

IMPROVEMENT_TAX = "tax on the material of an improvement"
"""The line of a price build-up for a job whose maker is taxed as the user of the material."""

JOINERY = (
    "rabbet", "pocket_holes", "dowels", "tenons", "loose_tenons", "joiner_tenons", "laps",
    "dovetail_width", "jig_dovetails", "frame_corners", "miter_joints", "repair", "joinery",
)  # fmt: skip
"""Drivers of joinery, and its group: an operation of the shop's own may be timed by none."""

FORGETTABLE = (
    Forgettable("design", "design, drawings and their revisions", drivers=("part_lines",)),
    Forgettable("meetings", "meetings, calls, e-mail, quotes that were lost",
                drivers=("meetings", "visits")),
    Forgettable("admin", "orders, invoices, bookkeeping of the job",
                drivers=("jobs", "service_jobs")),
    Forgettable("pick-up", "fetching material, returns, a second trip", drivers=("trips",)),
    Forgettable("miles", "driving for material, delivery and fitting", costs=("miles",)),
    Forgettable("freight", "freight on what is bought", computed=("freight",)),
    Forgettable("waste", "sheet waste, defects, matched faces", kinds=("sheet",)),
    Forgettable("sheets", "unloading, checking and breaking down sheets", drivers=("sheets",)),
    Forgettable("milling", "flattening and thicknessing solid wood",
                drivers=("board_feet", "blanks")),
    Forgettable("joinery", "cutting joints, grooves and rabbets", drivers=JOINERY),
    Forgettable("assembly", "gluing up, squaring, driving screws",
                drivers=("joints", "drawers", "repair")),
    Forgettable("coating", "putting the finish on", drivers=COATING),
    Forgettable("finish prep", "filling, masking, spray set-up and clean-up",
                drivers=("sessions", "hand_sessions", *SANDING, "strip")),
    Forgettable("packing", "protecting and loading", drivers=("pieces",)),
    Forgettable("delivery", "driving, carrying; 0 where the client collects it",
                drivers=("delivery",)),
    Forgettable("installation", "fitting on site, scribing", drivers=("install",)),
    Forgettable("consumables", "discs, glue, tape, blades, gloves", kinds=("abrasive", "supply")),
    Forgettable("card fee", "fee of payments by card", computed=("card fee",)),
    Forgettable("samples", "finish samples and mock-ups"),
    Forgettable("parking", "parking, tolls, stairs, elevator booking"),
    Forgettable("go-back", "a second visit after installation"),
    Forgettable("rework", "parts made twice", computed=(REWORK_INSIDE,)),
    Forgettable("sharpening", "sharpening and tool wear"),
    Forgettable("sales tax", "tax on purchases that stays a cost, use tax",
                computed=(TAX_INSIDE, IMPROVEMENT_TAX)),
    Forgettable("filming", "filming slows the work; editing, plan drawing"),
    Forgettable("storage", "storage while the client is not ready"),
    Forgettable("price rise", "material costs more between quote and order"),
    Forgettable("warranty", "reserve for repairs under warranty"),
    Forgettable("disposal", "disposal of waste and packing"),
    Forgettable("insurance", "insurance rider, permits"),
)  # fmt: skip


def forgettable(units: str) -> tuple[Forgettable, ...]:
    """The checklist of forgotten costs; a book in mm drives kilometers, one in inches miles.

    >>> [line.item for line in forgettable("mm")][4]
    'km'
    """
    many = driving(units).many
    return tuple(replace(f, item=many) if f.item == "miles" else f for f in FORGETTABLE)


def find_item(text: str, units: str) -> Forgettable:
    """The line of that name, or of any unambiguous part of name or words; or a stage of the work.

    Raises:
        NotFound: nothing answers.
        Ambiguous: several answer.
    """
    known, stage = forgettable(units), text.strip().casefold()
    if stage in STAGES and all(line.item != stage for line in known):
        return Forgettable(stage, STAGES[stage])
    return choose("forgotten cost", text, known, lambda line: [line.item, line.words])


def forgotten(
    answers: Mapping[str, tuple[Money, str]],
    lines: Iterable[CostLine],
    hours: Iterable[SheetHours],
    drivers: Mapping[str, str],
    build_up: Iterable[BuildUpLine],
    others: Iterable[OtherCost],
    units: str,
    *,
    is_tax_inside: bool = False,
    is_rework_priced: bool = False,
    is_order: bool = False,
    answered: Container[str] = (),
    is_tax_back: bool = False,
    tax_said: str = "",
) -> tuple[ForgottenItem, ...]:
    """The checklist of forgotten costs for one job: answered by estimate or owner, or open.

    `answers` maps an item to the maker's amount and words, `drivers` an operation to its driver;
    `is_tax_inside` says that the materials' prices have tax in them that stays a cost,
    `is_rework_priced` that the hours which the price pays for have rework in them; `is_order` that
    it is a work order; `answered` are lines that stand as open items above the price already;
    `is_tax_back` that the tax on purchases is deducted, so that none of it stays a cost; `tax_said`
    is how the owner said that the job stands to sales tax, by which its material bears some or not.
    """
    kinds = {line.kind for line in lines}
    counted = {drivers[line.operation] or line.group for line in hours if line.estimate}
    named = {line.name for line in build_up if line.amount}
    if is_tax_inside:
        named.add(TAX_INSIDE)
    if is_rework_priced:
        named.add(REWORK_INSIDE)
    costs = {cost.kind for cost in others}
    covers = (
        ("drivers", counted, "in the hours"),
        ("kinds", kinds, "in the materials"),
        ("computed", named, "computed in the price"),
        ("costs", costs, "in the other costs"),
    )
    is_finished = "finish" in kinds or bool(counted & {*COATING, "strip"})
    left_out = {
        *(() if "sheet" in kinds else _OF_SHEETS),
        *(() if "lumber" in kinds else ("milling",)),
        *(_OF_NEW_PIECES if is_order else ()),
        *(_OF_TAX if is_tax_back and _OF_TAX[0] not in answers else ()),
        *(() if is_finished or not is_order else ("finish prep", "coating")),
    }
    items = [
        line
        for line in forgettable(units)
        if line.item not in left_out and line.item not in answered
    ]
    listed = [_answered(line, answers, covers) for line in items]
    return tuple(
        replace(line, answer=f"said of the job: {tax_said}")
        if tax_said and line.is_open and line.item in _OF_TAX
        else line
        for line in listed
    )


_OF_SHEETS = ("waste", "sheets")
"""What is not asked where nothing is cut from sheets."""

_OF_TAX = ("sales tax",)
"""What is not asked where the tax on purchases is deducted."""

_OF_NEW_PIECES = (
    "milling", "joinery", "assembly", "installation", "go-back", "samples",
    "filming", "packing",
)  # fmt: skip
"""What is not asked of a work order, whose own lines say what is done."""


def _answered(
    line: Forgettable,
    answers: Mapping[str, tuple[Money, str]],
    covers: Sequence[tuple[str, set[str], str]],
) -> ForgottenItem:
    if line.item in answers:
        amount, words = answers[line.item]
        return ForgottenItem(line.item, line.words, words or "answered", amount)
    for name, present, words in covers:
        if present.intersection(getattr(line, name)):
            return ForgottenItem(line.item, line.words, words, None)
    return ForgottenItem(line.item, line.words, "", None)
