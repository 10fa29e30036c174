"""Ten years of a shop through every command that reads, and every screen, against a new book.

    scripts/bench years [--movements 1000000] [--jobs 500] [--photos 5000]

The old book has so many movements (`bench_books` makes and keeps it), jobs agreed, worked on, paid
and closed, and photos; the new one a thousandth of that. Times are seconds of the processor in this
process, the least of three, imports paid before; only their ratio means anything. Then a copy, an
export, and a dated series are written of the old book, and the series' copy is put back.
"""

import argparse
import os
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from functools import partial
from pathlib import Path
from typing import Any

from bench_books import DAY, FIRST, a_copy, book_of
from typer.testing import CliRunner

from ledger.book import Book
from ledger.book.tables.ground import Job, JobState
from ledger.cli.main import app
from ledger.jobs.agreement import Ask, agree
from ledger.jobs.payments import receive
from ledger.labor.log import TimeEntry, log_hours
from ledger.labor.standards import find_operation_or_group
from ledger.measures.money import Money
from ledger.pages.screens import SCREENS
from ledger.verbs.photos import BUILD, add_photo

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "faults"))
from fuzz_page import PageDesk

PAGE_TIME = datetime(DAY.year, DAY.month, DAY.day, 15, 0, tzinfo=UTC)

READS = (
    "today", "shop show", "material list", "material show LAST", "receipt list", "receipt photos",
    "stock list", "stock value", "stock offcuts", "job list", "job show J-2501", "job pay J-2501",
    "job state J-2501", "job buying-list J-2599", "price J-2599", "design list", "quote list",
    "quote check", "kit list", "clock show", "hours list", "hours job J-2501", "standards list",
    "standards record", "standards show SND", "month 2025-03", "year 2024", "review 2024",
    "sponsor show", "undo --list", "stock issue J-2501 LAST 1", "hours add J-2501 sand 10m --yes",
    "undo", "check",
)  # fmt: skip
SET_UP = ("job new Repair --work repair:3h --number J-2599", "shop set overhead_year=22000",
          "shop set pay_year=56000")  # fmt: skip


def grown(path: Path, jobs: int, photos: int) -> None:
    """Add jobs from agreed to closed and photos, spread over the book's years."""
    with Book(path, DAY) as book:
        sanding = find_operation_or_group(book, "sand")
        for number in range(jobs):
            day = FIRST + timedelta(days=600 * number // jobs)
            with book.entry("bench", f"job {number}"):
                job = book.post(Job(number=f"J-24{number:04}", title=f"Shelf {number}"))
                book.post(JobState(job=job.key, state="won", day=day))
                ask = Ask("On acceptance", Money(50_000), Money(0))
                agree(book, job, "bench", [ask], day=day, tax_rate=Fraction(0),
                      tax_standing="exempt")  # fmt: skip
                receive(book, job, Money(50_000), "transfer", day=day)
                log_hours(book, TimeEntry(job, sanding, 200, day), sure=True)
                book.post(JobState(job=job.key, state="closed", day=day))
        first = book.rows(Job)[0]
        for number in range(photos):
            add_photo(book, f"photo {number}".encode(), BUILD, job=first, day=FIRST)


def typed(path: Path, *words: str) -> float:
    """Seconds of the processor that a command takes, which must succeed."""
    env = {"BENCHLEDGER_BOOK": str(path), "BENCHLEDGER_TODAY": str(DAY)}
    began = time.process_time()
    done = CliRunner().invoke(app, [word.replace(":", " ") for word in words], env=env)
    took = time.process_time() - began
    if done.exit_code:
        sys.exit(f"{' '.join(words)}: {done.output} {done.exception!r}")
    return took


def least(act: Callable[[], Any]) -> float:
    """The least seconds of the processor of three runs."""
    times = []
    for _ in range(3):
        began = time.process_time()
        act()
        times.append(time.process_time() - began)
    return min(times)


def compared(new: Path, old: Path) -> None:
    """Print each command and screen on both books."""
    print(f"{'':34} {'new ms':>8} {'old ms':>9} {'ratio':>7}")
    for line in READS:
        times = [least(partial(typed, path, *line.split())) for path in (new, old)]
        told(line, *times)
    pages = [PageDesk(path, now=PAGE_TIME) for path in (new, old)]
    with closing(pages[0]), closing(pages[1]):
        for screen in SCREENS:
            ask = ("GET", f"/facts/{screen}", "job=J-2501")
            asked = [partial(page.send, *ask) for page in pages]
            told(f"page: {screen}", *map(least, asked))


def told(name: str, new: float, old: float) -> None:
    """Print one line."""
    print(f"{name:34} {1000 * new:8.1f} {1000 * old:9.1f} {old / new:7.1f}", flush=True)


def copies(new: Path, old: Path) -> None:
    """Print what copies, exports, a dated series and its restore take."""
    for what in ("backup {to}/copy.sqlite", "export {to}/tables", "backup --to {to}/series",
                 "restore {to}/series"):  # fmt: skip
        times = []
        for path in (new, old):
            to = path.parent / f"out-{path.stem}"
            (to / "series").mkdir(parents=True, exist_ok=True)
            times.append(typed(path, *what.format(to=to).split()))
        told(what.format(to="…"), *times)


def main() -> None:
    """Read the command line, make both books, and print what was measured."""
    parser = argparse.ArgumentParser(description="Ten years of a shop.")
    parser.add_argument("--movements", type=int, default=1_000_000)
    parser.add_argument("--jobs", type=int, default=500)
    parser.add_argument("--photos", type=int, default=5_000)
    asked = parser.parse_args()
    os.chdir(Path(__file__).parents[1])
    with tempfile.TemporaryDirectory(prefix="years-") as place:
        books = []
        for part in (1_000, 1):
            kept, _ = book_of(asked.movements // part)
            books.append(a_copy(kept, Path(place)))
            grown(books[-1], max(5, asked.jobs // part), max(5, asked.photos // part))
            for line in SET_UP:
                typed(books[-1], *line.split())
        new, old = books
        typed(new, "check")
        sizes = " and ".join(f"{path.stat().st_size / 2**20:.1f}" for path in books)
        print(
            f"{asked.movements:,} movements, {asked.jobs} jobs, {asked.photos} photos: {sizes} MiB"
        )
        compared(new, old)
        copies(new, old)


if __name__ == "__main__":
    main()
