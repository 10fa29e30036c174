"""How soon the program starts, how its cost grows with the book, and whether kills leave it whole.

    scripts/bench book                        books of 1,000 and 100,000 movements, 1,000 kills
    scripts/bench book --sizes 1000 1000000   other sizes; a million takes most of an hour to post
    scripts/bench book --kills 0              without the kills

The books are made by the program's own posting: lots are opened and issues drawn from them, over
the days of two years. Times are seconds of processor time, the least of several runs, each run
beside what it is compared with; only ratios of one run mean anything.
"""

import argparse
import json
import os
import resource
import shlex
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from contextlib import closing
from datetime import date, timedelta
from pathlib import Path

from ledger.book import Book, create_book
from ledger.jobs.jobs import new_job
from ledger.labor.standards import load_starting_standards
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.stock.materials import MaterialRow, save_materials
from ledger.stock.movements import issue
from ledger.stock.opening import OpeningRow, open_stock

ROOT = Path(__file__).parents[1]
DAY = date(2025, 4, 25)
MATERIALS = 40
DRAWS = 250
"""Movements drawn from one lot before the next one is opened."""

# A Typer program of the same depth that imports nothing else.
BARE = """
import typer
app, noun = typer.Typer(rich_markup_mode=None), typer.Typer(rich_markup_mode=None)
app.add_typer(noun, name="noun")
@noun.command()
def verb(word: str = "", is_asked: bool = False): "Do it."
@noun.command()
def other(word: str = "", is_asked: bool = False): "Do the other."
app()
"""


def make_book(path: Path, movements: int) -> float:
    """A book with so many movements; give back the seconds that one took."""
    create_book(path, DAY, {"shop": "Quillhaven Workshop"}, load_starting_standards)
    first = DAY - timedelta(days=730)
    codes = [f"M{number:02}" for number in range(MATERIALS)]
    with Book(path, DAY) as book:
        rows = [MaterialRow(code, f"Edging {code}", "edging", "ft") for code in codes]
        save_materials(book, [*rows, MaterialRow("LAST", "Edging kept", "edging", "ft")])
        new_job(book, "Marrow fold-down bed", number="J-2501")
        open_stock(book, [_lot("LAST", 1_000_000)], day=first)
        began = time.process_time()
        for start in range(0, movements, DRAWS):
            code = codes[start // DRAWS % MATERIALS]
            day = first + timedelta(days=700 * start // movements)
            count = min(DRAWS, movements - start)
            with book.deed("bench", f"{count} draws of {code}"):
                open_stock(book, [_lot(code, DRAWS)], day=day)
                for turn in range(count):
                    issue(book, 1, code, Quantity.of(1), day=day + timedelta(days=turn % 30))
    return (time.process_time() - began) / movements


def _lot(code: str, feet: int) -> OpeningRow:
    return OpeningRow(code, Quantity.of(feet), Money(35 * feet), Money(35 * feet))


def spent(command: Sequence[str], book: Path) -> float:
    """Processor time of a process that must succeed."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    environment = os.environ | {"BENCHLEDGER_BOOK": str(book), "BENCHLEDGER_TODAY": str(DAY)}
    done = subprocess.run(command, env=environment, capture_output=True, text=True, check=False)
    if done.returncode:
        sys.exit(f"{shlex.join(command)} ended with {done.returncode}: {done.stderr}")
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def side_by_side(commands: dict[str, Sequence[str]], book: Path, runs: int) -> dict[str, float]:
    """The least time of each command, all of them run in turn."""
    times: dict[str, list[float]] = {name: [] for name in commands}
    for _ in range(runs):
        for name, command in commands.items():
            times[name].append(spent(command, book))
    return {name: min(found) for name, found in times.items()}


def ledger(*words: str) -> list[str]:
    """A command line of the program, as its installed script runs it."""
    return [sys.executable, "-c", "from ledger.cli import main; main()", *words]


def tell_starts(book: Path, runs: int) -> None:
    """Say how soon help and small commands are there."""
    from ledger.cli.nouns import NOUNS

    bare = [sys.executable, "-c", BARE]
    helps = {f"{noun} --help": ledger(noun, "--help") for noun in NOUNS}
    found = side_by_side(
        {"bare --help": [*bare, "--help"], "bare noun --help": [*bare, "noun", "--help"]}
        | {"--help": ledger("--help")} | helps,
        book, runs,
    )  # fmt: skip
    print("Help, against a Typer program of the same depth (reach: at most 1.3)")
    print(f"  {'--help':24} {found['--help'] / found['bare --help']:6.2f}")
    for name in helps:
        print(f"  {name:24} {found[name] / found['bare noun --help']:6.2f}")
    imported = [sys.executable, "-c", "import sqlmodel"]
    found = side_by_side(
        {
            "import sqlmodel": imported,
            "hours add": ledger("hours", "add", "J-2501", "sand", "10m", "--yes"),
            "stock issue": ledger("stock", "issue", "J-2501", "LAST", "1"),
            "shop set": ledger("shop", "set", "kerf=1/8"),
        },
        book, runs,
    )  # fmt: skip
    print("A whole process on the largest book, against import sqlmodel (reach: at most 1.6)")
    for name in list(found)[1:]:
        print(f"  {name:24} {found[name] / found['import sqlmodel']:6.2f}")


def least(act: Callable[[], object], runs: int = 5) -> float:
    """The least processor time of a few runs."""
    times = []
    for _ in range(runs):
        began = time.process_time()
        act()
        times.append(time.process_time() - began)
    return min(times)


REPORT = """
import json, resource, sys, time
from datetime import date
from pathlib import Path
from ledger.book import Book
from ledger.measures.day import Month
from ledger.reports.month import month_report
began = time.process_time()
with Book(Path(sys.argv[1]), date(2025, 4, 25)) as book:
    month_report(book, Month(2025, 3))
taken = time.process_time() - began
print(json.dumps([taken, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss]))
"""

SUMS = (
    "SELECT kind, sum(quantity), sum(full), sum(cash) FROM movement WHERE day < ? GROUP BY kind",
    "SELECT kind, sum(quantity), sum(full), sum(cash) FROM movement"
    " WHERE day BETWEEN ? AND '2025-03-31' GROUP BY kind",
    "SELECT source, sum(quantity), sum(full), sum(cash) FROM lot WHERE day < ? GROUP BY source",
)


def plain_sums(path: Path) -> None:
    """The sums a month rests on, in the sqlite3 module alone."""
    with closing(sqlite3.connect(path)) as connection:
        for sql in SUMS:
            connection.execute(sql, ("2025-03-01",)).fetchall()


def one_issue(path: Path) -> None:
    """Post one issue in a book that was just opened."""
    with Book(path, DAY) as book:
        issue(book, 1, "LAST", Quantity.of(1))


def growth(path: Path, posting: float) -> list[str]:
    """What a book of that size costs: file, posting, an issue, a month, a check, a copy."""
    done = subprocess.run(
        [sys.executable, "-c", REPORT, str(path)], capture_output=True, text=True, check=True
    )
    taken, memory = json.loads(done.stdout)
    with tempfile.TemporaryDirectory(dir=path.parent) as folder:
        check = spent(ledger("check"), path)
        copy = spent(ledger("backup", f"{folder}/copy.sqlite"), path)
    return [
        f"{path.stat().st_size / 2**20:.1f}",
        f"{1000 * posting:.2f}",
        f"{1000 * least(lambda: one_issue(path)):.1f}",
        f"{taken:.2f}",
        f"{taken / least(lambda: plain_sums(path)):.1f}",
        f"{memory / 1024:.0f}",
        f"{check:.2f}",
        f"{copy:.2f}",
    ]


def tell_growth(folder: Path, sizes: Sequence[int]) -> Path:
    """Make the books and say how cost grows; give back the largest."""
    titles = ["MiB", "ms a posting", "ms an issue", "month s", "÷ sums", "MiB peak", "check s"]
    print("  ".join(f"{title:>12}" for title in ["movements", *titles, "backup s"]))
    path = folder
    for size in sorted(sizes):
        path = folder / f"{size}.sqlite"
        cells = [f"{size:,}", *growth(path, make_book(path, size))]
        print("  ".join(f"{cell:>12}" for cell in cells), flush=True)
    return path


def tell_faults(folder: Path, times: int) -> None:
    """Kill commands at random instants and let eight processes post at once."""
    for what, words in (("kill", ["--times", str(times)]), ("crowd", ["--times", "10"])):
        (folder / what).mkdir()
        script = ROOT / "tests" / "faults" / "kills.py"
        done = subprocess.run(
            [sys.executable, script, what, folder / what, *words],
            capture_output=True, text=True, check=False,
        )  # fmt: skip
        print(f"{what}: {' '.join((done.stdout or done.stderr).split())}", flush=True)


def main() -> None:
    """Read the command line and say what was measured."""
    parser = argparse.ArgumentParser(description="Measure the book.")
    parser.add_argument("--sizes", type=int, nargs="+", default=[1_000, 100_000])
    parser.add_argument("--runs", type=int, default=9)
    parser.add_argument("--kills", type=int, default=1_000)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix="bench-") as place:
        largest = tell_growth(Path(place), asked.sizes)
        tell_starts(largest, asked.runs)
        if asked.kills:
            tell_faults(Path(place), asked.kills)


if __name__ == "__main__":
    main()
