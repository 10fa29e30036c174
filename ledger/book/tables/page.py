"""What came in over the bench page."""

from ledger.book.tables.base import Posted


class PageEntry(Posted, table=True):
    """The key under which a device sent an entry, the device, and the answer it was given."""

    __tablename__ = "page_entry"

    sent: str
    device: str
    words: str
