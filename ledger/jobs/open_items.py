"""What is open on a job beside its design: how a work order comes and goes, prices of others."""

from collections.abc import Iterable

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.costing.stages import Gap
from ledger.jobs.answers import counts_of
from ledger.jobs.lines import OUTSIDE, WORK, lines_of
from ledger.labor.standards import standards

_MOVING = frozenset({"trips", "visits", "pieces", "delivery", "install"})
_STRIPPING = "strip"
_COATING = frozenset({"spray", "brush", "wipe"})


def order_items(book: Book, job: Job, answered: Iterable[str]) -> tuple[Gap, ...]:
    """The open items of a work order: what its lines call for and do not have."""
    closed, number = set(answered), job.number
    operations = standards(book)
    codes = {line.name for line in lines_of(book, job, WORK)} | counts_of(book, job).keys()
    drivers = {operations[code].driver for code in codes if code in operations}
    found = []
    if codes and not drivers & _MOVING:
        basis = "nothing is packed, fetched or visited"
        found.append(Gap("delivery", basis, f"benchledger job line {number} protect 1"))
    if _STRIPPING in drivers and not drivers & _COATING:
        basis = "the old finish is stripped"
        found.append(Gap("new finish", basis, f"benchledger job line {number} brush AREA"))
    return (*(gap for gap in found if gap.what not in closed), *prices_of_others(book, job))


def prices_of_others(book: Book, job: Job) -> tuple[Gap, ...]:
    """The work of others whose price is still a guess."""
    return tuple(
        Gap(
            line.name,
            f"{book.currency.show(line.amount)} is a guess",
            f'benchledger job line {job.number} outside AMOUNT "{line.name}" --quoted',
            is_price=True,
        )
        for line in lines_of(book, job, OUTSIDE)
        if not line.is_quoted
    )
