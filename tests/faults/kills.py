"""Kills commands at random instants, and lets several post at once; says what was found.

    python tests/faults/kills.py kill FOLDER --times 100 --seed 1
    python tests/faults/kills.py crowd FOLDER --processes 8 --times 5
    python tests/faults/kills.py litter FOLDER --times 60 --seed 1
    python tests/faults/kills.py swap FOLDER --times 20

Everything is imported first and each command runs in a fork of this process, so that a command
costs what it costs and not its imports. Half of the kills come at any instant of the command, half
in the short time in which its entry is under way. The answer is one JSON object on stdout.
"""

import argparse
import importlib
import io
import json
import os
import random
import shutil
import signal
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import redirect_stderr, redirect_stdout, suppress
from datetime import date
from decimal import Decimal
from pathlib import Path

from ledger.book import Book, create_book
from ledger.book.check import examine, examine_file
from ledger.book.tables.ground import Job, SettingValue
from ledger.cli import opened
from ledger.cli.main import load, run
from ledger.errors import LedgerError
from ledger.jobs.jobs import new_job
from ledger.labor.standards import load_starting_standards
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.stock.materials import MaterialRow, save_materials
from ledger.stock.movements import issue
from ledger.stock.opening import OpeningRow, open_stock
from ledger.upkeep.checks import CHECKS

DAY = date(2025, 4, 25)
HANDS = Quantity.of(1_000_000)

type Command = Callable[[Path, int], None]


def typed(*words: str) -> Command:
    """A command line; `{n}` in it is the number of the turn."""

    def type_in(path: Path, turn: int) -> None:
        filled = [word.replace("{n}", str(turn)) for word in words]
        try:
            run(["--book", str(path), *filled])
        except SystemExit as ended:
            if ended.code:
                raise

    return type_in


def issued(path: Path, turn: int) -> None:
    """Draw ten lots' worth of edging for the job, in the room itself."""
    with Book(path, DAY, before_writing=opened.copy_once_a_day) as book:
        issue(book, 1, "EDGE78", Quantity.of(1 + turn % 3))


COMMANDS: dict[str, Command] = {
    "shop set": typed("shop", "set", "markup_sheet={n} %", "trim={n} mm", "validity_days={n}"),
    "material price": typed("material", "price", "EDGE78", "{n}.00"),
    "job new": typed("job", "new", "Bed number {n}"),
    "hours add": typed("hours", "add", "J-2501", "sand", "{n}m", "--yes"),
    "stock issue": issued,
    "receipt add": typed("receipt", "add", "EDGE78", "{n}", "0.35", "--from", "Copper Vale Lumber"),
    "undo": typed("undo", "--why", "turn {n}"),
}


def make_book(path: Path) -> None:
    """A small book in which every command above has something to do."""
    create_book(path, DAY, {"shop": "Quillhaven Workshop"}, load_starting_standards)
    with Book(path, DAY) as book:
        edging = MaterialRow(
            "EDGE78", "Birch edging 7/8 in", "edging", "ft",
            price=Decimal("0.35"), supplier="Copper Vale Lumber",
        )  # fmt: skip
        save_materials(book, [edging])
        open_stock(book, [OpeningRow("EDGE78", HANDS, Money(35_000_000), Money(35_000_000))])
        new_job(book, "Marrow fold-down bed", number="J-2501")


def start(name: str, path: Path, turn: int, begun: int | None = None) -> int:
    """Run a command in a fork; `begun` is told once its entry is under way."""
    child = os.fork()
    if child:
        return child
    code = 70
    with suppress(BaseException):
        silent = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(silent, stream)
        if begun is not None:
            _tell_when_begun(begun)
        COMMANDS[name](path, turn)
        code = 0
    os._exit(code)


def _tell_when_begun(begun: int) -> None:
    truth = opened.copy_once_a_day

    def tell(book: Book) -> None:
        os.write(begun, b"!")
        truth(book)

    opened.copy_once_a_day = tell


def wait_for(child: int) -> int | None:
    """The exit code of a command, or None if it was killed."""
    _, status = os.waitpid(child, 0)
    return os.WEXITSTATUS(status) if os.WIFEXITED(status) else None


def state(path: Path) -> tuple[int, list[str]]:
    """How many entries stand in the book, and what is wrong with it."""
    findings = examine_file(path)
    with Book(path, DAY) as book:
        count = book.entries(1)[0].id or 0
        findings += examine(book, CHECKS)
        wrong = [sentence for finding in findings for sentence in finding.wrong]
        return count, wrong + half_entries(book)


def count_of(path: Path) -> int:
    """How many entries stand in the book, which must open."""
    with Book(path, DAY) as book:
        return book.entries(1)[0].id or 0


def half_entries(book: Book) -> list[str]:
    """Entries of `shop set` that did not post all three of their settings."""
    rows = [row.entry for row in book.rows(SettingValue, in_force=False)]
    sets = [entry.id for entry in book.entries(10_000) if entry.verb == "shop set"]
    return [f"Entry {number} is a half." for number in sets if rows.count(number or 0) != 3]


def durations(path: Path) -> dict[str, tuple[float, float]]:
    """How long each command takes until its entry begins, and in all; it must succeed."""
    found = {}
    for name in COMMANDS:
        reading, writing = os.pipe()
        began = time.monotonic()
        child = start(name, path, 7, writing)
        os.close(writing)
        os.read(reading, 1)
        until = time.monotonic() - began
        code = wait_for(child)
        os.close(reading)
        if code != 0:
            raise SystemExit(f"{name} ended with {code}")
        found[name] = (until, time.monotonic() - began)
    return found


def kill(folder: Path, times: int, seed: int, look: int) -> dict[str, object]:
    """Kill `times` commands one after the other.

    After each the entries are counted, after every `look` of them the whole book is looked at: what
    was broken stays broken, for nothing posted is ever changed.
    """
    path = folder / "shop.sqlite"
    make_book(path)
    chance = random.Random(seed)
    taken = durations(path)
    count, wrong = state(path)
    said = {"times": times, "killed": 0, "ended": 0, "missing": 0, "wrong": wrong}
    for turn in range(times):
        name = chance.choice(list(COMMANDS))
        reading, writing = os.pipe()
        child = start(name, path, 1 + turn % 90, writing)
        os.close(writing)
        until, whole = taken[name]
        if turn % 2:
            os.read(reading, 1)
            time.sleep(chance.uniform(0, 1.2 * (whole - until)))
        else:
            time.sleep(chance.uniform(0, 1.2 * whole))
        os.kill(child, signal.SIGKILL)
        code = wait_for(child)
        os.close(reading)
        is_looked_at = turn % look == look - 1 or turn == times - 1
        after, wrong = state(path) if is_looked_at else (count_of(path), [])
        said["wrong"] += [f"turn {turn}, {name}: {sentence}" for sentence in wrong]
        said["killed" if code is None else "ended"] += 1
        said["missing"] += after == count
        if after not in (count, count + 1) or (code == 0 and after == count):
            said["wrong"].append(f"turn {turn}, {name}: {count} entries before, {after} after")
        count = after
    return said | {"deeds": count, "left": _left_behind(folder)}


def _left_behind(folder: Path) -> list[str]:
    known = {"shop.sqlite", "shop.sqlite-journal", "copies"}
    return sorted(file.name for file in folder.iterdir() if file.name not in known)


WRITERS: dict[str, tuple[str, ...]] = {
    "export": ("export", "{to}/tables-{n}"),
    "backup": ("backup", "{to}/copy-{n}.sqlite"),
    "workbook": ("hours", "template", "{to}/hours-{n}.xlsx"),
}
"""Commands that write a client's details to a place of their own."""


def litter(folder: Path, times: int, seed: int) -> dict[str, object]:
    """Kill `times` commands that write files, and open the book after each: what is left then."""
    path, to = folder / "shop.sqlite", folder / "elsewhere"
    to.mkdir()
    make_book(path)
    tempfile.tempdir = str(folder / "temporary")
    Path(tempfile.tempdir).mkdir()
    chance, left, unfinished = random.Random(seed), list[str](), 0
    taken = {}
    for turn in range(-len(WRITERS), times):  # the first of each are left to end, and timed
        name = list(WRITERS)[turn % len(WRITERS)]
        words = [word.format(to=to, n=turn) for word in WRITERS[name]]
        COMMANDS[name] = typed(*words)
        began = time.monotonic()
        child = start(name, path, turn)
        if turn >= 0:
            time.sleep(chance.uniform(0, taken[name]))
            os.kill(child, signal.SIGKILL)
        wait_for(child)
        taken.setdefault(name, time.monotonic() - began)
        unfinished += len(_unfinished(folder))
        count_of(path)
        left += [f"turn {turn}, {name}: {file}" for file in _unfinished(folder)]
    return {"times": times, "unfinished": unfinished, "left": left}


def _unfinished(folder: Path) -> list[str]:
    files = [*folder.glob("**/.*"), *(folder / "temporary").iterdir()]
    return sorted(file.name for file in files)


def crowd(folder: Path, processes: int, times: int) -> dict[str, object]:
    """Let several processes post at once, each of them every command `times` times."""
    path = folder / "shop.sqlite"
    make_book(path)
    names = [name for name in COMMANDS if name != "undo"]
    before, _ = state(path)
    began = time.monotonic()
    running = [_in_the_crowd(path, names, times) for _ in range(processes)]
    failed = sum(wait_for(child) or 0 for child in running)
    seconds = time.monotonic() - began
    after, wrong = state(path)
    with Book(path, DAY) as book:
        verbs = [entry.verb for entry in book.entries(after - before)]
        numbers = [job.number for job in book.rows(Job)]
    return {
        "commands": processes * times * len(names),
        "deeds": after - before,
        "failed": failed,
        "by_command": {name: verbs.count(name) for name in names},
        "jobs": len(numbers),
        "numbers": len(set(numbers)),
        "seconds": round(seconds, 1),
        "wrong": wrong,
    }


def swap(folder: Path, times: int) -> dict[str, object]:
    """Restore a copy `times` times while two processes post: each entry stands in one of the books.

    The book that a restore replaced is kept beside the new one, so what was posted is in it or in
    a later one; who was kept from posting was told so in a sentence.
    """
    path, copy = folder / "shop.sqlite", folder / "copy.sqlite"
    make_book(path)
    with redirect_stdout(io.StringIO()), redirect_stderr(io.StringIO()):
        COMMANDS["hours add"](path, 1)
    shutil.copyfile(path, copy)
    base, wrong = state(path)
    writers = [_until_told(path, folder / f"posted-{number}") for number in range(2)]
    try:
        for _ in range(times):
            time.sleep(0.15)
            with redirect_stdout(io.StringIO()), redirect_stderr(io.StringIO()):
                typed("restore", str(copy))(path, 0)
    finally:
        (folder / "enough").touch()
    ends = [wait_for(child) for child in writers]
    posted = sum(int((folder / f"posted-{number}").read_text()) for number in range(2))
    books = [path, *folder.glob("shop.replaced-*.sqlite")]
    states = [state(one) for one in books]
    wrong += [sentence for _, sentences in states for sentence in sentences]
    there = sum(count - base for count, _ in states)
    if there != posted:
        wrong.append(f"{posted} entries were posted, {there} stand in the books")
    return {
        "restored": times,
        "books": len(books),
        "posted": posted,
        "tracebacks": sum(map(bool, ends)),
        "wrong": wrong,
    }


def _until_told(path: Path, told: Path) -> int:
    """Post in a fork until a file says that it is enough; write down how often it was done."""
    child = os.fork()
    if child:
        return child
    silent, posted, code = os.open(os.devnull, os.O_RDWR), 0, 0
    for stream in (0, 1, 2):
        os.dup2(silent, stream)
    while not told.with_name("enough").exists():
        for name in ("hours add", "stock issue", "job new"):
            try:
                COMMANDS[name](path, 1)
                posted += 1
            except (SystemExit, LedgerError):
                continue  # a sentence: the book was held, or had just been replaced
            except BaseException:  # noqa: BLE001 - whatever it was, it is counted
                code = 1
    told.write_text(str(posted))
    os._exit(code)


def _in_the_crowd(path: Path, names: list[str], times: int) -> int:
    child = os.fork()
    if child:
        return child
    silent, failed = os.open(os.devnull, os.O_RDWR), 0
    for stream in (0, 1, 2):
        os.dup2(silent, stream)
    for turn in range(times):
        for name in names:
            try:
                COMMANDS[name](path, 1 + turn)
            except BaseException:  # noqa: BLE001 - whatever it was, it is counted
                failed += 1
    os._exit(min(failed, 250))


def main() -> None:
    """Read the command line, and say what was found."""
    parser = argparse.ArgumentParser(description="Kill posting commands, or crowd them.")
    parser.add_argument("what", choices=("kill", "crowd", "litter", "swap"))
    parser.add_argument("folder", type=Path)
    parser.add_argument("--times", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--processes", type=int, default=8)
    parser.add_argument("--look", type=int, default=1)
    asked = parser.parse_args()
    os.environ |= {"BENCHLEDGER_TODAY": str(DAY), "BENCHLEDGER_NOW": "15:40"}
    for noun in ("shop", "material", "job", "hours", "receipt", "undo"):
        load(noun)  # imported here once, and not in every fork
    if asked.what == "litter":
        for module in ("ledger.book.export", "ledger.workbooks.writers.hours_template"):
            importlib.import_module(module)
        for noun in WRITERS:
            load("hours" if noun == "workbook" else noun)
        found = litter(asked.folder, asked.times, asked.seed)
    elif asked.what == "swap":
        load("restore")
        found = swap(asked.folder, asked.times)
    elif asked.what == "kill":
        found = kill(asked.folder, asked.times, asked.seed, asked.look)
    else:
        found = crowd(asked.folder, asked.processes, asked.times)
    sys.stdout.write(json.dumps(found, indent=2) + "\n")


if __name__ == "__main__":
    main()
