"""`benchledger stock`: what is on hand, what goes to jobs and comes back, counts, the rack."""

from pathlib import Path
from typing import Annotated

import typer

from ledger.cli import stock_rack, stock_shown, voice
from ledger.cli.opened import open_shop
from ledger.cli.stock_typed import as_planned, job_and_item, read_item, say_moved
from ledger.errors import BadValue
from ledger.jobs.jobs import find_job
from ledger.measures.day import parse_day
from ledger.measures.quantity import parse_quantity, show_quantity
from ledger.stock import count as count_stock
from ledger.stock import issue as issue_stock
from ledger.stock import put_back, withdraw
from ledger.stock.materials import find_material

app = typer.Typer(no_args_is_help=True, help="Stock: on hand, issues, returns, counts, offcuts.")
app.command(name="list")(stock_shown.list_)
app.command()(stock_shown.value)
app.command()(stock_rack.offcuts)
app.command()(stock_rack.keep)

Lot = Annotated[int, typer.Option(metavar="LOT", help="Draw from this lot, not the oldest.")]
OnDay = Annotated[str, typer.Option("--on", metavar="DAY", help="The day it happened.")]
Why = Annotated[str, typer.Option(help="The reason.")]
Item = Annotated[
    list[str], typer.Argument(metavar="CODE QTY", help="A material and how much; with --lot: QTY.")
]
JobItem = Annotated[
    list[str], typer.Argument(metavar="JOB CODE QTY", help="Such as: bed EDGE78 88.")
]


_SAID = {
    "to_supplier": "sent back",
    "own_use": "taken for own use",
    "giveaway": "given away",
    "damage": "taken out as damaged",
    "scrap": "scrapped",
}


@app.command()
def issue(
    words: JobItem,
    lot: Lot = 0,
    on: OnDay = "today",
    why: Why = "",
    on_camera: Annotated[
        bool | None, typer.Option("--on-camera/--off-camera", help="Was it filmed?")
    ] = None,
    as_estimated: Annotated[
        bool, typer.Option("--as-estimated", help="All that the estimate says, less what it has.")
    ] = False,
    differs: Annotated[
        list[str] | None, typer.Option("--except", metavar="CODE=QTY", help="But this much of it.")
    ] = None,
) -> None:
    """Issue material to a job, the oldest lot first, at what it cost.

    Example: benchledger stock issue bed EDGE78 88 --on 2025-05-20
    """
    with open_shop() as book:
        day = parse_day(on, book.today)
        if as_estimated:
            job = find_job(book, " ".join(words))
            moved = as_planned(book, job, differs or [], day)
        else:
            job, material, quantity = job_and_item(book, words, lot)
            moved = issue_stock(
                book, job.key, material, quantity, lot=lot or None, day=day, reason=why,
                on_camera=on_camera,
            )  # fmt: skip
        say_moved(book, moved, f"issued to {job.number}")


@app.command(name="return")
def return_(words: JobItem, lot: Lot = 0, on: OnDay = "today", why: Why = "") -> None:
    """Take back from a job what it did not use, at what it was issued.

    Example: benchledger stock return bed EDGE78 12
    """
    with open_shop() as book:
        job, material, quantity = job_and_item(book, words, lot)
        moved = put_back(
            book, job.key, material, quantity, lot=lot or None, day=parse_day(on, book.today),
            reason=why,
        )  # fmt: skip
        say_moved(book, moved, f"back from {job.number}")


@app.command()
def scrap(
    words: Item,
    why: Why = "",
    damaged: Annotated[bool, typer.Option("--damaged", help="It came or got damaged.")] = False,
    job: Annotated[str, typer.Option(help="Charge it to this job.")] = "",
    lot: Lot = 0,
    on: OnDay = "today",
) -> None:
    """Take spoiled material out of stock, with the reason.

    Example: benchledger stock scrap PLY34 1 --damaged --why "corner crushed, reported"
    """
    _withdraw("damage" if damaged else "scrap", words, why, lot, on, job)


@app.command(name="send-back")
def send_back(words: Item, why: Why = "", lot: Lot = 0, on: OnDay = "today") -> None:
    """Send material back to whom it came from; the credit note is a receipt of its own.

    Example: benchledger stock send-back PLY12 1 --why "wrong face"
    """
    _withdraw("to_supplier", words, why, lot, on)


@app.command(name="own-use")
def own_use(
    words: Item,
    giveaway: Annotated[bool, typer.Option("--giveaway", help="It was given away.")] = False,
    why: Why = "",
    lot: Lot = 0,
    on: OnDay = "today",
) -> None:
    """Take material for the shop itself or to give away; use tax is noted where it falls due.

    Example: benchledger stock own-use PLY12 1 --why "shelf for the shop"
    """
    _withdraw("giveaway" if giveaway else "own_use", words, why, lot, on)


def _withdraw(kind: str, words: list[str], why: str, lot: int, on: str, job: str = "") -> None:
    with open_shop() as book:
        material, quantity = read_item(book, words, lot)
        charged = find_job(book, job).key if job else None
        moved = withdraw(
            book, kind, material, quantity, lot=lot or None, day=parse_day(on, book.today),
            reason=why, job=charged,
        )  # fmt: skip
        say_moved(book, moved, _SAID[kind])


@app.command()
def count(
    words: Annotated[
        list[str], typer.Argument(metavar="CODE QTY | FILE", help="What was counted.")
    ],
    why: Why = "",
    on: OnDay = "today",
) -> None:
    """Set stock to what was counted; a difference needs a reason.

    Example: benchledger stock count DISC5 46 --why "used and not written down"
    """
    from ledger.workbooks.readers.counts import CountRow, read_counts

    with open_shop() as book:
        day = parse_day(on, book.today)
        if len(words) == 1:
            rows = read_counts(Path(words[0]), book)
        elif len(words) == 2:
            code = find_material(book, words[0]).code
            rows = [CountRow(code, parse_quantity(words[1]), why)]
        else:
            raise BadValue("Write a material and what was counted, for example: DISC5 46")
        with book.deed("stock count", " ".join(words)):
            for row in rows:
                moved = count_stock(book, row.material, row.counted, day=day,
                                    reason=row.reason or why)  # fmt: skip
                if moved:
                    say_moved(book, moved, "found more" if moved[0].quantity.millionths > 0
                              else "found missing")  # fmt: skip
                else:
                    voice.say(f"{row.material}: {show_quantity(row.counted)}, as the book says.")


@app.command(name="open")
def open_(
    file: Annotated[Path, typer.Argument(help="Opening stock, XLSX or CSV.")],
    on: Annotated[str, typer.Option("--on", metavar="DAY", help="The day it stood.")] = "today",
) -> None:
    """Enter what stood in the shop when its book begins.

    Example: benchledger stock open sample_data/opening_stock.csv --on 2025-04-01
    """
    from ledger.measures.money import total
    from ledger.stock.opening import open_stock
    from ledger.workbooks.readers.opening import read_opening

    with open_shop() as book:
        lots = open_stock(book, read_opening(file, book), day=parse_day(on, book.today))
        worth = book.currency.show(total(lot.full for lot in lots))
    voice.say(f"{file.name}: {len(lots)} lots of opening stock, worth {worth}.")
