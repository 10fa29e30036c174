"""Which book and which day: the only reading of the environment and the clock."""

import gc
import os
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import TYPE_CHECKING

from ledger.cli import voice
from ledger.errors import BadValue, NotAllowed, NotFound

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.book.tables.ground import Job
    from ledger.measures.zone import Zone

_chosen: list[Path] = []
_holding: list[bool] = [False]
_posted: list[bool] = [False]


def hold_from_the_start(is_held: bool) -> None:
    """Whether a command keeps others from writing while it reads: it was disturbed before."""
    _holding[:] = [is_held]


def choose(path: Path | None) -> None:
    """Remember the book named on the command line."""
    _chosen[:] = [] if path is None else [path]


def book_path() -> Path:
    """The book named on the command line or in the environment, else the one of this user."""
    if _chosen:
        return _chosen[0]
    from platformdirs import user_data_path

    return user_data_path("benchledger", appauthor=False) / "shop.sqlite"


def today() -> date:
    """The day of the shop: `BENCHLEDGER_TODAY` if it is set, else the computer's."""
    text = os.environ.get("BENCHLEDGER_TODAY", "").strip()
    if not text:
        return datetime.now().astimezone().date()
    try:
        return date.fromisoformat(text)
    except ValueError:
        sentence = f"BENCHLEDGER_TODAY is “{text}”; it should be a day like 2025-05-06."
        raise BadValue(sentence) from None


def moment() -> datetime:
    """The moment an entry is done; on a fixed day, noon of it, so that stories replay the same."""
    if os.environ.get("BENCHLEDGER_TODAY", "").strip():
        return datetime.combine(today(), time(12), UTC)
    return datetime.now(UTC)


def local_now(zone: "Zone") -> datetime:
    """The shop's wall clock, for the clock that counts hours.

    `BENCHLEDGER_NOW` fixes it: a time, or one with its distance from UTC, such as 01:10-05:00.
    """
    text = os.environ.get("BENCHLEDGER_NOW", "").strip()
    if text:
        try:
            fixed = datetime.combine(today(), time.fromisoformat(text))
        except ValueError:
            raise BadValue(f"BENCHLEDGER_NOW is “{text}”; it should be like 15:40.") from None
        return fixed if fixed.tzinfo is None else zone.wall(fixed.astimezone(UTC))
    now = zone.wall(datetime.now(UTC)).replace(microsecond=0)
    is_fixed = os.environ.get("BENCHLEDGER_TODAY", "").strip()
    return datetime.combine(today(), now.time()) if is_fixed else now


@contextmanager
def open_shop(*, after_close: bool = False) -> Iterator["Book"]:
    """The book, open on the day of the shop, closed again whatever happens.

    `after_close` is the owner's word that what is posted belongs to a job that is over.
    """
    from ledger.book import Book

    with Book(
        book_path(),
        today(),
        moment,
        before_writing=copy_once_a_day,
        while_waiting=_say_so,
        only_unchanged=True,
        after_close=after_close,
    ) as book:
        if not gc.isenabled():  # see `main`: what was imported stays, so it need not be searched
            gc.freeze()
            gc.set_threshold(50_000, 20, 50)
            gc.enable()
        voice.write_numbers(book.currency.written, book.currency.digits)
        if _holding[0]:
            book.hold()
        _posted[:] = [False]
        if book.is_just_upgraded:
            _add_operations(book)
        try:
            yield book
        except (BadValue, NotAllowed, NotFound):
            book.require_unchanged()  # else it may only be true of what stood there before
            raise
        if book.numeric_days:
            voice.note(book.dates.said_back())
        if book.open_all_the_same:
            _say_open_jobs(book)
        if _posted[0]:
            from ledger.book.series import add_if_due

            add_if_due(book, voice.note, voice.wait)


@contextmanager
def open_job(
    name: str, *, or_last: bool = False, after_close: bool = False
) -> Iterator[tuple["Book", "Job"]]:
    """The book, open as by `open_shop`, and the job of that number or name.

    Where no name is typed, `or_last` gives the last job.
    """
    from ledger.jobs.jobs import find_job, last_job

    with open_shop(after_close=after_close) as book:
        job = last_job(book) if or_last and not name else find_job(book, name)
        if after_close:
            from ledger.book import shut_words

            shut_words(book, job.key)
        yield book, job


def _say_open_jobs(book: "Book") -> None:
    """Say of which jobs it was said that they are over, and are not."""
    from ledger.book.tables.ground import Job

    jobs = sorted(row.number for row in book.rows_of(Job, book.open_all_the_same))
    verb = "is" if len(jobs) == 1 else "are"
    voice.warn(
        f"{' and '.join(jobs)} {verb} open: --after-close did nothing, and this is no late cost."
    )


def _add_operations(book: "Book") -> None:
    """Give a book of an older program the operations it lacks; say which drafts that changes."""
    from ledger.labor.standards import load_lacking_standards, standards
    from ledger.quotes.drift import recounted_drafts

    added = load_lacking_standards(book) if standards(book) else []
    if not added:
        return
    voice.note(
        f"{len(added)} operations came into the book, for solid wood, joints and finishing by hand:"
        " benchledger standards list. What the shop learned stays as it is."
    )
    voice.warn(*recounted_drafts(book, added))


def _say_so() -> None:
    voice.note("Another command is writing to the book; waiting for it …")


def copy_once_a_day(book: "Book") -> None:
    """Keep a copy before the first posting of a day; where that fails, the posting goes on."""
    from ledger.book import copies

    _posted[:] = [True]
    copies.copy_once_a_day(book, voice.note)
