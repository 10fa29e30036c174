"""`benchledger kit`: kits that are sold, and a job compared with one."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from ledger.cli import complete, voice
from ledger.cli.arguments import AsJson, JobWords, read_pairs
from ledger.cli.opened import open_shop
from ledger.measures.duration import parse_duration, to_hours
from ledger.measures.money import total
from ledger.measures.plain import plain, plain_fields, plain_rows
from ledger.measures.quantity import parse_quantity
from ledger.measures.rounding import half_up
from ledger.measures.share import parse_share

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.quotes.kit import Way
    from ledger.quotes.kits import Comparison

app = typer.Typer(no_args_is_help=True, help="Kits that are sold, and a job next to one.")

LONGEST_ASSEMBLY = 1000 * 60


@app.command()
def add(
    name: Annotated[str, typer.Argument(help="What it is.")],
    price: Annotated[str, typer.Option(help="Its price, before tax.")],
    on: Annotated[str, typer.Option(help="The day the price was seen.")] = "today",
    source: Annotated[str, typer.Option("--from", help="Where it was seen.")] = "",
    shipping: Annotated[str, typer.Option(help="Shipping.")] = "0",
    tax: Annotated[str, typer.Option(help="Tax on it; else the shop's own rate.")] = "",
    lacks: Annotated[
        list[str] | None, typer.Option(metavar="NAME=AMOUNT", help="What it lacks, taxed.")
    ] = None,
    lacks_untaxed: Annotated[
        list[str] | None, typer.Option(metavar="NAME=AMOUNT", help="The same, tax included.")
    ] = None,
    assembly: Annotated[str, typer.Option(help="Person-hours to assemble it.")] = "",
    years: Annotated[int, typer.Option(help="Years it is expected to last.", min=1)] = 8,
    warranty: Annotated[str, typer.Option(help="Its warranty, as it says.")] = "",
    lift: Annotated[str, typer.Option(help="What helps with lifting: springs, none …")] = "",
    note: Annotated[str, typer.Option(help="Anything else it says of itself.")] = "",
) -> None:
    """Add a kit with its price of a day and what it lacks to do the same.

    Example: benchledger kit add "Melamine fold bed" --price 1890 --lacks bookcases=520
    """
    from ledger.quotes.kit import Extra, KitOffer
    from ledger.quotes.kits import add_kit

    with open_shop() as book:
        parse = book.currency.parse
        extras = [Extra(words, parse(amount), taxed=True) for words, amount in read_pairs(lacks)]
        extras += [
            Extra(words, parse(amount), taxed=False) for words, amount in read_pairs(lacks_untaxed)
        ]
        kit = KitOffer(
            number="",
            name=name,
            price=parse(price),
            seen=book.dates.read(on),
            source=source,
            shipping=parse(shipping),
            tax_rate=parse_share(tax) if tax else book.settings.tax_rate,
            assembly=to_hours(parse_duration(assembly, LONGEST_ASSEMBLY) if assembly else 0),
            years=years,
            warranty=warranty,
            lift_help=lift,
            note=note,
            extras=tuple(extras),
        )
        row = add_kit(book, kit)
    voice.say(f"{row.number} {row.name}, price of {row.seen}.")


@app.command(name="list")
def list_(as_json: AsJson = False) -> None:
    """List the kits with their prices and when they were seen.

    Example: benchledger kit list
    """
    from ledger.quotes.kits import kits

    with open_shop() as book:
        known, show = kits(book), book.currency.show
    if as_json:
        voice.print_json(plain_rows(known, "kit=number name price seen", book.currency))
        return
    if not known:
        voice.note("There is no kit yet: benchledger kit add NAME --price AMOUNT --on DAY")
        return
    voice.table(
        ["kit", "name", ">price", "seen", ">years", ">assembly"],
        [
            [k.number, k.name, show(k.price), str(k.seen), str(k.years),
             f"{k.assembly} h" if k.assembly else "not noted"]
            for k in known
        ],
    )  # fmt: skip


@app.command(name="compare")
def compare_(
    job: JobWords = "",
    kit: Annotated[
        str,
        typer.Argument(help="Number or any part of the name.", autocompletion=complete.kit),
    ] = "",
    wage: Annotated[str, typer.Option(help="What an own hour counts; else 20.00.")] = "",
    years: Annotated[int, typer.Option(help="Years the commission should last.", min=1)] = 20,
    plan: Annotated[str, typer.Option(help="What the plan costs a builder.")] = "0",
    skilled: Annotated[str, typer.Option(help="Hours of a skilled builder.")] = "",
    novice: Annotated[
        str, typer.Option(help="How many times longer a novice takes; else as is usual.")
    ] = "",
    client: Annotated[Path | None, typer.Option("--pdf", help="The client's page.")] = None,
    builder: Annotated[
        Path | None, typer.Option("--builder-pdf", help="The page of who builds it.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Compare a job with a kit: bought, commissioned, built by a skilled hand and a novice.

    Example: benchledger kit compare bed --wage 20 --plan 18 --pdf kit.pdf
    """
    from ledger.jobs.jobs import find_job, last_job
    from ledger.quotes.kits import NOVICE_FACTOR, compare, find_kit

    with open_shop() as book:
        comparison = compare(
            book,
            find_job(book, job) if job else last_job(book),
            find_kit(book, kit),
            wage=book.currency.parse(wage or "20"),
            years=years,
            plan=book.currency.parse(plan),
            skilled=parse_quantity(skilled, book.currency.decimal_mark).decimal
            if skilled
            else None,
            novice_factor=parse_quantity(novice, book.currency.decimal_mark).decimal
            if novice
            else NOVICE_FACTOR,
        )
        _put_pages(book, comparison, client, builder)
    if as_json:
        voice.print_json(_json(comparison))
        return
    _show(comparison)
    if not wage:
        counted = comparison.currency.show(comparison.wage)
        voice.note(f"An own hour counts {counted}, as none was said; yours: --wage AMOUNT")


def _put_pages(
    book: "Book", comparison: "Comparison", client: Path | None, builder: Path | None
) -> None:
    """Write the pages that are wanted."""
    if not (client or builder):
        return
    from ledger.cli.printed import put_paper, shop_and_size
    from ledger.papers.kit import kit_paper_for_builder, kit_paper_for_client

    shop, size = shop_and_size(book)
    if client:
        put_paper(kit_paper_for_client(comparison, shop, size), client)
        voice.note(f"The client's page: {client}")
    if builder:
        put_paper(kit_paper_for_builder(comparison, shop, size), builder)
        voice.note(f"The builder's page: {builder}")


def _show(comparison: "Comparison") -> None:
    show = comparison.currency.show
    voice.heading(
        f"{comparison.job} {comparison.title}, or {comparison.kit.number} {comparison.kit.name}"
    )
    voice.table(
        [f"kit, price of {comparison.kit.seen}", ">amount"],
        [[line.words, show(line.amount)] for line in comparison.lines],
        footer=["landed, doing the same", show(comparison.bought.cash)],
    )
    voice.table(
        ["way", ">cash", ">x kit", ">hours", f">at {show(comparison.wage)}/h", ">a year"],
        [_row(comparison, way) for way in _ways(comparison)],
    )  # fmt: skip
    for choice in (comparison.commission, *comparison.built):
        voice.say(f"{choice.way.name}: {choice.break_even.words}.")
    voice.say(
        f"A builder's material with tax and plan: {show(comparison.material)} by quantity,"
        f" {show(comparison.material_in_packs)} in whole packs."
    )
    voice.say(f"What the difference buys: {'; '.join(comparison.buys)}.")
    voice.warn(*comparison.notes)


def _ways(comparison: "Comparison") -> "list[Way]":
    return [
        comparison.bought,
        comparison.commission.way,
        *(choice.way for choice in comparison.built),
    ]


def _row(comparison: "Comparison", way: "Way") -> list[str]:
    from ledger.quotes.kit import cash_ratio

    show = comparison.currency.show
    return [
        way.name,
        show(way.cash),
        str(half_up(cash_ratio(way, comparison.bought), 2)),
        f"{way.hours.normalize():f}",
        show(way.with_labor(comparison.wage)),
        show(way.a_year) if way.a_year else "",
    ]


def _json(comparison: "Comparison") -> dict[str, Any]:
    from ledger.quotes.kit import cash_ratio

    currency = comparison.currency
    choices = {
        choice.way.name: choice.break_even for choice in (comparison.commission, *comparison.built)
    }
    return {
        **plain_fields(comparison, "job kit=kit.number seen=kit.seen currency=currency.code"),
        "landed": plain(total(line.amount for line in comparison.lines), currency),
        "lines": plain_rows(comparison.lines, "name=words amount", currency),
        "ways": [
            {
                "name": way.name,
                "cash": plain(way.cash, currency),
                "cash_ratio": str(half_up(cash_ratio(way, comparison.bought), 2)),
                "hours": f"{way.hours.normalize():f}",
                "with_own_labor": plain(way.with_labor(comparison.wage), currency),
                "a_year": plain(way.a_year, currency),
                "break_even_wage": plain(choice and choice.wage, currency),
                "in_words": choice.words if choice else "",
            }
            for way in _ways(comparison)
            for choice in [choices.get(way.name)]
        ],
        **plain_fields(comparison, "material material_in_packs", currency),
    }
