"""A receipt asked for line by line, until its lines come to what the document says."""

from collections.abc import Callable

from ledger.book import Book
from ledger.cli import voice
from ledger.cli.answers import answered
from ledger.cli.opened import open_shop
from ledger.errors import NotAllowed
from ledger.measures.money import Money, total
from ledger.measures.values import replace
from ledger.stock.line_text import EXAMPLE, split_line
from ledger.stock.receipts import check_document
from ledger.verbs.receipt import TypedReceipt, last_supplier, typed_document

_BACK = ("back", "undo")
_FIGURES = (
    ("total", "Total of the document", ""),
    ("tax", "Tax in it", "0"),
    ("freight", "Freight in it", "0"),
)
"""What the document says once, and what is usual: what has a usual answer may be left out."""


def ask_for_lines(typed: TypedReceipt) -> TypedReceipt:
    """Prompt for what was not typed of a receipt; nothing is posted yet.

    Answers may be piped in. A wrong one is said to be so and asked for again; `back` takes the
    last line back.

    Raises:
        NotAllowed: the answers end before the lines meet the total.
    """
    with open_shop() as book:
        typed = _document_of(book, typed)
        voice.note(f"A line reads like: {EXAMPLE}. The word back takes the last one back.")
        while still_open := _still_open(book, typed):
            typed = _next_line(book, typed, still_open)
    return typed


def _document_of(book: Book, typed: TypedReceipt) -> TypedReceipt:
    """The figures of the document as a whole."""
    supplier = typed.supplier or _answer("From", str, last_supplier(book))
    day = book.dates.read(typed.on) if typed.lines else _answer("Day", book.dates.read, typed.on)
    figures = {"total": typed.total, "tax": typed.tax, "freight": typed.freight}
    for name, question, usual in _FIGURES:
        if not figures[name] and not (usual and typed.lines):
            figure = _answer(question, book.currency.parse, usual)
            figures[name] = str(book.currency.decimal(figure)) if figure else ""
    return replace(
        typed, supplier=supplier, on=str(day), total=figures["total"], tax=figures["tax"],
        freight=figures["freight"],
    )  # fmt: skip


def _next_line(book: Book, typed: TypedReceipt, still_open: Money) -> TypedReceipt:
    """Prompt for one more line, or take the last one back."""
    number, show = len(typed.lines) + 1, book.currency.show

    def read(text: str) -> TypedReceipt:
        if text.casefold() in _BACK:
            if not typed.lines:
                raise NotAllowed("There is no line yet.")
            return replace(typed, lines=typed.lines[:-1])
        more = replace(typed, lines=(*typed.lines, split_line(text)))
        if (over := -_still_open(book, more)).minor > 0:
            raise NotAllowed(
                f"With this line it is {show(over)} more than the document says; write it again,"
                " or take the last one back: back"
            )
        return more

    rest = show(still_open) if still_open.minor > 0 else "nothing"
    return _answer(f"Line {number}, {rest} still open", read, ends=rest)


def _still_open(book: Book, typed: TypedReceipt) -> Money:
    """What the document's total has beyond the lines; what else is wrong with them is refused."""
    read = book.currency.parse
    document_total = read(typed.total)
    if not typed.lines:
        return document_total - total(read(text) for text in (typed.tax, typed.freight) if text)
    document = typed_document(book, replace(typed, total=""))
    paid = total(line.net + line.tax_paid for line in document.lines) + document.tax
    if paid == document_total and (faults := check_document(book, document)):
        raise NotAllowed("\n".join(faults))
    return document_total - paid


def _answer[T](question: str, read: Callable[[str], T], usual: str = "", ends: str = "") -> T:
    """An answer that can be read; a wrong one is refused and asked for again."""

    def read_text(text: str) -> T:
        if not text:
            raise NotAllowed("Nothing is written here.")
        return read(text)

    answer = answered(question, usual, read_text)
    if answer is None:
        rest = f"{ends} is still open, and" if ends else f"“{question}” is not answered, and"
        raise NotAllowed(f"{rest} no further answer came. Nothing was posted.")
    return answer
