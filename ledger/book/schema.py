"""The schema: numbered SQL files, each applied once, in one transaction with its number.

`PRAGMA user_version` holds the number of the last file applied, `application_id` marks the file as
a book of ours. A book is copied before its first upgrade, and a book from a newer program is left
alone. Two triggers on every table with a column `deed` keep posted rows as they are.
"""

import sqlite3
from importlib import resources
from pathlib import Path

from ledger.errors import BookTrouble, NotAllowed

APPLICATION_ID = 0x42_4C_44_47
"""The four letters BLDG in the file's header."""


def steps() -> list[tuple[int, str]]:
    """The numbered SQL files of the package, as (number, file name), in order."""
    folder = resources.files("ledger.book") / "migrations"
    names = sorted(entry.name for entry in folder.iterdir() if entry.name.endswith(".sql"))
    return [(int(name[:4]), name) for name in names]


def newest() -> int:
    """The number of the schema this program writes."""
    return steps()[-1][0]


def create(path: Path) -> None:
    """Make an empty book; the file must not exist yet.

    Raises:
        NotAllowed: a file stands there already.

    """
    if path.exists():
        raise NotAllowed(f"{path} exists already. Choose another name, or open that book.")
    path.parent.mkdir(parents=True, exist_ok=True)
    path.touch(mode=0o600)
    connection = _connect(path)
    try:
        connection.execute(f"PRAGMA application_id={APPLICATION_ID}")
        _apply(connection, from_number=0)
    finally:
        connection.close()


def bring_up_to_date(path: Path) -> None:
    """Check that the file is a book this program can write; upgrade it, after a copy, if older.

    Raises:
        BookTrouble: not a book, damaged, or made by a newer program.

    """
    if not path.is_file():
        raise BookTrouble(f"There is no book at {path}. Make one: benchledger new --shop NAME")
    connection = _connect(path)
    try:
        number = _number_of(connection, path)
        if number < newest():
            _copy_before_upgrade(connection, path, number)
            _apply(connection, from_number=number)
        _require_guards(connection, path)
    except sqlite3.DatabaseError as trouble:
        raise BookTrouble(f"{path} cannot be read as a book ({trouble}).") from trouble
    finally:
        connection.close()


def _connect(path: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(path, isolation_level=None, timeout=5)
    connection.execute("PRAGMA foreign_keys=ON")
    connection.execute("PRAGMA synchronous=FULL")
    return connection


def _number_of(connection: sqlite3.Connection, path: Path) -> int:
    mark = connection.execute("PRAGMA application_id").fetchone()[0]
    number: int = connection.execute("PRAGMA user_version").fetchone()[0]
    if mark != APPLICATION_ID:
        raise BookTrouble(f"{path} is not a book of Bench Ledger; nothing was changed in it.")
    if number > newest():
        raise BookTrouble(
            f"{path} was written by a newer program (schema {number}; this one knows {newest()})."
            " Install the newer Bench Ledger; nothing was changed in the book."
        )
    return number


def _copy_before_upgrade(connection: sqlite3.Connection, path: Path, number: int) -> None:
    copy = path.with_name(f"{path.stem}.before-schema-{newest()}{path.suffix}")
    if number and not copy.exists():
        connection.execute("VACUUM INTO ?", (str(copy),))
        copy.chmod(0o600)


def _apply(connection: sqlite3.Connection, from_number: int) -> None:
    folder = resources.files("ledger.book") / "migrations"
    for number, name in steps():
        if number <= from_number:
            continue
        sql = (folder / name).read_text(encoding="utf-8")
        try:
            connection.executescript(f"BEGIN IMMEDIATE;\n{sql}")
            _guard(connection)
            connection.execute(f"PRAGMA user_version={number}")
            connection.execute("COMMIT")
        except sqlite3.Error:
            if connection.in_transaction:
                connection.execute("ROLLBACK")
            raise


def _posted_tables(connection: sqlite3.Connection) -> list[str]:
    rows = connection.execute(
        "SELECT m.name FROM sqlite_master m WHERE m.type = 'table' AND (m.name = 'deed' OR EXISTS"
        " (SELECT 1 FROM pragma_table_info(m.name) c WHERE c.name = 'deed')) ORDER BY m.name"
    )
    return [name for (name,) in rows]


def _guard(connection: sqlite3.Connection) -> None:
    """Put the two triggers on every table of posted rows, so that no migration can forget them."""
    for table in _posted_tables(connection):
        for verb, word in (("UPDATE", "changed"), ("DELETE", "deleted")):
            connection.execute(
                f"CREATE TRIGGER IF NOT EXISTS {table}_is_never_{word} BEFORE {verb} ON {table}"
                f" BEGIN SELECT RAISE(ABORT, 'a posted row of {table} is never {word}'); END"
            )


def missing_guards(connection: sqlite3.Connection) -> list[str]:
    """The names of the triggers that should stand in the book and do not."""
    wanted = {
        f"{table}_is_never_{word}"
        for table in _posted_tables(connection)
        for word in ("changed", "deleted")
    }
    rows = connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")
    return sorted(wanted - {name for (name,) in rows})


def _require_guards(connection: sqlite3.Connection, path: Path) -> None:
    missing = missing_guards(connection)
    if missing:
        raise BookTrouble(
            f"{path} lacks {len(missing)} of the triggers that keep posted rows as they are"
            f" ({missing[0]} …): somebody changed its schema. Restore a backup."
        )
