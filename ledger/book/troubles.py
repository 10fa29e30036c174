"""What SQLite refuses, said in a sentence for the person at the bench."""

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from ledger.errors import BadValue, BookTrouble, LedgerError, NotAllowed

WAIT_SECONDS = 10
"""How long a command waits for another one that is writing, before it says so and gives up."""

_TROUBLES: Sequence[tuple[str, str]] = (
    ("is locked", "Another command is writing to {path}. Try again in a moment."),
    ("readonly", "{path} may only be read here; nothing was written. Check who owns the file."),
    ("is full", "The disk that holds {path} is full; nothing was written."),
    ("disk I/O error", "The disk that holds {path} failed; nothing was written."),
    ("unable to open", "{path} or its folder cannot be opened for writing."),
    ("malformed", "{path} is damaged. Restore a copy: benchledger restore FILE"),
    ("not a database", "{path} is not a book of Bench Ledger; nothing was changed in it."),
)


@contextmanager
def said(path: Path) -> Iterator[None]:
    """Turn what SQLite says about a file into a refusal of ours.

    Raises:
        NotAllowed: a rule of the schema is broken.
        BadValue: a number or a text that no book can hold.
        BookTrouble: the file cannot be used: locked, read-only, full, damaged.

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
    except Exception as trouble:
        error = getattr(trouble, "orig", trouble)  # SQLAlchemy wraps what sqlite3 raised
        if not isinstance(error, sqlite3.Error):
            raise
        raise _refusal(error, path) from trouble


def is_locked(error: sqlite3.Error) -> bool:
    """Whether the trouble is only that another command has the book for itself just now."""
    return "is locked" in str(error)


def _refusal(error: sqlite3.Error, path: Path) -> LedgerError:
    if isinstance(error, sqlite3.IntegrityError):
        return NotAllowed(f"The book refuses this: {_rule(str(error))}.")
    for sign, sentence in _TROUBLES:
        if sign in str(error):
            return BookTrouble(sentence.format(path=path))
    return BookTrouble(f"{path} could not be used ({error}).")


def _rule(words: str) -> str:
    """Say a broken rule of the schema in words; our constraints are named as statements."""
    kind, mark, name = words.partition(" constraint failed")
    name = name.removeprefix(": ").replace("_", " ")
    if not mark:
        return words  # a trigger's own sentence, or a value of the wrong type
    if name == "deed.reverses":
        return "that deed is reversed already"
    return {
        "CHECK": name,
        "UNIQUE": f"{name} stands in it already",
        "NOT NULL": f"{name} is missing",
        "FOREIGN KEY": "it names a row that is not there",
    }.get(kind, words)
