"""The record of estimates: closed jobs beside the points they were foretold at, and which count.

A job much of whose work has no hours stayed under its points on paper only. Where the lines without
hours of their own are more than a tenth of its estimate it is named and not counted, until the
owner says that they were logged on another line.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from ledger.book import Book
from ledger.book.questions.income import Mark, estimate_marks
from ledger.labor.calibration import record_words
from ledger.labor.history import history
from ledger.labor.observations import FORGOTTEN, NOT_DONE, NOT_LOGGED, Lesson

MOST_UNKNOWN = Fraction(1, 10)
"""The share of a job's estimate that may lack hours for it to count (*common practice*)."""

_WITHOUT = {NOT_LOGGED, NOT_DONE, FORGOTTEN}


@dataclass(frozen=True, slots=True)
class UncountedJob:
    """A closed job whose hours say too little: hours by the standards of its lines without any."""

    job: str
    without: Decimal
    estimate: Decimal
    is_answered: bool

    @property
    def words(self) -> str:
        """Why it does not count, and what would make it."""
        if not self.estimate:
            return f"{self.job} is not counted: no hours are logged on it."
        sentence = f"{self.job} is not counted: {self.without} of its {self.estimate} estimated h"
        if self.is_answered:
            return f"{sentence} were not done or forgotten."
        return (
            f"{sentence} have no hours. Say what became of each line: benchledger job close"
            f" {self.job} --unlogged LINE=ANSWER"
        )


@dataclass(frozen=True, slots=True)
class HoursRecord:
    """The closed jobs beside their points, and those of them that are not counted."""

    marks: tuple[Mark, ...] = ()
    uncounted: tuple[UncountedJob, ...] = ()

    @property
    def counted(self) -> tuple[Mark, ...]:
        """The jobs whose hours can be held against their points."""
        left = {one.job for one in self.uncounted}
        return tuple(mark for mark in self.marks if mark.number not in left)

    @property
    def under_safe(self) -> int:
        """How many of those that count stayed under their safe point."""
        return sum(mark.is_under for mark in self.counted)

    @property
    def words(self) -> list[str]:
        """What the record says, and which jobs are not in it."""
        return [
            *record_words(self.under_safe, len(self.counted)),
            *(one.words for one in self.uncounted),
        ]

    def words_of(self, job: str) -> list[str]:
        """What the record says, and of one job whether it is not in it."""
        own = (one.words for one in self.uncounted if one.job == job)
        return [*record_words(self.under_safe, len(self.counted)), *own]


def hours_record(book: Book) -> HoursRecord:
    """The record of all jobs that are closed now."""
    marks, lessons = tuple(estimate_marks(book)), history(book).lessons
    by_job: dict[str, list[Lesson]] = {mark.number: [] for mark in marks}
    for lesson in lessons:
        if lesson.job in by_job:
            by_job[lesson.job].append(lesson)
    judged = (_uncounted(number, own) for number, own in by_job.items())
    return HoursRecord(marks, tuple(one for one in judged if one is not None))


def _uncounted(job: str, lessons: Iterable[Lesson]) -> UncountedJob | None:
    estimate = without = Decimal("0.00")
    is_answered = True
    for one in lessons:
        estimate += one.estimate
        if one.estimate and not one.minutes and not one.split and one.left_out in _WITHOUT:
            without += one.estimate
            is_answered = is_answered and one.left_out != NOT_LOGGED
    if estimate and Fraction(without) <= MOST_UNKNOWN * Fraction(estimate):
        return None
    return UncountedJob(job, without, estimate, is_answered)
