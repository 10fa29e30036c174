"""`benchledger job rough`: a range for the first telephone call."""

from typing import Annotated

import typer

from ledger.cli import voice
from ledger.cli.arguments import AsJson
from ledger.cli.opened import open_shop
from ledger.measures.duration import to_hours
from ledger.measures.spoken import how_many


def rough(
    words: Annotated[list[str], typer.Argument(metavar="PIECE", help="What, how large, of what.")],
    as_json: AsJson = False,
) -> None:
    """Say a rough price from the nearest past jobs: for the telephone, never for a quote.

    Example: benchledger job rough bookcase 84x40x12 birch
    """
    from ledger.costing.buildup import round_up
    from ledger.errors import BadValue
    from ledger.jobs.near import finished_pieces
    from ledger.labor.nearest import read_piece, rough_price
    from ledger.labor.past import guesses, loaded_jobs
    from ledger.measures.sizes import read_sizes

    phrase = " ".join(words)
    with open_shop() as book:
        read = read_sizes(phrase, book.units)
        if read.question:
            raise BadValue(read.question)
        estimate = rough_price(read_piece(phrase, book.units), finished_pieces(book))
        repeated = read.repeated(book.units) if read.sizes else ""
        guessed = guesses(loaded_jobs(book))
        example = "84x40x12" if book.units == "inch" else "2100x1000x300"
        step, currency = book.settings.price_step, book.currency
    show = currency.show
    low, high = round_up(estimate.low, step) - step, round_up(estimate.high, step)
    if as_json:
        voice.print_json({
            "piece": phrase, "low": str(currency.decimal(low)), "high": str(currency.decimal(high)),
            "read": repeated,
            "near": [one.past.job for one in estimate.near],
            "hours": estimate.minutes and [str(to_hours(one)) for one in estimate.minutes],
            "unpriced": list(estimate.unpriced),
        })  # fmt: skip
        return
    voice.heading(f"{phrase}: between {show(low)} and {show(high)}")
    voice.table(
        ["near", "", ("price", "right"), ("hours", "right"), ("scaled", "right"), "why"],
        [
            [one.past.job, one.past.title, show(one.price),
             str(to_hours(one.past.minutes)), show(one.scaled), "; ".join(one.reasons)]
            for one in estimate.near
        ],
    )  # fmt: skip
    if estimate.minutes:
        least, most = map(to_hours, estimate.minutes)
        hours = f"{least} h" if least == most else f"{least} to {most} h"
        jobs = how_many(estimate.timed, "past job")
        voice.say(f"Hours of such a piece: {hours} ({jobs} of this kind). {guessed.words}".strip())
    if estimate.unpriced:
        voice.say(f"Price not known, so not in the range: {', '.join(estimate.unpriced)}.")
    if repeated:
        voice.note(repeated)
    else:
        voice.warn(f"No size is said; write it as {example}.")
    if not estimate.is_same_kind:
        voice.warn("No past job is of this kind; the nearest in size stand in.")
    voice.note("A range for the telephone. The quote comes from a parts list.")
