"""Making a book: its file, its first settings, and whatever else its first entry posts."""

from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path

from ledger.book import schema
from ledger.book.journal import MADE, Book, now
from ledger.book.parts import part_of
from ledger.book.settings import STARTING
from ledger.book.tables.ground import SettingValue
from ledger.errors import BadValue
from ledger.measures.money import currency


def create_book(
    path: Path,
    today: date,
    settings: dict[str, str],
    also: Callable[[Book], object] | None = None,
    moment: Callable[[], datetime] = now,
) -> None:
    """Make a book and post its first settings; `currency` and `units` are fixed with them.

    What `also` posts belongs to the same entry. The book gets its name when it is complete: where
    the making is refused or broken off, there is no book.

    Raises:
        NotAllowed: a file stands there already.
        BadValue: a setting's text is not of its kind.

    """
    fixed = {"currency": currency(settings.get("currency", "USD")).code}
    fixed["units"] = settings.get("units", "inch")
    if fixed["units"] not in {"inch", "mm"}:
        raise BadValue(f"units is inch or mm; not “{fixed['units']}”.")
    if schema.is_there(path):
        raise schema.taken(path, ", or open that book")
    with part_of(path) as part:
        schema.make_folder(path)
        schema.create(part, path)
        with Book(part, today, moment) as book, book.entry(MADE, settings.get("shop", "")):
            for name, text in fixed.items():
                book.post(SettingValue(name=name, value=text))
            book.forget_settings()
            first = {**STARTING.get(fixed["units"], {}), **settings, "opened": today.isoformat()}
            for name, text in first.items():
                if name not in fixed:
                    book.set(name, text)
            if also is not None:
                also(book)
        schema.put_in_place(part, path)
