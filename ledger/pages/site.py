"""What a running page needs to know: the book, whom it answers, and the shop's day and clock."""

from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path

from msgspec import Struct

from ledger.book import Book
from ledger.book.copies import copy_once_a_day
from ledger.measures.zone import Zone


class ShopTime(Struct, frozen=True):
    """Functions that give the day, the moment and the shop's wall clock, called for each request.

    `seconds` never goes back; only its differences mean something.
    """

    today: Callable[[], date]
    moment: Callable[[], datetime]
    local_now: Callable[[Zone], datetime]
    seconds: Callable[[], float]


class Site(Struct, frozen=True):
    """A page for one book: `hosts` are the only names (with port) under which it answers."""

    book: Path
    time: ShopTime
    hosts: frozenset[str]
    tell: Callable[[str], None]
    is_secure: bool = False

    @property
    def origins(self) -> frozenset[str]:
        """Where a form may come from: the page itself."""
        scheme = "https" if self.is_secure else "http"
        return frozenset(f"{scheme}://{host}" for host in self.hosts)

    def open_book(self, who: str) -> Book:
        """The book on this day, in the name of a device; nothing new is laid out in it."""
        book = Book(
            self.book,
            self.time.today(),
            self.time.moment,
            who=who,
            before_writing=lambda book: copy_once_a_day(book, self.tell),
        )
        book.worked_out.kept_only = True
        return book
