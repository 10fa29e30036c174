"""The copy that is made on its own before the first posting of a day, a bounded number of them."""

from collections.abc import Callable
from pathlib import Path

from ledger.book import schema
from ledger.book.journal import Book
from ledger.book.parts import COPIES
from ledger.errors import LedgerError


def copy_once_a_day(book: Book, tell: Callable[[str], None]) -> None:
    """Keep the day's copy; where that fails, what failed is told and the posting goes on."""
    try:
        keep_daily_copy(book)
    except LedgerError as trouble:
        tell(f"No copy of the book was made today. {trouble}")


def keep_daily_copy(book: Book) -> Path | None:
    """Copy the book as the day found it, unless that is done, and drop the oldest copies.

    It is called with the book's lock held (`before_writing`), so that two commands never copy at
    once and whatever lies about unfinished was left by a command that was killed.

    Raises:
        BookTrouble: the copy cannot be made.

    """
    folder = book.path.parent / COPIES
    name, kind = book.path.stem, book.path.suffix
    copy = folder / f"{name} {book.today}{kind}"
    if copy.exists():
        return None
    count = book.settings.daily_copies
    if not count:
        return None
    with schema.made_by_us(folder):
        folder.mkdir(mode=0o700, exist_ok=True)
        for left in folder.glob(f".{_literal(name)} *.part*"):
            left.unlink()
        schema.copy_into(book.path, copy)
        others = sorted(folder.glob(f"{_literal(name)} ????-??-??{_literal(kind)}"))
        others.remove(copy)
        for old in others[: max(0, len(others) - count + 1)]:
            old.unlink()
    return copy


def _literal(text: str) -> str:
    """The text for a pattern of file names, in which brackets stand for themselves."""
    return "".join(f"[{letter}]" if letter in "[*?" else letter for letter in text)
