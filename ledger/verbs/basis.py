"""What a job is made of: a version of a design with its parameters, or a parts list of its own."""

from collections.abc import Mapping
from pathlib import Path

from ledger.book import Book
from ledger.book.tables.designs import DesignVersion
from ledger.book.tables.ground import Job, JobBasis
from ledger.costing.lumber import board_faults
from ledger.designs.build import build
from ledger.designs.store import find_version, load_version, save_design
from ledger.jobs import jobs
from ledger.jobs.assembling import AGREED, WORK_ORDER
from ledger.jobs.jobs import basis_of
from ledger.jobs.lines import has_design, is_work_order, lines_of
from ledger.jobs.shop_floor import wood_of
from ledger.stock.materials import materials
from ledger.workbooks.readers.parts import read_parts_design


def is_made_so(book: Book, job: Job, design: str, values: Mapping[str, str]) -> bool:
    """Whether a job is made of that design with those parameters already."""
    version, parameters = _chosen(book, job, design, values)
    if book.last(JobBasis, job=job.key) is None:
        return False
    basis = basis_of(book, job)
    return (basis.design, dict(basis.parameters)) == (version.key, parameters)


def set_basis(
    book: Book,
    job: Job,
    design: str,
    values: Mapping[str, str],
    parts: Path | None = None,
    pieces: int = 0,
) -> tuple[str, ...]:
    """Make a job of a design or a parts list; what is left out stays as the job has it.

    What the boards of the price list cannot give is said. Raises what reading and building do.
    """
    if parts:
        parameters = dict(values)
        plain = read_parts_design(parts, job.number, job.title, book.units)
        version = save_design(book, plain, "parts list read again")
    else:
        version, parameters = _chosen(book, job, design, values)
    built = build(load_version(book, version.key)[1], parameters, book.units, wood_of(book))
    before = book.last(JobBasis, job=job.key)
    jobs.set_basis(book, job, version.key, parameters, pieces or (before.pieces if before else 1))
    return board_faults(built, materials(book))


def made_of(book: Book, job: Job) -> tuple[str, dict[str, str], int]:
    """What a job is made of in words, the parameters of its design, and how many pieces."""
    if not has_design(book, job):
        if lines_of(book, job):
            return WORK_ORDER, {}, 1
        return (AGREED if is_work_order(book, job) else ""), {}, 1
    basis = basis_of(book, job)
    version, _ = load_version(book, basis.design)
    return f"{version.name} version {version.version}", dict(basis.parameters), basis.pieces


def _chosen(
    book: Book, job: Job, design: str, values: Mapping[str, str]
) -> tuple[DesignVersion, dict[str, str]]:
    """The design and the parameters that are named, the rest as the job has them."""
    if design:
        return find_version(book, design), dict(values)
    basis = basis_of(book, job)
    return load_version(book, basis.design)[0], {**basis.parameters, **values}
