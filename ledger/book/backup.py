"""A copy of the book on request, and a copy put back in the book's place.

A copy is verified before it gets its name, and never takes the place of another file. A restored
copy is written into the book's own file, in one transaction and under an exclusive lock; a book too
damaged to be locked is moved aside for it. What stood there is kept beside it.
"""

import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager
from datetime import date
from pathlib import Path
from typing import BinaryIO

from ledger.book import schema, troubles
from ledger.book.check import examine_file
from ledger.book.parts import note_in, part_of
from ledger.errors import BookTrouble, NotAllowed


def back_up(path: Path, target: Path) -> None:
    """Copy the book and verify the copy.

    Raises:
        NotAllowed: a file stands there already.
        BookTrouble: there is no book, it is not sound, or cannot be written there.

    """
    schema.require_there(path)
    note_in(path.parent)
    if schema.is_there(target):
        raise schema.taken(target)
    schema.require_folder(target)
    with part_of(target) as part, schema.made_by_us(target):
        schema.copy_into(path, part, target)
        _require_sound(part, f"The copy of {path}")
        schema.put_in_place(part, target)


def restore(path: Path, source: Path, today: date) -> Path | None:
    """Put a copy in the book's place, and give back where what stood there is kept.

    Raises:
        NotAllowed: the copy is the book itself.
        BookTrouble: the copy is not sound; the book stays as it is.

    """
    if not schema.is_there(source):
        raise BookTrouble(f"There is no copy at {source}.")
    if source.is_dir():
        raise BookTrouble(f"{source} is a folder; name the copy in it.")
    if path.is_dir():
        raise BookTrouble(f"{path} is a folder; name the book's file.")
    is_new = not schema.is_there(path)
    if not is_new and source.samefile(path):
        raise NotAllowed(f"{source} is the book itself.")
    schema.require_ours(source)
    _require_sound(source, str(source))
    with part_of(path) as part, schema.made_by_us(path):
        path.parent.mkdir(parents=True, exist_ok=True)
        schema.copy_into(source, part, path)
        _require_sound(part, f"The copy of {source}")
        if is_new:
            schema.put_in_place(part, path)
            return None
        with path.open("rb") as bytes_of_it, _held(path) as book:
            if book is None:
                kept = _moved_aside(path, today)
                part.replace(path)
            else:
                kept = _copied_aside(bytes_of_it, path, today)
                _put_into(book, part)
                path.chmod(0o600)
        return kept


def _require_sound(path: Path, name: str) -> None:
    wrong = [sentence for finding in examine_file(path) for sentence in finding.wrong]
    if wrong:
        raise BookTrouble(f"{name} is not sound: {wrong[0]}")


@contextmanager
def _held(path: Path) -> Iterator[sqlite3.Connection | None]:
    """Keep every other command out of the book; None where it is too damaged to be held.

    Taking the lock also finishes what a killed command left half done: its journal would otherwise
    be played into the book that comes in its place. The lock stays until the connection is closed,
    so the file must not be opened and closed meanwhile: that would give the lock away.
    """
    with ExitStack() as stack:
        connection = None
        try:
            connection = stack.enter_context(closing(schema.connect(path)))
            connection.execute("BEGIN EXCLUSIVE")
            connection.execute("PRAGMA locking_mode=EXCLUSIVE")  # kept beyond the commit
            connection.execute("COMMIT")
        except (sqlite3.DatabaseError, UnicodeDecodeError) as trouble:
            if troubles.is_locked(trouble):
                with troubles.as_refusal(path):
                    raise
            connection = None
        yield connection


def _put_into(book: sqlite3.Connection, copy: Path) -> None:
    """Write a copy into the open book, in one transaction.

    The file stays the same one: a command that opened it before waits for the lock and then finds
    the new content. Under another file of the same name it would take the journal of that one's
    writer for its own.
    """
    with closing(schema.connect(copy)) as source:
        source.backup(book)


def _copied_aside(old: BinaryIO, path: Path, today: date) -> Path:
    kept = _free_name_beside(path, today)
    with part_of(kept) as part:
        handle = os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
        with os.fdopen(handle, "wb") as file:
            shutil.copyfileobj(old, file, 1 << 20)
            file.flush()
            os.fsync(file.fileno())
        schema.put_in_place(part, kept)
    return kept


def _moved_aside(path: Path, today: date) -> Path:
    kept = _free_name_beside(path, today)
    schema.put_in_place(path, kept)
    journal = path.with_name(f"{path.name}-journal")
    if journal.exists():  # of a book too damaged to be held; it belongs to no other
        journal.rename(kept.with_name(f"{kept.name}-journal"))
    return kept


def _free_name_beside(path: Path, today: date) -> Path:
    for number in range(1, 1000):
        more = "" if number == 1 else f"-{number}"
        kept = path.with_name(f"{path.stem}.replaced-{today}{more}{path.suffix}")
        if not schema.is_there(kept):
            return kept
    raise BookTrouble(f"There are too many replaced books beside {path}; move some away.")
