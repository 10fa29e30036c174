"""What is open on a job beside its design: moving a work order, old counts, prices of others."""

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence

from ledger.book import Book
from ledger.book.tables.ground import Job, JobBasis
from ledger.book.tables.operations import Operation
from ledger.costing.sheet import SheetHours
from ledger.costing.stages import Gap
from ledger.jobs.answers import counts_of, to_give_out
from ledger.jobs.lines import WORK, lines_of
from ledger.labor.standards import standards
from ledger.measures.money import Money
from ledger.measures.rounding import trimmed

_MOVING = frozenset({"trips", "visits", "pieces", "delivery", "install"})
_STRIPPING = "strip"
_COATING = frozenset({"spray", "brush", "wipe"})


def order_items(book: Book, job: Job, answered: Iterable[str]) -> tuple[Gap, ...]:
    """The open items of a work order: what its lines call for and do not have."""
    closed, number = set(answered), job.number
    operations = standards(book)
    codes = {line.name for line in lines_of(book, job, WORK)} | counts_of(book, job).keys()
    drivers = {operations[code].driver for code in codes if code in operations}
    items = []
    if codes and not drivers & _MOVING:
        basis = "nothing is packed, fetched or visited"
        items.append(Gap("delivery", basis, f"benchledger job line {number} protect 1"))
    if _STRIPPING in drivers and not drivers & _COATING:
        basis = "the old finish is stripped"
        items.append(Gap("new finish", basis, f"benchledger job line {number} brush AREA"))
    return (*(gap for gap in items if gap.what not in closed), *prices_of_others(book, job))


def old_counts(book: Book, job: Job, operations: Mapping[str, Operation]) -> Iterator[Gap]:
    """Counts made by hand before the job's sizes, design or number of pieces became others.

    One that has nothing to do with the size, such as meetings, does not grow old.
    """
    bases = book.rows(JobBasis, job=job.key)
    for code, count in counts_of(book, job).items():
        driver = operations[code].driver if code in operations else ""
        if driver in _OF_THE_JOB:
            continue
        if changed := _changed_since(bases, count.entry):
            number = f"{trimmed(count.driver.decimal):f}"
            yield Gap(
                f"count {code}",
                f"{code} {number} was counted by hand for another size ({changed})",
                f"benchledger job count {job.number} {code} {number}",
                "count it again, with the same number where it still holds",
                is_recounted=True,
            )


def _changed_since(bases: Sequence[JobBasis], entry: int) -> str:
    """What of a job's basis became another after an entry, in words; nothing where nothing did."""
    before = [basis for basis in bases if basis.entry <= entry]
    return _changed(before[-1], bases[-1]) if before else ""


_OF_THE_JOB = frozenset({
    "meetings", "visits", "jobs", "service_jobs", "trips", "delivery", "install", "repair",
})  # fmt: skip


def _changed(was: JobBasis, now: JobBasis) -> str:
    """What differs between two bases of a job, in words; nothing where nothing does."""
    old, new = json.loads(was.parameters), json.loads(now.parameters)
    words = [
        f"{name} {old.get(name, 'as designed')}, now {new.get(name, 'as designed')}"
        for name in sorted({*old, *new})
        if old.get(name) != new.get(name)
    ]
    if was.pieces != now.pieces:
        words.append(f"{was.pieces} pieces, now {now.pieces}")
    if was.design != now.design:
        words.append("another version of its design, or another design")
    return "; ".join(words)


def prices_of_others(book: Book, job: Job) -> tuple[Gap, ...]:
    """The work of others whose price is a guess, or was given for another size, until its bill."""
    return tuple(_prices_of_others(book, job))


def _prices_of_others(book: Book, job: Job) -> Iterator[Gap]:
    bases = book.rows(JobBasis, job=job.key)
    for line in to_give_out(book, job):
        show = book.currency.show(line.amount)
        line_again = f"benchledger job line {job.number} outside"
        if not line.is_quoted:
            again = f'{line_again} AMOUNT "{line.name}" --quoted'
            yield Gap(line.name, f"{show} is a guess", again, is_price=True)
        elif changed := _changed_since(bases, line.entry):
            yield Gap(
                line.name,
                f"{line.name} {show} was priced for another size ({changed})",
                f'{line_again} {book.currency.decimal(line.amount)} "{line.name}" --quoted',
                "ask its price again, and type the same where it still holds",
                is_recounted=True,
            )


def small_job_admin(
    book: Book, job: Job, hours: Iterable[SheetHours], price: Money
) -> tuple[str, ...]:
    """Say that a small job carries the admin of a large one, which is all set-up."""
    admin = [line for line in hours if line.operation == "ADM" and line.estimate]
    if not admin or price >= book.settings.small_job:
        return ()
    return (
        f"{admin[0].estimate} h of admin are in a job below your small-job sum of"
        f" {book.currency.show(book.settings.small_job)}. Half an hour of it instead:"
        f" benchledger job count {job.number} ADM=0 ADS=1",
    )
