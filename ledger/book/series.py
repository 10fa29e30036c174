"""The dated series of verified copies in a folder that leaves the shop (off-site backup).

The folder is one that some other program carries away, or a stick. One copy a day, thinned out by
grandfather-father-son rotation: the latest seven, the last of each of five weeks, and the last of
each of twelve months. With a key the copies are encrypted (`sealed`). Photos stand beside them
once, for all copies.
"""

import os
import re
from collections.abc import Callable, Iterable
from contextlib import AbstractContextManager, nullcontext
from datetime import date
from pathlib import Path

from msgspec import Struct

from ledger.book import schema
from ledger.book.journal import Book
from ledger.book.parts import COPIES, part_of, photo_folder
from ledger.book.sealed import SEALED
from ledger.book.troubles import is_folder
from ledger.errors import BookTrouble, LedgerError, NotAllowed

DAYS, WEEKS, MONTHS = 7, 5, 12
_COPY = re.compile(r"(?P<book>.+) (?P<day>\d{4}-\d\d-\d\d)(\.[^ .]+?)??(?P<sealed>\.age)?")


class SeriesCopy(Struct, frozen=True):
    """One copy of a series: of which book (its file's stem), of which day, encrypted or not."""

    path: Path
    book: str
    day: date
    is_sealed: bool


class OffSite(Struct, frozen=True):
    """How the series of a book stands: its folder, whether it is there now, the latest copy."""

    folder: Path
    is_there: bool
    last: date | None


def kept_days(days: Iterable[date]) -> set[date]:
    """The days whose copies stay: the latest 7, the last of 5 weeks and the last of 12 months.

    Weeks (ISO 8601) and months are counted where a copy stands in them, so that a long pause does
    not thin out what there is.
    """
    newest_first = sorted(set(days), reverse=True)
    weeks: dict[tuple[int, int], date] = {}
    months: dict[tuple[int, int], date] = {}
    for day in newest_first:
        weeks.setdefault(day.isocalendar()[:2], day)
        months.setdefault((day.year, day.month), day)
    return {*newest_first[:DAYS], *list(weeks.values())[:WEEKS], *list(months.values())[:MONTHS]}


def copies_in(folder: Path, book: str = "") -> list[SeriesCopy]:
    """The copies of a series in a folder, the newest first; of one book, or of all.

    Raises:
        BookTrouble: the folder cannot be read.

    """
    copies = []
    with schema.made_by_us(folder):
        names = [entry.name for entry in os.scandir(folder) if entry.is_file()]
    for name in names:
        match = _COPY.fullmatch(name)
        day = _day(match["day"]) if match else None
        if match and day and book in {"", match["book"]}:
            copies.append(SeriesCopy(folder / name, match["book"], day, bool(match["sealed"])))
    return sorted(copies, key=lambda copy: (copy.day, copy.path.name), reverse=True)


def photos_beside(copy: Path) -> Path:
    """The folder of photos that belongs to a copy: its own, or the one of its series."""
    match, own = _COPY.fullmatch(copy.name), photo_folder(copy)
    if match is None or own.is_dir():
        return own
    return photo_folder(copy.with_name(f"{match['book']}{copy.suffix}"))


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def add_copy(path: Path, folder: Path, today: date, key: str = "") -> Path:
    """Put a verified copy of the book into the series, in the place of today's if there is one.

    Copies that the rotation lets go are removed, this book's alone. `key` is the public key by
    which the copy is encrypted; empty: it is not.

    Raises:
        BookTrouble: there is no such folder, it cannot be written, or the book is not sound.

    """
    from ledger.book.backup import (
        back_up,
    )  # it checks books, which saying how old they are does not

    if not is_folder(folder):
        raise BookTrouble(f"The folder {folder} is not there; make it, or connect its disk.")
    if folder.absolute() == path.absolute().parent:
        raise NotAllowed(f"{folder} holds the book itself; name a folder on another disk.")
    target = folder / f"{path.stem} {today}{path.suffix}{SEALED if key else ''}"
    with part_of(target) as part, schema.made_by_us(target):
        if key:
            _seal(path, part, key)
        else:
            back_up(path, part)
        part.replace(target)
    days = kept_days(copy.day for copy in copies_in(folder, path.stem))
    with schema.made_by_us(folder):
        for copy in copies_in(folder, path.stem):
            if copy.day not in days:
                copy.path.unlink(missing_ok=True)
    _note_last(path, folder, today)
    return target


def _seal(path: Path, target: Path, key: str) -> None:
    """Encrypt a verified copy; what is not encrypted stands beside the book alone, for a moment."""
    from ledger.book import sealed
    from ledger.book.backup import back_up

    plain = path.with_name(f"{path.name}.sealing")
    with part_of(plain) as part:
        back_up(path, part)
        target.touch(mode=0o600)
        sealed.encrypt(part, target, key)


def is_due(book: Book) -> bool:
    """Whether today's copy is still to be made: a folder is set, it is there, and has none yet."""
    folder = _folder(book)
    if folder is None or not is_folder(folder):
        return False
    return all(copy.day != book.today for copy in copies_in(folder, book.path.stem))


def add_if_due(
    book: Book,
    tell: Callable[[str], None],
    waiting: Callable[[str], AbstractContextManager[object]] = nullcontext,
) -> None:
    """Add a copy once a day; where that fails, it is told and what was posted stands all the same.

    It is done after the posting, when nothing is locked, and what was posted is said already. The
    book goes first: photos that could not be copied any more go with the next copy.
    """
    folder, key = Path(book.setting_text("backup_to")), book.setting_text("backup_key")
    trouble_with = "No off-site copy was made today."
    try:
        if is_due(book):
            from ledger.book.photos import copy_photos  # once a day

            with waiting("Copying the book to its off-site folder …"):
                add_copy(book.path, folder, book.today, key)
                trouble_with = "Today's off-site copy lacks photos."
                copy_photos(book, folder / book.path.name, key)
    except LedgerError as trouble:
        tell(f"{trouble_with} {trouble}")


def off_site(book: Book) -> OffSite | None:
    """How the series stands, or None where the shop has set no folder for it."""
    folder = _folder(book)
    if folder is None:
        return None
    last = _last_noted(book.path, folder)
    if is_folder(folder):
        try:
            days = [copy.day for copy in copies_in(folder, book.path.stem)]
        except LedgerError:
            return OffSite(folder, False, last)
        return OffSite(folder, True, max(days, default=None))
    return OffSite(folder, False, last)


def _folder(book: Book) -> Path | None:
    text = book.setting_text("backup_to")
    return Path(text) if text else None


def _note_of(path: Path) -> Path:
    return path.parent / COPIES / f"{path.stem} off-site.txt"


def _note_last(path: Path, folder: Path, today: date) -> None:
    """Remember beside the book when the series was last added to: its folder may not be there."""
    note = _note_of(path)
    with schema.made_by_us(note):
        note.parent.mkdir(mode=0o700, exist_ok=True)
        note.write_text(f"{today} {folder}\n", "utf-8")


def _last_noted(path: Path, folder: Path) -> date | None:
    try:
        day, _, place = _note_of(path).read_text("utf-8").strip().partition(" ")
    except (OSError, ValueError):
        return None
    return _day(day) if place == str(folder) else None
