"""Many entries at once, from a file: all of them, or none and a list of what is wrong or asked."""

from collections.abc import Mapping, Sequence
from decimal import Decimal

from msgspec import Struct

from ledger.book import Book
from ledger.errors import BadFile, BookTrouble, Fault, LedgerError, Question
from ledger.labor.log import TimeEntry, doubts, post_hours, require_loggable

MOST_ASKED = 200
"""Questions, or faults, that are told of one file."""


class Placed(Struct, frozen=True):
    """An entry of hours from a file, and the cell it stands in, for refusals."""

    where: str
    time_entry: TimeEntry


def load_hours(
    book: Book,
    rows: Sequence[Placed],
    words: str,
    *,
    plans: Mapping[int, Mapping[str, Decimal]],
    sure: bool = False,
) -> int:
    """Post all entries as one entry; `plans` has the shares of each job (its row's number).

    Raises:
        BadFile: an entry that the book cannot take; every one is listed.
        Question: entries that look like slips, all of them, and nobody said that they are right.
    """
    faults: list[Fault] = []
    questions: list[str] = []
    with book.entry("hours load", words):
        for number, placed in enumerate(rows, 1):
            time_entry = placed.time_entry
            try:
                require_loggable(book, time_entry)
            except BookTrouble:
                raise
            except LedgerError as refusal:
                faults.append(Fault(placed.where, str(refusal)))
                continue
            if not sure:
                questions += [f"{placed.where}: {doubt}" for doubt in doubts(book, time_entry)]
            if len(questions) > MOST_ASKED or len(faults) > MOST_ASKED:
                break  # nobody reads on; what is left is told once these are mended
            plan = plans.get(time_entry.job.key) if time_entry.job else None
            post_hours(book, time_entry, plan or {}, number)
        if faults:
            raise BadFile(faults)
        if questions:
            raise Question(questions)
    return len(rows)
