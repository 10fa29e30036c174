"""A rough price for the first call, from the nearest source that the shop has.

In this order: own past jobs of that kind; a starter design built at that size with the shop's own
rates; the shop's own rate for a kind of piece by its unit; hours that are typed; past jobs of
another kind and like size. Each answer names its source, and none is below the shop's minimum.
"""

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from ledger.book import Book
from ledger.costing.buildup import round_up
from ledger.designs.kinds import starter_for
from ledger.errors import BadValue, NotAllowed
from ledger.jobs.agreed_total import guesses_of
from ledger.jobs.near import finished_pieces
from ledger.jobs.shop_rates import rates_of
from ledger.labor.nearest import DescribedPiece, RoughPrice, read_piece, rough_price
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.sizes import SpokenSizes, read_sizes
from ledger.measures.spoken import how_many
from ledger.verbs.starters import RoughStarter, rough_starter

_RATE = re.compile(r"(?P<kind>[^=;]+)=(?P<amount>[^/;]+)/(?P<unit>[^;]+)")
_UNITS = {"ft": "ft", "m": "m", "sq ft": "ft", "m²": "m", "m2": "m", "piece": ""}
_AREAS = ("sq ft", "m²", "m2")


@dataclass(frozen=True, slots=True)
class RoughAnswer:
    """A range, the source that it comes from, and what stands behind it.

    `source` is `past jobs`, `starter`, `rate`, `hours` or `other kinds`; `basis` says it in words.
    """

    piece: DescribedPiece
    read: SpokenSizes
    low: Money
    high: Money
    source: str
    basis: str
    past: RoughPrice | None = None
    starter: RoughStarter | None = None


def rough_answer(book: Book, phrase: str, hours: Decimal | None = None) -> RoughAnswer:
    """The rough price of a described piece.

    Raises:
        BadValue: a size is in doubt or unread, or nothing speaks for the piece.

    """
    read = read_sizes(phrase, book.units)
    if read.question:
        raise BadValue(read.question)
    piece = read_piece(phrase, book.units)
    past = finished_pieces(book)
    if any(piece.words & one.piece.words for one in past if one.price is not None):
        return _of_past(book, piece, read, rough_price(piece, past))
    name = starter_for(piece.words)
    if name and not any(size.side == "diameter" for size in read.sizes):
        return _of_starter(book, piece, read, name)
    by_rate = _of_rate(book, piece, read)
    if by_rate is not None:
        return by_rate
    if hours is not None:
        return _of_hours(book, piece, read, hours)
    try:
        return _of_past(book, piece, read, rough_price(piece, past))
    except BadValue as wrong:
        raise BadValue(
            f"{str(wrong).rstrip('.')}. Or say its hours: --hours 20, or a rate of your own:"
            ' benchledger shop set "rough_rates=pulpit=900/piece"'
        ) from wrong


def _of_past(book: Book, piece: DescribedPiece, read: SpokenSizes, near: RoughPrice) -> RoughAnswer:
    step, least = book.settings.price_step, book.settings.minimum_charge
    low, high = round_up(near.low, step) - step, round_up(near.high, step)
    source = "past jobs" if near.is_same_kind else "other kinds"
    basis = "your own past jobs of this kind, scaled by size"
    if not near.is_same_kind:
        basis = "past jobs of another kind and like size"
    return RoughAnswer(piece, read, max(low, least), max(high, least), source, basis, past=near)


def _of_starter(book: Book, piece: DescribedPiece, read: SpokenSizes, name: str) -> RoughAnswer:
    rough = rough_starter(book, name, read)
    basis = (
        f"the starter design {name} built at this size, for no past job is of this kind: your own"
        f" rates, {_whose(rough)}, at the typical and at the safe hours"
    )
    return RoughAnswer(piece, read, rough.low, rough.high, "starter", basis, starter=rough)


def _whose(rough: RoughStarter) -> str:
    jobs = rough.hours.jobs
    if not jobs:
        return "the starting standards of time"
    return f"standards of time as your {how_many(jobs, 'past job')} corrected them"


def _of_rate(book: Book, piece: DescribedPiece, read: SpokenSizes) -> RoughAnswer | None:
    for found in _RATE.finditer(book.settings.rough_rates):
        kind, unit = found["kind"].strip().casefold(), found["unit"].strip().casefold()
        if kind not in piece.words:
            continue
        if unit not in _UNITS:
            raise BadValue(
                f"rough_rates: “{unit}” is no unit here; write ft, m, sq ft, m² or piece."
            )
        amount = book.currency.parse(found["amount"].strip())
        price = amount.times(_measure(read, unit))
        step, least = book.settings.price_step, book.settings.minimum_charge
        price = max(round_up(price, step), least)
        basis = f"your own rate, {book.currency.show(amount)} a {unit}"
        return RoughAnswer(piece, read, price, price, "rate", basis)
    return None


def _measure(read: SpokenSizes, unit: str) -> Fraction:
    """How many of a unit a piece has: its width, or its width by its height."""
    if unit == "piece":
        return Fraction(1)
    needed = 2 if unit in _AREAS else 1
    if len(read.sizes) < needed:
        wanted = "a width and a height" if needed == 2 else "a width"
        raise BadValue(f"Your rate is by the {unit}: say {wanted}, as 8 ft x 7 ft.")
    of_one = Length.of(1, _UNITS[unit])
    amount = Fraction(1)
    for size in read.sizes[:needed]:
        amount *= size.length / of_one
    return amount


def _of_hours(book: Book, piece: DescribedPiece, read: SpokenSizes, hours: Decimal) -> RoughAnswer:
    if hours <= 0:
        raise NotAllowed("Hours are more than zero.")
    step, least = book.settings.price_step, book.settings.minimum_charge
    selling, known = rates_of(book).selling, guesses_of(book)
    likely = known.corrected(hours)
    price = max(round_up(selling.times(Fraction(likely)), step), least)
    basis = f"{likely} h at {book.currency.show(selling)}; material is not in it"
    if likely != hours:
        basis += f". You said {hours} h; {known.words.removesuffix('.').lower()}"
    return RoughAnswer(piece, read, price, price, "hours", basis)
