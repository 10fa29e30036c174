"""A job copied to be priced anew: the same piece for somebody else, or in another size.

The copy stands on the newest version of the design, so that what was put right since is in it.
Answers and planned costs come along; counts made by hand only while the sizes stay the same,
because they were counted on that piece.
"""

from collections.abc import Mapping

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.designs import DesignVersion
from ledger.book.tables.ground import Job
from ledger.designs.build import build
from ledger.designs.store import design_of, find_version, load_version
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
from ledger.measures.quantity import Quantity
from ledger.measures.values import replace


class Copied(Struct, frozen=True):
    """The new job, its version of the design (a work order has none), and what was noted since.

    `counts_left` are the counts made by hand that were left out, by operation.
    """

    job: Job
    version: DesignVersion | None
    errata: tuple[str, ...]
    counts_left: Mapping[str, Quantity]


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
    changed, counts = dict(values or {}), counts_of(book, job)
    basis, version, errata = None, None, tuple[str, ...]()
    if not is_work_order(book, job):
        basis = basis_of(book, job)
        old, _ = load_version(book, basis.design)
        version = find_version(book, old.name)
        errata = _errata(book, old, version)
        basis = replace(basis, design=version.key, parameters={**basis.parameters, **changed})
        build(design_of(version), basis.parameters, book.units)
    elif changed:
        raise NotAllowed(f"{job.number} has no design, so it has no parameters to change.")
    agreed = total_of(book, job) if basis is None else None
    with book.entry("job copy", f"{job.number} {title}".strip()):
        copy = new_job(book, title or job.title, client=client, number=number)
        if basis is not None:
            set_basis(book, copy, basis.design, basis.parameters, basis.pieces)
        copy_lines(book, job, copy)
        if agreed is not None:
            is_inside = agreed.tax is not None
            set_total(book, copy, agreed.whole, agreed.minutes, with_tax=is_inside)
        _copy_costs(book, job, copy)
        if not changed:
            for operation, count in counts.items():
                set_count(book, copy, operation, count.driver, count.words)
    left = {code: count.driver for code, count in counts.items()} if changed else {}
    return Copied(copy, version, errata, left)


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
