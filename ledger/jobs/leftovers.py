"""What a job's kept layouts leave over: each offcut's size, and which edges are the factory's.

An offcut is found again by the size that is typed of it: measured over all, or as the plan says it,
inside the trim of its factory edges.
"""

from collections.abc import Iterator, Sequence

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.book.tables.stock import Lot
from ledger.cutting.layout import Layout, Leftover
from ledger.cutting.problem import ALL_EDGES, Problem
from ledger.cutting.sequence import cut_list, factory_edges
from ledger.errors import BadValue, NotAllowed
from ledger.jobs.assembling import assemble
from ledger.jobs.joint_plans import names_of, read_plan, shares_of
from ledger.measures.length import Length
from ledger.stock.offcuts import OffcutSize
from ledger.stock.shared import shared_plan

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
    plan = _cut_by(book, job, material)
    if plan is None:
        return
    problem, layout = plan
    for number, piece in cut_list(problem, layout).offcuts:
        edges = factory_edges(layout.sheets[number - 1], piece)
        words = "" if edges is None else _in_words(edges)
        item = piece.item
        assert isinstance(item, Leftover)
        yield (
            OffcutSize(Length(piece.length), Length(piece.width)),
            OffcutSize(Length(item.length_nm), Length(item.width_nm), words),
        )


def _cut_by(book: Book, job: Job, material: str) -> tuple[Problem, Layout] | None:
    """What a material of a job is cut by: the joint plan whose sheets it has, else its own."""
    shared = shared_plan(book, job.key, material)
    with book.worked_out.only_kept():
        try:
            if shared is not None:
                return read_plan(book, shared)
            plan = assemble(book, job, at_any_price=True).plans.get(material)
        except NotAllowed:
            return None
    return None if plan is None else (plan.problem, plan.layout)


def sharing_jobs(book: Book, job: Job, material: str) -> str:
    """The numbers of the jobs to which offcuts of a job's sheets are credited."""
    shared = shared_plan(book, job.key, material)
    rows = [] if shared is None else shares_of(book, shared)
    jobs = book.rows_of(Job, [row.job for row in rows])
    return names_of(sorted(jobs, key=lambda one: one.number) or [job])


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
