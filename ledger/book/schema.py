"""The schema: numbered SQL files, applied in order, all in one transaction with their number.

`PRAGMA user_version` holds the number of the last file applied, `application_id` marks the file as
a book of ours. A book is copied before it is upgraded, and a book from a newer program is left
alone. Two triggers on every table with a column `entry` keep posted rows as they are.
"""

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from functools import cache
from importlib import resources
from pathlib import Path

from ledger.book import digests, troubles
from ledger.book.parts import part_of
from ledger.errors import BookDamaged, BookTrouble, LedgerError, NotAllowed

APPLICATION_ID = 0x42_4C_44_47
"""The four letters BLDG in the file's header."""

_PRAGMAS = (
    "foreign_keys=ON",
    "recursive_triggers=ON",  # else INSERT OR REPLACE slips by the trigger against deleting
    "secure_delete=ON",  # what is redacted leaves no trace in the file's free space
    "trusted_schema=OFF",
    "synchronous=EXTRA",  # a command that said it was done is on the disk, its journal gone
)


@cache
def steps() -> tuple[tuple[int, str], ...]:
    """The numbered SQL files of the package, as (number, file name), in order."""
    folder = resources.files("ledger.book") / "migrations"
    names = sorted(entry.name for entry in folder.iterdir() if entry.name.endswith(".sql"))
    return tuple((int(name[:4]), name) for name in names)


def newest() -> int:
    """The number of the schema this program writes."""
    return steps()[-1][0]


def create(path: Path, named: Path | None = None) -> None:
    """Make an empty book; the file must not exist yet, and is its owner's alone.

    `named` is the name it will get in the end, by which it is called where it cannot be made.

    Raises:
        NotAllowed: a file stands there already.
        BookTrouble: the file cannot be made there.

    """
    make_folder(path)
    try:
        path.touch(mode=0o600, exist_ok=False)
    except OSError as trouble:
        if is_there(path):
            raise taken(path) from None
        raise BookTrouble(f"{named or path} cannot be made ({trouble.strerror}).") from trouble
    reason = troubles.as_refusal(named or path)
    try:
        with reason, closing(connect(path)) as connection, _written(connection):
            apply(connection, 0, newest())
    except LedgerError:
        path.unlink()
        raise


def make_folder(path: Path) -> None:
    """Make the folder in which a new book is to stand, where it is missing.

    Raises:
        BookTrouble: it cannot be made, or nothing may be written in it.

    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as trouble:
        raise BookTrouble(f"{path} cannot be made ({trouble.strerror}).") from trouble
    if not os.access(path.parent, os.W_OK | os.X_OK):
        raise BookTrouble(f"{path} cannot be made: nothing may be written in {path.parent}.")


def bring_up_to_date(path: Path) -> bool:
    """Check that the file is a book this program can write; upgrade it, after a copy, if older.

    Whether it was older is given back.

    Raises:
        BookTrouble: not a book, damaged, locked, or made by a newer program.

    """
    require_there(path)
    with troubles.as_refusal(path), closing(connect(path)) as connection:
        is_older = number_of(connection, path) < newest()
        if is_older:
            _upgrade(connection, path)
        damaged = damaged_guards(connection)
    if damaged:
        raise BookDamaged(
            f"{path} lacks {len(damaged)} of the triggers that keep posted rows as they are"
            f" ({damaged[0]} …): somebody changed its schema."
        )
    return is_older


def require_there(path: Path) -> None:
    """Check that a file stands where a book is looked for.

    Raises:
        BookTrouble: there is none.

    """
    if not is_there(path):
        _require_open_folder(path)
        raise BookTrouble(f"There is no book at {path}. Make one: benchledger new --shop NAME")
    if path.is_dir():
        raise BookTrouble(f"{path} is a folder; name the book's file in it.")


def _require_open_folder(path: Path) -> None:
    """Tell a folder that may not be looked into from one in which nothing stands."""
    folder = next(folder for folder in path.absolute().parents if is_there(folder))
    if not os.access(folder, os.X_OK):
        raise BookTrouble(
            f"The folder {folder} may not be opened by this user; ask its owner for leave, or name"
            " another book with --book."
        )


def require_ours(path: Path) -> None:
    """Check that a file is a book that this program knows, sound or not.

    Raises:
        BookTrouble: there is no file, it is no book of ours, or one of a newer program.

    """
    require_there(path)
    with troubles.as_refusal(path), closing(connect(path)) as connection:
        number_of(connection, path)


def connect(path: Path) -> sqlite3.Connection:
    """A plain connection to a file that exists; it begins nothing itself.

    Who only reads opens the book this way too: after a kill, its journal must be played back first.
    """
    address = f"{path.absolute().as_uri()}?mode=rw"
    connection = sqlite3.connect(
        address, uri=True, isolation_level=None, timeout=troubles.WAIT_SECONDS
    )
    try:
        for pragma in _PRAGMAS:
            connection.execute(f"PRAGMA {pragma}")
    except BaseException:
        connection.close()
        raise
    return connection


def number_of(connection: sqlite3.Connection, path: Path) -> int:
    """The number of a book's schema.

    Raises:
        BookTrouble: the file is no book of ours, or one of a newer program.

    """
    mark = connection.execute("PRAGMA application_id").fetchone()[0]
    number: int = connection.execute("PRAGMA user_version").fetchone()[0]
    if mark != APPLICATION_ID:
        raise troubles.no_book(path)
    if number > newest():
        raise BookTrouble(
            f"{path} was written by a newer program (schema {number}; this one knows {newest()})."
            " Install the newer Bench Ledger; nothing was changed in the book."
        )
    return number


def copy_into(path: Path, target: Path, named: Path | None = None) -> None:
    """Copy a book as it stands, whole and for its owner alone, never over an existing file.

    `named` is the name it will get in the end, by which it is called where it cannot be made. The
    copy is made beside its place and gets its name when it is whole, so that no half copy can
    be taken for a good one.

    Raises:
        NotAllowed: a file stands there already.
        BookTrouble: the copy cannot be made.

    """
    if is_there(target):
        raise taken(target)
    with part_of(target) as part, made_by_us(named or target):
        part.touch(mode=0o600)
        with (
            troubles.as_refusal(named or target),
            closing(connect(path)) as source,
            closing(connect(part)) as copy,
        ):
            source.execute("BEGIN")
            source.execute("SELECT count(*) FROM sqlite_master").fetchone()
            source.backup(copy)  # from under our own lock, so that it never waits without end
        put_in_place(part, target)


@contextmanager
def made_by_us(path: Path) -> Iterator[None]:
    """Turn what the system says about a file or folder we write into a refusal of ours.

    Raises:
        BookTrouble: it cannot be written.

    """
    try:
        yield
    except OSError as trouble:
        raise BookTrouble(f"{path} cannot be written ({trouble.strerror}).") from trouble


def put_in_place(part: Path, target: Path) -> None:
    """Give a finished file its name, never over an existing one.

    Raises:
        NotAllowed: a file of that name stands there already.

    """
    try:
        target.hardlink_to(part)
    except FileExistsError:
        raise taken(target) from None
    except OSError:
        # A disk without hard links (a memory stick): only a check and a renaming are left.
        if is_there(target):
            raise taken(target) from None
        with made_by_us(target):
            part.rename(target)


def taken(path: Path, or_else: str = "") -> NotAllowed:
    """The refusal to write where something stands already."""
    if path.is_dir():
        return NotAllowed(f"{path} is a folder; name a file in it.")
    return NotAllowed(f"{path} exists already. Choose another name{or_else}.")


def require_folder(path: Path) -> None:
    """Check that the folder is there in which a copy is to be written.

    Raises:
        BookTrouble: it is not.

    """
    if not path.absolute().parent.is_dir():
        raise BookTrouble(f"{path} cannot be written: there is no folder {path.parent}. Make it.")


def is_there(path: Path) -> bool:
    """Whether something stands at that place; no place is too odd to ask about."""
    try:
        return path.exists()
    except OSError:
        return False


@contextmanager
def _written(connection: sqlite3.Connection) -> Iterator[None]:
    """One transaction: what is done inside stands whole, or not at all."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
        connection.execute("COMMIT")
    finally:
        if connection.in_transaction:
            connection.execute("ROLLBACK")


def _upgrade(connection: sqlite3.Connection, path: Path) -> None:
    with _written(connection):
        number = number_of(connection, path)  # another command may have been first
        if number == newest():
            return
        copy = path.with_name(f"{path.stem}.before-schema-{newest()}{path.suffix}")
        if not copy.exists():
            copy_into(path, copy)
        apply(connection, number, newest())
        digests.complete(connection)


def apply(connection: sqlite3.Connection, after: int, until: int) -> None:
    """Apply the numbered files after one number and up to another; the caller's is the commit."""
    folder = resources.files("ledger.book") / "migrations"
    for number, name in steps():
        if after < number <= until:
            for statement in _statements((folder / name).read_text(encoding="utf-8")):
                connection.execute(statement)
    _guard(connection)
    connection.execute(f"PRAGMA application_id={APPLICATION_ID}")
    connection.execute(f"PRAGMA user_version={until}")


def _statements(sql: str) -> Iterator[str]:
    """The statements of an SQL file; `executescript` would end the transaction they belong to."""
    statement = ""
    for line in sql.splitlines(keepends=True):
        statement += line
        if sqlite3.complete_statement(statement):
            yield statement
            statement = ""
    if statement.strip():
        yield statement


def posted_tables(connection: sqlite3.Connection) -> list[str]:
    """The tables whose rows stand for ever: the entries and whatever carries an entry's number."""
    rows = connection.execute(
        "SELECT m.name FROM sqlite_master m WHERE m.type = 'table' AND (m.name = 'deed' OR EXISTS"
        " (SELECT 1 FROM pragma_table_info(m.name) c WHERE c.name = 'deed')) ORDER BY m.name"
    )
    return [name for (name,) in rows]


def _guards(connection: sqlite3.Connection) -> dict[str, str]:
    """The triggers that a book must have, by name."""
    return {
        f"{table}_is_never_{word}": (
            f"CREATE TRIGGER {table}_is_never_{word} BEFORE {verb} ON {table}"
            f" BEGIN SELECT RAISE(ABORT, 'a posted row of {table} is never {word}'); END"
        )
        for table in posted_tables(connection)
        for verb, word in (("UPDATE", "changed"), ("DELETE", "deleted"))
    }


def _guard(connection: sqlite3.Connection) -> None:
    """Put the two triggers on every table of posted rows, so that no migration can forget them."""
    missing = damaged_guards(connection)
    for name, sql in _guards(connection).items():
        if name in missing:
            connection.execute(f"DROP TRIGGER IF EXISTS {name}")
            connection.execute(sql)


def damaged_guards(connection: sqlite3.Connection) -> list[str]:
    """The names of the triggers that are missing in the book, or do not say what they should."""
    rows = connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'")
    there = dict(rows.fetchall())
    return sorted(name for name, sql in _guards(connection).items() if there.get(name) != sql)
