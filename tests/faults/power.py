"""Cuts the power at every write and sync of posting commands, and looks at what is left.

    python tests/faults/power.py FOLDER --cuts 5000 --seed 1

The program's own commands run on its own engine, over a file layer of SQLite that notes each write,
truncation, sync and deletion (apsw gives that layer to Python; the statements, pragmas and journal
are the program's). From the notes the two files are built as they may stand after a cut at any of
these points: what was not synced is lost, kept, or kept in part, a write torn at a sector, the
directory's own changes among it. Each is opened by the plain program: it must be sound, and as it
was before the command under way or after it. The answer is one JSON object on stdout.
"""

import argparse
import hashlib
import io
import json
import os
import random
import sqlite3
import sys
from collections.abc import Iterator, Sequence
from contextlib import closing, redirect_stderr, redirect_stdout
from itertools import islice
from pathlib import Path
from typing import Any, NamedTuple

import apsw
from kills import COMMANDS, DAY, make_book

from ledger.book import Book, schema
from ledger.book.check import examine, examine_file
from ledger.upkeep.checks import CHECKS

SECTOR = 512
BOOK, JOURNAL = "shop.sqlite", "shop.sqlite-journal"
WAYS = ("lost", "kept", "in part", "in part")
"""What becomes of writes that no sync has made sure of."""


class Note(NamedTuple):
    """One thing that was asked of the disk: of which file, what, where, with which bytes."""

    file: str
    what: str
    at: int = 0
    data: bytes = b""


class NotedFile(apsw.VFSFile):
    """A file whose writes, truncations and syncs are noted."""

    def __init__(self, layer: "Noted", name: Any, flags: list[int]) -> None:
        """Open the file itself below."""
        super().__init__("", name, flags)
        self.notes = layer.notes
        self.name = Path(name if isinstance(name, str) else name.filename()).name

    def xWrite(self, data: bytes, offset: int) -> None:  # noqa: N802 - SQLite's own name
        """Note a write."""
        self.notes.append(Note(self.name, "write", offset, bytes(data)))
        super().xWrite(data, offset)

    def xTruncate(self, newsize: int) -> None:  # noqa: N802 - SQLite's own name
        """Note a truncation."""
        self.notes.append(Note(self.name, "truncate", newsize))
        super().xTruncate(newsize)

    def xSync(self, flags: int) -> None:  # noqa: N802 - SQLite's own name
        """Note a sync; a journal's first one makes sure of its name in the directory too."""
        self.notes.append(Note(self.name, "sync"))
        super().xSync(flags)


class Noted(apsw.VFS):
    """The file layer: SQLite's own, with notes."""

    def __init__(self, notes: list[Note]) -> None:
        """Stand before the layer that SQLite usually takes."""
        self.notes = notes
        super().__init__("noted", base="")

    def xOpen(self, name: Any, flags: list[int]) -> NotedFile:  # noqa: N802 - SQLite's own name
        """Open a file that is noted."""
        return NotedFile(self, name, flags)

    def xDelete(self, filename: str, syncdir: bool) -> None:  # noqa: N802 - SQLite's own name
        """Note a deletion, and whether the directory was synced after it."""
        name = Path(filename).name
        self.notes.append(Note(name, "delete"))
        super().xDelete(filename, syncdir)
        if syncdir:
            self.notes.append(Note(name, "directory synced"))


class Cursor:
    """What the engine asks of a cursor, answered by apsw, which reads all rows at once."""

    arraysize = 1

    def __init__(self, file: apsw.Connection) -> None:
        self.file = file
        self.rows: Iterator[Any] = iter(())
        self.description: Any = None
        self.rowcount = -1

    def execute(self, sql: str, values: Any = ()) -> "Cursor":
        """Run a statement; what SQLite refuses comes as the module sqlite3 would say it."""
        cursor, heads = self.file.cursor(), list[Any]()
        cursor.exec_trace = lambda one, *_: heads.append(one.get_description()) or True
        try:
            self.rows = iter(list(cursor.execute(sql, values)))
        except apsw.ConstraintError as refused:
            raise sqlite3.IntegrityError(str(refused)) from refused
        except apsw.Error as refused:
            raise sqlite3.OperationalError(str(refused)) from refused
        finally:
            cursor.close(True)
        names = [name for name, *_ in heads[-1]] if heads else []
        self.description = [(name, *[None] * 6) for name in names] or None
        self.rowcount = -1 if self.description else self.file.changes()
        return self

    def executemany(self, sql: str, rows: Any) -> "Cursor":
        """Run a statement for each row."""
        for row in rows:
            self.execute(sql, row)
        return self

    @property
    def lastrowid(self) -> int:
        """The number of the row put in last."""
        return self.file.last_insert_rowid()

    def fetchone(self) -> Any:
        """The next row, or None."""
        return next(self.rows, None)

    def fetchall(self) -> list[Any]:
        """The other rows."""
        return list(self.rows)

    def fetchmany(self, size: int = 1) -> list[Any]:
        """So many rows."""
        return list(islice(self.rows, size))

    def __iter__(self) -> Iterator[Any]:
        return self.rows

    def close(self) -> None:
        """Nothing is open."""


class Connection:
    """What the engine asks of a connection, answered by one of apsw over the noted layer."""

    isolation_level = None

    def __init__(self, path: Path) -> None:
        flags = apsw.SQLITE_OPEN_READWRITE
        self.file = apsw.Connection(str(path.absolute()), vfs="noted", flags=flags)
        self.file.set_busy_timeout(10_000)

    def cursor(self) -> Cursor:
        """A new cursor."""
        return Cursor(self.file)

    def execute(self, sql: str, values: Any = ()) -> Cursor:
        """Run a statement on a cursor of its own."""
        return self.cursor().execute(sql, values)

    @property
    def in_transaction(self) -> bool:
        """Whether a transaction is under way."""
        return self.file.in_transaction

    def commit(self) -> None:
        """Commit what is under way."""
        if self.in_transaction:
            self.execute("COMMIT")

    def rollback(self) -> None:
        """Take back what is under way."""
        if self.in_transaction:
            self.execute("ROLLBACK")

    def create_function(self, name: str, count: int, function: Any, **_: Any) -> None:
        """Give SQL a function."""
        self.file.create_scalar_function(name, function, count)

    def close(self) -> None:
        """Close the file."""
        self.file.close(True)


def connect(path: Path) -> Connection:
    """The program's own connection, its pragmas too, over the noted layer."""
    connection = Connection(path)
    for pragma in schema._PRAGMAS:
        connection.execute(f"PRAGMA {pragma}")
    return connection


# --- the disk ---


class Disk:
    """The two files as a disk may hold them: what is sure, and what waits to be.

    A deleted file and a later one of the same name are two: a file is a number, its bytes stand
    under that, and the directory's changes come through in their order, up to some point.
    """

    def __init__(self, book: bytes) -> None:
        self.bytes: dict[int, bytearray] = {0: bytearray(book)}
        self.sure_names: dict[str, int] = {BOOK: 0}
        self.names = dict(self.sure_names)
        self.renamed: list[tuple[str, int | None]] = []
        self.waiting: list[tuple[int, Note]] = []

    def take(self, note: Note) -> None:
        """Take a note; the sync of a journal makes sure of its name with it."""
        if note.what == "delete":
            del self.names[note.file]
            self.renamed.append((note.file, None))
            return
        if note.what != "directory synced" and note.file not in self.names:
            number = self.names[note.file] = len(self.bytes)
            self.bytes[number] = bytearray()
            self.renamed.append((note.file, number))
        if note.what in ("write", "truncate"):
            self.waiting.append((self.names[note.file], note))
        elif note.what == "sync":
            mine = self.names[note.file]
            for number, one in self.waiting:
                if number == mine:
                    apply(self.bytes[mine], one)
            self.waiting = [pair for pair in self.waiting if pair[0] != mine]
        if note.what == "directory synced" or (note.what, note.file) == ("sync", JOURNAL):
            self.sure_names, self.renamed = dict(self.names), []

    def cut(self, way: str, dice: random.Random) -> dict[str, bytes]:
        """The files as they stand when the power comes back."""
        left = {number: bytearray(held) for number, held in self.bytes.items()}
        for number, note in self.waiting:
            if way == "kept" or (way == "in part" and dice.random() < 0.6):
                apply(left[number], torn(note, dice) if way == "in part" else note)
        names = dict[str, int | None](self.sure_names)
        changes = {"lost": 0, "kept": len(self.renamed)}
        most = changes.get(way, dice.randint(0, len(self.renamed)))
        names.update(self.renamed[:most])
        return {name: bytes(left[at]) for name, at in names.items() if at is not None}


def apply(held: bytearray, note: Note) -> None:
    """Do to a file what a note says."""
    if note.what == "truncate":
        del held[note.at :]
        return
    held.extend(bytes(max(0, note.at - len(held))))
    held[note.at : note.at + len(note.data)] = note.data


def torn(note: Note, dice: random.Random) -> Note:
    """A write of which only the first sectors came through; anything else is whole."""
    sectors = -(-len(note.data) // SECTOR)
    if note.what != "write" or sectors < 2 or dice.random() < 0.5:
        return note
    return note._replace(data=note.data[: SECTOR * dice.randrange(1, sectors)])


# --- the trial ---


def digest(path: Path) -> str:
    """All rows of a book, as one digest."""
    with closing(sqlite3.connect(path)) as file:
        return hashlib.sha256("\n".join(file.iterdump()).encode()).hexdigest()


def played(folder: Path, names: Sequence[str], turn: int) -> tuple[bytes, list[Note], list[Any]]:
    """The book before some commands, the notes of them, and for each command its end and state."""
    path, notes = folder / BOOK, list[Note]()
    if not path.exists():
        make_book(path)
        with redirect_stdout(io.StringIO()), redirect_stderr(io.StringIO()):
            COMMANDS["job new"](path, 0)  # the copy of the day is made here
    before = path.read_bytes()
    ends: list[tuple[int, str]] = [(0, digest(path))]
    layer, plain = Noted(notes), schema.connect
    for at, name in enumerate(names):
        schema.connect = connect  # type: ignore[assignment] # it stands in for sqlite3's
        try:
            with redirect_stdout(io.StringIO()), redirect_stderr(io.StringIO()):
                COMMANDS[name](path, turn + at)
        finally:
            schema.connect = plain
        ends.append((len(notes), digest(path)))
    layer.unregister()
    return before, notes, ends


def looked_at(folder: Path, files: dict[str, bytes], sound: set[str]) -> tuple[str, list[str]]:
    """Open what a cut left with the plain program: its state, and what is wrong with it.

    The pages are checked each time, the rows once for each state they are in.
    """
    path = folder / BOOK
    for name in (BOOK, JOURNAL):
        (folder / name).unlink(missing_ok=True)
        if name in files:
            (folder / name).write_bytes(files[name])
    with closing(schema.connect(path)) as file:  # it plays back the journal, if there is one
        pages = [str(row[0]) for row in file.execute("PRAGMA integrity_check") if row[0] != "ok"]
    state = digest(path)
    if state in sound:
        return state, pages
    with Book(path, DAY) as book:
        findings = [*examine_file(path), *examine(book, CHECKS)]
    wrong = pages + [said for one in findings for said in one.wrong]
    if not wrong:
        sound.add(state)
    return state, wrong


def trial(folder: Path, cuts: int, seed: int, commands: int) -> dict[str, Any]:
    """Cut the power so many times over rounds of some commands each; what was found."""
    dice, told = random.Random(seed), {"cuts": 0, "points": 0, "rolled_back": 0}
    wrong: list[str] = []
    seen: dict[str, tuple[str, list[str]]] = {}
    sound: set[str] = set()
    os.environ["BENCHLEDGER_TODAY"] = str(DAY)  # so that the copy of the day is made once
    work, look = folder / "work", folder / "look"
    work.mkdir()
    look.mkdir()
    turn = 1
    while told["cuts"] < cuts:
        names = dice.sample(list(COMMANDS), commands)
        before, notes, ends = played(work, names, turn)
        turn += len(names)
        disk, at = Disk(before), 0
        for point, note in enumerate([*notes, None]):
            while at + 1 < len(ends) and ends[at + 1][0] <= point:
                at += 1
            if told["cuts"] >= cuts:
                break
            told["points"] += 1
            for way in WAYS:
                files = disk.cut(way, dice)
                key = hashlib.sha256(b"|".join(files.get(n, b"-") for n in (BOOK, JOURNAL)))
                if key.hexdigest() not in seen:
                    seen[key.hexdigest()] = looked_at(look, files, sound)
                state, faults = seen[key.hexdigest()]
                told["cuts"] += 1
                place = f"{names[min(at, len(names) - 1)]}, point {point}, {way}"
                wrong += [f"{place}: {fault}" for fault in faults]
                here = [one for _, one in ends[at : at + 2]]
                told["rolled_back"] += JOURNAL in files
                if state not in here:
                    wrong.append(f"{place}: neither as before the command nor as after it")
            if note is not None:
                disk.take(note)
    return told | {"different": len(seen), "wrong": wrong}


def main() -> None:
    """Read the command line and say what was found."""
    parser = argparse.ArgumentParser()
    parser.add_argument("folder", type=Path)
    parser.add_argument("--cuts", type=int, default=5_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--commands", type=int, default=len(COMMANDS))
    asked = parser.parse_args()
    json.dump(trial(asked.folder, asked.cuts, asked.seed, asked.commands), sys.stdout)


if __name__ == "__main__":
    main()
