"""Jobs done before the book began, loaded for what they teach: counts, hours, price, material.

A past job needs no parts list and no material of its own. With it a new owner's first estimate
already has a history behind it. Of some only the hours in all are known; with counts they move the
shop's level, without them they speak of their kind of piece and of the owner's guesses alone. A
price or material that is not known is none, never 0.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.labor import loaded_jobs
from ledger.book.questions.numbers import jobs_numbered
from ledger.book.tables.ground import Job
from ledger.errors import Ambiguous, BadFile, Fault, NotFound
from ledger.labor.nearest import PricedPiece, read_piece
from ledger.labor.standards import choose_operation, standards
from ledger.measures.duration import to_hours
from ledger.measures.fields import made_of
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.measures.rounding import half_up
from ledger.measures.spoken import how_many

_NOTHING = Money(0)

LEAST_GUESSES = 3
"""Guesses that must have come out before a next one is corrected (*common practice, no source*)."""


class PastLineRow(Struct, frozen=True):
    """One operation of a past job, named as it was written: its count and what it took.

    `minutes` are 0 where only the job's total is known; `where` is the place in the file, for a
    refusal that names it.
    """

    operation: str
    driver: Quantity
    minutes: int
    where: str = ""


class PastJobRow(Struct, frozen=True):
    """A past job as it was written; its title says what it is and how large, in words.

    `other` is what else it cost (miles, fees). Hours of rework stand apart from the lines, and are
    in `minutes`, the hours in all of a job whose lines have none; `guessed` is what the maker had
    estimated. What is not known is None, of minutes 0.
    """

    number: str
    title: str
    done: date
    price: Money | None
    material: Money | None
    lines: tuple[PastLineRow, ...]
    helper_minutes: int = 0
    rework_minutes: int = 0
    other: Money = _NOTHING
    minutes: int = 0
    guessed: int = 0
    where: str = ""


class Guesses(Struct, frozen=True):
    """What the owner's own guesses of whole jobs ran at: Σ actual ÷ Σ guessed, and of how many."""

    ratio: Fraction | None
    jobs: int

    @property
    def shown(self) -> str | None:
        """The ratio to two decimals."""
        return None if self.ratio is None else f"{half_up(self.ratio, 2)}"

    @property
    def words(self) -> str:
        """A sentence, empty where no guess is known."""
        if self.ratio is None:
            return ""
        return f"Your guesses run {self.shown} × ({how_many(self.jobs, 'job')})."

    def corrected(self, hours: Decimal) -> Decimal:
        """A guess as it is likely to turn out; as it is until enough guesses are known."""
        if self.ratio is None or self.jobs < LEAST_GUESSES:
            return hours
        return half_up(Fraction(hours) * self.ratio, 2)


def guesses(jobs: Iterable[tuple[int, int]]) -> Guesses:
    """How guesses held: all minutes worked against all that were guessed, of jobs with a guess."""
    pairs = [(worked, guessed) for worked, guessed in jobs if worked and guessed]
    whole = sum(guessed for _, guessed in pairs)
    ratio = Fraction(sum(worked for worked, _ in pairs), whole) if whole else None
    return Guesses(ratio, len(pairs))


def save_past_jobs(book: Book, jobs: Sequence[PastJobRow]) -> int:
    """Post all of the past jobs, or none and a list of what is wrong; give back how many.

    Raises:
        BadFile: a number is taken or given twice, an operation unknown or given twice.

    """
    from ledger.book.tables.past import PastJob, PastLine  # reading past jobs makes no class

    codes = _require_sound(book, jobs)
    with book.entry("job load", how_many(len(jobs), "past job")):
        for row in jobs:
            job = book.post(Job(number=row.number, title=row.title, kind="past"))
            book.post(
                made_of(
                    PastJob,
                    row,
                    job=job.key,
                    price=row.price or _NOTHING,
                    material=row.material or _NOTHING,
                    price_known=row.price is not None,
                    material_known=row.material is not None,
                )
            )
            for line in row.lines:
                code = codes[line.operation]
                book.post(
                    PastLine(job=job.key, operation=code, driver=line.driver, minutes=line.minutes)
                )
    return len(jobs)


def priced_pieces(book: Book) -> list[PricedPiece]:
    """The past jobs with all their hours and what is known of their prices, for a rough price."""
    return [
        made_of(
            PricedPiece,
            past,
            job=past.number,
            minutes=past.worked,
            piece=read_piece(past.title, book.units),
        )
        for past in loaded_jobs(book)
    ]


def loaded_words(jobs: Sequence[PastJobRow], hours_year: Fraction) -> list[str]:
    """What past jobs that are just loaded teach less than others, and what they say together."""
    words = []
    totals = [job for job in jobs if job.minutes]
    bare = [job for job in totals if not job.lines]
    if totals:
        words.append(
            f"Known by their total alone: {_numbers(totals)}. One with counts moves the shop's"
            " level (give the counts of all that was done); no operation learns from it."
        )
    if bare:
        words.append(
            f"Without counts: {_numbers(bare)}. They speak of their kind of piece and of your"
            " guesses only."
        )
    for name in ("price", "material"):
        if lacking := [job for job in jobs if getattr(job, name) is None]:
            words.append(
                f"The {name} is not known, and left out of every mean: {_numbers(lacking)}."
            )
    return words + ([_billable_words(jobs, hours_year)] if totals else [])


def _numbers(jobs: Sequence[PastJobRow]) -> str:
    return ", ".join(job.number for job in jobs)


def _billable_words(jobs: Sequence[PastJobRow], hours_year: Fraction) -> str:
    """The owner's hours on the jobs of their last year as a share of a year's hours."""
    last = max(job.done for job in jobs)
    year = [job for job in jobs if (last - job.done).days < 365]
    taken = [
        (job.minutes or sum(line.minutes for line in job.lines) + job.rework_minutes)
        - job.helper_minutes
        for job in year
    ]
    share = half_up(Fraction(sum(taken), 60) / hours_year * 100, 0)
    return (
        f"In the 12 months to {last} these jobs took {to_hours(sum(taken))} h of yours; if they"
        f" were all, {share} % of a year's {half_up(hours_year, 0)} h was billable."
    )


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
