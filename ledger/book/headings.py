"""Headings that were said to mean a column: kept by the kind of file and by its source."""

from collections.abc import Mapping

from ledger.book.journal import Book
from ledger.book.tables.headings import HeadingMeaning


def headings_of(book: Book, file_kind: str, source: str = "") -> dict[str, str]:
    """The columns by the headings said of this kind of file; those of its source come first."""
    rows = [row for row in book.rows(HeadingMeaning) if row.file_kind == file_kind]
    sought = source.strip().casefold()
    of_any = {row.heading: row.meaning for row in rows if not row.source}
    of_source = {
        row.heading: row.meaning for row in rows if row.source and row.source.casefold() == sought
    }
    return of_any | of_source


def remember_headings(
    book: Book, file_kind: str, source: str, named: Mapping[str, str]
) -> dict[str, str]:
    """Post what is new of what headings mean, as one entry; give back what was posted."""
    known = headings_of(book, file_kind, source)
    new = {heading: name for heading, name in named.items() if known.get(heading) != name}
    if new:
        words = ", ".join(f"{heading}={name}" for heading, name in new.items())
        with book.entry("columns", f"{file_kind}: {words}"):
            for heading, name in new.items():
                row = HeadingMeaning(
                    file_kind=file_kind, source=source.strip(), heading=heading, meaning=name
                )
                book.post(row)
    return new
