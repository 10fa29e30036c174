"""The nearest finished jobs: to hold a price against, and for a rough price on the telephone.

Past jobs that were loaded and own jobs that are closed speak alike.
"""

import re
from decimal import Decimal
from fractions import Fraction

from ledger.book import Book
from ledger.book.tables.ground import Job, JobBasis, PastJob, PastLine
from ledger.costing.sheet import PastJobNear
from ledger.designs.build import build
from ledger.designs.store import load_version
from ledger.jobs.closeout import closed_with
from ledger.jobs.jobs import basis_of
from ledger.labor.nearest import PricedPiece, read_piece
from ledger.labor.past import priced_pieces
from ledger.measures.duration import to_hours

SHOWN = 3
SIZE = "overall size"
"""The fact by which a design says how large its piece is."""


def near_jobs(book: Book, hours: Decimal, job: Job) -> tuple[PastJobNear, ...]:
    """The finished jobs whose hours are nearest to these of a job, nearest first.

    Earned an hour: (price − material − helper − other costs) ÷ the owner's hours, rework included,
    before overhead.
    """
    found = [near for near in (*_past(book), *_own(book)) if near.number != job.number]
    found.sort(key=lambda near: (abs(near.hours - hours), near.number))
    return tuple(found[:SHOWN])


def _past(book: Book) -> list[PastJobNear]:
    minutes: dict[int, int] = {}
    for line in book.rows(PastLine):
        minutes[line.job] = minutes.get(line.job, 0) + line.minutes
    wage = book.setting("helper_cost")
    found = []
    for past in book.rows(PastJob):
        job = book.row(Job, past.job)
        worked = minutes.get(past.job, 0) + past.rework_minutes
        owner = worked - past.helper_minutes
        if job is None or owner <= 0:
            continue
        helper = wage.times(Fraction(past.helper_minutes, 60))
        earned = (past.price - past.material - helper - past.other).times(Fraction(60, owner))
        found.append(PastJobNear(job.number, job.title, past.price, to_hours(worked), earned))
    return found


def _own(book: Book) -> list[PastJobNear]:
    found = []
    for row, done in closed_with(book):
        job = book.row(Job, row.job)
        if job is None or not done.owner_minutes:
            continue
        worked = done.owner_minutes + done.helper_minutes
        earned = done.earned.times(Fraction(60, done.owner_minutes))
        found.append(PastJobNear(job.number, job.title, done.price, to_hours(worked), earned))
    return found


def finished_pieces(book: Book) -> list[PricedPiece]:
    """The finished jobs with price, hours and description, for a rough price of the next piece."""
    found = priced_pieces(book)
    for row, _ in closed_with(book):
        job = book.row(Job, row.job)
        if job is not None:
            piece = read_piece(_described(book, job), book.units)
            found.append(
                PricedPiece(job.number, job.title, row.day, row.price, row.actual_minutes, piece)
            )
    return found


def _described(book: Book, job: Job) -> str:
    """A job in words: its title, then what its design is called and how large it says it is."""
    if book.last(JobBasis, job=job.key) is None:
        return job.title
    basis = basis_of(book, job)
    _, design = load_version(book, basis.design)
    facts = build(design, basis.parameters, book.units).facts
    size = next((value for name, value in facts.items() if name.casefold() == SIZE), "")
    return f"{job.title}, {design.title} {_plain_sizes(size)}"


def _plain_sizes(text: str) -> str:
    """The sizes of “101-1/8 in W × 88 in H × 16-1/2 in D” as a title writes them.

    >>> _plain_sizes("101-1/8 in W × 88 in H × 16-1/2 in D")
    '101-1/8 × 88 × 16-1/2'
    """
    return re.sub(r"\s*\b(in|mm)?\s*[WHDL]\b", "", text)
