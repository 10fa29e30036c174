"""Issuing what an estimate says: every planned line less what the job already took of it.

Pieces that the layout takes from the rack are issued by their lots, never as new sheets.
"""

from collections.abc import Mapping, Sequence
from datetime import date
from math import ceil

from msgspec import Struct

from ledger.book import Book, require_open_day
from ledger.book.questions.joint import Outgrown, shared_issues_to
from ledger.book.questions.stock import still_out
from ledger.book.tables.materials import Material
from ledger.book.tables.stock import Movement
from ledger.errors import NotAllowed
from ledger.measures.quantity import Quantity, show_quantity
from ledger.measures.units import EACH, show_count
from ledger.measures.values import replace
from ledger.stock.cover import still_short
from ledger.stock.lots import lots_on
from ledger.stock.movements import issue
from ledger.stock.rack_pieces import PIECE
from ledger.stock.worth import job_material


class PlannedIssue(Struct, frozen=True):
    """A material that is still to be issued to a job, and how much of it is on hand."""

    material: str
    planned: Quantity
    taken: Quantity
    left: Quantity
    on_hand: Quantity


def taken_by(
    book: Book,
    job: int,
    planned: Mapping[str, Quantity] | None = None,
    outgrown: Outgrown = tuple,
) -> dict[str, Quantity]:
    """What a job took of each material, less what was spoiled: that must be taken again.

    Of sheets that it shares it took as much of its own plan, where that is `planned`, as of the
    joint one is issued; of a material `outgrown` its share of them.
    """
    shared, taken = shared_issues_to(book, job), dict[str, Quantity]()
    if shared:
        from ledger.stock.shared import as_own_plan  # few jobs share sheets

        taken = as_own_plan(book, job, planned or {}, outgrown)
    for out in still_out(book, job, book.today) if taken else ():
        if out.material in taken and out.movement in shared:
            taken[out.material] = taken[out.material] - out.quantity
    for use in job_material(book, job):
        if use.material and use.source != "offcut":
            there = use.quantity - use.scrapped
            taken[use.material] = taken.get(use.material, Quantity(0)) + there
    return taken


def still_planned(
    book: Book,
    job: int,
    planned: Mapping[str, Quantity],
    day: date | None = None,
    outgrown: Outgrown = tuple,
) -> list[PlannedIssue]:
    """What of a plan the job has not taken yet, lines that are done left out."""
    when, taken = day or book.today, taken_by(book, job, planned, outgrown)
    rows = []
    for material, wanted in planned.items():
        got = taken.get(material, Quantity(0))
        if wanted > got and still_short(wanted, wanted - got):
            there = sum((pool.quantity for _, pool in lots_on(book, material, when)), Quantity(0))
            rows.append(PlannedIssue(material, wanted, got, wanted - got, there))
    return rows


def issue_planned(
    book: Book,
    job: int,
    planned: Mapping[str, Quantity],
    *,
    pieces: Sequence[int] = (),
    day: date | None = None,
    outgrown: Outgrown = tuple,
) -> list[Movement]:
    """Issue to a job all that its plan still lacks, in one entry; `pieces` are lots of the rack.

    Raises:
        NotAllowed: something is short; every shortage is named and nothing is issued.
    """
    with book.entry("stock issue", "as estimated"):
        when = require_open_day(book, day or book.today)
        rows = [
            replace(row, left=Quantity.of(ceil(row.left.fraction)))  # whole sheets leave stock
            if row.material.partition("/")[0] in outgrown()
            else row
            for row in still_planned(book, job, planned, when, outgrown)
        ]
        _refuse_short(book, [row for row in rows if row.on_hand < row.left])
        has = {use.lot for use in job_material(book, job) if use.quantity}
        moved = [
            movement
            for lot in pieces
            if lot not in has
            for movement in issue(book, job, None, PIECE, lot=lot, day=when)
        ]
        for row in rows:
            moved += issue(book, job, row.material, row.left, day=when)
        return moved


def _refuse_short(book: Book, short: Sequence[PlannedIssue]) -> None:
    if not short:
        return
    lacking = []
    for row in short:
        known = book.last(Material, code=row.material)
        unit = known.unit if known else EACH
        there, left = show_count(row.on_hand, unit), show_count(row.left, unit)
        lacking.append(f"{row.material}: {there} on hand, {left} to issue")
    first = short[0]
    most = show_quantity(first.taken + first.on_hand)
    raise NotAllowed(
        f"Not all of it is on hand: {'; '.join(lacking)}. Nothing was issued; enter the receipts,"
        f" or say how much it is in all: --except {first.material}={most}"
    )
