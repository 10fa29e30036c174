"""Questions of the year's end: miles driven, and income beside the commissions."""

from datetime import date
from typing import NamedTuple

from ledger.book.journal import Book
from ledger.book.questions import IN_FORCE
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity


class Trip(NamedTuple):
    """Miles (or kilometers) driven for a job on a day, and why."""

    day: date
    job: str
    words: str
    distance: Quantity
    amount: Money


class IncomeRow(NamedTuple):
    """Income of a job beside its commission; `fee` is what a store or network kept."""

    day: date
    job: str
    stream: str
    words: str
    gross: Money
    fee: Money


_TRIPS = f"""SELECT c.day, j.number, c.words, c.quantity, c.amount FROM job_cost c
JOIN job j ON j.id = c.job WHERE c.kind = 'miles' AND c.occasion = 'actual'
AND c.day BETWEEN :first AND :last AND c.{IN_FORCE} ORDER BY c.day, c.id"""


def trips(book: Book, first: date, last: date) -> list[Trip]:
    """What was driven on some days, by day."""
    return book.query_as(Trip, _TRIPS, first=first, last=last)


_OTHER_INCOME = f"""SELECT i.day, j.number, i.stream, i.words, i.gross, i.fee FROM income i
JOIN job j ON j.id = i.job WHERE i.day BETWEEN :first AND :last AND i.{IN_FORCE}
ORDER BY i.day, i.id"""


def other_income(book: Book, first: date, last: date) -> list[IncomeRow]:
    """What builds brought beside their commissions on some days, by day."""
    return book.query_as(IncomeRow, _OTHER_INCOME, first=first, last=last)
