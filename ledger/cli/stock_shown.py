"""What is on hand and what it is worth, shown: `stock list`, `value`, `offcuts`."""

from collections.abc import Mapping, Sequence
from datetime import date

from ledger.book.questions.returns import GoneBack, receipts_of_lots, sent_not_credited
from ledger.book.questions.stock import OnHand
from ledger.book.tables.stock import Lot
from ledger.cli import voice
from ledger.cli.opened import open_shop
from ledger.measures.length import show_length
from ledger.measures.money import Currency, totals
from ledger.measures.plain import plain, plain_fields
from ledger.measures.quantity import Quantity, show_quantity
from ledger.measures.units import show_count
from ledger.stock.credited import paid_for
from ledger.stock.materials import find_material
from ledger.stock.rack_pieces import rack
from ledger.stock.worth import value_on


def list_stock(text: str, *, lots: bool, every: bool, as_json: bool) -> None:
    """List what is on hand: a line a material, or every lot, used up or not."""
    sought = text.casefold()
    with open_shop() as book:
        rows = [
            row
            for row in value_on(book, with_empty=every)
            if sought in f"{row.material} {row.words} {row.category} {row.sponsor}".casefold()
        ]
        receipts = receipts_of_lots(book) if as_json or lots or every else {}
        sent = sent_not_credited(book, book.today)
        awaited = [
            (gone, lot, paid_for(book, lot, gone.open))
            for gone in sent
            if (lot := book.row(Lot, gone.lot))
        ]
        currency = book.currency
    if as_json:
        voice.print_json([_json(row, currency, receipts.get(row.lot), sent) for row in rows])
        return
    if lots or every:
        _say_lots(rows, currency, receipts)
    else:
        _say_materials(rows, currency)
    for gone, lot, paid in awaited:
        if sought in f"{lot.material} {lot.words} {lot.category}".casefold():
            voice.say(_awaited(gone, lot, paid.words(currency)))


def list_rack(material: str, *, as_json: bool) -> None:
    """Show the pieces on the rack."""
    with open_shop() as book:
        code = find_material(book, material).code if material else None
        pieces = rack(book, code)
        units, currency = book.units, book.currency
    if as_json:
        names = "lot material length_mm=length.mm width_mm=width.mm full cash day"
        voice.print_json([
            plain_fields(piece, names, currency) | {"factory_edges": _edges(piece.factory_edges)}
            for piece in pieces
        ])  # fmt: skip
        return
    if not pieces:
        voice.say("No piece is on the rack.")
        return
    voice.table(
        [">lot", "material", ">length", ">width", ">full", ">cash", "since", "factory edges"],
        [
            [str(p.lot), p.material, show_length(p.length, units), show_length(p.width, units),
             currency.show(p.full), currency.show(p.cash), str(p.day),
             p.factory_edges.replace(" ", ", ") or "not known"]
            for p in pieces
        ],
    )  # fmt: skip


def _edges(words: str) -> list[str] | None:
    """The factory edges of a rack piece, None where nobody knows."""
    return [edge for edge in words.split() if edge != "none"] if words else None


def _awaited(gone: GoneBack, lot: Lot, paid: str) -> str:
    return (
        f"Sent back on {gone.day}, no credit note yet: {show_count(gone.open, lot.unit)}"
        f" {lot.material or lot.words} of lot {lot.key}; {paid}."
    )


def say_value(on: str, *, as_json: bool) -> None:
    """Say what stock was worth on a day."""
    with open_shop() as book:
        day = book.dates.read(on)
        rows = value_on(book, day)
        currency = book.currency
    groups: dict[str, list[OnHand]] = {}
    for row in rows:
        if row.source != "borrowed":
            groups.setdefault(row.category, []).append(row)
    if as_json:
        voice.print_json(_value_json(day, groups, currency))
        return
    voice.table(
        ["category", ">lots", ">full value", ">cash"],
        [
            [name, str(len(lots)), *map(currency.show, totals(lots, "full cash"))]
            for name, lots in sorted(groups.items())
        ],
        title=f"Stock on {day}",
        footer=["all", str(sum(map(len, groups.values()))),
                *map(currency.show, totals(rows, "full cash"))],
    )  # fmt: skip
    _say_borrowed(rows, currency)


def _say_materials(rows: Sequence[OnHand], currency: Currency) -> None:
    groups: dict[tuple[str, str], list[OnHand]] = {}
    for row in rows:
        if row.source != "borrowed":
            name = f"{row.material} offcuts" if row.source == "offcut" else row.material
            groups.setdefault((name or "(no code)", row.unit), []).append(row)
    voice.table(
        ["code", "material", ">on hand", "unit", ">full value", ">cash"],
        [
            [name, _words(lots), show_quantity(sum((row.quantity for row in lots), Quantity(0))),
             unit, *map(currency.show, totals(lots, "full cash"))]
            for (name, unit), lots in groups.items()
        ],
    )  # fmt: skip
    _say_borrowed(rows, currency)


def _words(lots: Sequence[OnHand]) -> str:
    names = list(dict.fromkeys(row.words for row in lots))
    return names[0] if len(names) == 1 else f"{names[0]} and {len(names) - 1} more"


def _say_lots(rows: Sequence[OnHand], currency: Currency, receipts: Mapping[int, str]) -> None:
    voice.table(
        [">lot", "day", "what", ">on hand", ">full", ">cash", "source"],
        [
            [str(row.lot), str(row.day), _lot_words(row),
             show_count(row.quantity, row.unit), currency.show(row.full),
             currency.show(row.cash), _source(row, receipts)]
            for row in rows
        ],
    )  # fmt: skip


def _source(row: OnHand, receipts: Mapping[int, str]) -> str:
    if row.source == "receipt":
        return receipts.get(row.lot, "receipt")
    return " ".join(filter(None, [row.source.replace("_", " "), row.sponsor]))


def _lot_words(row: OnHand) -> str:
    """A code where there is one, the words where not; an offcut needs both."""
    return f"{row.material} {row.words}" if row.source == "offcut" else row.material or row.words


def _say_borrowed(rows: Sequence[OnHand], currency: Currency) -> None:
    for row in rows:
        if row.source == "borrowed":
            worth = currency.show(row.declared)
            voice.say(
                f"Borrowed, not ours: {show_count(row.quantity, row.unit)} {row.words} of"
                f" {row.sponsor} (lot {row.lot}, said to be worth {worth})."
            )


def _json(
    row: OnHand, currency: Currency, receipt: str | None, sent: Sequence[GoneBack]
) -> dict[str, object]:
    awaited = sum((gone.open for gone in sent if gone.lot == row.lot), Quantity(0))
    return {
        **plain_fields(
            row, "lot material words category day source sponsor quantity unit full cash", currency
        ),
        "receipt": receipt,
        "sent_back_not_credited": show_quantity(awaited),
    }


def _value_json(
    day: date, groups: dict[str, list[OnHand]], currency: Currency
) -> dict[str, object]:
    def sums(rows: Sequence[OnHand]) -> dict[str, str]:
        full, cash = totals(rows, "full cash")
        return {"full": plain(full, currency), "cash": plain(cash, currency)}

    return {
        "day": day.isoformat(),
        **sums([row for rows in groups.values() for row in rows]),
        "by_category": [{"name": name} | sums(rows) for name, rows in sorted(groups.items())],
    }
