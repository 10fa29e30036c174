"""Offcuts at the bench: a job's leftovers put on the rack."""

import re
from collections.abc import Sequence

from msgspec import Struct

from ledger.book import Book
from ledger.errors import BadValue
from ledger.jobs.jobs import find_job
from ledger.jobs.leftovers import inside, sharing_jobs, with_edges
from ledger.measures.length import Length, parse_size
from ledger.measures.money import Money, total
from ledger.stock.materials import find_material
from ledger.stock.offcuts import OffcutSize, keep_offcuts


class KeptPiece(Struct, frozen=True):
    """A piece on the rack by its lot and size; its factory edges in words, as `OffcutSize` has."""

    lot: int
    length: Length
    width: Length
    factory_edges: str


class KeptPieces(Struct, frozen=True):
    """Offcuts put on the rack, those too small for it, and what goes back for them to which jobs.

    `jobs` is one number, or those of all jobs that share the sheets.
    """

    jobs: str
    material: str
    pieces: tuple[KeptPiece, ...]
    too_small: int
    cost: Money


def keep(
    book: Book, job: str, material: str, sizes: Sequence[str], *, factory: str = "",
    on: str = "today",
) -> KeptPieces:  # fmt: skip
    """Put a job's leftovers on the rack, by sizes such as 95-1/2x15-11/16, along the grain first.

    Their `factory` edges (`far,right`, or `none`) are typed with sizes measured over all; else they
    are those of the job's kept layout, where it has an offcut of that size.

    Raises:
        BadValue: a size is not length x width.
        NotAllowed: more area than the job got of that material and has not given back yet.
    """
    job_row, code = find_job(book, job), find_material(book, material).code
    leftovers = [OffcutSize(*_sides(book, size)) for size in sizes]
    if factory:
        leftovers = [inside(book, piece, factory) for piece in leftovers]
    else:
        leftovers = with_edges(book, job_row, code, leftovers)
    lots = keep_offcuts(book, job_row.key, code, leftovers, day=book.dates.read(on))
    worth = total(lot.full for lot in lots)
    pieces = tuple(
        KeptPiece(lot.key, lot.length, lot.width, lot.factory_edges)
        for lot in lots
        if lot.length and lot.width
    )
    jobs = sharing_jobs(book, job_row, code)
    return KeptPieces(jobs, code, pieces, len(leftovers) - len(lots), worth)


def _sides(book: Book, text: str) -> tuple[Length, Length]:
    sizes = [size for size in re.split("[x×]", text) if size.strip()]
    if len(sizes) != 2:
        raise BadValue(f"“{text}” should be length x width, for example 95-1/2x15-11/16")
    return parse_size(sizes[0], book.units), parse_size(sizes[1], book.units)
