"""What the day's page says is still to be bought for won jobs, by their accepted quotes.

A job that was changed after its quote needs what it is made of now, as its buying list says.
"""

from collections.abc import Iterator, Sequence
from contextlib import suppress
from typing import TYPE_CHECKING

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.joint import shares_sheets
from ledger.book.tables.ground import Job
from ledger.errors import LedgerError
from ledger.measures.quantity import Quantity
from ledger.stock.materials import materials

if TYPE_CHECKING:
    from ledger.book.tables.quotes import Quote

NONE = Quantity(0)


class ToBuy(Struct, frozen=True):
    """What a won job lacks of a material, after what it took and what is on hand."""

    job: str
    material: str
    name: str
    quantity: Quantity
    unit: str


class _Lack(Struct, frozen=True):
    """What a job, or jobs that are cut together, did not take yet, and what is on hand of it."""

    job: str
    material: str
    left: Quantity
    on_hand: Quantity


def still_to_buy(book: Book, jobs: Sequence[Job]) -> list[ToBuy]:
    """What the accepted quotes counted, less what the jobs took, less what is on hand once.

    Jobs that are cut together have one need of the sheets they share.
    """
    known = materials(book)
    promised: dict[str, Quantity] = {}
    still_short = []
    for lack in _lacks(book, jobs):
        if lack.material not in known:
            continue
        taken = promised.get(lack.material, NONE)
        covered = min(max(NONE, lack.on_hand - taken), lack.left)
        promised[lack.material] = taken + covered
        if covered < lack.left:
            row = known[lack.material]
            short = lack.left - covered
            still_short.append(ToBuy(lack.job, row.code, row.name, short, row.unit))
    return still_short


def _needs(book: Book, job: Job, quote: "Quote") -> dict[str, Quantity]:
    """What a job needs of each material: as quoted, or as it is made now if it was changed since.

    What was changed and is not laid out yet, or can't be built as it stands, counts as quoted.
    """
    from ledger.book.questions.labor import changed_since
    from ledger.book.tables.quotes import QuoteBasis
    from ledger.costing.needs import needs_of
    from ledger.costing.takeoff import needed
    from ledger.jobs.assembling import assemble
    from ledger.jobs.pricing import taken_of
    from ledger.quotes.drift import basis_sheet

    basis = book.last(QuoteBasis, quote=quote.key)
    if basis is not None and changed_since(book, job.key, basis.entry):
        with suppress(LedgerError), book.worked_out.only_kept():
            return needed(taken_of(book, assemble(book, job, at_any_price=True)))
    sheet = basis_sheet(book, quote)
    return {need.item: need.quantity for need in needs_of(sheet.lines)} if sheet else {}


def _lacks(book: Book, jobs: Sequence[Job]) -> Iterator[_Lack]:
    """What jobs with an accepted quote lack, in the order in which stock goes to them."""
    if not jobs:
        return
    from ledger.quotes.revisions import accepted

    won = [(job, quote) for job in jobs if (quote := accepted(book, job)) is not None]
    if not won:
        return
    from ledger.jobs.plans import outgrown
    from ledger.jobs.shared_needs import SharedNeeds, shared_needs
    from ledger.stock.lots import lots_on
    from ledger.stock.planned import still_planned

    shared = SharedNeeds()
    if shares_sheets(book):
        shared = shared_needs(book, [job for job, _ in won])
    for job, quote in won:
        planned = {
            item: quantity
            for item, quantity in _needs(book, job, quote).items()
            if not shared.takes(job.number, item)
        }
        for one in (
            still_planned(book, job.key, planned, outgrown=outgrown(book, job)) if planned else ()
        ):
            yield _Lack(job.number, one.material, one.left, one.on_hand)
    for group in shared.groups:
        for code, need in group.needs.items():
            given = sum((goods.quantity for goods in group.given.get(code, [])), NONE)
            on_hand = sum((pool.quantity for _, pool in lots_on(book, code, book.today)), NONE)
            if need > given:
                yield _Lack(group.names, code, need - given, on_hand)
