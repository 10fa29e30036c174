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
from ledger.measures.area import Area
from ledger.measures.length import Length, show_length
from ledger.measures.spoken import how_many
from ledger.stock.offcuts import OffcutSize, area_got
from ledger.stock.shared import shared_offcuts, shared_plan

NONE = "none"

_NEAR_ENOUGH = Length(1_000_000)
"""A tape is read to the millimeter: common practice, no source."""


def with_edges(
    book: Book, job: Job, material: str, typed: Sequence[OffcutSize]
) -> list[OffcutSize]:
    """Leftovers as typed, with their factory edges where a kept layout of the job knows them.

    Raises:
        NotAllowed: a piece of the layout that is kept already, where no more sheets were issued
            than the layout has.
    """
    plan = _cut_by(book, job, material)
    planned = list(_planned(plan))
    for lot in _kept(book, job, material):
        _drawn(planned, OffcutSize(lot.length or Length(0), lot.width or Length(0)))
    leftovers = []
    for size in typed:
        if plan and _found(planned, size) is None:
            _refuse_kept(book, job, material, plan, size)
        leftovers.append(_drawn(planned, size))
    return leftovers


def _kept(book: Book, job: Job, material: str) -> list[Lot]:
    """The pieces that a job, or all that share its sheets, put on the rack."""
    shared = shared_plan(book, job.key, material)
    if shared is not None:
        return shared_offcuts(book, shared.key)
    return book.rows(Lot, job=job.key, material=material, source="offcut")


def _refuse_kept(
    book: Book, job: Job, material: str, plan: tuple[Problem, Layout], size: OffcutSize
) -> None:
    """Refuse a piece beyond those of its size that a plan leaves over of the sheets it has."""
    alike = [pair for pair in _planned(plan) if _found([pair], size)]
    sheets = Area(sum(sheet.length_nm * sheet.width_nm for sheet in plan[1].sheets))
    if not alike or area_got(book, job.key, material) > sheets:
        return
    lots = [
        f"lot {lot.key}"
        for lot in _kept(book, job, material)
        if lot.length and lot.width and _found(alike[:1], OffcutSize(lot.length, lot.width))
    ]
    shown = f"{show_length(size.length, book.units)} x {show_length(size.width, book.units)}"
    kept = f", kept already as {', '.join(lots)}" if lots else ""
    raise NotAllowed(
        f"The cut plan of {job.number} leaves {how_many(len(alike), 'piece')} of {material} of"
        f" {shown}{kept}. Where one more of that size is left over all the same, say which of its"
        " edges are the factory's: --factory none"
    )


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


def _planned(plan: tuple[Problem, Layout] | None) -> Iterator[tuple[OffcutSize, OffcutSize]]:
    """Every usable offcut of a plan: its size over all, and inside the trim."""
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
    found = _found(planned, size)
    if found is None:
        return size
    (at, one), inner = found, planned[found[0]][1]
    del planned[at]
    return OffcutSize(
        size.length - (one.length - inner.length),
        size.width - (one.width - inner.width),
        inner.factory_edges,
    )


def _found(
    planned: Sequence[tuple[OffcutSize, OffcutSize]], size: OffcutSize
) -> tuple[int, OffcutSize] | None:
    """The place of the first planned offcut of a size, and which of its two sizes that is."""
    return next(
        (
            (at, one)
            for at, pair in enumerate(planned)
            for one in pair
            if _is_near(one.length, size.length) and _is_near(one.width, size.width)
        ),
        None,
    )


def _is_near(one: Length, two: Length) -> bool:
    return -_NEAR_ENOUGH <= one - two <= _NEAR_ENOUGH


def _in_words(edges: Sequence[str]) -> str:
    return " ".join(edge for edge in ALL_EDGES if edge in edges) or NONE
