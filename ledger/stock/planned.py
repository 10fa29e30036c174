"""Issuing what an estimate says: every planned line less what the job already took of it."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from ledger.book import Book, require_open_day
from ledger.book.tables.stock import Movement
from ledger.errors import NotAllowed
from ledger.measures.quantity import Quantity, show_quantity
from ledger.stock.find import lots_on
from ledger.stock.movements import issue
from ledger.stock.worth import job_material


@dataclass(frozen=True, slots=True)
class PlannedIssue:
    """A material that is still to be issued to a job, and how much of it is on hand."""

    material: str
    planned: Quantity
    taken: Quantity
    left: Quantity
    on_hand: Quantity


def still_planned(
    book: Book, job: int, planned: Mapping[str, Quantity], day: date | None = None
) -> list[PlannedIssue]:
    """What of a plan the job has not taken yet, lines that are done left out."""
    when = day or book.today
    taken: dict[str, Quantity] = {}
    for use in job_material(book, job):
        if use.material and use.source != "offcut":
            taken[use.material] = taken.get(use.material, Quantity(0)) + use.quantity
    rows = []
    for material, wanted in planned.items():
        got = taken.get(material, Quantity(0))
        if wanted > got:
            there = sum((pool.quantity for _, pool in lots_on(book, material, when)), Quantity(0))
            rows.append(PlannedIssue(material, wanted, got, wanted - got, there))
    return rows


def issue_planned(
    book: Book, job: int, planned: Mapping[str, Quantity], *, day: date | None = None
) -> list[Movement]:
    """Issue to a job all that its plan still lacks, in one deed.

    Raises:
        NotAllowed: something is short; every shortage is named and nothing is issued.
    """
    with book.deed("stock issue", "as estimated"):
        when = require_open_day(book, day or book.today)
        rows = still_planned(book, job, planned, when)
        short = [row for row in rows if row.on_hand < row.left]
        if short:
            told = "; ".join(
                f"{row.material}: {show_quantity(row.on_hand)} on hand,"
                f" {show_quantity(row.left)} planned"
                for row in short
            )
            raise NotAllowed(
                f"Not all of it is on hand: {told}. Nothing was issued; enter the receipts, or say"
                " what differs: --except CODE=QTY"
            )
        return [
            movement
            for row in rows
            for movement in issue(book, job, row.material, row.left, day=when)
        ]
