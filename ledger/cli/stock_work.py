"""The verbs of stock: names found, the room asked, what moved and what is left said."""

from collections.abc import Sequence
from pathlib import Path

from ledger.book import Book
from ledger.book.questions.stock import lot_now, quantity_on
from ledger.book.tables.ground import Job
from ledger.book.tables.stock import Lot, Movement
from ledger.cli import voice
from ledger.cli.opened import open_shop
from ledger.errors import BadValue
from ledger.jobs.jobs import find_job
from ledger.measures.money import total
from ledger.measures.quantity import Quantity, parse_quantity, show_quantity
from ledger.measures.spoken import how_many
from ledger.measures.units import show_count
from ledger.stock import movements
from ledger.stock.materials import find_material
from ledger.stock.use_tax import withdrawal_note

_SAID = {
    "to_supplier": "sent back",
    "own_use": "taken for own use",
    "giveaway": "given away",
    "damage": "taken out as damaged",
    "scrap": "scrapped",
}


def issue(
    words: Sequence[str],
    lot: int | None,
    on: str,
    why: str,
    on_camera: bool | None,
    *,
    after_close: bool = False,
) -> None:
    """Issue a material, or goods of a lot, to a job."""
    with open_shop(after_close=after_close) as book:
        job, material, quantity = _job_and_item(book, words, lot)
        moved = movements.issue(
            book, job.key, material, quantity, lot=lot, day=book.dates.read(on),
            reason=why, on_camera=on_camera,
        )  # fmt: skip
        _say_moved(book, moved, f"issued to {job.number}")


def issue_as_estimated(
    words: Sequence[str], differs: Sequence[str], on: str, *, after_close: bool = False
) -> None:
    """Issue what the job's estimate says and it has not taken yet, but for what differs.

    Raises:
        BadValue: a difference does not read CODE=QTY.
    """
    from ledger.costing.takeoff import needed
    from ledger.jobs.assembling import assemble
    from ledger.jobs.pricing import taken_of
    from ledger.stock.planned import issue_planned

    with open_shop(after_close=after_close) as book:
        job = find_job(book, " ".join(words))
        differing = dict(_differing(book, text) for text in differs)
        made = assemble(book, job)
        taken = taken_of(book, made)
        pieces = [line.piece.lot for line in taken if line.piece and line.material not in differing]
        moved = issue_planned(
            book, job.key, needed(taken) | differing, pieces=pieces, day=book.dates.read(on)
        )
        if not moved:
            voice.say(f"{job.number} has all that its estimate says.")
        _say_moved(book, moved, f"issued to {job.number}")


def _differing(book: Book, text: str) -> tuple[str, Quantity]:
    code, mark, quantity = text.partition("=")
    if not mark:
        raise BadValue(f"“{text}” should read CODE=QTY, for example EDGE78=88")
    return find_material(book, code).code, parse_quantity(quantity, book.currency.decimal_mark)


def give_back(words: Sequence[str], lot: int | None, on: str, why: str) -> None:
    """Take back from a job what it did not use."""
    with open_shop() as book:
        job, material, quantity = _job_and_item(book, words, lot)
        moved = movements.put_back(
            book, job.key, material, quantity, lot=lot, day=book.dates.read(on),
            reason=why,
        )  # fmt: skip
        _say_moved(book, moved, f"back from {job.number}")


def take_out(
    kind: str,
    words: Sequence[str],
    why: str,
    lot: int | None,
    on: str,
    job: str = "",
    *,
    after_close: bool = False,
) -> None:
    """Take goods out of stock otherwise than into a job."""
    with open_shop(after_close=after_close) as book:
        material, quantity = _item(book, words, lot)
        charged = find_job(book, job).key if job else None
        moved = movements.withdraw(
            book, kind, material, quantity, lot=lot, day=book.dates.read(on),
            reason=why, job=charged,
        )  # fmt: skip
        _say_moved(book, moved, _SAID[kind])
        note = withdrawal_note(book) if kind in ("own_use", "giveaway") else ""
        if note:
            voice.note(note)


def send_back(
    words: Sequence[str], why: str, lot: int | None, on: str, job: str, *, others: bool
) -> None:
    """Send goods back, out of stock or from a job."""
    from ledger.stock import sending

    with open_shop() as book:
        material, quantity = _item(book, words, lot)
        sent = sending.send_back(
            book, material, quantity, lot=lot, day=book.dates.read(on), reason=why,
            job=find_job(book, job).key if job else None, others=others,
        )  # fmt: skip
        _say_moved(book, sent.moved, _SAID["to_supplier"])
        if sent.credited:
            name, credits = material or f"lot {lot}", " and ".join(sent.credits)
            voice.say(
                f"{name}: {show_quantity(sent.credited)} noted as sent back; credit note {credits}"
                " had taken it out already. Other goods: --others"
            )


def count(words: Sequence[str], why: str, on: str) -> None:
    """Set stock to what was counted: one material, or a sheet of them.

    Raises:
        BadValue: neither a material with a quantity nor a file.
    """
    with open_shop() as book:
        day = book.dates.read(on)
        if len(words) == 1:
            from ledger.workbooks.readers.counts import read_counts

            counted = [(row.material, row.counted, row.reason or why)
                       for row in read_counts(Path(words[0]), book)]  # fmt: skip
        elif len(words) == 2:
            amount = parse_quantity(words[1], book.currency.decimal_mark)
            counted = [(find_material(book, words[0]).code, amount, why)]
        else:
            raise BadValue("Write a material and what was counted, for example: DISC5 46")
        with book.entry("stock count", " ".join(words)):
            drawn = [
                (code, quantity, movements.count(book, code, quantity, day=day, reason=reason))
                for code, quantity, reason in counted
            ]
        for code, quantity, moved in drawn:
            if moved:
                more = moved[0].quantity.millionths > 0
                _say_moved(book, moved, "found more" if more else "found missing")
            else:
                voice.say(f"{code}: {show_quantity(quantity)}, as the book says.")


def open_with(file: Path, on: str) -> None:
    """Take opening stock in."""
    from ledger.stock.opening import open_stock
    from ledger.workbooks.readers.opening import read_opening

    with open_shop() as book:
        lots = open_stock(book, read_opening(file, book), day=book.dates.read(on))
        worth = book.currency.show(total(lot.full for lot in lots))
    count = how_many(len(lots), "lot")
    voice.say(f"{file.name}: {count} of opening stock, worth {worth}.")


def _job_and_item(
    book: Book, words: Sequence[str], lot: int | None
) -> tuple[Job, str | None, Quantity]:
    """A job, a material (or the named lot's) and a quantity: `bed EDGE78 88` or `bed EDGE78 88 ft`.

    Raises:
        BadValue: there are too few words.
    """
    if len(words) < (2 if lot else 3):
        raise BadValue("Write the job, the material and how much, for example: bed EDGE78 88")
    material, quantity = _item(book, words[1:], lot)
    return find_job(book, words[0]), material, quantity


def _item(book: Book, words: Sequence[str], lot: int | None) -> tuple[str | None, Quantity]:
    """A material and a quantity in its unit or in another that turns into it; a lot needs no code.

    Raises:
        BadValue: there are too few or too many words.
    """
    if lot and len(words) == 1:
        return None, parse_quantity(words[0], book.currency.decimal_mark)
    if len(words) not in (2, 3):
        raise BadValue("Write the material and how much of it, for example: EDGE78 88")
    material = find_material(book, words[0])
    quantity = parse_quantity(words[1], book.currency.decimal_mark)
    if len(words) == 2:
        return material.code, quantity
    from ledger.measures.units import unit
    from ledger.stock.purchase import stock_quantity

    return material.code, stock_quantity(material, quantity, unit(words[2]))


def _say_moved(book: Book, moved: Sequence[Movement], what: str) -> None:
    """Say what moved, a line a material, and what is left of it."""
    groups: dict[str, list[tuple[Lot, Movement]]] = {}
    for row in moved:
        lot = book.row(Lot, row.lot)
        if lot is not None:
            name = lot.material or lot.words
            if lot.source == "offcut":
                name = f"{lot.material} {lot.words}"
            groups.setdefault(name, []).append((lot, row))
    for name, pairs in groups.items():
        (lot, _), rows = pairs[0], [row for _, row in pairs]
        quantity = sum((row.quantity for row in rows), Quantity(0))
        size = quantity if quantity.millionths > 0 else -quantity
        worth = book.currency.show(abs(total(row.full for row in rows)))
        voice.say(
            f"{name}: {show_count(size, lot.unit)} {what}, {worth};"
            f" {show_count(_left(book, lot), lot.unit)} left."
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
