"""Books of many movements for measuring, made by the program's own posting and kept between runs.

A book runs over twenty months, so that one of a million movements has 50,000 in each. Every 250
movements there is a receipt, every 50 an entry of hours, and one entry in a hundred is taken back.
Receipts and hours are posted as the commands post them; movements by the function that every issue
ends in, 25 in an entry: reading back what may be drawn would take four times as long and leave the
same rows. A book that was made is kept in the user's cache, under a name that changes with the
schema and with this file.
"""

import hashlib
import shutil
import tempfile
import time
from datetime import date, timedelta
from importlib import resources
from pathlib import Path

from platformdirs import user_cache_path

from ledger.book import Book, create_book
from ledger.book.tables.ground import Job
from ledger.jobs.jobs import new_job
from ledger.labor.log import TimeEntry, log_hours
from ledger.labor.standards import find_operation_or_group, load_starting_standards
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.stock.documents import Document, DocumentLine
from ledger.stock.lots import Pool, post_issue
from ledger.stock.materials import MaterialRow, save_materials
from ledger.stock.receipts import receive

DAY = date(2025, 4, 25)
FIRST = date(2023, 9, 1)
DAYS = 600
MATERIALS = 40
JOBS = 24
A_LOT = 250
"""Movements drawn from one lot before the next one is bought."""
A_DEED = 25
FEET = Quantity.of(1)
CENTS = Money(35)
KEPT = Quantity.of(1_000_000)
"""What is on hand of a lot that nothing is drawn from until the measuring begins."""


def book_of(movements: int) -> tuple[Path, float]:
    """A book of so many movements, and the milliseconds a movement took in its last tenth."""
    folder = user_cache_path("benchledger") / f"bench-{_digest()}"
    folder.mkdir(parents=True, exist_ok=True)
    path, told = folder / f"{movements}.sqlite", folder / f"{movements}.ms"
    if not told.exists():
        with tempfile.TemporaryDirectory(dir=folder) as making:
            part = Path(making) / path.name
            spent = _make(part, movements)
            part.replace(path)
        told.write_text(f"{spent:.3f}")
    return path, float(told.read_text())


def a_copy(path: Path, folder: Path) -> Path:
    """A copy of a kept book, for what is going to post in it."""
    copy = folder / path.name
    shutil.copyfile(path, copy)
    return copy


def _digest() -> str:
    files = resources.files("ledger.book") / "migrations"
    texts = [file.read_bytes() for file in sorted(files.iterdir(), key=lambda file: file.name)]
    return hashlib.sha256(b"".join([*texts, Path(__file__).read_bytes()])).hexdigest()[:12]


def _make(path: Path, movements: int) -> float:
    create_book(path, DAY, {"shop": "Quillhaven Workshop"}, load_starting_standards)
    codes = [f"M{number:02}" for number in range(MATERIALS)]
    with Book(path, DAY) as book:
        rows = [MaterialRow(code, f"Edging {code}", "edging", "ft") for code in [*codes, "LAST"]]
        save_materials(book, rows)
        for number in range(1, JOBS + 1):
            new_job(book, f"Fold-down bed {number}", number=f"J-25{number:02}")
        _buy(book, "LAST", FIRST, KEPT)
        starts = range(0, movements, A_LOT)
        last = starts[-max(1, len(starts) // 10) :]
        began = time.process_time()
        for start in starts:
            began = time.process_time() if start == last[0] else began
            _one_lot(book, codes[start // A_LOT % MATERIALS], start, movements)
    return 1000 * (time.process_time() - began) / (movements - last[0])


def _one_lot(book: Book, code: str, start: int, movements: int) -> None:
    """Buy a lot and draw it down in a few entries."""

    def day_of(number: int) -> date:
        return FIRST + timedelta(days=DAYS * number // movements)

    lot = _buy(book, code, day_of(start), Quantity.of(A_LOT))
    for first in range(start, min(start + A_LOT, movements), A_DEED):
        job, day = 1 + first // A_DEED % JOBS, day_of(first)
        with book.entry("bench", f"{A_DEED} draws of {code}") as entry:
            for _ in range(A_DEED):
                post_issue(book, lot, Pool(FEET, CENTS, CENTS), job, day)
        if first // A_DEED % 100 == 99:
            book.reverse(entry.id or 0, "measured")
        if first // A_DEED % 2:
            _work(book, job, day, 5 + first % 400)


def _buy(book: Book, code: str, day: date, feet: Quantity) -> int:
    net = Money(int(CENTS.minor * feet.fraction))
    line = DocumentLine(f"Edging {code}", "edging", feet, "ft", net, material=code)
    received = receive(book, Document("Copper Vale Lumber", day, (line,)))
    return received.lots[0].key


def _work(book: Book, job: int, day: date, minutes: int) -> None:
    sanding = find_operation_or_group(book, "sand")
    log_hours(book, TimeEntry(book.row(Job, job), sanding, minutes, day), sure=True)
