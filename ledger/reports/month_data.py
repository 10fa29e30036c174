"""The rows that a month's account is made of, for whoever wants to add them up again."""

from collections.abc import Sequence
from datetime import date

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions import month_rows
from ledger.book.questions.month import landed_by_month_and_category
from ledger.book.questions.stock import OnHand
from ledger.measures.day import Month
from ledger.measures.money import Money
from ledger.reports.invoices import PaperRow, invoice_journal
from ledger.reports.roll import MaterialRoll, roll_by_material
from ledger.stock import value_on


class MonthOfSpend(Struct, frozen=True):
    """What a month's material landed at, by category."""

    month: Month
    by_category: dict[str, Money]


class MonthData(Struct, frozen=True):
    """The month's rows: receipts, where they went, movements, stock, goods in kind, invoices."""

    lines: Sequence[month_rows.LineRow]
    shares: Sequence[month_rows.ShareRow]
    moves: Sequence[month_rows.MoveRow]
    rolls: Sequence[MaterialRoll]
    on_hand: Sequence[OnHand]
    in_kind: Sequence[month_rows.InKindRow]
    invoices: Sequence[PaperRow]
    months: Sequence[MonthOfSpend]


def month_data(book: Book, month: Month) -> MonthData:
    """Collect the rows of a month, and the spend of up to twelve months that end with it."""
    first, last = month.first, month.last
    return MonthData(
        lines=month_rows.receipt_lines(book, first, last),
        shares=month_rows.receipt_shares(book, first, last),
        moves=month_rows.moves(book, first, last),
        rolls=roll_by_material(book, first, last),
        on_hand=value_on(book, last),
        in_kind=month_rows.received_in_kind(book, first, last),
        invoices=invoice_journal(book, first, last),
        months=from_first_spend(spend_by_month(book, months_to(month, 12))),
    )


def months_to(month: Month, count: int) -> list[Month]:
    """So many months in a row, the given one last."""
    months = [month]
    for _ in range(count - 1):
        months.append(months[-1].previous())
    return months[::-1]


def spend_by_month(book: Book, months: Sequence[Month]) -> list[MonthOfSpend]:
    """The landed cost of each month by category, empty months included."""
    spend: dict[str, dict[str, Money]] = {str(month): {} for month in months}
    first: date = months[0].first
    for month, part in landed_by_month_and_category(book, first, months[-1].last):
        spend[month][part.name] = part.amount
    return [MonthOfSpend(month, spend[str(month)]) for month in months]


def from_first_spend(months: Sequence[MonthOfSpend]) -> Sequence[MonthOfSpend]:
    """The months from the first one with spend on; the last one stays whatever it holds."""
    for place, month in enumerate(months[:-1]):
        if month.by_category:
            return months[place:]
    return months[-1:]
