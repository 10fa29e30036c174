"""Posting what a device sent: at the moment of the tap, and once, however often it is sent."""

import re
from collections.abc import Callable, Mapping
from datetime import date, datetime, timedelta

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.entries import last_of_device
from ledger.book.series import add_if_due
from ledger.book.tables.ground import JournalEntry
from ledger.book.tables.page import PageEntry
from ledger.errors import BadValue, NotAllowed
from ledger.labor.clock import shop_zone
from ledger.pages.devices import Device
from ledger.pages.site import Site
from ledger.papers.pictures import written_anew
from ledger.upkeep.undo import RULES

LONGEST_SIDE = 1600
"""Pixels of a photo's longer side: a receipt can still be read."""

_KEY = re.compile(r"[A-Za-z0-9_-]{20,64}")


class Tap(Struct, frozen=True):
    """What a device sent: the fields of its form, and when it was tapped by the shop's clock."""

    device: Device
    fields: Mapping[str, str]
    at: datetime
    photo: bytes = b""

    @property
    def is_sure(self) -> bool:
        """Whether somebody said that it is right, whatever looks odd about it."""
        return self.fields.get("sure") == "1"

    def field(self, name: str) -> str:
        """A field of the form that may be empty."""
        return self.fields.get(name, "").strip()

    def required(self, name: str, what: str) -> str:
        """A field of the form that may not be empty; `what` names it in the refusal.

        Raises:
            BadValue: it is empty.
        """
        text = self.field(name)
        if not text:
            raise BadValue(f"Say {what}.")
        return text

    def whole(self, name: str) -> int:
        """A field of the form that is a whole number.

        Raises:
            BadValue: it is none.
        """
        return read_whole(self.field(name), name)

    def day(self, book: Book) -> date:
        """The day that the form names, else the day of the tap."""
        return book.dates.read(self.field("day")) if self.field("day") else self.at.date()


def read_whole(text: str, name: str) -> int:
    """A text that is a whole number; `name` says of what in the refusal.

    Raises:
        BadValue: it is none.
    """
    if not (text.isascii() and text.isdigit() and len(text) < 7):
        raise BadValue(f"{name} should be a whole number.")
    return int(text)


class PreparedEntry(Struct, frozen=True):
    """An entry that is about to be posted: its verb and words, and what posts it and answers."""

    verb: str
    words: str
    post: Callable[[], str]


type Action = Callable[[Book, Tap], PreparedEntry]
"""What a form does: it reads and refuses before anything is posted."""


def post(
    site: Site,
    device: Device,
    fields: Mapping[str, str],
    action: Action | None,
    photo: bytes = b"",
) -> str:
    """Post one entry with its key, or tell again what was answered when the key came first.

    Without an action the device's own last entry is taken back.

    The book is held before anything is read, so nothing changes between reading and posting. An
    entry that was taken back keeps its key: sent once more, it is not posted again.

    Raises:
        Question: it looks like a slip, and nobody said that it is right.
        BookTrouble: it cannot be posted now; it may be sent again.
        LedgerError: it is refused, and stays refused.
    """
    if photo:  # it takes half a second, and the book is not held for it
        photo = written_anew(photo, "What was sent", LONGEST_SIDE, as_photo=True)
    with site.open_book(device.name) as book:
        book.hold()
        key = _key(fields)
        if sent := book.rows(PageEntry, in_force=False, sent=key):
            return sent[0].words
        tap = Tap(device, fields, _tapped_at(book, site, fields), photo)
        if action is None:
            return _take_back(book, tap, key)
        prepared = action(book, tap)
        with book.entry(prepared.verb, prepared.words):
            words = prepared.post()
            book.post(PageEntry(sent=key, device=device.name, words=words))
        return words


def _take_back(book: Book, tap: Tap, key: str) -> str:
    """Take back the device's own last entry, by its number: what others posted stays.

    The key is posted within the reversal: a rule asked of it is what a reversal runs inside.

    Raises:
        NotAllowed: it is not the device's last one any more, or something rests on it.
    """
    last = last_of_device(book, tap.device.name)
    if last is None or str(last.entry) != tap.field("entry"):
        raise NotAllowed("That is no longer the last entry of this device; nothing was undone.")
    words = f"Taken back: {last.words}"

    def keep_key(book: Book, _: JournalEntry) -> None:
        book.post(PageEntry(sent=key, device=tap.device.name, words=words))

    book.reverse(last.entry, f"taken back on {tap.device.name}", (*RULES, keep_key))
    return words


def _key(fields: Mapping[str, str]) -> str:
    key = fields.get("key", "")
    if not _KEY.fullmatch(key):
        raise BadValue("The entry came without its key; load the page again.")
    return key


def _tapped_at(book: Book, site: Site, fields: Mapping[str, str]) -> datetime:
    """The shop's wall clock at the tap: what passed since then is counted by the device's clock.

    So a device whose clock is wrong by an hour does no harm.
    """
    zone = shop_zone(book)
    now = site.time.local_now(zone)
    waited = max(0, _milliseconds(fields, "sent") - _milliseconds(fields, "tapped"))
    return zone.wall(zone.moment(now) - timedelta(milliseconds=waited))


def _milliseconds(fields: Mapping[str, str], name: str) -> int:
    text = fields.get(name, "")
    if not (text.isascii() and text.isdigit() and len(text) < 15):
        raise BadValue("The entry came without its moment; load the page again.")
    return int(text)


def add_off_site_copy(site: Site) -> None:
    """Put the day's copy into the off-site series, where that is due and nothing is locked."""
    with site.open_book("owner") as book:
        add_if_due(book, site.tell)
