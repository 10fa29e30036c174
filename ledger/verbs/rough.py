"""A rough price for the first call, from the nearest source that the shop has.

In this order: own past jobs of that kind; a starter design built at that size with the shop's own
rates; the shop's own rate for a kind of piece by its unit; hours that are typed; past jobs of
another kind and like size. A starter that is not built so large gives way to a rate or hours; else
it is priced at its limit. Several alike are so many times a piece. Each answer names its source,
and none is below the shop's minimum.
"""

import re
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from ledger.book import Book
from ledger.costing.buildup import round_up
from ledger.designs.kinds import PlacedSizes, place_sizes, starter_for, starter_words, within_limits
from ledger.designs.model import Design
from ledger.errors import BadValue, NotAllowed
from ledger.jobs.agreed_total import guesses_of
from ledger.jobs.near import finished_pieces
from ledger.jobs.pieces import step_of
from ledger.jobs.shop_rates import rates_of
from ledger.labor.nearest import (
    DescribedPiece,
    RoughPrice,
    read_piece,
    rough_price,
    scaled_words,
    singular_kind,
)
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.several import pieces_said
from ledger.measures.sizes import SpokenSizes, read_sizes
from ledger.measures.spoken import how_many
from ledger.measures.values import replace
from ledger.verbs.starters import RoughStarter, rough_starter
from ledger.workbooks.readers.starters import starter

_RATE = re.compile(r"(?P<kind>[^=;]+)=(?P<amount>[^/;]+)/(?P<unit>[^;]+)")
_UNITS = {"ft": "ft", "m": "m", "sq ft": "ft", "m²": "m", "m2": "m", "piece": ""}
_AREAS = ("sq ft", "m²", "m2")


class RoughAnswer(Struct, frozen=True):
    """A range for all pieces, the source that it comes from, and what stands behind it.

    `source` is `past jobs`, `starter`, `rate`, `hours` or `other kinds`; `basis` says it in words.
    `notes` are what the owner must know of the figure before saying it.
    """

    piece: DescribedPiece
    read: SpokenSizes
    low: Money
    high: Money
    source: str
    basis: str
    past: RoughPrice | None = None
    starter: RoughStarter | None = None
    notes: tuple[str, ...] = ()


def rough_answer(book: Book, phrase: str, hours: Decimal | None = None) -> RoughAnswer:
    """The rough price of a described piece, or of several alike.

    Raises:
        BadValue: a size is in doubt or unread, or nothing speaks for the piece.

    """
    if hours is not None and hours <= 0:
        raise NotAllowed("Hours are more than zero.")
    read = read_sizes(pieces_said(phrase)[1], book.units)
    if read.question:
        raise BadValue(read.question)
    piece = read_piece(phrase, book.units)
    answer = _nearest(book, piece, read, hours)
    if hours is None or answer.source == "hours":
        return answer
    by_hours = _of_hours(book, piece, read, hours)
    shown = f"By your own hours it would be {book.currency.show(by_hours.low)}: {by_hours.basis}."
    return replace(answer, notes=(*answer.notes, shown))


def _nearest(
    book: Book, piece: DescribedPiece, read: SpokenSizes, hours: Decimal | None
) -> RoughAnswer:
    past = finished_pieces(book)
    if any(piece.is_of_kind(one.piece) for one in past if one.price is not None):
        return _of_past(book, piece, read, rough_price(piece, past))
    name = starter_for(piece.words)
    if name and not any(size.side == "diameter" for size in read.sizes):
        return _of_starter(book, piece, read, name, hours)
    own = _of_rate(book, piece, read) or _of_hours_said(book, piece, read, hours)
    if own is not None:
        return own
    try:
        return _of_past(book, piece, read, rough_price(piece, past))
    except BadValue as wrong:
        raise BadValue(
            f"{str(wrong).rstrip('.')}. Or say its hours: --hours 20, or a rate of your own:"
            f' benchledger shop set "rough_rates={_rates_with(book, piece)}". Or name the nearest'
            f" starter design by a word of its own: {starter_words()}"
        ) from wrong


def _rates_with(book: Book, piece: DescribedPiece) -> str:
    """The shop's rates with one more, of the piece that was asked for."""
    before = book.settings.rough_rates
    return f"{f'{before}; ' if before else ''}{singular_kind(piece) or 'stool'}=900/piece"


def _step(book: Book, piece: DescribedPiece) -> Money:
    return step_of(book.settings.price_step, piece.number)


def _of_past(book: Book, piece: DescribedPiece, read: SpokenSizes, near: RoughPrice) -> RoughAnswer:
    step, least = _step(book, piece), book.settings.minimum_charge
    low, high = round_up(near.low, step) - step, round_up(near.high, step)
    source = "past jobs" if near.is_same_kind else "other kinds"
    basis = f"your own past jobs of this kind, {scaled_words(piece, near.near)}"
    if not near.is_same_kind:
        basis = "past jobs of another kind and like size"
    return RoughAnswer(piece, read, max(low, least), max(high, least), source, basis, past=near)


def _of_starter(
    book: Book, piece: DescribedPiece, read: SpokenSizes, name: str, hours: Decimal | None
) -> RoughAnswer:
    """A starter at the size; where it is not built so large, the shop's own figure, or its limit.

    Raises:
        BadValue: the starter refuses the sizes for another reason, and nothing else speaks.

    """
    refusal = None
    try:
        placed, beyond = within_limits(*_placed(book, read, name))
        if not beyond:
            return _built(book, piece, read, name, placed)
    except BadValue as wrong:
        refusal, beyond = wrong, str(wrong).rstrip(".")
    own = _of_rate(book, piece, read) or _of_hours_said(book, piece, read, hours)
    if own is not None:
        return replace(
            own, notes=(f"The starter design {name} is not built at this size: {beyond}.",)
        )
    if refusal is not None:
        raise refusal
    at_limit = _built(book, piece, read, name, placed, "at its limit")
    note = (
        f"The size is beyond the starter design {name}: {beyond}. Priced at the limit; what is"
        " beyond is not in the price. A rate of your own (rough_rates) or --hours takes it all."
    )
    return replace(at_limit, notes=(note, *at_limit.notes))


def _placed(book: Book, read: SpokenSizes, name: str) -> tuple[Design, PlacedSizes]:
    design = starter(name, book.units)
    return design, place_sizes(design, read)


def _built(
    book: Book,
    piece: DescribedPiece,
    read: SpokenSizes,
    name: str,
    placed: PlacedSizes,
    where: str = "at this size",
) -> RoughAnswer:
    rough = rough_starter(book, name, read, placed, piece.number)
    basis = (
        f"the starter design {name} built {where}, for no past job is of this kind: your own"
        f" rates, {_whose(rough)}, at the typical and at the safe hours"
    )
    return RoughAnswer(
        piece, read, rough.low, rough.high, "starter", basis, starter=rough, notes=rough.notes
    )


def _whose(rough: RoughStarter) -> str:
    jobs = rough.hours.jobs
    if not jobs:
        return "the starting standards of time"
    return f"standards of time as your {how_many(jobs, 'past job')} corrected them"


def _of_rate(book: Book, piece: DescribedPiece, read: SpokenSizes) -> RoughAnswer | None:
    """The shop's own rate whose words all stand in the description; that of most words first."""
    all_words = piece.words | piece.materials
    fitting = []
    for rate in _RATE.finditer(book.settings.rough_rates):
        kind = read_piece(rate["kind"], book.units)
        words = kind.words | kind.materials
        if words and words <= all_words:
            fitting.append((len(words), rate))
    if not fitting:
        return None
    rate = max(fitting, key=lambda one: one[0])[1]
    unit = rate["unit"].strip().casefold()
    if unit not in _UNITS:
        raise BadValue(f"rough_rates: “{unit}” is no unit here; write ft, m, sq ft, m² or piece.")
    amount = book.currency.parse(rate["amount"].strip())
    price = amount.times(_measure(read, unit) * piece.number)
    price = max(round_up(price, _step(book, piece)), book.settings.minimum_charge)
    basis = f"your own rate for {rate['kind'].strip()}, {book.currency.show(amount)} a {unit}"
    return RoughAnswer(piece, read, price, price, "rate", basis)


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


def _of_hours_said(
    book: Book, piece: DescribedPiece, read: SpokenSizes, hours: Decimal | None
) -> RoughAnswer | None:
    return None if hours is None else _of_hours(book, piece, read, hours)


def _of_hours(book: Book, piece: DescribedPiece, read: SpokenSizes, hours: Decimal) -> RoughAnswer:
    least = book.settings.minimum_charge
    selling, known = rates_of(book).selling, guesses_of(book)
    likely = known.corrected(hours)
    price = max(round_up(selling.times(Fraction(likely)), _step(book, piece)), least)
    whose = f" for all {piece.number} together" if piece.number > 1 else ""
    basis = f"{likely} h{whose} at {book.currency.show(selling)}; material is not in it"
    if likely != hours:
        basis += f". You said {hours} h; {known.words.removesuffix('.').lower()}"
    return RoughAnswer(piece, read, price, price, "hours", basis)
