"""Photos of receipts, builds and spoiled parts; a receipt's waits to be entered at the desk."""

from datetime import date
from pathlib import Path

from msgspec import Struct

from ledger.book import Book, require_open_day
from ledger.book.photos import keep_photo, photo_file
from ledger.book.tables.ground import Job
from ledger.book.tables.page import Photo, ReceiptPhoto
from ledger.book.tables.receipts import Receipt
from ledger.errors import NotAllowed

RECEIPT, BUILD, SPOILED = "receipt", "build", "spoiled"


class PhotoToEnter(Struct, frozen=True):
    """A receipt's photo that nobody entered yet, and where it stands."""

    photo: Photo
    file: Path


def add_photo(
    book: Book,
    content: bytes,
    about: str,
    *,
    job: Job | None = None,
    part: str = "",
    words: str = "",
    day: date | None = None,
) -> Photo:
    """Keep a photo's bytes beside the book and note what it is about.

    Raises:
        NotAllowed: a photo of a build names no job.
    """
    if about != RECEIPT and job is None:
        raise NotAllowed("Say which job the photo is of.")
    when = require_open_day(book, day or book.today)
    digest = keep_photo(book.path, content)
    with book.entry("photo", f"{about} {job.number if job else ''} {words}".strip()):
        return book.post(
            Photo(sha256=digest, bytes=len(content), day=when, about=about,
                  job=job.key if job else None, part=part, words=words)
        )  # fmt: skip


def photos_to_enter(book: Book) -> list[PhotoToEnter]:
    """The photos of receipts that no receipt was entered from, the oldest first."""
    entered = {row.photo for row in book.rows(ReceiptPhoto)}
    return [
        PhotoToEnter(row, photo_file(book.path, row.sha256))
        for row in book.rows(Photo, about=RECEIPT)
        if row.key not in entered
    ]


def require_photo(book: Book, number: int) -> Photo:
    """The receipt's photo of that number, if it is still to be entered.

    Raises:
        NotAllowed: there is none, or a receipt was entered from it.
    """
    for one in photos_to_enter(book):
        if one.photo.key == number:
            return one.photo
    raise NotAllowed(f"No photo {number} waits to be entered; see: benchledger receipt photos")


def tie_photo(book: Book, photo: Photo, receipt: Receipt) -> None:
    """Note which receipt was entered from a photo, inside its entry."""
    with book.entry("receipt photo", f"{photo.key} {receipt.number}"):
        book.post(ReceiptPhoto(photo=photo.key, receipt=receipt.key))
