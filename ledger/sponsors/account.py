"""The accountant's side of free goods: income in kind when they come, expense when they are used.

Goods given for promotion stand at fair value on the day they came, with how it was found; no cash
moved. Used in a job, the same value is an expense of material. A tool that is kept is an asset.
What is lent is not the shop's and stands apart. How each of these is taxed is for the owner's tax
adviser to say.
"""

from collections.abc import Iterable
from datetime import date

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.sponsors import FreeValue, Loan, free_values, loans_on
from ledger.book.tables.ground import Job
from ledger.measures.fields import made_of
from ledger.measures.money import Money, total
from ledger.measures.quantity import Quantity
from ledger.measures.values import replace

NOTE = (
    "Values are fair values on the day of receipt; no cash was paid. Whether and when they are"
    " income, expense or assets for tax, and what the gifts and loans mean, your tax adviser says."
)

_PLACES = {
    "in_kind": "received", "opening": "opening", "reversed": "received", "offcut": "used",
    "issue": "used", "return": "used", "damage": "lost", "scrap": "lost", "count": "lost",
    "to_supplier": "sent_back", "own_use": "own_use", "giveaway": "own_use",
}  # fmt: skip
"""What each kind of lot and movement is to the accountant; an offcut kept lowers what was used."""


class AccountRow(Struct, frozen=True):
    """One event with its value, positive as it is spoken of: received, used, lost, sent back."""

    day: date
    place: str
    sponsor: str
    item: str
    quantity: Quantity
    unit: str
    value: Money
    job: str
    words: str
    method: str
    evidence: str
    document: str
    tool: bool


class InKindAccount(Struct, frozen=True):
    """Free goods of a span of days: opening + received − used − lost − sent back − own use.

    `used` is net of what came back and of offcuts kept; `tools` are those on hand at the end.
    """

    first: date
    last: date
    rows: tuple[AccountRow, ...]
    tools: tuple[AccountRow, ...]
    loans: tuple[Loan, ...]
    opening: Money
    received: Money
    used: Money
    lost: Money
    sent_back: Money
    own_use: Money
    closing: Money
    note: str = NOTE

    def of(self, place: str) -> tuple[AccountRow, ...]:
        """The rows of one place, by day."""
        return tuple(row for row in self.rows if row.place == place)


def in_kind_account(book: Book, first: date, last: date) -> InKindAccount:
    """The account of free goods from the first to the last day."""
    values = free_values(book, last)
    before = total(one.value for one in values if one.day < first)
    within = [one for one in values if one.day >= first]
    rows = tuple(_row(book, one) for one in within)
    sums = {place: total(row.value for row in rows if row.place == place)
            for place in set(_PLACES.values())}  # fmt: skip
    return InKindAccount(
        first,
        last,
        rows,
        _tools(book, values),
        tuple(loans_on(book, last)),
        opening=before + sums["opening"],
        received=sums["received"],
        used=sums["used"],
        lost=sums["lost"],
        sent_back=sums["sent_back"],
        own_use=sums["own_use"],
        closing=total(one.value for one in values),
    )


def _row(book: Book, one: FreeValue) -> AccountRow:
    place = _PLACES[one.kind]
    sign = 1 if place in ("received", "opening") else -1
    job = book.row(Job, one.job) if one.job is not None else None
    return made_of(
        AccountRow,
        one,
        place=place,
        sponsor=one.givers,
        item=one.words,
        quantity=one.quantity * sign,
        value=one.value * sign,
        job=job.number if job else "",
        words=one.reason or ("offcut kept" if one.kind == "offcut" else ""),
        tool=one.category == "tool",
    )


def _tools(book: Book, values: Iterable[FreeValue]) -> tuple[AccountRow, ...]:
    """The tools that are still there: each lot with what is left of it."""
    kept: dict[int, AccountRow] = {}
    for one in values:
        if one.category != "tool":
            continue
        if one.lot not in kept:
            kept[one.lot] = _row(book, one)
            continue
        row = kept[one.lot]
        kept[one.lot] = replace(
            row, quantity=row.quantity + one.quantity, value=row.value + one.value
        )
    return tuple(row for row in kept.values() if row.quantity)
