"""Which versions of a design a correction puts right."""

import re

from ledger.designs.model import Design
from ledger.errors import BadValue, NotAllowed
from ledger.measures.spoken import quoted

_RANGE = re.compile(r"([1-9][0-9]{0,3})(?:\s*[-–]\s*([1-9][0-9]{0,3}))?")


def versions_in(text: str) -> tuple[int, ...]:
    """The versions that a correction names.

    >>> versions_in("1-3, 5")
    (1, 2, 3, 5)
    >>> versions_in("all")
    Traceback (most recent call last):
    ledger.errors.BadValue: “all” names no versions; write for example 1, or 1-3, or 1, 3.
    """
    numbers = set[int]()
    for piece in text.split(","):
        match = _RANGE.fullmatch(piece.strip())
        first, last = (int(match[1]), int(match[2] or match[1])) if match else (1, 0)
        if first > last:
            hint = "write for example 1, or 1-3, or 1, 3"
            raise BadValue(f"{quoted(text)} names no versions; {hint}.")
        numbers.update(range(first, last + 1))
    return tuple(sorted(numbers))


def require_earlier(design: Design, version: int) -> None:
    """Refuse corrections of versions that are not older than the one they stand in.

    Raises:
        NotAllowed: with the versions that can be named.
    """
    for row in design.corrections:
        if max(versions_in(row.versions)) >= version:
            raise NotAllowed(
                f"A correction names version {row.versions} of {design.name}, but this becomes"
                f" version {version}: only versions before it can be put right."
            )
