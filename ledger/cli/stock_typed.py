"""Jobs, materials and quantities as they are typed for stock, and what is said afterwards."""

from collections.abc import Sequence
from datetime import date

from ledger.book import Book
from ledger.book.questions.stock import lot_now, quantity_on
from ledger.book.tables.ground import Job
from ledger.book.tables.stock import Lot, Movement
from ledger.cli import voice
from ledger.errors import BadValue
from ledger.jobs.jobs import find_job
from ledger.measures.money import total
from ledger.measures.quantity import Quantity, parse_quantity, show_quantity
from ledger.measures.units import unit
from ledger.stock.materials import find_material, materials
from ledger.stock.planned import issue_planned
from ledger.stock.purchase import stock_quantity


def job_and_item(book: Book, words: Sequence[str], lot: int) -> tuple[Job, str | None, Quantity]:
    """A job, a material (or the named lot's) and a quantity: `bed EDGE78 88` or `bed EDGE78 88 ft`.

    Raises:
        BadValue: there are too few words.
    """
    if len(words) < (2 if lot else 3):
        raise BadValue("Write the job, the material and how much, for example: bed EDGE78 88")
    material, quantity = read_item(book, words[1:], lot)
    return find_job(book, words[0]), material, quantity


def read_item(book: Book, words: Sequence[str], lot: int) -> tuple[str | None, Quantity]:
    """A material and a quantity in its unit or in another that turns into it; a lot needs no code.

    Raises:
        BadValue: there are too few or too many words.
    """
    if lot and len(words) == 1:
        return None, parse_quantity(words[0])
    if len(words) not in (2, 3):
        raise BadValue("Write the material and how much of it, for example: EDGE78 88")
    material = find_material(book, words[0])
    typed = unit(words[2]) if len(words) == 3 else ""
    return material.code, stock_quantity(material, parse_quantity(words[1]), typed)


def as_planned(book: Book, job: Job, differs: Sequence[str], day: date) -> list[Movement]:
    """Issue what the job's estimate says, but for what was said to differ.

    Raises:
        BadValue: a difference does not read CODE=QTY.
    """
    from ledger.jobs.pricing import price_job

    known = materials(book)
    planned: dict[str, Quantity] = {}
    for line in price_job(book, job).lines:
        if line.item in known:
            planned[line.item] = planned.get(line.item, Quantity(0)) + line.quantity
    for text in differs:
        code, mark, quantity = text.partition("=")
        if not mark:
            raise BadValue(f"“{text}” should read CODE=QTY, for example EDGE78=88")
        planned[find_material(book, code).code] = parse_quantity(quantity)
    return issue_planned(book, job.key, planned, day=day)


def say_moved(book: Book, moved: Sequence[Movement], what: str) -> None:
    """Say what moved, a line a material, and what is left of it."""
    if not moved:
        voice.say("Nothing was left to move.")
    groups: dict[str, list[tuple[Lot, Movement]]] = {}
    for row in moved:
        lot = book.row(Lot, row.lot)
        if lot is not None:
            groups.setdefault(lot.material or lot.words, []).append((lot, row))
    for name, pairs in groups.items():
        (lot, _), rows = pairs[0], [row for _, row in pairs]
        quantity = sum((row.quantity for row in rows), Quantity(0))
        size = quantity if quantity.millionths > 0 else -quantity
        worth = book.currency.show(abs(total(row.full for row in rows)))
        voice.say(
            f"{name}: {show_quantity(size)} {lot.unit} {what}, {worth};"
            f" {show_quantity(_left(book, lot))} {lot.unit} left."
        )
        owed = total(row.use_tax for row in rows)
        if owed:
            voice.note(f"Use tax of {book.currency.show(owed)} falls due on it.")


def _left(book: Book, lot: Lot) -> Quantity:
    """What is left of the lot's material, or of the lot where it has no code or is on the rack."""
    if lot.material and lot.source != "offcut":
        return quantity_on(book, lot.material, book.today)
    now = lot_now(book, lot.key)
    return now.quantity if now else Quantity(0)
