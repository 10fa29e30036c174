"""What a closed job changes in the next estimate of its operations, and what draws it there."""

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.labor import Built, WorkSum
from ledger.costing.sheet import CostSheet
from ledger.labor.history import history
from ledger.labor.plan import COUNTED
from ledger.measures.rounding import half_up
from ledger.measures.spoken import how_many

_ONE = Decimal(1)


class NextTime(Struct, frozen=True):
    """What the next estimate of an operation will do differently.

    `ran` is what its own hours came to beside the standard; `ratio` is what they count as, for few
    jobs are trusted only in part.
    """

    name: str
    standard: Decimal
    next: Decimal
    ran: Decimal
    ratio: Decimal
    jobs: int
    published: Decimal = Decimal(0)

    @property
    def pull(self) -> str:
        """What draws the ratio beyond its own hours; `published` is a share in percent."""
        if self.published < 1:
            return "the shop's other work draws it there"
        return f"a published figure still has {self.published} % of the weight"

    @property
    def words(self) -> str:
        """The next estimate, what was run at and what that counts as."""
        is_between = min(self.ran, _ONE) <= self.ratio <= max(self.ran, _ONE)
        pulled = "" if is_between else f", for {self.pull}"
        return (
            f"Next time: {self.name} {self.next} h instead of {self.standard} h: it ran"
            f" × {self.ran} over {how_many(self.jobs, 'job')}, counted from now on as"
            f" × {self.ratio}{pulled}."
        )


def lessons(
    book: Book, sheet: CostSheet, work: Iterable[WorkSum], as_if: Iterable[Built] = ()
) -> tuple[NextTime, ...]:
    """The three operations with hours whose next estimate differs most from the standard.

    `as_if` are the counts of a job that is looked at as if it was closed.
    """
    past = history(book, taught=as_if)
    logged = {row.operation for row in work if row.kind in COUNTED}
    told = []
    for line in sheet.hours:
        taught = past.learned(line.operation)
        if taught.raw is not None and line.operation in logged:
            ratio = past.used_ratio(line.operation, line.group)
            following = half_up(Fraction(line.standard) * ratio, 2)
            ran, counted = half_up(taught.raw, 2), half_up(ratio, 2)
            published = half_up(past.published(line.operation, line.group) * 100, 0)
            told.append(NextTime(
                line.name, line.standard, following, ran, counted, taught.jobs, published
            ))  # fmt: skip
    told.sort(key=lambda lesson: (-abs(lesson.next - lesson.standard), lesson.name))
    return tuple(told[:3])
