"""The nearest finished jobs: to hold a price against, and for a rough price on the telephone.

Past jobs that were loaded and own jobs that are closed speak alike.
"""

from collections import Counter
from decimal import Decimal
from fractions import Fraction

from ledger.book import Book
from ledger.book.questions.income import Closed, closed_jobs
from ledger.book.questions.labor import loaded_jobs
from ledger.book.questions.progress import OWNER, work_on_jobs
from ledger.book.tables.designs import DesignVersion
from ledger.book.tables.ground import Job, JobBasis
from ledger.costing.sheet import PastJobNear
from ledger.designs.build import build
from ledger.designs.store import load_version
from ledger.jobs.jobs import basis_of
from ledger.jobs.shop_floor import wood_of
from ledger.labor.nearest import DescribedPiece, PricedPiece, large_to_small, read_piece
from ledger.labor.past import priced_pieces
from ledger.measures.duration import to_hours
from ledger.measures.sizes import read_title
from ledger.measures.values import replace

SHOWN = 3
SIZE = "overall size"
"""The fact by which a design says how large its piece is."""


def near_jobs(book: Book, hours: Decimal, job: Job) -> tuple[PastJobNear, ...]:
    """The finished jobs whose hours are nearest to these of a job, nearest first.

    Earned an hour: (price − material − helper − other costs) ÷ the owner's hours, rework included,
    before overhead.
    """
    candidates = [*_past(book), *_own(book, hours, job)]
    candidates.sort(key=lambda near: (abs(near.hours - hours), near.number))
    return tuple(candidates[:SHOWN])


def _past(book: Book) -> list[PastJobNear]:
    """The past jobs that were loaded; one without price or material says nothing of an hour."""
    wage = book.settings.helper_cost
    pieces = []
    for past in loaded_jobs(book):
        owner = past.worked - past.helper_minutes
        if past.price is None or past.material is None or owner <= 0:
            continue
        helper = wage.times(Fraction(past.helper_minutes, 60))
        earned = (past.price - past.material - helper - past.other).times(Fraction(60, owner))
        hours = to_hours(past.worked)
        pieces.append(PastJobNear(past.number, past.title, past.price, hours, earned))
    return pieces


def _own(book: Book, hours: Decimal, job: Job) -> list[PastJobNear]:
    """The nearest of the closed jobs; only of these it is worked out what they brought."""
    worked, owner = _minutes(book)
    closed = [one for one in closed_jobs(book) if one.job != job.key and owner[one.job]]
    closed.sort(key=lambda one: (abs(to_hours(worked[one.job]) - hours), one.number))
    pieces = []
    for one in closed[:SHOWN]:
        done = book.row(Job, one.job)
        if done is not None:
            from ledger.jobs.done import earned_on  # a first job has none to account for

            earned = earned_on(book, done, one.price).times(Fraction(60, owner[one.job]))
            taken = to_hours(worked[one.job])
            pieces.append(PastJobNear(one.number, one.title, one.price, taken, earned))
    return pieces


def _minutes(book: Book) -> tuple[Counter[int], Counter[int]]:
    """Everybody's minutes on each job, and the owner's: rework, changes and late ones in them."""
    worked, owner = Counter[int](), Counter[int]()
    for row in work_on_jobs(book, book.today):
        worked[row.job] += row.minutes
        owner[row.job] += row.minutes if row.person == OWNER else 0
    return worked, owner


def finished_pieces(book: Book) -> list[PricedPiece]:
    """The finished jobs with price, hours and description, for a rough price of the next piece.

    Change orders are in both, price and hours, and rework is in the hours, as beside a price.
    """
    worked, _ = _minutes(book)
    own = [
        PricedPiece(one.number, one.title, one.day, one.price, worked[one.job], _piece(book, one))
        for one in closed_jobs(book)
    ]
    return [*priced_pieces(book), *own]


def _piece(book: Book, done: Closed) -> DescribedPiece:
    """What a closed job was, and how many: as its design was made, else as its title says.

    The fact of the size says nothing of a number, which only the job and the titles know.
    """
    job = book.row(Job, done.job)
    if job is None or book.last(JobBasis, job=done.job) is None:
        return read_piece(done.title, book.units)
    basis = basis_of(book, job)
    _, design = load_version(book, basis.design)
    piece = read_piece(f"{done.title}, {design.title}", book.units)
    facts = build(design, basis.parameters, book.units, wood_of(book)).facts
    size = next((value for name, value in facts.items() if name.casefold() == SIZE), "")
    return replace(
        piece,
        sizes=large_to_small(read_title(size, book.units)) or piece.sizes,
        number=basis.pieces if basis.pieces > 1 else piece.number,
        family=family_of(book, job),
    )


def family_of(book: Book, job: Job) -> str:
    """The starter design of the kind of piece that a job's title names, else its design's name."""
    titles = [job.title]
    basis = book.last(JobBasis, job=job.key)
    version = basis and book.row(DesignVersion, basis.design)
    titles += [f"{version.title} {version.name}"] if version else []
    families = (read_piece(title, book.units).family for title in titles)
    return next(filter(None, families), "")
