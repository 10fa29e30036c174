"""`benchledger stock`: what is on hand, what goes to jobs and comes back, counts, the rack.

The rooms that do the work are imported by the verb that is used, so that help comes at once.
"""

from pathlib import Path
from typing import Annotated

import typer

from ledger.cli import complete
from ledger.cli.arguments import AfterClose, AsJson

app = typer.Typer(no_args_is_help=True, help="Stock: on hand, issues, returns, counts, offcuts.")

Lot = Annotated[int | None, typer.Option(metavar="LOT", help="Draw from this lot, not the oldest.")]
OnDay = Annotated[str, typer.Option("--on", metavar="DAY", help="The day it happened.")]
Why = Annotated[str, typer.Option(help="The reason.")]
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
        help="Such as: bed EDGE78 88.",
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
    after_close: AfterClose = False,
) -> None:
    """Issue material to a job, the oldest lot first, at what it cost.

    Example: benchledger stock issue bed EDGE78 88 --on 2025-05-20
    """
    from ledger.cli import stock_work

    if as_estimated:
        stock_work.issue_as_estimated(words, differs or [], on, after_close=after_close)
    else:
        stock_work.issue(words, lot, on, why, on_camera, after_close=after_close)


@app.command(name="return")
def return_(words: JobItem, lot: Lot = None, on: OnDay = "today", why: Why = "") -> None:
    """Take back from a job what it did not use, at what it was issued.

    Example: benchledger stock return bed EDGE78 12
    """
    from ledger.cli import stock_work

    stock_work.give_back(words, lot, on, why)


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
    """Take spoiled material out of stock, with the reason.

    Example: benchledger stock scrap PLY34 1 --damaged --why "corner crushed, reported"
    """
    from ledger.cli import stock_work

    kind = "damage" if damaged else "scrap"
    stock_work.take_out(kind, words, why, lot, on, job, after_close=after_close)


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
    """Send material back to whom it came from; the credit note is a receipt of its own.

    The credit note may come before or after: the goods leave stock, or the job, once.

    Example: benchledger stock send-back PLY12 1 --why "wrong face"
    """
    from ledger.cli import stock_work

    stock_work.send_back(words, why, lot, on, job, others=others)


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
    from ledger.cli import stock_work

    stock_work.take_out("giveaway" if giveaway else "own_use", words, why, lot, on)


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
    """Set stock to what was counted; a difference needs a reason.

    Example: benchledger stock count DISC5 46 --why "used and not written down"
    """
    from ledger.cli import stock_work

    stock_work.count(words, why, on)


@app.command(name="open")
def open_(
    file: Annotated[Path, typer.Argument(help="Opening stock, XLSX or CSV.")],
    on: Annotated[str, typer.Option("--on", metavar="DAY", help="The day it stood.")] = "today",
) -> None:
    """Enter what stood in the shop when its book begins.

    Example: benchledger stock open sample_data/opening_stock.csv --on 2025-04-01
    """
    from ledger.cli import stock_work

    stock_work.open_with(file, on)


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
    from ledger.cli import stock_rack

    stock_rack.list_rack(material, as_json=as_json)


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
    on: OnDay = "today",
) -> None:
    """Put a job's leftovers on the rack: half of their area cost goes back to the job, once.

    Example: benchledger stock keep bed PLY12 95-1/2x15-11/16 95-1/2x15-11/16
    """
    from ledger.cli import stock_rack

    stock_rack.keep(job, material, sizes, on)
