"""The costs that get forgotten: each line answered by the estimate or by the maker, 0 allowed.

The list is common practice, no source. A line that an operation, a material or a computed line of
the price already covers answers itself; the others stay open until `job answer` speaks.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from ledger.costing.sheet import BuildUpLine, CostLine, ForgottenItem, HoursLine
from ledger.errors import Ambiguous, NotFound
from ledger.measures.money import Money


@dataclass(frozen=True, slots=True)
class Forgettable:
    """One cost that gets forgotten, and the drivers or kinds of material that cover it."""

    item: str
    words: str
    drivers: tuple[str, ...] = ()
    kinds: tuple[str, ...] = ()
    computed: tuple[str, ...] = ()


TAX_INSIDE = "tax on purchases"
"""What computes the line of tax that stays a cost: it is inside the prices of the materials."""

FORGETTABLE = (
    Forgettable("design", "design, drawings and their revisions", drivers=("part_lines",)),
    Forgettable("meetings", "meetings, calls, e-mail, quotes that were lost",
                drivers=("meetings", "jobs")),
    Forgettable("pick-up", "fetching material, returns, a second trip", drivers=("trips",)),
    Forgettable("waste", "sheet waste, defects, matched faces", kinds=("sheet",)),
    Forgettable("sheets", "unloading, checking and breaking down sheets", drivers=("sheets",)),
    Forgettable("finish prep", "filling, masking, spray set-up and clean-up",
                drivers=("sessions", "sand")),
    Forgettable("delivery", "packing, loading, driving, carrying", drivers=("pieces", "delivery")),
    Forgettable("installation", "fitting on site, scribing", drivers=("install",)),
    Forgettable("consumables", "discs, glue, tape, blades, gloves", kinds=("abrasive", "supply")),
    Forgettable("card fee", "fee of payments by card", computed=("card fee",)),
    Forgettable("samples", "finish samples and mock-ups"),
    Forgettable("parking", "parking, tolls, stairs, elevator booking"),
    Forgettable("go-back", "a second visit after installation"),
    Forgettable("rework", "parts made twice"),
    Forgettable("sharpening", "sharpening and tool wear"),
    Forgettable("sales tax", "tax on purchases that stays a cost, use tax",
                computed=(TAX_INSIDE,)),
    Forgettable("filming", "filming slows the work; editing, plan drawing"),
    Forgettable("storage", "storage while the client is not ready"),
    Forgettable("price rise", "material gets dearer between quote and order"),
    Forgettable("warranty", "reserve for repairs under warranty"),
    Forgettable("disposal", "disposal of waste and packing"),
    Forgettable("insurance", "insurance rider, permits"),
)  # fmt: skip


def find_item(text: str) -> Forgettable:
    """The line of that name, or of any unambiguous part of name or words.

    Raises:
        NotFound: nothing answers.
        Ambiguous: several answer.
    """
    sought = text.strip().casefold()
    exact = [line for line in FORGETTABLE if line.item == sought]
    near = exact or [f for f in FORGETTABLE if sought and sought in f"{f.item} {f.words}"]
    if len(near) == 1:
        return near[0]
    if near:
        raise Ambiguous("line of the list", text, [line.item for line in near])
    raise NotFound("line of the list", text, [line.item for line in FORGETTABLE])


def forgotten(
    answers: Mapping[str, tuple[Money, str]],
    lines: Iterable[CostLine],
    hours: Iterable[HoursLine],
    drivers: Mapping[str, str],
    build_up: Iterable[BuildUpLine],
    *,
    is_tax_inside: bool = False,
) -> tuple[ForgottenItem, ...]:
    """The whole list for one job.

    `answers` maps an item to the maker's amount and words, `drivers` an operation to its driver;
    `is_tax_inside` says that the materials' prices have tax in them that stays a cost.
    """
    kinds = {line.kind for line in lines}
    counted = {drivers[line.operation] for line in hours if line.estimate}
    named = {line.name for line in build_up if line.amount}
    if is_tax_inside:
        named.add(TAX_INSIDE)
    return tuple(_answered(line, answers, kinds, counted, named) for line in FORGETTABLE)


def _answered(
    line: Forgettable,
    answers: Mapping[str, tuple[Money, str]],
    kinds: set[str],
    counted: set[str],
    named: set[str],
) -> ForgottenItem:
    if line.item in answers:
        amount, words = answers[line.item]
        return ForgottenItem(line.item, line.words, words or "answered", amount)
    for covered, there, words in (
        (line.drivers, counted, "in the hours"),
        (line.kinds, kinds, "in the materials"),
        (line.computed, named, "computed in the price"),
    ):
        if covered and set(covered) & there:
            return ForgottenItem(line.item, line.words, words, None)
    return ForgottenItem(line.item, line.words, "", None)
