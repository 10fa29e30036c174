"""What came in over the bench page, and photos."""

from datetime import date

from ledger.book.tables.base import Posted, column


class PageEntry(Posted, table=True):
    """The key under which a device sent an entry, the device, and the answer it was given."""

    __tablename__ = "page_entry"

    sent: str
    device: str
    words: str


class Photo(Posted, table=True):
    """A photo that is kept beside the book under its SHA-256, and what it is about.

    `about` is receipt, build or spoiled; only a receipt's may be of no job.
    """

    sha256: str
    bytes: int
    day: date = column(date)
    about: str
    job: int | None = None
    part: str = ""
    words: str = ""


class ReceiptPhoto(Posted, table=True):
    """The receipt that was entered from a photo."""

    __tablename__ = "receipt_photo"

    photo: int
    receipt: int


class CutPart(Posted, table=True):
    """A part that was cut: of which sheet of a layout (its digest), the how-manieth of its mark."""

    __tablename__ = "cut_part"

    job: int
    layout: str
    sheet: int
    mark: str
    number: int
