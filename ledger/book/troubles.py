"""What SQLite refuses, said in a sentence for the person at the bench."""

import glob
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from ledger.book.parts import COPIES
from ledger.errors import BadValue, BookChanged, BookDamaged, BookTrouble, LedgerError, NotAllowed

WAIT_SECONDS = 10
"""How long a command waits for another one that is writing, before it says so and gives up."""

_TROUBLES: Sequence[tuple[str, str]] = (
    ("is locked", "Another command is writing to {path}. Try again in a moment."),
    ("readonly", "{path} may only be read here; nothing was written. Check who owns the file."),
    ("is full", "The disk that holds {path} is full; nothing was written."),
    ("disk I/O error", "The disk that holds {path} failed; nothing was written."),
    ("unable to open", "{path} or its folder cannot be opened for writing."),
)

_DAMAGES = ("malformed", "decode", "unsupported file format", "corrupt", "no such",
            "already exists", "duplicate column", "too big")  # fmt: skip
"""What SQLite says of a file whose bytes are not what they were; no query of ours is wrong."""


@contextmanager
def as_refusal(path: Path) -> Iterator[None]:
    """Turn what SQLite says about a file into a refusal of ours.

    Raises:
        NotAllowed: a rule of the schema is broken.
        BadValue: a number or a text that no book can hold.
        BookTrouble: the file cannot be used: locked, read-only, full, damaged (BookDamaged).
        BookChanged: a copy was put in its place meanwhile.

    """
    try:
        yield
    except LedgerError:
        raise
    except OverflowError as trouble:
        raise BadValue("A number is too large for the book; nothing was written.") from trouble
    except UnicodeEncodeError as trouble:
        sentence = "A text holds characters that cannot be stored; nothing was written."
        raise BadValue(sentence) from trouble
    except UnicodeDecodeError as trouble:
        raise damaged(path, "a text in it cannot be read") from trouble
    except Exception as trouble:
        error = _first_error(trouble)
        if error is None:
            raise
        raise _refusal(error, path) from trouble


def is_locked(error: Exception) -> bool:
    """Whether the trouble is only that another command has the book for itself just now."""
    return "is locked" in str(error)


def damaged(path: Path, how: str) -> BookDamaged:
    """The refusal of a file whose bytes are not what they were."""
    return BookDamaged(f"{path} is damaged ({how}); nothing was written.")


def no_book(path: Path) -> BookTrouble:
    """The refusal of a file that is no book; beside daily copies it once was one."""
    sentence = f"{path} is not a book of Bench Ledger; nothing was changed in it."
    has_copies = any((path.parent / COPIES).glob(f"{glob.escape(path.stem)} *{path.suffix}"))
    return BookDamaged(sentence) if has_copies else BookTrouble(sentence)


def is_folder(path: Path) -> bool:
    """Whether a folder stands at that place; no place is too odd to ask about."""
    try:
        return path.is_dir()
    except OSError:
        return False


def _first_error(trouble: BaseException) -> sqlite3.Error | None:
    """What SQLite said first: a savepoint that went with a full disk is not the trouble."""
    error = getattr(trouble, "orig", trouble)  # SQLAlchemy wraps what sqlite3 raised
    if not isinstance(error, sqlite3.Error):
        return None
    earlier = trouble.__context__
    while earlier is not None and "no such savepoint" in str(error):
        cause = getattr(earlier, "orig", earlier)
        error = cause if isinstance(cause, sqlite3.Error) else error
        earlier = earlier.__context__
    return error


def _refusal(error: sqlite3.Error, path: Path) -> LedgerError:
    if isinstance(error, sqlite3.IntegrityError):
        return NotAllowed(f"The book refuses this: {_rule(str(error))}.")
    if not is_folder(path.parent):
        return BookTrouble(
            f"The folder {path.parent} is not there any more; nothing was written. Connect its"
            " disk, or name another book with --book."
        )
    if getattr(error, "sqlite_errorname", "") == "SQLITE_READONLY_DBMOVED":
        return BookChanged()  # `restore` put a copy in its place
    if "not a database" in str(error):
        return no_book(path)
    for sign, sentence in _TROUBLES:
        if sign in str(error):
            return BookTrouble(sentence.format(path=path))
    if any(sign in str(error) for sign in _DAMAGES):
        return damaged(path, str(error))
    return BookTrouble(f"{path} could not be used ({error}).")


def _rule(words: str) -> str:
    """Say a broken rule of the schema in words; our constraints are named as statements."""
    kind, mark, name = words.partition(" constraint failed")
    name = name.removeprefix(": ").replace("_", " ")
    if not mark:
        return words  # a trigger's own sentence, or a value of the wrong type
    if name == "deed.reverses":
        return "that entry is reversed already"
    return {
        "CHECK": name.replace("deed", "entry"),  # the journal's table is called deed
        "UNIQUE": f"{name} stands in it already",
        "NOT NULL": f"{name} is missing",
        "FOREIGN KEY": "it names a row that is not there",
    }.get(kind, words)
