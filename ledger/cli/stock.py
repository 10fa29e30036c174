"""`benchledger stock`: what is on hand, what goes to jobs and comes back, counts, the rack.

The rooms that do the work are imported by the verb that is used, so that help comes at once.
"""

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli import complete, voice
from ledger.cli.arguments import AfterClose, AsJson, Columns
from ledger.cli.opened import open_shop

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.verbs.stock import Moved

app = typer.Typer(no_args_is_help=True, help="Stock: on hand, issues, returns, counts, offcuts.")

Lot = Annotated[int | None, typer.Option(metavar="LOT", help="Draw from this lot, not the oldest.")]
OnDay = Annotated[str, typer.Option("--on", metavar="DAY", help="The day it happened.")]
Why = Annotated[str, typer.Option(help="The reason.")]
Together = Annotated[
    bool, typer.Option("--together", help="Of the sheets that the job shares with others.")
]
Item = Annotated[
    list[str],
    typer.Argument(
        metavar="CODE QTY",
        help="A material and how much; with --lot: QTY.",
        autocompletion=complete.material_quantity,
    ),
]
JobItem = Annotated[
    list[str],
    typer.Argument(
        metavar="JOB CODE QTY",
        help="Such as: bed EDGE78 88, or of several: bed EDGE78 88 PLY12 2.",
        autocompletion=complete.job_material,
    ),
]


@app.command(name="list")
def list_(
    text: Annotated[str, typer.Argument(help="Only those with this in code, name or kind.")] = "",
    lots: Annotated[bool, typer.Option("--lots", help="Every lot on its own.")] = False,
    every: Annotated[bool, typer.Option("--all", help="Every lot, used up or not.")] = False,
    as_json: AsJson = False,
) -> None:
    """List what is on hand: a line a material, or every lot.

    Example: benchledger stock list birch --lots
    """
    from ledger.cli import stock_shown

    stock_shown.list_stock(text, lots=lots, every=every, as_json=as_json)


@app.command()
def value(
    on: Annotated[str, typer.Option("--on", metavar="DAY", help="At its end.")] = "today",
    as_json: AsJson = False,
) -> None:
    """Say what stock was worth on a day, full value and cash; borrowed goods apart.

    Example: benchledger stock value --on 2025-05-31
    """
    from ledger.cli import stock_shown

    stock_shown.say_value(on, as_json=as_json)


@app.command()
def issue(
    words: JobItem,
    lot: Lot = None,
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
    together: Together = False,
    after_close: AfterClose = False,
) -> None:
    """Issue material to a job, the oldest lot first, at what it cost; several are one entry.

    Sheets of jobs that are cut together, once for all: stock issue bed PLY34 8 --together

    Example: benchledger stock issue bed EDGE78 88 PLY12 2 --on 2025-05-20
    """
    from ledger.cli.shared import say_if_apart
    from ledger.verbs import stock

    if together:
        if as_estimated or differs or on_camera is not None:
            raise typer.BadParameter("--together goes with a material and a quantity alone")
        _move_together("issue_together", "issued to", words, lot, on, why)
        return
    with open_shop(after_close=after_close) as book:
        if as_estimated:
            estimate = stock.read_estimate(book, " ".join(words), differs or [])
            job, moved = estimate.job, stock.issue_estimated(book, estimate, on=on)
            if estimate.shared:
                command = f"benchledger stock issue {job.number} {estimate.shared[0]} QTY"
                voice.note(
                    f"{', '.join(estimate.shared)}: cut together with another job, and issued once"
                    f" for all of them: {command} --together"
                )
        else:
            job, moved = stock.issue(book, words, lot=lot, on=on, why=why, on_camera=on_camera)
        if as_estimated and not moved and not estimate.shared:
            voice.say(f"{job.number} has all that its estimate says.")
        _say_moved(book, moved, f"issued to {job.number}")
        say_if_apart(book, job)
        voice.note(*stock.over_estimate(book, job, moved))


@app.command(name="return")
def return_(
    words: JobItem, lot: Lot = None, on: OnDay = "today", why: Why = "",
    together: Together = False,
) -> None:  # fmt: skip
    """Take back from a job what it did not use, at what it was issued.

    Example: benchledger stock return bed EDGE78 12
    """
    from ledger.verbs import stock

    if together:
        _move_together("give_back_together", "back from", words, lot, on, why)
        return
    with open_shop() as book:
        job, moved = stock.give_back(book, words, lot=lot, on=on, why=why)
        _say_moved(book, moved, f"back from {job.number}")


@app.command()
def scrap(
    words: Item,
    why: Why = "",
    damaged: Annotated[bool, typer.Option("--damaged", help="It came or got damaged.")] = False,
    job: Annotated[str, typer.Option(help="Charge it to this job.")] = "",
    lot: Lot = None,
    on: OnDay = "today",
    after_close: AfterClose = False,
) -> None:
    """Take spoiled material out of stock, with the reason; several are one entry.

    Example: benchledger stock scrap PLY34 1 --damaged --why "corner crushed, reported"
    """
    from ledger.verbs import stock

    kind = "damage" if damaged else "scrap"
    with open_shop(after_close=after_close) as book:
        moved = stock.take_out(book, kind, words, lot=lot, on=on, why=why, job=job)
        _say_moved(book, moved, "taken out as damaged" if damaged else "scrapped")


@app.command(name="send-back")
def send_back(
    words: Item,
    why: Why = "",
    job: Annotated[
        str, typer.Option(help="This job has it, not stock.", autocompletion=complete.job)
    ] = "",
    lot: Lot = None,
    on: OnDay = "today",
    others: Annotated[
        bool, typer.Option("--others", help="Other goods than those credited already.")
    ] = False,
) -> None:
    """Send material back to whom it came from; several are one entry.

    The credit note is a receipt of its own.

    The credit note may come before or after: the goods leave stock, or the job, once.

    Example: benchledger stock send-back PLY12 1 --why "wrong face"
    """
    from ledger.measures.quantity import show_quantity
    from ledger.verbs import stock

    with open_shop() as book:
        every = stock.send_back(book, words, lot=lot, on=on, why=why, job=job, others=others)
        for sent in every:
            _say_moved(book, sent.moved, "sent back", "in stock" if job else "")
            if sent.credited:
                credits = " and ".join(sent.credits)
                voice.say(
                    f"{sent.name}: {show_quantity(sent.credited)} noted as sent back; credit note"
                    f" {credits} had taken it out already. Other goods: --others"
                )


@app.command(name="own-use")
def own_use(
    words: Item,
    giveaway: Annotated[bool, typer.Option("--giveaway", help="It was given away.")] = False,
    why: Why = "",
    lot: Lot = None,
    on: OnDay = "today",
) -> None:
    """Take material for the shop itself or to give away; use tax is noted where it falls due.

    Example: benchledger stock own-use PLY12 1 --why "shelf for the shop"
    """
    from ledger.stock.use_tax import withdrawal_note
    from ledger.verbs import stock

    kind = "giveaway" if giveaway else "own_use"
    with open_shop() as book:
        moved = stock.take_out(book, kind, words, lot=lot, on=on, why=why)
        _say_moved(book, moved, "given away" if giveaway else "taken for own use")
        if note := withdrawal_note(book):
            voice.note(note)


@app.command()
def count(
    words: Annotated[
        list[str],
        typer.Argument(
            metavar="CODE QTY | FILE",
            help="What was counted.",
            autocompletion=complete.material_quantity,
        ),
    ],
    why: Why = "",
    on: OnDay = "today",
) -> None:
    """Set stock to what was counted, of one material or several; a difference needs a reason.

    Example: benchledger stock count DISC5 46 GLUE 2 --why "used and not written down"
    """
    from ledger.measures.quantity import show_quantity
    from ledger.verbs import stock
    from ledger.verbs.typed_items import read_items

    with open_shop() as book:
        if len(words) == 1:
            from ledger.workbooks.readers.counts import read_counts

            rows = [(row.material, row.counted, row.reason or why)
                    for row in read_counts(Path(words[0]), book)]  # fmt: skip
        else:
            items = read_items(book, words)
            rows = [(item.material or "", item.quantity, why) for item in items]
        for counted in stock.count(book, rows, words=" ".join(words), on=on):
            _say_moved(book, counted.moved, "found more" if counted.is_more else "found missing")
            if not counted.moved:
                quantity = show_quantity(counted.quantity)
                voice.say(f"{counted.material}: {quantity}, as the book says.")


@app.command()
def template(
    file: Annotated[Path, typer.Argument(help="Where to write it, .xlsx or .csv.")],
) -> None:
    """Write a list of opening stock to fill in, with your first materials as examples.

    Example: benchledger stock template opening.xlsx
    """
    from ledger.cli.templates import write

    write(file, "stock")


@app.command(name="open")
def open_(
    file: Annotated[Path, typer.Argument(help="Opening stock, XLSX or CSV.")],
    on: Annotated[str, typer.Option("--on", metavar="DAY", help="The day it stood.")] = "today",
    columns: Columns = None,
) -> None:
    """Enter what stood in the shop when its book begins.

    Example: benchledger stock open sample_data/opening_stock.csv --on 2025-04-01
    """
    from ledger.cli.headings import read_asking
    from ledger.measures.money import total
    from ledger.measures.spoken import how_many
    from ledger.stock.opening import open_stock, opened_materials
    from ledger.workbooks.readers.opening import read_opening

    with open_shop() as book:
        rows = read_asking(
            book, "list of opening stock", columns, lambda named: read_opening(file, book, named)
        )
        again = {row.material for row in rows} & opened_materials(book)
        lots = open_stock(book, rows, day=book.dates.read(on))
        worth = book.currency.show(total(lot.full for lot in lots))
    voice.say(f"{file.name}: {how_many(len(lots), 'lot')} of opening stock, worth {worth}.")
    if again:
        voice.warn(
            f"Opening stock was entered before of: {', '.join(sorted(again))}. If this is the same"
            " stock, take it back with: benchledger undo"
        )


@app.command()
def offcuts(
    material: Annotated[
        str,
        typer.Argument(help="Only those of this material.", autocompletion=complete.material),
    ] = "",
    as_json: AsJson = False,
) -> None:
    """Show the pieces on the rack, with their size and what they charge to a job.

    Example: benchledger stock offcuts PLY12
    """
    from ledger.cli import stock_shown

    stock_shown.list_rack(material, as_json=as_json)


@app.command()
def keep(
    job: Annotated[
        str, typer.Argument(help="The job that leaves them over.", autocompletion=complete.job)
    ],
    material: Annotated[
        str, typer.Argument(help="Of which sheets they are.", autocompletion=complete.material)
    ],
    sizes: Annotated[
        list[str], typer.Argument(metavar="LENGTHxWIDTH …", help="Length runs along the grain.")
    ],
    factory: Annotated[
        str,
        typer.Option(help="Edges not trimmed yet: near, far (long), left, right, or none."),
    ] = "",
    on: OnDay = "today",
) -> None:
    """Put a job's leftovers on the rack: half of their area cost goes back to the job, once.

    An offcut of the job's cut plan is known by its size, and so are its factory edges: the next
    layout trims those, and no others. Of another say them, with its size measured over all.

    Example: benchledger stock keep bed PLY12 95-1/2x15-11/16 95-1/2x15-11/16
    """
    from ledger.measures.length import show_length
    from ledger.measures.spoken import how_many
    from ledger.verbs.offcuts import keep as keep_offcuts

    with open_shop() as book:
        kept = keep_offcuts(book, job, material, sizes, factory=factory, on=on)
        credit = book.currency.show(kept.cost)
        units = book.units
    pieces = how_many(len(kept.pieces), "piece")
    voice.say(f"{kept.material}: {pieces} on the rack, {credit} back to {kept.jobs}.")
    for piece in kept.pieces:
        if piece.factory_edges not in ("", "none"):
            edges = piece.factory_edges.replace(" ", ", ")
            size = f"{show_length(piece.length, units)} x {show_length(piece.width, units)}"
            voice.say(
                f"Lot {piece.lot}, {size}: factory edges {edges}, trimmed when it is cut next."
            )
    if kept.too_small:
        voice.note(f"{kept.too_small} below the threshold of the shop are left out.")


def _move_together(
    verb: str, what: str, words: list[str], lot: int | None, on: str, why: str
) -> None:
    """Move sheets of a joint plan, and say each job's part."""
    from ledger.measures.rounding import half_up
    from ledger.verbs import shared_sheets

    with open_shop() as book:
        done = getattr(shared_sheets, verb)(book, words, lot=lot, on=on, why=why)
        _say_moved(book, done.moved, f"{what} {done.names}")
        for part in done.parts:
            share = half_up(part.quantity.fraction, 2)
            voice.say(f"  {part.job}: {share}, {book.currency.show(part.full)}.")


def _say_moved(book: "Book", moved: "Iterable[Moved]", what: str, where: str = "") -> None:
    """Say what moved, a line a material, and what of it is left in stock."""
    from ledger.measures.units import show_count

    for one in moved:
        size, left = show_count(one.quantity, one.unit), show_count(one.left, one.unit)
        full, cash = book.currency.show(one.cost.full), book.currency.show(one.cost.cash)
        full += f" (of it cash {cash})" if cash != full else ""
        voice.say(
            f"{one.item}: {size} {what}, {full}; {' '.join(filter(None, (left, 'left', where)))}."
        )
        if one.cost.use_tax:
            voice.note(f"Use tax of {book.currency.show(one.cost.use_tax)} falls due on it.")
