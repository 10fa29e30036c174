"""The form for a receipt with its lines: read as the terminal reads them, posted by the same verb.

Prices go into the book and nowhere back: no answer says one, but where lines and total differ.
"""

from ledger.book import Book
from ledger.errors import BadValue, NotAllowed, Question
from ledger.measures.spoken import how_many
from ledger.measures.values import replace
from ledger.pages.posting import PreparedEntry, Tap
from ledger.stock.line_text import LineText, split_line
from ledger.stock.receipts import check_document
from ledger.verbs import receipt as receipts
from ledger.verbs.photos import RECEIPT, add_photo

LINES = 10
"""Lines that the form has; what is longer is photographed and entered at the desk."""


def receipt(book: Book, tap: Tap) -> PreparedEntry:
    """Enter a receipt with its lines, and its photo in the same entry where one was taken.

    Raises:
        NotAllowed: it is a helper's device.
        Question: the lines do not come to the total.
    """
    if tap.device.is_helper:
        raise NotAllowed("Receipts are entered by the owner; take a photo of it for the desk.")
    typed = _typed(book, tap)
    if tap.is_sure:
        typed = replace(typed, total="")
    else:
        _ask_about_total(book, typed)

    def post() -> str:
        words, number = f"{typed.supplier} {typed.document}".strip(), 0
        if tap.photo:
            number = add_photo(book, tap.photo, RECEIPT, words=words, day=tap.at.date()).key
        added = receipts.add(book, typed, photo=number)
        look = f" Look at it at the desk: benchledger receipt show {added.number}"
        lines = how_many(len(added.lines), "line")
        photo = " and its photo" if number else ""
        return (
            f"Receipt {added.number} of {added.supplier}: {lines}{photo} entered."
            f"{look if added.warnings else ''}"
        )

    return PreparedEntry("receipt add", f"{typed.supplier} {typed.document}".strip(), post)


def _typed(book: Book, tap: Tap) -> receipts.TypedReceipt:
    lines = tuple(_line(tap, number) for number in range(1, LINES + 1) if _is_filled(tap, number))
    if not lines:
        raise BadValue("Write at least one line: what, how much, and the price of one.")
    return receipts.TypedReceipt(
        lines=lines,
        supplier=tap.required("supplier", "whom it is from"),
        to=tap.field("to"),
        tax=tap.field("tax"),
        freight=tap.field("freight"),
        total=tap.required("total", "what the document comes to"),
        document=tap.field("document"),
        on=str(tap.day(book)),
    )


def _is_filled(tap: Tap, number: int) -> bool:
    return any(tap.field(f"{name}{number}") for name in ("item", "quantity", "price"))


def _line(tap: Tap, number: int) -> LineText:
    item = tap.required(f"item{number}", f"what line {number} is")
    quantity = tap.required(f"quantity{number}", f"how much line {number} is")
    price = tap.required(f"price{number}", f"the price of one on line {number}")
    line = split_line(f"goods {quantity} at {price}")
    return replace(line, item=item, category=tap.field(f"kind{number}"))


def _ask_about_total(book: Book, typed: receipts.TypedReceipt) -> None:
    """Ask where nothing is wrong with a receipt but its total; other faults are left to the verb.

    Raises:
        Question: the lines do not come to the total.
    """
    document = receipts.typed_document(book, typed)
    faults = check_document(book, document)
    if faults and not check_document(book, replace(document, total=None)):
        raise Question([*faults, "If the lines are right, it is entered at what they come to."])
