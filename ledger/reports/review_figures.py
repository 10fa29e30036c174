"""What a review is made of: blocks of tables whose rows say which jobs they come from.

A figure is explained by its parts: one job (or sponsor, supplier, month) with what it gave. An
average of fewer than five jobs is never shown without its range.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from ledger.measures.money import Currency, Money, total
from ledger.measures.rounding import half_up
from ledger.measures.values import replace

FEW = 5
"""Below this many jobs an average comes with its range (*common practice, no source*)."""

MOST_NAMES = 6
"""So many jobs are named in a sentence."""

type Datum = Money | Decimal | int | str | date | None
"""A cell: money, hours or another decimal, a count, words, a day; None where there is none."""


class Part(Struct, frozen=True):
    """What one job (or supplier, sponsor, month) gave to a figure; money or hours or words."""

    of: str
    words: str
    value: Datum = None


class ReviewRow(Struct, frozen=True):
    """A row of a table: its name, by which it is explained, its other cells, its parts.

    `is_sum` marks the row that adds the others up. `exact` has, by place, the hours that a cell
    shows rounded: by them rows are added.
    """

    name: str
    cells: tuple[Datum, ...]
    parts: tuple[Part, ...] = ()
    is_sum: bool = False
    exact: Mapping[int, Fraction] = {}


class ReviewTable(Struct, frozen=True):
    """Rows under headings; `heads` has the name's first. `key` is the table's name in JSON.

    `adds` are the heads whose cells add up, `most` is how many rows the screen shows (0: all),
    `aside` are heads that find no room there: they stand in the workbook and behind each row.
    `whole` are heads whose money is shown in whole units of the currency, for it is reckoned.
    """

    key: str
    title: str
    heads: tuple[str, ...]
    rows: tuple[ReviewRow, ...]
    adds: tuple[str, ...] = ()
    most: int = 0
    aside: tuple[str, ...] = ()
    whole: tuple[str, ...] = ()

    def shown_in(self, currency: Currency, place: int) -> Currency:
        """The currency in which the cells of a place are shown, without digits where whole."""
        return replace(currency, digits=0) if self.heads[place + 1] in self.whole else currency

    def shown(self, row: ReviewRow, place: int, currency: Currency) -> Datum:
        """A cell as it is shown in that currency: whole units where the column is so."""
        cell = row.cells[place]
        if isinstance(cell, Money) and self.heads[place + 1] in self.whole:
            return Money(int(half_up(currency.decimal(cell), 0)))
        return cell

    @property
    def places(self) -> list[int]:
        """The places of the cells that are shown: neither aside nor empty in every row."""
        return [
            place
            for place, head in enumerate(self.heads[1:])
            if head not in self.aside
            and any(row.cells[place] not in (None, "") for row in self.rows)
        ]

    def shortened(self, most: int) -> tuple[ReviewRow, ...]:
        """So many rows and the row of the sum; between them the rest in one row, what adds up."""
        body = [row for row in self.rows if not row.is_sum]
        if most < 1 or len(body) <= most + 1:
            return self.rows
        rest = body[most:]
        cells = (
            _added(rest, place) if head in self.adds else None
            for place, head in enumerate(self.heads[1:])
        )
        parts = tuple(part for row in rest for part in row.parts)
        more = ReviewRow(f"{len(rest)} more", tuple(cells), parts)
        return (*body[:most], more, *(row for row in self.rows if row.is_sum))


def _added(rows: Sequence[ReviewRow], place: int) -> Datum:
    """The sum of cells of one kind; None where none has a figure."""
    exact = [row.exact[place] for row in rows if place in row.exact]
    if exact:
        return half_up(sum(exact, Fraction(0)), 2)
    cells = (row.cells[place] for row in rows)
    figures = [cell for cell in cells if isinstance(cell, Money | Decimal | int)]
    if not figures:
        return None
    if isinstance(figures[0], Money):
        return total(cell for cell in figures if isinstance(cell, Money))
    return sum(cell for cell in figures if isinstance(cell, Decimal | int))


class Remark(Struct, frozen=True):
    """A sentence of a review, and the command by which the owner mends what it says.

    The screen shows both; a paper says what is so, and no command.
    """

    words: str
    command: str = ""

    @property
    def on_screen(self) -> str:
        """The sentence with its command."""
        return f"{self.words.removesuffix('.')}: benchledger {self.command}" if self.command else (
            self.words
        )  # fmt: skip


class ReviewBlock(Struct, frozen=True):
    """One part of a review: its tables, and remarks on what they say or lack."""

    key: str
    title: str
    tables: tuple[ReviewTable, ...]
    remarks: tuple[Remark, ...] = ()


def listed(names: Iterable[str]) -> str:
    """The first of some names, and how many more there are."""
    several = list(names)
    more = len(several) - MOST_NAMES
    return ", ".join(several) if more < 2 else f"{', '.join(several[:-more])} and {more} more"


def percent(share: Fraction) -> str:
    """A share as a whole number of hundredths."""
    return f"{half_up(share * 100, 0):f} %"


class HourlyRange(Struct, frozen=True):
    """What was earned an hour over several jobs: all of it ÷ all hours, and the least and most."""

    jobs: int
    hour: Money | None
    least: Money | None
    most: Money | None

    @property
    def is_few(self) -> bool:
        """Whether so few jobs stand behind it that the range has to be said."""
        return 1 < self.jobs < FEW


def an_hour(amount: Money, minutes: int) -> Money | None:
    """An amount by the hour; None without any."""
    return amount.times(Fraction(60, minutes)) if minutes else None


def hourly_range(earned: Iterable[tuple[Money, int]]) -> HourlyRange:
    """What jobs of these amounts and minutes earned an hour together, and apart."""
    jobs = list(earned)
    hours = [hour for amount, minutes in jobs if (hour := an_hour(amount, minutes)) is not None]
    together = an_hour(total(amount for amount, _ in jobs), sum(minutes for _, minutes in jobs))
    ordered = sorted(hours, key=lambda money: money.minor)
    ends = (ordered[0], ordered[-1]) if ordered else (None, None)
    return HourlyRange(len(jobs), together, *ends)
