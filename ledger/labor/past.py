"""Jobs done before the book began, loaded for what they teach: counts, hours, price, material.

A past job needs no parts list and no material of its own. With it a new owner's first estimate
already has a history behind it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from ledger.book import Book
from ledger.book.questions.numbers import jobs_numbered
from ledger.book.tables.ground import Job
from ledger.book.tables.past import PastJob, PastLine
from ledger.errors import Ambiguous, BadFile, Fault, NotFound
from ledger.labor.nearest import PricedPiece, read_piece
from ledger.labor.standards import choose_operation, standards
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.measures.spoken import how_many

_NOTHING = Money(0)


@dataclass(frozen=True, slots=True)
class PastLineRow:
    """One operation of a past job, named as it was written: its count and what it took.

    `where` is the place in the file, for a refusal that names it.
    """

    operation: str
    driver: Quantity
    minutes: int
    where: str = ""


@dataclass(frozen=True, slots=True)
class PastJobRow:
    """A past job as it was written; its title says what it is and how large, in words.

    `other` is what else it cost (miles, fees); hours of rework stand apart from the lines.
    """

    number: str
    title: str
    done: date
    price: Money
    material: Money
    lines: tuple[PastLineRow, ...]
    helper_minutes: int = 0
    rework_minutes: int = 0
    other: Money = _NOTHING
    where: str = ""


def save_past_jobs(book: Book, jobs: Sequence[PastJobRow]) -> int:
    """Post all of the past jobs, or none and a list of what is wrong; give back how many.

    Raises:
        BadFile: a number is taken or given twice, an operation unknown or given twice.

    """
    codes = _require_sound(book, jobs)
    with book.entry("job load", how_many(len(jobs), "past job")):
        for row in jobs:
            job = book.post(Job(number=row.number, title=row.title, kind="past"))
            book.post(
                PastJob(
                    job=job.key,
                    done=row.done,
                    price=row.price,
                    material=row.material,
                    helper_minutes=row.helper_minutes,
                    rework_minutes=row.rework_minutes,
                    other=row.other,
                )
            )
            for line in row.lines:
                code = codes[line.operation]
                book.post(
                    PastLine(job=job.key, operation=code, driver=line.driver, minutes=line.minutes)
                )
    return len(jobs)


def priced_pieces(book: Book) -> list[PricedPiece]:
    """The past jobs with their prices, for a rough price of the next piece."""
    minutes: dict[int, int] = {}
    for line in book.rows(PastLine):
        minutes[line.job] = minutes.get(line.job, 0) + line.minutes
    jobs = {job.key: job for job in book.rows(Job, kind="past")}
    return [
        PricedPiece(
            job=jobs[past.job].number,
            title=jobs[past.job].title,
            done=past.done,
            price=past.price,
            minutes=minutes.get(past.job, 0),
            piece=read_piece(jobs[past.job].title, book.units),
        )
        for past in book.rows(PastJob)
    ]


def _require_sound(book: Book, jobs: Sequence[PastJobRow]) -> dict[str, str]:
    """The code of each operation as it was written; raises with all that is wrong."""
    faults: list[Fault] = []
    codes: dict[str, str] = {}
    taken = {job.number.casefold() for job in book.rows(Job)}
    known = standards(book)
    for row in jobs:
        if row.number.casefold() in taken:
            sentence = f"{row.number} is a job of this book already; give another number."
            faults.append(Fault(row.where or row.number, sentence))
        for used in jobs_numbered(book, row.number):
            if not used.in_force and used.title.casefold() != row.title.casefold():
                sentence = f"{row.number} was “{used.title}”, taken back; numbers are used once."
                faults.append(Fault(row.where or row.number, sentence))
        taken.add(row.number.casefold())
        if row.done > book.today:
            faults.append(Fault(row.where or row.number, f"{row.done} lies in the future."))
        seen: set[str] = set()
        for line in row.lines:
            where = line.where or row.where or row.number
            try:
                code = codes[line.operation] = choose_operation(known, line.operation).code
            except (NotFound, Ambiguous) as unknown:
                faults.append(Fault(where, str(unknown)))
                continue
            if code in seen:
                faults.append(Fault(where, f"{row.number} has {code} twice; add them up."))
            seen.add(code)
    if faults:
        raise BadFile(faults)
    return codes
