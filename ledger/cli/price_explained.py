"""What a line, a group of hours or a figure of a price comes from."""

from decimal import Decimal
from typing import TYPE_CHECKING

from ledger.cli import voice
from ledger.errors import Ambiguous, NotFound
from ledger.measures.units import show_bought

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ledger.costing.sheet import BuildUpLine, CostLine, CostSheet, SheetHours
    from ledger.costing.spread import PriceRange


def explain(sheet: "CostSheet", spread: "PriceRange", text: str) -> None:
    """Explain a figure of the screen, or the lines of that name."""
    from ledger.reports.price_words import FIGURES, explained

    name = text.strip().casefold()
    if name in FIGURES:
        voice.say(explained(sheet, spread, name))
        if all(line.name.casefold() != name for line in sheet.build_up):
            return
    group = [line for line in sheet.hours if line.group.replace("_", " ") == name]
    if group:
        _explain_group(sheet, group)
        return
    for line in _lines_of(sheet, text):
        _explain_line(sheet, line)


def _explain_group(sheet: "CostSheet", lines: "Sequence[SheetHours]") -> None:
    """A group of hours: its sums, and what each of its operations ran at."""
    (safe,) = [str(one.p80) for one in sheet.range.groups if one.group == lines[0].group] or [""]
    standard, typical = (
        sum((getattr(line, name) for line in lines), Decimal(0)) for name in ("standard", "history")
    )
    voice.heading(
        f"{lines[0].group.replace('_', ' ')}: {standard} h by the standards, typical {typical} h,"
        f" safe by itself {safe} h"
    )
    for line in lines:
        voice.say(f"{line.name}: {line.trace[-1]}")


def _explain_line(sheet: "CostSheet", line: "CostLine | SheetHours | BuildUpLine") -> None:
    from ledger.costing.sheet import CostLine, SheetHours

    if isinstance(line, CostLine):
        show = sheet.currency.show
        voice.heading(f"{line.item} {line.words}: {show(line.full)}")
        net = show_bought(line.net, line.unit)
        charged = show_bought(line.quantity, line.unit)
        voice.say(f"need: {net} net, {charged} charged: {line.basis}")
    elif isinstance(line, SheetHours):
        voice.heading(f"{line.operation} {line.name}: {line.estimate} h")
    else:
        voice.heading(f"{line.name}: {sheet.currency.show(line.amount)}")
        voice.say(line.calculation)
        rates, show = sheet.rates, sheet.currency.show
        voice.say(
            f"rates an hour: pay {show(rates.pay)} + overhead {show(rates.overhead)} = break-even"
            f" {show(rates.break_even)}; selling {show(rates.selling)}"
            f" (by formula {show(rates.selling_by_formula)})"
        )
        return
    for step in line.trace:
        voice.say(f"  {step}")


def _lines_of(sheet: "CostSheet", text: str) -> "list[CostLine | SheetHours | BuildUpLine]":
    """The line of that name, or all lines of the material of that name."""
    named: list[tuple[str, str, CostLine | SheetHours | BuildUpLine]] = [
        *((line.item, line.words, line) for line in sheet.lines),
        *((line.operation, line.name, line) for line in sheet.hours),
        *((line.name, "", line) for line in sheet.build_up),
    ]
    sought = text.strip().casefold()
    exact = [row for row in named if sought in (row[0].casefold(), row[1].casefold())]
    near = exact or [row for row in named if sought and sought in f"{row[0]}\n{row[1]}".casefold()]
    keys = list(dict.fromkeys(key for key, _, _ in near))
    if len(keys) == 1 or exact:
        return [line for key, _, line in near if key == keys[0]]
    if near:
        raise Ambiguous("line", text, keys)
    raise NotFound("line", text, [key for key, _, _ in named])
