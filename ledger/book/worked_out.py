"""Rows that only spare working something out again: posted when all went well, else forgotten."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager, suppress
from typing import Any

from ledger.book.tables.base import Posted
from ledger.errors import BookChanged, BookTrouble

WORKED_OUT = "layout"
"""The verb of the entries that hold such rows."""


class WorkedOut:
    """What one command worked out; of a command that is refused nothing is left in the book.

    With `kept_only` nothing new is worked out that takes long: what the book keeps has to do.
    """

    kept_only = False

    def __init__(self) -> None:
        self._kept: list[tuple[str, Sequence[Posted]]] = []

    @contextmanager
    def only_kept(self) -> Iterator[None]:
        """Work nothing out that takes long while this lasts."""
        before, self.kept_only = self.kept_only, True
        try:
            yield
        finally:
            self.kept_only = before

    def keep(self, words: str, rows: Sequence[Posted]) -> None:
        """Keep rows, to be posted at the end, all that is kept as one entry."""
        self._kept.append((words, rows))

    def rows[R: Posted](self, table: type[R]) -> list[R]:
        """The rows of a table that are kept so far, newest first."""
        matching = [row for _, rows in self._kept for row in rows if isinstance(row, table)]
        return matching[::-1]

    def post_all(
        self,
        entry: Callable[[str, str], AbstractContextManager[Any]],
        post: Callable[[Posted], object],
    ) -> None:
        """Post what is kept; where that cannot be done now, it is worked out another time."""
        kept, self._kept = self._kept, []
        if not kept:
            return
        with suppress(BookChanged, BookTrouble), entry(WORKED_OUT, ", ".join(w for w, _ in kept)):
            for _, rows in kept:
                for row in rows:
                    post(row)
