"""Receipts as they are said: listed, and each line by line."""

from ledger.book.tables.receipts import Receipt
from ledger.cli import voice
from ledger.cli.opened import open_shop
from ledger.measures.money import Currency
from ledger.measures.plain import plain_fields
from ledger.measures.units import show_count
from ledger.stock.documents import document_words
from ledger.stock.receipts import find_receipt, receipts, supplier_name
from ledger.stock.retention import KeptPaper
from ledger.verbs.receipt import LineNow, ReceiptNow, read


def list_receipts(text: str, *, as_json: bool) -> None:
    """List the receipts in force."""
    sought = text.casefold()
    with open_shop() as book:
        rows = [
            (receipt, supplier)
            for receipt in receipts(book)
            if (supplier := supplier_name(book, receipt)) is not None
            and sought in f"{receipt.number} {supplier} {receipt.document}".casefold()
        ]
        money = book.currency
    if as_json:
        voice.print_json([_json(receipt, supplier, money) for receipt, supplier in rows])
        return
    if not rows and not text:
        voice.note("No receipt is in the book yet: benchledger receipt add ITEM QUANTITY PRICE")
        return
    voice.table(
        ["receipt", "day", "supplier", "document", "kind", ">total"],
        [
            [r.number, str(r.day), name, r.document, r.kind.replace("_", " "), money.show(r.total)]
            for r, name in rows
        ],
    )


def show(number: str, *, as_json: bool) -> None:
    """Show one receipt with its lines."""
    with open_shop() as book:
        receipt, currency = read(book, find_receipt(book, number)), book.currency
    if as_json:
        until = receipt.paper.until
        voice.print_json(
            _json(receipt.cost, receipt.supplier, currency)
            | {"keep_until": str(until) if until else None}
            | {"lines": [_line_json(line, currency) for line in receipt.lines]}
        )
        return
    say_receipt(receipt, currency)
    # which lots it brought, for whoever has to name one later
    lots = [f"{line.item}: lot {line.lot}" for line in receipt.lines if line.lot]
    if lots:
        voice.say("; ".join(lots) + ".")


def _line_json(line: LineNow, currency: Currency) -> dict[str, object]:
    names = (
        "material item=words category quantity unit bought bought_unit unit_price"
        " net freight tax_paid use_tax landed"
    )
    return plain_fields(line.cost, names, currency) | {"lot": line.lot}


def say_receipt(receipt: ReceiptNow, currency: Currency) -> None:
    """Say a receipt line by line: what its goods landed at, and where they went."""
    show, is_in_kind = currency.show, receipt.cost.kind == "in_kind"
    voice.heading(f"{receipt.number}  {receipt.supplier}, {receipt.cost.day}")
    voice.table(
        ["item", ">quantity", ">net", ">freight", ">tax", ">landed", "to"],
        [
            [line.item, show_count(line.cost.quantity, line.cost.unit), show(line.cost.net),
             show(line.cost.freight), show(line.cost.tax_paid + line.cost.use_tax),
             show(line.cost.fair if is_in_kind else line.cost.landed), ", ".join(line.places)]
            for line in receipt.lines
        ],
    )  # fmt: skip
    voice.say(f"Document total {show(receipt.cost.total)}.")
    voice.say(_keep_words(receipt.paper))


def _keep_words(kept: KeptPaper) -> str:
    if kept.until:
        return f"Keep the paper at least until {kept.until} ({kept.rule})."
    panels = f", as one of panels at least until {kept.panels}" if kept.panels else ""
    return (
        f"Keep the paper{panels}; for how many years your tax law asks it, say once: benchledger"
        " shop set keep_years=YEARS"
    )


def _json(receipt: Receipt, supplier: str, currency: Currency) -> dict[str, object]:
    return {
        **plain_fields(receipt, "receipt=number day"),
        "supplier": supplier,
        **document_words(receipt),
        **plain_fields(receipt, "kind total", currency),
    }


def list_photos(*, as_json: bool) -> None:
    """List the photos of receipts that wait to be entered."""
    from ledger.verbs.photos import photos_to_enter

    with open_shop() as book:
        waiting = photos_to_enter(book)
    if as_json:
        voice.print_json([
            {"photo": one.photo.key, "day": str(one.photo.day), "words": one.photo.words,
             "file": str(one.file), "there": one.file.exists()}
            for one in waiting
        ])  # fmt: skip
    elif not waiting:
        voice.say("No photo of a receipt waits to be entered.")
    else:
        cells = [[str(one.photo.key), str(one.photo.day), one.photo.words] for one in waiting]
        voice.table([">photo", "day", "words"], cells)
        for one in waiting:
            voice.note(f"{one.photo.key}: {one.file}{'' if one.file.exists() else ' (missing)'}")
