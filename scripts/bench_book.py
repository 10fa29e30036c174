"""How soon the program starts, and how its cost grows with the book.

    scripts/bench book                        books of 1,000, 100,000 and 1,000,000 movements
    scripts/bench book --sizes 1000 100000    other sizes; a million takes a quarter of an hour to
                                              make, once (`bench_books` says how they are made)

Times are seconds of processor time, the least of several runs, what is compared run in turn; only
ratios of one run mean anything.
"""

import argparse
import json
import os
import resource
import shlex
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from pathlib import Path
from typing import NamedTuple

from bench_books import DAY, JOBS, a_copy, book_of

from ledger.book import Book
from ledger.book.tables.ground import Job, JobState
from ledger.jobs.agreement import Ask, agree
from ledger.jobs.payments import receive
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.stock.movements import issue

ROOT = Path(__file__).parents[1]

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


class Spent(NamedTuple):
    """What a process took: seconds of processor time, seconds on the clock, mebibytes at most."""

    processor: float
    clock: float
    memory: float


def spent(command: Sequence[str], book: Path) -> Spent:
    """What a process takes that must succeed; the program is compiled, as where it is installed."""
    environment = os.environ | {"BENCHLEDGER_BOOK": str(book), "BENCHLEDGER_TODAY": str(DAY),
                                "PYTHONDONTWRITEBYTECODE": ""}  # fmt: skip
    began = time.monotonic()
    with tempfile.TemporaryFile("w+") as said:
        running = subprocess.Popen(command, env=environment, stdout=said, stderr=said)
        _, status, used = os.wait4(running.pid, 0)
        running.returncode = os.waitstatus_to_exitcode(status)
        if running.returncode:
            said.seek(0)
            sys.exit(f"{shlex.join(command)} ended with {running.returncode}: {said.read()}")
    clock = time.monotonic() - began
    return Spent(used.ru_utime + used.ru_stime, clock, used.ru_maxrss / 1024)


def side_by_side(commands: Mapping[str, Sequence[str]], book: Path, runs: int) -> dict[str, float]:
    """The least time of each command, all of them run in turn."""
    times: dict[str, list[float]] = {name: [] for name in commands}
    for _ in range(runs):
        for name, command in commands.items():
            times[name].append(spent(command, book).processor)
    return {name: min(found) for name, found in times.items()}


def ledger(*words: str) -> list[str]:
    """A command line of the program, as its installed script runs it."""
    return [sys.executable, "-c", "from ledger.cli import main; main()", *words]


def tell_helps(runs: int) -> None:
    """Say how soon help is there."""
    from ledger.cli.nouns import NOUNS

    bare = [sys.executable, "-c", BARE]
    helps = {f"{noun} --help": ledger(noun, "--help") for noun in NOUNS}
    found = side_by_side(
        {"bare --help": [*bare, "--help"], "bare noun --help": [*bare, "noun", "--help"]}
        | {"--help": ledger("--help"), "hours add --help": ledger("hours", "add", "--help")}
        | {"bare noun verb --help": [*bare, "noun", "verb", "--help"]} | helps,
        Path("none.sqlite"), runs,
    )  # fmt: skip
    print("Help, against a Typer program of the same depth (reach: at most 1.3)")
    print(f"  {'--help':24} {found['--help'] / found['bare --help']:6.2f}")
    for name in helps:
        print(f"  {name:24} {found[name] / found['bare noun --help']:6.2f}")
    deep = found["hours add --help"] / found["bare noun verb --help"]
    print(f"  {'hours add --help':24} {deep:6.2f}", flush=True)


EVERYDAY, SUMMARY, PRICE = 1.2, 1.4, 1.6
"""What a whole process may take at most, in times of `import sqlmodel`."""

BED = "J-2599"
"""The job whose price is asked for: the sample bed, its sheets laid out before."""


def tell_commands(book: Path, runs: int) -> None:
    """Say what commands cost as whole processes."""
    for words in (
        ("shop", "load", "sample_data/shop.csv"),
        ("material", "load", "sample_data/materials.csv"),
        ("design", "load", "sample_data/bed"),
        ("job", "new", "Marrow fold-down bed", "--design", "bed", "--number", BED),
        ("price", BED),
    ):
        spent(ledger(*words), book)
    commands = {
        "hours add": (EVERYDAY, "hours", "add", "J-2501", "sand", "10m", "--yes"),
        "hours list": (EVERYDAY, "hours", "list"),
        "clock on": (EVERYDAY, "clock", "on", "J-2501", "sand"),
        "clock off": (EVERYDAY, "clock", "off", "--yes"),
        "stock issue": (EVERYDAY, "stock", "issue", "J-2501", "LAST", "1"),
        "stock list": (EVERYDAY, "stock", "list"),
        "shop set": (EVERYDAY, "shop", "set", "kerf=1/8"),
        "today": (SUMMARY, "today"),
        "month": (SUMMARY, "month"),
        "price, layout kept": (PRICE, "price", BED),
    }
    lines = {name: ledger(*words) for name, (_, *words) in commands.items()}
    base = "import sqlmodel"
    times = side_by_side({base: [sys.executable, "-c", base]} | lines, book, runs)
    print(f"A whole process on {book.stem} movements, against {base} (in brackets: at most)")
    for name, (most, *_) in commands.items():
        print(f"  {name:24} {times[name] / times[base]:6.2f} ({most})", flush=True)


IMPORTS = "import ledger.cli.price, ledger.jobs.pricing, packingsolver.rectangleguillotine"


def tell_price(folder: Path, runs: int) -> None:
    """Say what the price of the sample bed takes over its imports, its sheets laid out anew."""
    made, book = folder / "made.sqlite", folder / "bed.sqlite"
    for words in (
        ("new", "--shop", "Quillhaven Workshop"),
        ("shop", "load", "sample_data/shop.csv"),
        ("material", "load", "sample_data/materials.csv"),
        ("design", "load", "sample_data/bed"),
        ("job", "load", "sample_data/past_jobs"),
        ("job", "new", "Marrow fold-down bed", "--design", "bed"),
    ):
        spent(ledger(*words), made)
    imports, first, again = [], [], []
    for _ in range(max(3, runs // 3)):
        book.write_bytes(made.read_bytes())
        imports.append(spent([sys.executable, "-c", IMPORTS], book))
        first.append(spent(ledger("price", "bed"), book))
        again.append(spent(ledger("price", "bed"), book))
    print("Seconds of `price` of the sample bed over its imports (reach: at most 2)")
    for found, said in ((first, "sheets laid out"), (again, "layout kept")):
        clock = min(one.clock for one in found) - min(one.clock for one in imports)
        processor = min(one.processor for one in found) - min(one.processor for one in imports)
        print(f"  {said:24} {clock:6.2f} on the clock, {processor:.2f} of processor", flush=True)


def least(act: Callable[[], object], runs: int = 15) -> float:
    """The least processor time of a few runs."""
    times = []
    for _ in range(runs):
        began = time.process_time()
        act()
        times.append(time.process_time() - began)
    return min(times)


REPORT = Path(__file__).with_name("bench_month.py")
TITLES = (
    "movements", "MiB", "posting ms", "issue ms", "month s", "÷ sums", "month MiB", "rows",
    "xlsx ÷ plain", "xlsx MiB", "today s", "stock s", "export s", "MiB at most", "check s",
    "backup s",
)  # fmt: skip


def one_issue(path: Path) -> None:
    """Post one issue in a book that was just opened."""
    with Book(path, DAY) as book:
        issue(book, 1, "LAST", Quantity.of(1))


def growth(path: Path, posting: float, folder: Path) -> list[str]:
    """What a book of that size costs, in the order of the titles."""
    done = subprocess.run(
        [sys.executable, REPORT, str(path), str(folder)], capture_output=True, text=True, check=True
    )
    told = json.loads(done.stdout)
    today, stock = spent(ledger("today"), path), spent(ledger("stock", "list"), path)
    export = spent(ledger("export", str(folder / f"tables-{path.stem}")), path)
    check = spent(ledger("check"), path)
    backup = spent(ledger("backup", str(folder / f"copy-{path.name}")), path)
    return [
        f"{path.stat().st_size / 2**20:.1f}",
        f"{posting:.2f}",
        f"{1000 * least(lambda: one_issue(path)):.1f}",
        f"{told['month']:.2f}",
        f"{told['month'] / told['sums']:.1f}",
        f"{told['month_mib']:.0f}",
        f"{told['rows']:,}",
        f"{told['xlsx'] / told['plain']:.2f}",
        f"{told['xlsx_mib']:.0f}",
        f"{today.processor:.2f}",
        f"{stock.processor:.2f}",
        f"{export.processor:.2f}",
        f"{max(used.memory for used in (today, stock, export, check, backup)):.0f}",
        f"{check.processor:.2f}",
        f"{backup.processor:.2f}",
    ]


def tell_growth(folder: Path, sizes: Sequence[int]) -> Path:
    """Say how cost grows with the book; give back a copy of the middle one, as it is now."""
    columns, copies = [list(TITLES)], []
    for size in sorted(sizes):
        kept, posting = book_of(size)
        copies.append(a_copy(kept, folder))
        columns.append([f"{size:,}", *growth(copies[-1], posting, folder)])
    print("Growth (reach: month at most 3 × the sums and 200 MiB, a workbook at most 1.5 × plain)")
    for row in zip(*columns, strict=True):
        print("  " + f"{row[0]:14}" + "".join(f"{cell:>12}" for cell in row[1:]), flush=True)
    return copies[len(copies) // 2]


def tell_jobs(book: Path, count: int) -> None:
    """Say what `today` costs with many jobs behind it, closed and paid; a copy of a book grows."""
    before = spent(ledger("today"), book).processor
    with Book(book, DAY) as opened, opened.entry("bench", f"{count} jobs"):
        for number in range(count):
            job = opened.post(Job(number=f"J-24{number:06}", title=f"Shelf {number}"))
            opened.post(JobState(job=job.key, state="won", day=DAY))
            asks = [Ask("On acceptance", Money(50_000), Money(0))]
            agree(opened, job, "bench", asks, day=DAY, tax_rate=Fraction(0), tax_standing="exempt")
            receive(opened, job, Money(50_000), "transfer")
            opened.post(JobState(job=job.key, state="closed", day=DAY))
    after = spent(ledger("today"), book).processor
    print(f"`today` with {JOBS} open jobs, and with {count:,} closed and paid ones besides")
    print(f"  {'seconds':24} {before:6.2f} {after:6.2f}", flush=True)


def main() -> None:
    """Read the command line and say what was measured."""
    parser = argparse.ArgumentParser(description="Measure the book.")
    parser.add_argument("--sizes", type=int, nargs="+", default=[1_000, 100_000, 1_000_000])
    parser.add_argument("--runs", type=int, default=9)
    parser.add_argument("--jobs", type=int, default=10_000)
    asked = parser.parse_args()
    os.chdir(ROOT)
    tell_helps(asked.runs)
    with tempfile.TemporaryDirectory(prefix="bench-") as place:
        tell_price(Path(place), asked.runs)
        middle = tell_growth(Path(place), asked.sizes)
        tell_commands(middle, asked.runs)
        tell_jobs(middle, asked.jobs)
    print(f"at most {resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024:.0f} MiB")


if __name__ == "__main__":
    main()
