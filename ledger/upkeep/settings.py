"""Changing settings, several at once: all that is wrong is said together, or all are set."""

from collections.abc import Sequence
from pathlib import Path

from ledger.book import Book
from ledger.errors import BadFile, BookTrouble, Fault, LedgerError


def change_settings(
    book: Book, pairs: Sequence[tuple[str, str]], verb: str, words: str
) -> list[str]:
    """Post settings by name and text as one entry; give back what to look at, a sentence each.

    Raises:
        LedgerError: one of them is wrong, as `Book.set` says.
        BadFile: several are; each is listed.
    """
    with book.entry(verb, words):
        wrong: list[tuple[str, LedgerError]] = []
        for name, text in pairs:
            try:
                book.set(name, text)
            except BookTrouble:
                raise
            except LedgerError as refusal:
                wrong.append((name, refusal))
        if len(wrong) == 1:
            raise wrong[0][1]
        if wrong:
            raise BadFile(
                [Fault(name, str(refusal).removeprefix(f"{name}: ")) for name, refusal in wrong]
            )
    folder = dict(pairs).get("backup_to", "")
    if folder and not Path(folder).is_dir():
        return [
            f"{folder} is not there now; a copy is made only while it is. Put the disk in, or make"
            " the folder."
        ]
    return []
