"""The offcut rack: leftovers that go back with their size, and out again to another job.

A kept piece is worth a share of its area cost (setting `offcut_value`). That value leaves the job
as a credit once, and is charged to the job that takes the piece; its cash is in proportion to what
the job's sheets cost in cash, so that a sponsor's offcut stays at cash 0.
"""

from collections.abc import Sequence
from datetime import date
from fractions import Fraction
from typing import NamedTuple

from msgspec import Struct

from ledger.book import Book, require_open_day
from ledger.book.questions.stock import JobUse, taken_by_job
from ledger.book.tables.joint import JointOffcut, JointPlan, JointShare
from ledger.book.tables.materials import Material
from ledger.book.tables.stock import Lot
from ledger.errors import NotAllowed
from ledger.measures.area import Area, show_area
from ledger.measures.length import Length, show_length
from ledger.measures.money import Money, split, total
from ledger.measures.spoken import how_many
from ledger.stock.joint import pass_credit_on
from ledger.stock.rack_pieces import PIECE
from ledger.stock.shared import shared_issues, shared_offcuts, shared_plan, weights_of
from ledger.stock.use_tax import follow_offcuts, offcut_tax_kind


class OffcutSize(NamedTuple):
    """A leftover by its size, the length along the grain, inside the trim of its factory edges.

    Those stand in words with spaces between, such as `far right`, or `none`; empty is unknown.
    """

    length: Length
    width: Length
    factory_edges: str = ""


class _Charged(Struct, frozen=True):
    """What a job was charged for the sheets of one material, and the area it got for it."""

    area: Area
    full: Money
    cash: Money


def keep_offcuts(
    book: Book, job: int, material: str, leftovers: Sequence[OffcutSize], *, day: date | None = None
) -> list[Lot]:
    """Put a job's leftovers on the rack, those below the shop's threshold left out.

    Raises:
        NotAllowed: more area than the job got of that material and has not given back yet.
    """
    kept = [piece for piece in leftovers if is_worth_keeping(book, piece)]
    if not kept:
        return []
    with book.entry("stock offcuts", f"{material} {how_many(len(kept), 'piece')}"):
        when = require_open_day(book, day or book.today)
        areas = [piece.length * piece.width for piece in kept]
        plan = shared_plan(book, job, material)
        full, cash = _credit(book, job, material, plan, Area(sum(area.nm2 for area in areas)))
        if plan is not None:  # they stand with the job that pays most of the sheets
            weights_alone = weights_of(book, plan.key)
            job = max(weights_alone, key=lambda one: weights_alone[one])
        weights = [area.nm2 for area in areas]
        pieces = [
            book.post(_lot(book, job, material, piece, value, paid, when))
            for piece, value, paid in zip(
                kept, split(full, weights), split(cash, weights), strict=True
            )
        ]
        if plan is not None:
            pass_credit_on(book, plan.key, pieces, full, cash, when)
        follow_offcuts(book, job, pieces)
        return pieces


def _credit(
    book: Book, job: int, material: str, plan: JointPlan | None, area: Area
) -> tuple[Money, Money]:
    """Full value and cash of an area that a job, or all of a joint plan, put on the rack."""
    if plan is None:
        who, charged = "The job", _charged(book, job, material)
        kept = book.rows(Lot, job=job, material=material, source="offcut")
        given = [lot for lot in kept if not _is_shared(book, lot)]
    else:
        who, charged = "The jobs that share it", _charged_together(book, plan)
        given = shared_offcuts(book, plan.key)
    before = Area(sum(_area(lot).nm2 for lot in given))
    if before + area > charged.area:
        raise NotAllowed(
            f"{who} got {show_area(charged.area, book.units)} of {material} and put"
            f" {show_area(before, book.units)} of it on the rack already;"
            f" {show_area(area, book.units)} more cannot be left over."
        )
    share = Fraction(area.nm2, charged.area.nm2) * book.settings.offcut_value
    return charged.full.times(share), charged.cash.times(share)


def area_got(book: Book, job: int, material: str) -> Area:
    """The area of the sheets of a material that a job, or all that share them with it, have.

    Raises:
        NotAllowed: there are none.
    """
    plan = shared_plan(book, job, material)
    charged = _charged(book, job, material) if plan is None else _charged_together(book, plan)
    return charged.area


def _charged_together(book: Book, plan: JointPlan) -> _Charged:
    """What all jobs of a joint plan were charged for its sheets, and their area."""
    pools = shared_issues(book, plan.key)
    return _Charged(
        Area(int(sum(pool.quantity.fraction * _area(lot).nm2 for lot, pool in pools))),
        total(pool.full for _, pool in pools),
        total(pool.cash for _, pool in pools),
    )


def _is_shared(book: Book, piece: Lot) -> bool:
    return book.last(JointOffcut, lot=piece.key) is not None


def is_worth_keeping(book: Book, piece: OffcutSize) -> bool:
    """Whether a leftover reaches the shop's threshold, whichever way it lies."""
    shorter, longer = sorted((piece.length, piece.width))
    return bool(longer >= book.settings.offcut_length and shorter >= book.settings.offcut_width)


def is_credit_covered(book: Book, job: int) -> bool:
    """Whether a job still has got at least the area of each material that it put on the rack.

    What several jobs put there together is covered by the sheets of them all.
    """
    for plan in {share.joint_plan for share in book.rows(JointShare, job=job)}:
        row, pieces = book.row(JointPlan, plan), shared_offcuts(book, plan)
        left = sum(_area(piece).nm2 for piece in pieces)
        if row is not None and left > _charged_together(book, row).area.nm2:
            return False
    kept: dict[str, int] = {}
    for piece in book.rows(Lot, job=job, source="offcut"):
        if _is_shared(book, piece):
            continue
        name = piece.material or ""
        kept[name] = kept.get(name, 0) + _area(piece).nm2
    got = dict.fromkeys(kept, Fraction(0))
    for use in taken_by_job(book, job):
        lot = book.row(Lot, use.lot)
        if lot is not None and use.material in got:
            got[use.material] += use.quantity.fraction * _area(lot).nm2
    return all(got[material] >= area for material, area in kept.items())


def _lot(
    book: Book, job: int, material: str, piece: OffcutSize, full: Money, cash: Money, day: date
) -> Lot:
    used = _used(book, job, material)
    thicknesses = {lot.thickness for _, lot in used}
    known = book.last(Material, code=material)
    size = f"{show_length(piece.length, book.units)} x {show_length(piece.width, book.units)}"
    return Lot(
        material=material,
        words=f"offcut {size}",
        category=known.kind if known else "sheet",
        unit="each",
        day=day,
        source="offcut",
        quantity=PIECE,
        full=full,
        cash=min(cash, full),
        tax_kind=offcut_tax_kind([lot for use, lot in used if use.quantity]),
        job=job,
        # measured, where all of the job's sheets came at one
        thickness=thicknesses.pop() if len(thicknesses) == 1 else None,
        length=piece.length,
        width=piece.width,
        factory_edges=piece.factory_edges,
    )


def _used(book: Book, job: int, material: str) -> list[tuple[JobUse, Lot]]:
    """What a job took of a material, with the lots that it is of."""
    uses = [use for use in taken_by_job(book, job) if use.material == material]
    return [(use, lot) for use in uses if (lot := book.row(Lot, use.lot)) is not None]


def _charged(book: Book, job: int, material: str) -> _Charged:
    used = [(use, lot) for use, lot in _used(book, job, material) if use.quantity]
    area = sum((use.quantity.fraction * _area(lot).nm2 for use, lot in used), Fraction(0))
    if not area:
        raise NotAllowed(f"The job got no sheets of {material}, so nothing of it can be left over.")
    return _Charged(
        Area(int(area)), total(use.full for use, _ in used), total(use.cash for use, _ in used)
    )


def _area(lot: Lot) -> Area:
    return lot.length * lot.width if lot.length and lot.width else Area(0)
