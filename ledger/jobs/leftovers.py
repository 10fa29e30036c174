"""What a job's kept layouts leave over: each offcut's size, and which edges are the factory's.

An offcut is found again by the size that is typed of it: measured over all, or as the plan says it,
inside the trim of its factory edges.
"""

from collections.abc import Iterator, Sequence

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.book.tables.stock import Lot
from ledger.cutting.layout import Leftover
from ledger.cutting.problem import ALL_EDGES
from ledger.cutting.sequence import cut_list, factory_edges
from ledger.errors import BadValue, NotAllowed
from ledger.jobs.assembling import assemble
from ledger.measures.length import Length
from ledger.stock.offcuts import OffcutSize

NONE = "none"

_NEAR_ENOUGH = Length(1_000_000)
"""A tape is read to the millimeter: common practice, no source."""


def with_edges(
    book: Book, job: Job, material: str, typed: Sequence[OffcutSize]
) -> list[OffcutSize]:
    """Leftovers as typed, with their factory edges where a kept layout of the job knows them."""
    planned = list(_planned(book, job, material))
    for lot in book.rows(Lot, job=job.key, material=material, source="offcut"):
        if lot.length and lot.width:
            _drawn(planned, OffcutSize(lot.length, lot.width))
    return [_drawn(planned, size) for size in typed]


def inside(book: Book, size: OffcutSize, edges: str) -> OffcutSize:
    """A leftover measured over all, with the factory edges that are typed: `far, right` or none.

    Raises:
        BadValue: an edge is not near, far, left or right, or the trim leaves nothing.
    """
    words = edges.replace(",", " ").casefold().split()
    if words != [NONE] and not (words and set(words) <= set(ALL_EDGES)):
        raise BadValue(f"--factory is near, far, left or right, or none; not “{edges}”.")
    trim = book.settings.trim
    length = size.length - trim * sum(edge in words for edge in ("left", "right"))
    width = size.width - trim * sum(edge in words for edge in ("near", "far"))
    if min(length, width) <= Length(0):
        raise BadValue("The trim at its factory edges leaves nothing of the piece.")
    return OffcutSize(length, width, _in_words(words))


def _planned(book: Book, job: Job, material: str) -> Iterator[tuple[OffcutSize, OffcutSize]]:
    """Every usable offcut of a material: its size over all, and inside the trim."""
    with book.worked_out.only_kept():
        try:
            plan = assemble(book, job).plans.get(material)
        except NotAllowed:
            return
    if plan is None:
        return
    for number, piece in cut_list(plan.problem, plan.layout).offcuts:
        edges = factory_edges(plan.layout.sheets[number - 1], piece)
        words = "" if edges is None else _in_words(edges)
        item = piece.item
        assert isinstance(item, Leftover)
        yield (
            OffcutSize(Length(piece.length), Length(piece.width)),
            OffcutSize(Length(item.length_nm), Length(item.width_nm), words),
        )


def _drawn(planned: list[tuple[OffcutSize, OffcutSize]], size: OffcutSize) -> OffcutSize:
    """Take the planned offcut of that size out of the list; what is not there stays as typed."""
    for pair in planned:
        for one in pair:
            if _is_near(one.length, size.length) and _is_near(one.width, size.width):
                planned.remove(pair)
                _, inner = pair
                return OffcutSize(
                    size.length - (one.length - inner.length),
                    size.width - (one.width - inner.width),
                    inner.factory_edges,
                )
    return size


def _is_near(one: Length, two: Length) -> bool:
    return -_NEAR_ENOUGH <= one - two <= _NEAR_ENOUGH


def _in_words(edges: Sequence[str]) -> str:
    return " ".join(edge for edge in ALL_EDGES if edge in edges) or NONE
