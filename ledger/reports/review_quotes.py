"""Quotes of a period: won, declined, expired, by kind and size of price; what they were made of.

Pure. A quote is what one job was offered: its last revision that was sent. The hours and points are
those that were frozen with it.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from statistics import median

from msgspec import Struct

from ledger.measures.grouped import grouped
from ledger.measures.money import Money, total
from ledger.measures.rounding import half_up

WON, DECLINED, EXPIRED, WAITING = "won", "declined", "expired", "waiting"
OUTCOMES = (WON, DECLINED, EXPIRED, WAITING)


class FrozenPoints(Struct, frozen=True):
    """What stood behind a quote: its hours, their points, and the price that each would pay for.

    `at_priced`, `at_typical` and `at_safe` are the frozen build-up without its contingency, for the
    hours of that point; before rounding. None where the quote was made without a range.
    """

    hours: Decimal
    typical: Decimal | None = None
    safe: Decimal | None = None
    at_priced: Money | None = None
    at_typical: Money | None = None
    at_safe: Money | None = None


class SentQuote(Struct, frozen=True):
    """A quote that was sent, its answer, and what was frozen behind it.

    `price` is what it offered, `options` what was taken beside it. `actual_hours` are those of its
    closed job, None where too few of them are booked.
    """

    name: str
    job: str
    kind: str
    sent: date
    outcome: str
    answered: date | None
    price: Money
    why: str
    points: FrozenPoints | None
    actual_hours: Decimal | None = None
    is_canceled: bool = False
    options: Money = Money(0)

    @property
    def accepted(self) -> Money:
        """What it was won at, the options in it that were taken."""
        return self.price + self.options

    @property
    def days(self) -> int | None:
        """Days until the client answered; None where nobody did."""
        return None if self.answered is None else (self.answered - self.sent).days

    @property
    def price_an_hour(self) -> Money | None:
        """The price by the hour that it was made for, material in it."""
        if self.points is None or not self.points.hours:
            return None
        return self.price.times(1 / Fraction(self.points.hours))


class QuoteGroup(Struct, frozen=True):
    """Quotes of one kind or size of price."""

    name: str
    quotes: tuple[SentQuote, ...]

    def count(self, outcome: str) -> int:
        """How many of them came out so."""
        return sum(quote.outcome == outcome for quote in self.quotes)

    @property
    def price(self) -> Money:
        """What they offered, together."""
        return total(quote.price for quote in self.quotes)


def by_kind_of_piece(quotes: Iterable[SentQuote]) -> list[QuoteGroup]:
    """The quotes by kind of piece, the commonest kind first."""
    kinds = grouped(quotes, lambda quote: quote.kind)
    groups = [QuoteGroup(kind, tuple(of_kind)) for kind, of_kind in kinds.items()]
    return sorted(groups, key=lambda group: (-len(group.quotes), group.name))


def by_size(quotes: Sequence[SentQuote]) -> list[QuoteGroup]:
    """The quotes in three parts by price: the smallest third, the middle one, the largest."""
    ranked = sorted(quotes, key=lambda quote: (quote.price.minor, quote.name))
    third, rest = divmod(len(ranked), 3)
    ends = [third + (rest > 0), 2 * third + (rest > 0) + (rest > 1), len(ranked)]
    starts = [0, *ends[:2]]
    names = ("smallest third", "middle third", "largest third")
    return [
        QuoteGroup(name, tuple(ranked[start:end]))
        for name, start, end in zip(names, starts, ends, strict=True)
        if end > start
    ]


class PricePerHour(Struct, frozen=True):
    """The price an hour of quotes that came out alike: middle one, least and most."""

    name: str
    quotes: tuple[SentQuote, ...]
    middle: Money
    least: Money
    most: Money


def price_an_hour(name: str, quotes: Iterable[SentQuote]) -> PricePerHour | None:
    """The price an hour of these quotes with hours; None where none has any."""
    timed = tuple(quote for quote in quotes if quote.price_an_hour is not None)
    rates = sorted(hour.minor for quote in timed if (hour := quote.price_an_hour) is not None)
    if not rates:
        return None
    middle = Money(int(half_up(Fraction(median(map(Fraction, rates))), 0)))
    return PricePerHour(name, timed, middle, Money(rates[0]), Money(rates[-1]))


def middle_days(quotes: Iterable[SentQuote]) -> tuple[Decimal, int, int, int] | None:
    """Days to an answer: the middle, the least, the most, and of how many quotes."""
    days = sorted(quote.days for quote in quotes if quote.days is not None)
    if not days:
        return None
    return half_up(Fraction(median(map(Fraction, days))), 1), days[0], days[-1], len(days)
