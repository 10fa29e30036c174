"""Everything in the book as plain tables: one CSV file a table, for any other program.

Money, quantities and lengths (in millimeters) are decimals, days are ISO 8601, and each posted row
says whether it is in force. A text that a spreadsheet would take for a formula gets an apostrophe
before it; the book itself keeps it as it was written.
"""

import csv
import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

from sqlalchemy.types import Boolean

from ledger.book import catalog, columns, schema, troubles
from ledger.book.journal import Book
from ledger.book.parts import part_of
from ledger.errors import NotAllowed
from ledger.measures.length import Length
from ledger.measures.letters import FORMULA_STARTERS
from ledger.measures.money import Currency, Money
from ledger.measures.quantity import Quantity

type Cell = str | int | Decimal | None


def export_tables(book: Book, folder: Path) -> list[tuple[str, int]]:
    """Write every table into a folder that is new or empty; give back names and counts of rows.

    Raises:
        NotAllowed: something lies in the folder already.
        BookTrouble: the folder cannot be written.

    """
    with schema.made_by_us(folder):
        if schema.is_there(folder) and not folder.is_dir():
            raise NotAllowed(f"{folder} is a file; name a new folder for the export.")
        if folder.is_dir() and any(folder.iterdir()):
            raise NotAllowed(f"{folder} is not empty. Choose a new folder for the export.")
        folder = folder.resolve()
        folder.parent.mkdir(parents=True, exist_ok=True)
        with part_of(folder) as part:
            part.mkdir(mode=0o700)
            written = _write_all(book, part)
            if folder.is_dir():
                folder.rmdir()
            part.rename(folder)
    return written


def _write_all(book: Book, folder: Path) -> list[tuple[str, int]]:
    written = []
    with troubles.as_refusal(book.path), closing(schema.connect(book.path)) as connection:
        connection.execute("BEGIN")  # all tables as they are at one moment
        for table in catalog.every_class():
            headings, shows, sql = _plan(table, book.currency)
            count = _write(folder / f"{table}.csv", headings, shows, connection.execute(sql))
            written.append((table, count))
    return written


def _plan(table: str, currency: Currency) -> tuple[list[str], list[Callable[[Any], Cell]], str]:
    headings, shows, names = [], [], []
    for column in catalog.every_class()[table].__table__.columns:  # type: ignore[attr-defined]
        is_length = isinstance(column.type, columns.LengthColumn)
        headings.append(f"{column.name}_mm" if is_length else column.name)
        shows.append(_show(column.type, currency))
        names.append(column.name)
    if "deed" in names:
        headings.append("in_force")
        shows.append(_yes_or_no)
        names.append("deed NOT IN (SELECT reverses FROM deed WHERE reverses IS NOT NULL)")
    return headings, shows, f"SELECT {', '.join(names)} FROM {table} ORDER BY id"


def _write(
    path: Path,
    headings: Sequence[str],
    shows: Sequence[Callable[[Any], Cell]],
    rows: Iterator[Sequence[Any]],
) -> int:
    count = 0
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "w", encoding="utf-8-sig", newline="") as file:
        writer = csv.writer(file, quoting=csv.QUOTE_STRINGS)
        writer.writerow(headings)
        for row in rows:
            cells = zip(shows, row, strict=True)
            writer.writerow([None if value is None else show(value) for show, value in cells])
            count += 1
    return count


def _show(kind: object, currency: Currency) -> Callable[[Any], Cell]:
    shows: dict[type, Callable[[Any], Cell]] = {
        columns.MoneyColumn: lambda value: currency.decimal(Money(value)),
        columns.LengthColumn: lambda value: Length(value).mm,
        columns.QuantityColumn: lambda value: Quantity(value).decimal,
        columns.DecimalColumn: Decimal,
        columns.ShareColumn: _share,
        Boolean: _yes_or_no,
    }
    return shows.get(type(kind), _plain)


def _share(text: str) -> Cell:
    """A share as a decimal; where it has no end (1/3), as the text of the fraction."""
    share = Fraction(text)
    shown = Decimal(share.numerator) / Decimal(share.denominator)
    return shown if Fraction(shown) == share else str(share)


def _yes_or_no(value: int) -> Cell:
    return "yes" if value else "no"


def _plain(value: str | int | bytes) -> Cell:
    if isinstance(value, bytes):
        return safe_text(value.decode("utf-8", "backslashreplace"))
    return value if isinstance(value, int) else safe_text(value)


def safe_text(text: str) -> str:
    """A text that no spreadsheet takes for a formula.

    >>> safe_text("=cmd()"), safe_text("-5"), safe_text("Bed, low")
    ("'=cmd()", "'-5", 'Bed, low')
    """
    return f"'{text}" if text.startswith(FORMULA_STARTERS) else text
