"""Stock at the bench: issues and returns, goods that leave, counts."""

from collections.abc import Mapping, Sequence
from contextlib import AbstractContextManager, nullcontext

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.labor import changed_since
from ledger.book.questions.stock import lot_now, quantity_on
from ledger.book.tables.ground import Job, JournalEntry
from ledger.book.tables.stock import Lot, Movement
from ledger.errors import BadValue, LedgerError, NotAllowed, NotFound
from ledger.jobs.jobs import find_job
from ledger.measures.money import Money, total
from ledger.measures.quantity import Quantity, parse_quantity, show_quantity
from ledger.measures.units import show_count
from ledger.stock import movements
from ledger.stock.materials import find_material, materials
from ledger.verbs.typed_items import (
    Item,
    read_items,
    read_job_items,
    require_whole,
)


class MovedCost(Struct, frozen=True):
    """What the goods that moved had cost, in cash too, and the use tax that falls due on them."""

    full: Money
    cash: Money
    use_tax: Money


class Moved(Struct, frozen=True):
    """What moved of one material (or piece), and what is left of it; its money stands in `cost`."""

    entry: int
    item: str
    quantity: Quantity
    unit: str
    left: Quantity
    cost: MovedCost


def issue(
    book: Book,
    words: Sequence[str],
    *,
    lot: int | None = None,
    on: str = "today",
    why: str = "",
    on_camera: bool | None = None,
) -> tuple[Job, tuple[Moved, ...]]:
    """Issue to a job, oldest lot first or from one lot: `bed EDGE78 88 PLY12 2`; the job comes too.

    Several materials are one entry: all of them, or nothing.

    Raises:
        BadValue: there are too few words, or a part of a whole thing.
        NotAllowed: more than is on hand on that day, or a day in the future or a closed month.
    """
    job, items = read_job_items(book, words, lot)
    for item in items:
        require_whole(book, item)
    with _one_entry(book, "stock issue", items):
        rows = [
            row
            for item in items
            for row in movements.issue(
                book, job.key, item.material, item.quantity, lot=lot, day=book.dates.read(on),
                reason=why, on_camera=on_camera,
            )
        ]  # fmt: skip
    return job, moved_of(book, rows)


def _one_entry(
    book: Book, verb: str, items: Sequence[Item]
) -> AbstractContextManager[JournalEntry | None]:
    """One entry for several items; what is done of one alone names its own."""
    if len(items) == 1:
        return nullcontext()
    named = [f"{item.material} {show_quantity(item.quantity)}" for item in items]
    return book.entry(verb, ", ".join(named))


def over_estimate(book: Book, job: Job, moved: Sequence[Moved]) -> tuple[str, ...]:
    """A sentence for each material issued of which the job has more by now than its estimate.

    Nothing is laid out for it: without a layout kept at any price, or without an estimate, there
    is none.
    """
    if not changed_since(book, job.key, 0):  # nothing says yet what it is made of
        return ()
    from ledger.costing.takeoff import needed
    from ledger.jobs.assembling import assemble
    from ledger.jobs.plans import outgrown
    from ledger.jobs.pricing import taken_of
    from ledger.stock.planned import taken_by

    with book.worked_out.only_kept():
        try:
            needs = needed(taken_of(book, assemble(book, job, at_any_price=True)))
        except NotAllowed:
            return ()
    taken, known = taken_by(book, job.key, needs, outgrown(book, job)), materials(book)
    sentences = []
    for one in moved:
        planned = needs.get(one.item, Quantity(0))
        over = taken.get(one.item, Quantity(0)) - planned
        if needs and one.item in known and over > Quantity(0):
            more, less = show_count(over, one.unit), show_count(planned, one.unit)
            than = f"more than the estimate's {less}" if planned else "that the estimate has not"
            sentences.append(f"{one.item}: {more} {than}.")
    return tuple(sentences)


class EstimatedNeeds(Struct, frozen=True):
    """What a job's estimate says that it takes: quantities by material, and pieces of the rack."""

    job: Job
    needs: Mapping[str, Quantity]
    pieces: tuple[int, ...]
    shared: tuple[str, ...] = ()
    """What is left out, for it is issued once for all jobs that share its sheets."""


def read_estimate(book: Book, job: str, differs: Sequence[str] = ()) -> EstimatedNeeds:
    """What the estimate says, but for what `differs` (CODE=QTY); it may lay out sheets.

    Raises:
        BadValue: a difference does not read CODE=QTY.
        NotAllowed: the job has no design, or a material it names is not in the price list.
    """
    from ledger.costing.takeoff import needed
    from ledger.jobs.assembling import assemble
    from ledger.jobs.joint_plans import joint_of
    from ledger.jobs.pricing import taken_of
    from ledger.jobs.shared_needs import shared_needs

    job_row = find_job(book, job)
    others = dict(_differing(book, text) for text in differs)
    lines = taken_of(book, assemble(book, job_row))
    kept, waiting = joint_of(book, job_row), shared_needs(book, [job_row])
    joint = [plan.material for plan in kept.plans] if kept and not kept.why_not else []
    lines = tuple(
        line
        for line in lines
        if not waiting.takes(job_row.number, line.material)
        and not (line.piece and line.material in joint)
    )
    shared = [group.material for group in waiting.groups]
    pieces = [line.piece.lot for line in lines if line.piece and line.material not in others]
    return EstimatedNeeds(job_row, needed(lines) | others, tuple(pieces), tuple(shared))


def _differing(book: Book, text: str) -> tuple[str, Quantity]:
    code, mark, quantity = text.partition("=")
    if not mark:
        raise BadValue(f"“{text}” should read CODE=QTY, for example EDGE78=88")
    return find_material(book, code).code, parse_quantity(quantity, book.currency.decimal_mark)


def issue_estimated(
    book: Book, estimate: EstimatedNeeds, *, on: str = "today"
) -> tuple[Moved, ...]:
    """Issue all that the estimate says and the job has not taken yet; nothing if it has all.

    Raises:
        NotAllowed: something is short; every shortage is named and nothing is issued.
    """
    from ledger.jobs.plans import outgrown
    from ledger.stock.planned import issue_planned

    job = estimate.job
    rows = issue_planned(
        book, job.key, estimate.needs, pieces=estimate.pieces, day=book.dates.read(on),
        outgrown=outgrown(book, job),
    )  # fmt: skip
    return moved_of(book, rows)


def give_back(
    book: Book, words: Sequence[str], *, lot: int | None = None, on: str = "today", why: str = ""
) -> tuple[Job, tuple[Moved, ...]]:
    """Take back from a job what it did not use: `bed EDGE78 12 PLY12 1`; the job comes too.

    Raises:
        BadValue: there are too few words.
        NotAllowed: the job did not take that much of it by that day.
    """
    job, items = read_job_items(book, words, lot)
    with _one_entry(book, "stock return", items):
        rows = [
            row
            for item in items
            for row in movements.put_back(
                book, job.key, item.material, item.quantity, lot=lot, day=book.dates.read(on),
                reason=why,
            )
        ]  # fmt: skip
    return job, moved_of(book, rows)


def take_out(
    book: Book,
    kind: str,
    words: Sequence[str],
    *,
    lot: int | None = None,
    on: str = "today",
    why: str = "",
    job: str = "",
) -> tuple[Moved, ...]:
    """Take goods out of stock otherwise than into a job: `kind` as in `withdraw`.

    Several materials are one entry: all of them, or nothing.

    Raises:
        BadValue: there are too few words.
        NotAllowed: more than is on hand, or no reason for scrap or damage.
    """
    items = read_items(book, words, lot)
    with _one_entry(book, f"stock {kind}", items):
        rows = [
            row
            for item in items
            for row in movements.withdraw(
                book, kind, item.material, item.quantity, lot=lot, day=book.dates.read(on),
                reason=why, job=find_job(book, job).key if job else None,
            )
        ]  # fmt: skip
    return moved_of(book, rows)


class GoodsSent(Struct, frozen=True):
    """What left by sending it back, and what credit notes (by number) had taken out already."""

    name: str
    moved: tuple[Moved, ...]
    credited: Quantity
    credits: tuple[str, ...]


def send_back(
    book: Book,
    words: Sequence[str],
    *,
    lot: int | None = None,
    on: str = "today",
    why: str = "",
    job: str = "",
    others: bool = False,
) -> tuple[GoodsSent, ...]:
    """Send goods back, out of stock or from a job; `others` than those credited already.

    Several materials are one entry: all of them, or nothing.

    Raises:
        BadValue: there are too few words, or the first one names a job.
        NotAllowed: neither stock nor the job has that much.
    """
    try:
        items = read_items(book, words, lot)
    except NotFound as unknown:
        raise _of_job(book, words, unknown) from unknown
    with _one_entry(book, "stock send-back", items):
        gone = [
            movements.send_back(
                book, item.material, item.quantity, lot=lot, day=book.dates.read(on), reason=why,
                job=find_job(book, job).key if job else None, others=others,
            )
            for item in items
        ]  # fmt: skip
    return tuple(
        GoodsSent(
            item.material or f"lot {lot}", moved_of(book, sent.moved), sent.credited, sent.credits
        )
        for item, sent in zip(items, gone, strict=True)
    )


def _of_job(book: Book, words: Sequence[str], unknown: NotFound) -> LedgerError:
    """How goods of a job are sent back, where the word that names no material names a job."""
    try:
        number = find_job(book, words[0]).number
        find_material(book, words[1])
    except (LedgerError, IndexError):
        return unknown
    return BadValue(
        f"“{words[0]}” is the job {number}; what it has is sent back as: benchledger stock"
        f" send-back {' '.join(words[1:])} --job {number}"
    )


class Counted(Struct, frozen=True):
    """What was counted of a material; `moved` by that, None where the book says the same."""

    material: str
    quantity: Quantity
    is_more: bool
    moved: tuple[Moved, ...]


def count(
    book: Book, rows: Sequence[tuple[str, Quantity, str]], *, words: str, on: str = "today"
) -> tuple[Counted, ...]:
    """Set stock to what was counted: material, quantity and reason of each, all in one entry.

    Raises:
        NotAllowed: a count differs and no reason is given, or the material was never in stock.
    """
    day = book.dates.read(on)
    with book.entry("stock count", words):
        changed = [
            (code, quantity, movements.count(book, code, quantity, day=day, reason=reason))
            for code, quantity, reason in rows
        ]
    return tuple(
        Counted(code, quantity, any(row.quantity.millionths > 0 for row in posted),
                moved_of(book, posted))
        for code, quantity, posted in changed
    )  # fmt: skip


def moved_of(book: Book, rows: Sequence[Movement]) -> tuple[Moved, ...]:
    """What moved, one of each material, with what is left of it now."""
    groups: dict[str, list[tuple[Lot, Movement]]] = {}
    for row in rows:
        lot = book.row(Lot, row.lot)
        if lot is not None:
            is_piece = lot.source == "offcut"
            name = f"{lot.material} {lot.words}" if is_piece else lot.material or lot.words
            groups.setdefault(name, []).append((lot, row))
    moved = []
    for name, pairs in groups.items():
        lot, mine = pairs[0][0], [row for _, row in pairs]
        quantity = sum((row.quantity for row in mine), Quantity(0))
        full, cash = total(row.full for row in mine), total(row.cash for row in mine)
        cost = MovedCost(abs(full), abs(cash), total(row.use_tax for row in mine))
        size = quantity if quantity.millionths > 0 else -quantity
        moved.append(Moved(mine[0].entry, name, size, lot.unit, _left(book, lot), cost))
    return tuple(moved)


def _left(book: Book, lot: Lot) -> Quantity:
    """What is left of the lot's material, or of the lot where it has no code or is on the rack."""
    if lot.material and lot.source != "offcut":
        return quantity_on(book, lot.material, book.today)
    now = lot_now(book, lot.key)
    return now.quantity if now else Quantity(0)
