"""What the day's page says is still to be bought for won jobs, by their accepted quotes.

A job that was changed after its quote needs what it is made of now, as its buying list says.
"""

from collections.abc import Container, Iterator, Mapping, Sequence
from contextlib import suppress
from typing import TYPE_CHECKING

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.joint import shares_sheets
from ledger.book.tables.ground import Job
from ledger.errors import LedgerError
from ledger.measures.grouped import grouped
from ledger.measures.quantity import Quantity
from ledger.measures.units import show_count
from ledger.measures.values import replace
from ledger.stock.materials import materials

if TYPE_CHECKING:
    from ledger.book.tables.quotes import Quote
    from ledger.costing.sheet import CostSheet
    from ledger.jobs.buying import BuyingList

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


def promised_words(
    book: Book, drawn: Mapping[str, Quantity], numbers: Container[str]
) -> tuple[str, ...]:
    """What of the stock that some jobs draw on is promised to other jobs that are won as well.

    `drawn` is what the jobs of these numbers count on of each material on hand. Nothing is said
    where there is enough for all.
    """
    from ledger.jobs.buying import jobs_to_buy_for
    from ledger.jobs.jobs import is_won

    if not any(drawn.values()):
        return ()
    others = [
        job for job in jobs_to_buy_for(book) if job.number not in numbers and is_won(book, job)
    ]
    lacks = [
        lack
        for lack in _lacks(book, others)
        if drawn.get(lack.material) and not any(one in numbers for one in lack.job.split(" + "))
    ]
    known = materials(book)
    said = []
    for code, same in grouped(lacks, lambda lack: lack.material).items():
        promised = min(sum((lack.left for lack in same), NONE), same[0].on_hand)
        if promised + drawn[code] > same[0].on_hand and code in known:
            count = show_count(promised, known[code].unit)
            is_are = "is" if promised <= Quantity.of(1) else "are"
            said.append(
                f"{count} of {code} in stock {is_are} promised to"
                f" {' and '.join(lack.job for lack in same)} as well. What all jobs together"
                " lack: benchledger job buying-list"
            )
    return tuple(said)


def promised_of_price(book: Book, job: Job, sheet: "CostSheet") -> tuple[str, ...]:
    """What of the stock that a price counts on is promised to other jobs that are won."""
    from ledger.costing.needs import needs_of
    from ledger.stock.planned import still_planned

    planned = {need.item: need.quantity for need in needs_of(sheet.lines) if need.quantity}
    if not planned:
        return ()
    drawn = {one.material: min(one.left, one.on_hand)
             for one in still_planned(book, job.key, planned)}  # fmt: skip
    return promised_words(book, drawn, {job.number})


def with_promised(book: Book, purchases: "BuyingList") -> "BuyingList":
    """A buying list that says what of its stock is promised to jobs that are not on it."""
    drawn = {
        line.material: sum((given for _, given in line.from_sponsors), line.from_stock)
        for line in purchases.lines
    }
    numbers = {job.number for job in purchases.jobs}
    return replace(purchases, promised=promised_words(book, drawn, numbers))


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
