"""What was kept of papers as they were printed; the words themselves stand in the frozen pages."""

from ledger.book.tables.base import Posted


class PrintedRecord(Posted, table=True):
    """A paper printed when it was sent: of a quote, an invoice or a change order, just one of them.

    `engine` is what laid it out, with its version; `template`, `words` and `sha256` are digests of
    its layout, of all that it says, and of the file's bytes. With `fallback` letters came from a
    font of the computer it was written on.
    """

    __tablename__ = "printed"

    quote: int | None = None
    invoice: int | None = None
    change_order: int | None = None
    size: str
    engine: str
    template: str
    words: str
    sha256: str
    fallback: bool = False


class ChangePageRow(Posted, table=True):
    """A change order as its client was asked to sign it: the bytes, their schema and SHA-256."""

    __tablename__ = "change_page"

    change_order: int
    schema_number: int
    page: bytes
    sha256: str
