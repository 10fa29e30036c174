"""A job copied to be priced anew: the same piece for somebody else, or in another size.

The copy stands on the newest version of the design, so that what was put right since is in it.
Answers and planned costs come along; counts made by hand only while the sizes stay the same,
because they were counted on that piece.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from ledger.book import Book
from ledger.book.tables.designs import DesignVersion
from ledger.book.tables.ground import Job
from ledger.designs.build import build
from ledger.designs.store import find_version, load_version
from ledger.errors import NotAllowed
from ledger.jobs.answers import (
    add_cost,
    answer,
    answered_once,
    answers_of,
    costs_of,
    counts_of,
    set_count,
)
from ledger.jobs.jobs import basis_of, new_job, set_basis
from ledger.jobs.lines import copy_lines, is_work_order, set_total, total_of


@dataclass(frozen=True, slots=True)
class Copied:
    """The new job, its version of the design (a work order has none), and what was noted since."""

    job: Job
    version: DesignVersion | None
    errata: tuple[str, ...]
    counts_left: bool


def copy_job(
    book: Book,
    job: Job,
    title: str = "",
    *,
    client: str = "",
    number: str = "",
    values: Mapping[str, str] | None = None,
) -> Copied:
    """Open a job like another one, with the parameters that are named changed.

    Raises:
        NotAllowed: the job has no design yet, or the number is taken.
    """
    if is_work_order(book, job):
        return _copied_order(book, job, title, client=client, number=number, values=values)
    basis = basis_of(book, job)
    old, _ = load_version(book, basis.design)
    version = find_version(book, old.name)
    design = load_version(book, version.key)[1]
    changed = dict(values or {})
    parameters = {**basis.parameters, **changed}
    build(design, parameters, book.units)
    with book.entry("job copy", f"{job.number} {title}".strip()):
        copy = new_job(book, title or job.title, client=client, number=number)
        set_basis(book, copy, version.key, parameters, basis.pieces)
        copy_lines(book, job, copy)
        _copy_costs(book, job, copy)
        counts = counts_of(book, job)
        if not changed:
            for operation, count in counts.items():
                set_count(book, copy, operation, count.driver, count.words)
    return Copied(copy, version, _errata(book, old, version), bool(counts and changed))


def _copied_order(
    book: Book,
    job: Job,
    title: str,
    *,
    client: str,
    number: str,
    values: Mapping[str, str] | None,
) -> Copied:
    """A work order copied: its lines, counts, answers and costs; its agreed price if it has one."""
    if values:
        raise NotAllowed(f"{job.number} has no design, so it has no parameters to change.")
    with book.entry("job copy", f"{job.number} {title}".strip()):
        copy = new_job(book, title or job.title, client=client, number=number)
        copy_lines(book, job, copy)
        agreed = total_of(book, job)
        if agreed is not None:
            is_inside = agreed.tax is not None
            set_total(book, copy, agreed.said, agreed.minutes, with_tax=is_inside)
        _copy_costs(book, job, copy)
        for operation, count in counts_of(book, job).items():
            set_count(book, copy, operation, count.driver, count.words)
    return Copied(copy, None, (), False)


def _copy_costs(book: Book, job: Job, copy: Job) -> None:
    """Answers and planned costs, inside an entry."""
    for item, (amount, words) in answers_of(book, job).items():
        answer(book, copy, item, amount, words)
    for cost in costs_of(book, job, "planned"):
        if answered_once(book, job, cost.kind):
            continue  # it counts once; a book of an earlier release may have both
        add_cost(book, copy, cost.kind, cost.words, cost.quantity, cost.unit_amount)


def _errata(book: Book, old: DesignVersion, new: DesignVersion) -> tuple[str, ...]:
    """What was put right in the versions after the old job's."""
    rows = book.rows(DesignVersion, name=new.name)
    return tuple(row.errata for row in rows if row.version > old.version and row.errata)
