"""What headings of the owner's files were said to mean."""

from ledger.book.tables.base import Posted


class HeadingMeaning(Posted, table=True):
    """The column that a heading means in a kind of file, of one source or (empty) of any.

    `meaning` is a column's name, or `-` for one that is not read. The last one in force counts.
    """

    __tablename__ = "heading"

    file_kind: str
    source: str = ""
    heading: str
    meaning: str
