"""`benchledger design plan` and `design errata`: a design as a plan to sell, its corrections."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from ledger.cli import complete, voice
from ledger.cli.arguments import AsJson, read_pairs
from ledger.cli.opened import open_shop
from ledger.cli.printed import put_paper
from ledger.errors import NotAllowed, NotFound
from ledger.measures.plain import plain_fields, plain_rows
from ledger.measures.spoken import how_many

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.designs.built import BuiltCorrection
    from ledger.reports.errata import Errata
    from ledger.reports.plan import Outlay, PlanWork
    from ledger.reports.plan_page import PlanPage

DesignName = Annotated[
    str,
    typer.Argument(
        metavar="DESIGN", help="Name, or any part of it.", autocompletion=complete.design
    ),
]
Sizes = Annotated[
    list[str] | None,
    typer.Option("--set", metavar="NAME=VALUE", help="A size of the buyer's copy."),
]
Units = Annotated[str, typer.Option(help="inch (letter paper) or mm (A4); left out: as the book.")]


def plan(
    name: DesignName,
    pdf: Annotated[Path, typer.Option("--pdf", help="The file to write.")],
    values: Sizes = None,
    units: Units = "",
    version: Annotated[int | None, typer.Option("--version", min=1, help="An older one.")] = None,
    pictures: Annotated[
        Path, typer.Option(help="The folder of the pictures that the design names.")
    ] = Path(),
    with_cost: Annotated[
        bool, typer.Option("--with-cost", help="Print what the material costs, with its day.")
    ] = False,
    for_maker: Annotated[
        bool, typer.Option("--for-maker", help="Say your own hours and cost beside it, here alone.")
    ] = False,
) -> None:
    """Write a design as a plan to sell: parts in both units, cut diagrams, what to buy, steps.

    Nothing from inside the shop is in it: no price, rate, hours, supplier, sponsor or client.

    Example: benchledger design plan bed --pdf bed-plan.pdf --units inch
    """
    from ledger.designs.store import find_version
    from ledger.papers.pictures import picture
    from ledger.papers.plan import plan_paper
    from ledger.reports.plan import bare_lengths, outlay_of, plan_page, unnamed_parts, work_out

    with open_shop() as book:
        edition = _edition(book, units)
        row = find_version(book, name, version)
        work = work_out(book, row, dict(read_pairs(values)))
        outlay = outlay_of(book, work)
        page = plan_page(book, work, edition, _printed(book, outlay) if with_cost else "")
        if not page.steps:
            raise NotAllowed(
                f"{row.name} version {row.version} has no steps to sell a plan of; write them in a"
                f" sheet steps: benchledger design template FILE.xlsx --of {row.name}"
            )
        put_paper(plan_paper(page, {one: picture(pictures / one) for one in page.pictures}), pdf)
        voice.say(f"{page.title}, version {page.version}: the plan is written to {pdf}.")
        if for_maker:
            _tell_the_maker(book, work, outlay)
    _tell_lacking(page, unnamed_parts(page))
    for number, lengths in bare_lengths(work.design).items():
        voice.note(
            f"Step {number} has {', '.join(lengths)} in one unit alone; write it in braces,"
            f" {{{lengths[0]}}}, and the plan gives inches and millimeters."
        )


def _edition(book: "Book", units: str) -> str:
    chosen = units.strip().casefold() or book.units
    if chosen not in ("inch", "mm"):
        raise NotAllowed(f"An edition is in inch or mm, not “{units}”.")
    return chosen


def _printed(book: "Book", outlay: "Outlay") -> str:
    """The sentence on money for the plan itself, where the maker wants it."""
    from ledger.papers.words import day_words

    if outlay.day is None:
        raise NotAllowed("No material of the design has a price: there is no cost to print.")
    shown = book.currency.show(outlay.material, symbol=True)
    without = f" {_without(outlay)}" if outlay.lacking else ""
    day = day_words(outlay.day, book.currency, book.units)
    return (
        f"The material came to about {shown} before tax and freight, at prices of {day} or"
        f" later.{without}"
    )


def _without(outlay: "Outlay") -> str:
    return f"Not in it, for want of a price: {'; '.join(outlay.lacking)}."


def _tell_the_maker(book: "Book", work: "PlanWork", outlay: "Outlay") -> None:
    """What only the maker reads: the shop's own hours, and what the material costs the buyer."""
    from ledger.reports.plan import shop_hours

    hours = shop_hours(book, work)
    behind = how_many(hours.jobs, "job") if hours.jobs else "standards alone"
    voice.say(
        f"For you alone: building it would take your shop {hours.p50} h, or {hours.p80} h to be"
        f" safe ({behind} behind it; office, trips and delivery aside)."
    )
    if outlay.day:
        shown = book.currency.show(outlay.material, symbol=True)
        voice.say(f"For you alone: material for about {shown}, at prices of {outlay.day} or later.")
    if outlay.lacking:
        voice.say(_without(outlay))


def _tell_lacking(page: "PlanPage", unnamed: tuple[str, ...]) -> None:
    """Say what a buyer would look for in vain."""
    empty = [
        words
        for words, there in (
            ("whom it is for", page.audience), ("tools", page.tools), ("time", page.time),
            ("conditions of use", page.conditions), ("size", page.size.first),
        )
        if not there
    ]  # fmt: skip
    if empty:
        voice.note(f"The sheet plan of the design says nothing on {', '.join(empty)}.")
    if unnamed:
        voice.note(f"No step handles {', '.join(unnamed)}.")


def errata(
    name: DesignName,
    pdf: Annotated[
        Path | None, typer.Option("--pdf", help="The corrected pages as a file of their own.")
    ] = None,
    values: Sizes = None,
    order: Annotated[str, typer.Option(help="Its noted sizes for the corrected pages.")] = "",
    units: Units = "",
    as_json: AsJson = False,
) -> None:
    """List the orders that hold a version of a plan with a known fault, and what to write to them.

    Example: benchledger design errata bed --pdf bed-corrected.pdf
    """
    from ledger.papers.plan import corrected_pages
    from ledger.reports.errata import errata_of
    from ledger.reports.plan import plan_page, work_out

    with open_shop() as book:
        listed = errata_of(book, name)
        if pdf is not None:
            if not listed.corrections:
                raise NotAllowed(
                    f"{listed.row.name} version {listed.row.version} corrects nothing: write a"
                    " sheet corrections and load it as the next version."
                )
            sizes = _noted(listed, order) if order else {}
            work = work_out(book, listed.row, sizes | dict(read_pairs(values)))
            put_paper(corrected_pages(plan_page(book, work, _edition(book, units))), pdf)
    if as_json:
        voice.print_json(_errata_json(listed))
        return
    _show_errata(listed)
    if pdf is not None:
        voice.say(f"The corrected pages are written to {pdf}.")


def _noted(listed: "Errata", order: str) -> dict[str, str]:
    """The sizes that were noted with an order; none where nobody noted them."""
    from ledger.designs.expanding import read_values

    sought = order.strip().casefold()
    sizes = {one.order.casefold(): one.sizes for one in listed.copies}
    if sought not in sizes:
        raise NotFound("order at fault", order, [one.order for one in listed.copies])
    return read_values(sizes[sought])


def _show_errata(listed: "Errata") -> None:
    row = listed.row
    voice.heading(f"{row.title} ({row.name}, version {row.version}): corrections")
    if not listed.corrections:
        voice.say("This version corrects nothing in older ones.")
        return
    voice.table(
        ["version", "sizes", "was wrong", "right is"],
        [[c.numbers, c.sizes or "all", c.wrong, c.right] for c in listed.corrections],
    )
    if not listed.copies:
        noted = how_many(listed.sold, "order")
        voice.say(f"None of them needs a correction: {noted} noted with job income --order.")
        return
    voice.table(
        ["order", "sold", ">version", "sizes", ">corrections"],
        [
            [one.order, str(one.day), str(one.version), one.sizes or "not noted",
             str(len(one.corrections))]
            for one in listed.copies
        ],
        title="Orders with a version at fault",
    )  # fmt: skip
    for lines in dict.fromkeys(one.corrections for one in listed.copies):
        orders = [one.order for one in listed.copies if one.corrections == lines]
        voice.heading(f"To write to {', '.join(orders)}")
        voice.say(_letter(listed, lines))


def _ended(words: str) -> str:
    """Words with a stop at their end, where they were typed without one.

    >>> _ended("too short"), _ended("Too short.")
    ('too short.', 'Too short.')
    """
    return words if words.endswith((".", "!", "?", ":")) else f"{words}."


def _letter(listed: "Errata", lines: "tuple[BuiltCorrection, ...]") -> str:
    """The words to send to who has a copy at fault."""
    faults = "\n".join(
        f"- {_ended(line.wrong)} Right is: {_ended(line.right)}"
        + (f" This is so for {line.sizes}." if line.sizes else "")
        for line in lines
    )
    return (
        f"You have my plan of the {listed.row.title.lower()}. What is wrong in it:\n{faults}\n"
        "The corrected pages are attached. If you have built it already and something does not"
        " fit, write to me."
    )


def _errata_json(listed: "Errata") -> dict[str, Any]:
    return {
        **plain_fields(listed.row, "design=name version"),
        "corrections": plain_rows(listed.corrections, "versions sizes wrong right"),
        "orders": [
            plain_fields(one, "order day version")
            | {"sizes": one.sizes or None, "wrong": [c.wrong for c in one.corrections]}
            for one in listed.copies
        ],
        "orders_noted": listed.sold,
    }  # fmt: skip
