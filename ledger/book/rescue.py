"""The way back from a damaged book: the last copy beside it that is sound, and how it is put back.

It is looked for when a damage is told, and only then.
"""

import re
from datetime import date
from pathlib import Path

from ledger.book.check import examine_file
from ledger.book.parts import COPIES
from ledger.book.schema import is_there

_DAY = re.compile(r" (\d{4}-\d\d-\d\d)$")


def way_back(path: Path) -> str:
    """Say how a damaged book is put right, as a sentence."""
    for copy, day in daily_copies(path):
        if not any(finding.wrong for finding in examine_file(copy)):
            return (
                f"The copy from before the first entry of {day} is sound. Put it back, then enter"
                f' again what came after it: benchledger restore "{copy}"'
            )
    folder = _off_site(path)
    if folder:
        return f'Dated copies were put into {folder}: benchledger restore "{folder}"'
    return "No sound copy stands beside it. Put back one that you kept: benchledger restore FILE"


def damage_of(path: Path) -> str:
    """What is wrong with a book whose rows made no sense to a command; empty where it is sound."""
    if not is_there(path):
        return ""
    wrong = [sentence for finding in examine_file(path) for sentence in finding.wrong]
    return f"{path} is damaged. {wrong[0]}" if wrong else ""


def daily_copies(path: Path) -> list[tuple[Path, date]]:
    """The daily copies of a book with their days, the newest first."""
    copies = []
    try:
        for copy in (path.parent / COPIES).iterdir():
            match = _DAY.search(copy.stem)
            if match and copy.stem[: match.start()] == path.stem and copy.suffix == path.suffix:
                copies.append((copy, date.fromisoformat(match[1])))
    except (OSError, ValueError):
        return []
    return sorted(copies, key=lambda one: one[1], reverse=True)


def _off_site(path: Path) -> str:
    """The folder of the dated series, as the note beside the book tells it."""
    try:
        note = (path.parent / COPIES / f"{path.stem} off-site.txt").read_text("utf-8")
    except (OSError, ValueError):
        return ""
    return note.strip().partition(" ")[2]
