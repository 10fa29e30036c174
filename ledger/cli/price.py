"""`benchledger price`: a job's cost sheet on one screen, and where each figure comes from."""

from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli import voice
from ledger.cli.arguments import AsJson, JobWords
from ledger.cli.opened import open_shop
from ledger.measures.money import Money, total
from ledger.measures.rounding import half_up
from ledger.measures.units import count_shown, show_bought, show_count
from ledger.measures.values import replace

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ledger.book import Book
    from ledger.book.tables.ground import Job
    from ledger.costing.sheet import CostLine, CostSheet, SheetHours
    from ledger.costing.spread import PriceRange

LITTLE = Fraction(1, 20)
"""Kinds that cost less than this share of all material stand in one line of the short screen."""

app = typer.Typer(help="What a job costs and what it should be sold for.")


@app.command()
def price(
    job: JobWords = "",
    explain: Annotated[
        str,
        typer.Option(
            metavar="LINE",
            help="Say where a line or a figure comes from: a code, a group of hours, price,"
            " cost, margin, typical, safe, rework, target, near.",
        ),
    ] = "",
    xlsx: Annotated[Path | None, typer.Option(help="Write the cost sheet workbook.")] = None,
    pdf: Annotated[Path | None, typer.Option(help="Write the cost sheet as a paper.")] = None,
    every_line: Annotated[
        bool, typer.Option("--all", help="Every line and every caution.")
    ] = False,
    harder: Annotated[bool, typer.Option("--harder", help="Search longer for a layout.")] = False,
    as_json: AsJson = False,
) -> None:
    """Price a job: materials, hours, rates and the firm price, with nothing forgotten.

    Half of such jobs stay under the typical hours, 8 in 10 under the safe ones, 19 in 20 under
    those of a bad case.

    Example: benchledger price bed --explain PLY34
    """
    from ledger.jobs.jobs import find_job, last_job
    from ledger.jobs.pricing import price_job, range_of
    from ledger.reports.still_to_buy import promised_of_price

    with open_shop() as book, voice.wait("Laying out the sheets …") as tell:
        job_row = find_job(book, job) if job else last_job(book)
        quoted = _quoted_before_tax(book, job_row)
        sheet = price_job(book, job_row, harder=harder, progress=tell, before_tax=quoted)
        spread = range_of(book, sheet)
        promised = promised_of_price(book, job_row, sheet)
        sheet = replace(sheet, warnings=(*sheet.warnings, *promised))
        if xlsx:
            from ledger.cli.printed import on_letter
            from ledger.workbooks.writers.cost_sheet import write_cost_sheet

            shop, letter = book.settings.shop, on_letter(book)
            write_cost_sheet(sheet, spread, xlsx, shop, letter=letter)
        if pdf:
            from ledger.cli.printed import put_paper, shop_and_size
            from ledger.papers.cost_sheet import cost_sheet_paper

            put_paper(cost_sheet_paper(sheet, spread, *shop_and_size(book)), pdf)
    for path in filter(None, (xlsx, pdf)):
        voice.note(f"Cost sheet: {path}")
    if as_json:
        from ledger.reports.price import price_json

        voice.print_json(price_json(sheet, spread))
    elif explain:
        from ledger.cli import price_explained

        price_explained.explain(sheet, spread, explain)
    else:
        _show(sheet, spread, every_line)


def _quoted_before_tax(book: "Book", job: "Job") -> "Money | None":
    from ledger.jobs.lines import total_of

    agreed = total_of(book, job)
    if agreed is None or agreed.tax is None:
        return None
    from ledger.quotes.revisions import quoted_before_tax  # few sums are said with tax

    return quoted_before_tax(book, job, agreed)


def _show(sheet: "CostSheet", spread: "PriceRange", every_line: bool) -> None:
    """The blocks of a price: material, hours, price, what it means, what has no figure yet."""
    voice.heading(f"{sheet.job} {sheet.title}, as of {sheet.as_of} ({sheet.design})")
    if sheet.lines:
        _show_materials(sheet) if every_line else _show_material_sums(sheet)
        _show_sheets(sheet)
        voice.say()
    if sheet.hours:
        _show_hours(sheet) if every_line else _show_hour_sums(sheet)
    _show_doubts(sheet)
    voice.say()
    _show_build_up(sheet)
    for warning in sheet.warnings:
        voice.say(f"Note: {warning}")
    voice.say()
    _show_points(sheet, spread)
    _show_near(sheet, every_line)
    _show_open(sheet, every_line)


def _show_doubts(sheet: "CostSheet") -> None:
    """What the hours rest on, which past ones do not count, and work that has none."""
    from ledger.labor.observations import unbelieved_words
    from ledger.reports.price_words import basis_words, guess_words

    voice.say_all(basis_words(sheet.range) if sheet.hours else [guess_words(sheet)])
    if sheet.range.unbelieved:
        voice.say(unbelieved_words(sheet.range.unbelieved))
    voice.say_all(sheet.open_lines)


def _show_open(sheet: "CostSheet", every_line: bool) -> None:
    """Costs that have no figure yet, and cautions."""
    left = [item.item for item in sheet.forgotten if item.is_open]
    if left or sheet.cautions:
        voice.say()
    if left:
        voice.say(
            f"Not answered yet: {', '.join(left)}."
            f" Answer each, 0 is allowed: benchledger job answer {sheet.job} ITEM AMOUNT"
        )
    if every_line:
        for caution in sheet.cautions:
            voice.say(f"Caution, {caution.about}: {caution.words}")
    elif sheet.cautions:
        named = ", ".join(dict.fromkeys(caution.about for caution in sheet.cautions))
        voice.say(f"Cautions: {named} (--all says them).")


def _show_material_sums(sheet: "CostSheet") -> None:
    """Material by kind: what it costs, what of it is there, and what must still be bought."""
    voice.table(
        ["Material", ">lines", ">cost", ">in kind", ">owned", ">to buy"],
        [[kind, *_material_sums(sheet, lines)] for kind, lines in _kinds(sheet).items()],
        footer=["", *_material_sums(sheet, sheet.lines)],
    )  # fmt: skip


def _material_sums(sheet: "CostSheet", lines: "Sequence[CostLine]") -> list[str]:
    show = sheet.currency.show
    return [
        str(len(lines)),
        show(total(line.full for line in lines)),
        show(total(line.full - line.cash for line in lines)),
        show(total(line.owned_value for line in lines)),
        show(total(line.to_pay for line in lines)),
    ]


def _kinds(sheet: "CostSheet") -> "dict[str, list[CostLine]]":
    """The lines by kind of material; kinds of little cost stand together, as `--all` parts them."""
    kinds: dict[str, list[CostLine]] = {}
    for line in sheet.lines:
        kinds.setdefault(line.kind, []).append(line)
    least = sheet.totals.material_full.times(LITTLE)
    small = [kind for kind, lines in kinds.items() if total(line.full for line in lines) < least]
    if len(small) > 1:
        kinds[f"{len(small)} other kinds"] = [line for kind in small for line in kinds.pop(kind)]
    return kinds


def _show_hour_sums(sheet: "CostSheet") -> None:
    """Hours by group of operations; rework is in the typical and safe sums, not the standards'."""
    groups = list(dict.fromkeys(line.group for line in sheet.hours))
    safe = {one.group: one.p80 for one in sheet.range.groups}
    summed = {
        group: [sum(getattr(line, name) for line in sheet.hours if line.group == group)
                for name in ("standard", "history")]
        for group in groups
    }  # fmt: skip
    rework = sheet.range.p50 - sheet.range.work
    voice.table(
        ["Hours", ">standard", ">typical", ">safe"],
        [
            *([group.replace("_", " "), *map(str, summed[group]), str(safe.get(group, ""))]
              for group in groups),
            ["rework", "not in it", str(rework), "in it"],
        ],
        footer=["together", str(sum(line.standard for line in sheet.hours)),
                str(sheet.range.p50), str(sheet.range.p80)],
    )  # fmt: skip
    alone = ", each group by itself" if len(groups) > 1 else ""
    voice.say(f"Half of such jobs stay under typical, 8 in 10 under safe{alone}.")


def _show_materials(sheet: "CostSheet") -> None:
    show = sheet.currency.show
    for group, name in (("material", "Materials"), ("hardware", "Hardware")):
        lines = [line for line in sheet.lines if line.group == group]
        if not lines:
            continue
        totals = sheet.totals
        summed = totals.material if group == "material" else totals.hardware
        voice.table(
            ["", name, ">quantity", ">unit cost", ">cost", ">to buy"],
            [
                [line.item, _named(line), show_bought(line.quantity, line.unit),
                 sheet.currency.number(line.unit_cost), show(line.full), show(line.to_pay)]
                for line in lines
            ],
            footer=["", "", "", "", show(summed), show(total(line.to_pay for line in lines))],
        )  # fmt: skip


def _named(line: "CostLine") -> str:
    return line.words if line.lot is None else f"{line.words}, lot {line.lot} from the rack"


def _show_sheets(sheet: "CostSheet") -> None:
    rows = [
        (f"{one.sheets} {one.material}{_of_further_sizes(sheet, one.material)}", one.proof)
        for one in sheet.layouts
    ]
    proofs = {proof for _, proof in rows}
    if len(rows) > 1 and len(proofs) == 1:
        voice.say(f"Sheets: {', '.join(words for words, _ in rows)} (each {proofs.pop()})")
    elif rows:
        voice.say(f"Sheets: {', '.join(f'{words} ({proof})' for words, proof in rows)}")


def _of_further_sizes(sheet: "CostSheet", code: str) -> str:
    """How many of a material's sheets are of a further size, which goes by CODE/SIZE."""
    lines = [one for one in sheet.lines if one.item.startswith(f"{code}/") and one.lot is None]
    sizes = [f"{show_count(one.quantity, one.unit)} {one.item[len(code) + 1 :]}" for one in lines]
    return f", {' and '.join(sizes)} among them" if sizes else ""


def _show_hours(sheet: "CostSheet") -> None:
    rework = sheet.range.p50 - sheet.range.work
    voice.table(
        ["", "Operation", ">count", "", ">standard", ">typical", ">jobs"],
        [
            *([line.operation, line.name, _plain(line), line.unit, str(line.standard),
               str(line.history), str(line.past_jobs or "")] for line in sheet.hours),
            ["", "Rework", "", "", "not in it", str(rework), ""],
        ],
        footer=["", "", "", "", str(sum(line.standard for line in sheet.hours)),
                str(sheet.range.p50), ""],
    )  # fmt: skip
    if sheet.repeating:
        voice.say(sheet.repeating)


def _show_build_up(sheet: "CostSheet") -> None:
    from ledger.reports.price_words import base_words, firm_words

    show, totals = sheet.currency.show, sheet.totals
    voice.table(
        [base_words(sheet), "", f">amount, {sheet.currency.code}"],
        [[line.name, line.calculation, show(line.amount)] for line in sheet.build_up],
        footer=["Price", firm_words(sheet), show(totals.price)],
    )


def _show_points(sheet: "CostSheet", spread: "PriceRange") -> None:
    """What the price means at the hours it is built on and at those that such jobs stay under."""
    from ledger.reports.price_words import beside, points_of

    show = sheet.currency.show
    points = points_of(sheet, spread)
    cost = f"cost at {show(sheet.rates.break_even)}"
    voice.table(
        ["This price at", ">hours", f">{cost}", ">margin", ">you earn an hour", ">price needed"],
        [
            [words, str(point.hours), show(point.cost),
             "" if point.margin is None else f"{half_up(point.margin * 100, 1)} %",
             "" if point.after_overhead is None else show(point.after_overhead),
             show(point.price)]
            for words, point in points.items() if point is not None
        ],
    )  # fmt: skip
    voice.pairs(beside(sheet, spread))


def _show_near(sheet: "CostSheet", every_line: bool) -> None:
    """The nearest past jobs, what they left an hour told as this one's is, after overhead.

    On one screen a title is told up to its first comma.
    """
    show = sheet.currency.show
    if sheet.near:
        voice.table(
            ["near", "", ">price", ">hours", ">an hour after overhead"],
            [
                [near.number, near.title if every_line else near.title.partition(",")[0],
                 show(near.price), str(near.hours),
                 show(near.earned_per_hour - sheet.rates.overhead)]
                for near in sheet.near
            ],
        )  # fmt: skip


def _plain(line: "SheetHours") -> str:
    return f"{count_shown(line.real_count, line.unit):f}"
