"""`benchledger job rough`: a range for the first telephone call."""

from fractions import Fraction
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli import voice
from ledger.cli.arguments import AsJson
from ledger.cli.opened import open_shop
from ledger.measures.duration import to_hours
from ledger.measures.plain import plain_fields
from ledger.measures.spoken import how_many

if TYPE_CHECKING:
    from ledger.labor.nearest import RoughPrice
    from ledger.measures.money import Currency
    from ledger.verbs.rough import RoughAnswer
    from ledger.verbs.starters import RoughStarter

_LONGEST = 1_000 * 60
"""Minutes of the longest job whose hours may be typed."""


def rough(
    words: Annotated[list[str], typer.Argument(metavar="PIECE", help="What, how large, of what.")],
    hours: Annotated[
        str, typer.Option(help="Your own guess of the hours, of all pieces together.")
    ] = "",
    as_json: AsJson = False,
) -> None:
    """Say a rough price: for the telephone, never for a quote.

    It comes from your past jobs of that kind; before the first, from a starter design built at that
    size, from a rate of your own (rough_rates), or from hours that you say.

    Example: benchledger job rough "bookcase 8 ft by 7 ft by 12 in, birch"
    """
    from ledger.jobs.agreed_total import guesses_of
    from ledger.measures.duration import parse_duration
    from ledger.verbs.rough import rough_answer

    phrase = " ".join(words)
    with open_shop() as book:
        typed = to_hours(parse_duration(hours, longest=_LONGEST)) if hours else None
        answer = rough_answer(book, phrase, typed)
        guessed = guesses_of(book).words
        units, currency = book.units, book.currency
    repeated = answer.read.repeated(units) if answer.read.sizes else ""
    if as_json:
        voice.print_json(_json(answer, phrase, repeated, currency))
        return
    low, high = currency.show(answer.low), currency.show(answer.high)
    price = low if low == high else f"between {low} and {high}"
    number = answer.piece.number
    voice.heading(f"{phrase}: {price}{' together' if number > 1 else ''}")
    if number > 1:
        voice.say(f"{number} {answer.piece.kind or 'pieces'} at {_each(answer, currency)} each.")
    if answer.past is not None:
        _show_past(answer.past, currency, guessed, number)
    voice.say(f"From {answer.basis}.")
    if answer.starter is not None:
        _show_starter(answer.starter, phrase, number)
    voice.warn(*answer.notes)
    if repeated:
        voice.note(repeated)
    elif typed is None:
        example = "84x40x12" if units == "inch" else "2100x1000x300"
        voice.warn(f"No size is said; write it as {example}.")
    if answer.source == "other kinds":
        voice.warn("No past job is of this kind; the nearest in size stand in.")
    kind = "price" if low == high else "range"
    voice.note(f"A {kind} for the telephone. The quote comes from a parts list.")


def _each(answer: "RoughAnswer", currency: "Currency") -> str:
    number = answer.piece.number
    low, high = (
        currency.show(amount.times(Fraction(1, number))) for amount in (answer.low, answer.high)
    )
    return low if low == high else f"{low} to {high}"


def _json(
    answer: "RoughAnswer", phrase: str, repeated: str, currency: "Currency"
) -> dict[str, object]:
    past, starter = answer.past, answer.starter
    hours = past and past.minutes and [str(to_hours(one)) for one in past.minutes]
    if starter is not None:
        hours = [str(starter.hours.p50.hours), str(starter.hours.p80.hours)]
    return {
        "piece": phrase,
        "pieces": answer.piece.number,
        **plain_fields(answer, "low high", currency),
        "read": repeated,
        "source": answer.source,
        "near": [one.past.job for one in past.near] if past else [],
        "hours": hours or None,
        "made_of": list(starter.made_of) if starter else [],
        "unpriced": list(past.unpriced) if past else [],
        "notes": list(answer.notes),
    }


def _show_past(past: "RoughPrice", currency: "Currency", guessed: str, number: int) -> None:
    show = currency.show
    voice.table(
        ["near", "", ">price", ">hours", ">scaled", "why"],
        [
            [one.past.job, one.past.title, show(one.price),
             str(to_hours(one.past.minutes)), show(one.scaled), "; ".join(one.reasons)]
            for one in past.near
        ],
    )  # fmt: skip
    if past.minutes:
        least, most = map(to_hours, past.minutes)
        hours = f"{least} h" if least == most else f"{least} to {most} h"
        jobs = how_many(past.timed, "past job")
        whose = f"all {number}" if number > 1 else "such a piece"
        voice.say(f"Hours of {whose}: {hours} ({jobs} of this kind). {guessed}".strip())
    if past.unpriced:
        voice.say(f"Price not known, so not in the range: {', '.join(past.unpriced)}.")


def _show_starter(starter: "RoughStarter", phrase: str, number: int) -> None:
    """Say how the design was built, at which hours, and what in it is not the shop's own."""
    voice.say(f"{starter.title}. {starter.placed.words}")
    voice.say(f"Of: {'; '.join(starter.made_of)}.")
    typical, safe = starter.hours.p50.hours, starter.hours.p80.hours
    voice.say(f"Hours: {typical} typical, {safe} safe (8 in 10).")
    if starter.starting:
        codes = ", ".join(starter.starting)
        voice.warn(f"Starting prices of 2025, not your own, are in it: {codes}.")
    sets = "".join(f' --set "{name}={value}"' for name, value in starter.placed.values.items())
    sets += f" --pieces {number}" if number > 1 else ""
    title = phrase.replace('"', "")
    voice.note(f'As a job: benchledger job new "{title}" --starter {starter.name}{sets}')
