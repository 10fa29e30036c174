"""The refusals of the whole house: one sentence saying what, where, and what would be right.

```
LedgerError
├── BadValue      a text that is not the length, sum, day … it should be
├── BadFile       a file with one or several faults, each with its place
├── NotFound      a name that nothing in the book answers to
├── Ambiguous     a name that several things answer to
├── NotAllowed    the rules of the book refuse (more than on hand, a closed month …)
├── Question      it looks like a slip; posted once somebody says that it is right
├── BookTrouble   the book itself cannot be read or written (damaged, locked, disk full …)
│   └── BookDamaged   its bytes are not what they were; a copy has to be put back
└── BookChanged   another command posted while this one was reading; it may begin again
```
The command line shows the message as it stands and ends with exit code 1.
"""

from collections.abc import Iterable, Mapping, Sequence
from difflib import get_close_matches

from msgspec import Struct

LONGEST_SOUGHT = 100
"""Letters of a name that is told or compared with others: the work grows with their square."""


MOST_TOLD = 250
"""Faults of one file that are told at once."""

NONSENSE = (ValueError, TypeError, LookupError, ArithmeticError, AttributeError, RecursionError)
"""What a damaged row makes of a computation that expects what was posted."""


class LedgerError(Exception):
    """A refusal whose message is a sentence for the person at the bench."""


class BadValue(LedgerError, ValueError):
    """A text that is not what it should be; the message says what would be right."""


class NotAllowed(LedgerError):
    """An entry that the rules of the book refuse."""


class Question(LedgerError):
    """Something that looks like a slip; it is posted once somebody says that it is right.

    A verb that may ask takes `sure`: the terminal asks and calls again with `sure=True`.
    """

    def __init__(self, sentences: Sequence[str]) -> None:
        super().__init__("\n".join(sentences))
        self.sentences = tuple(sentences)


class BookTrouble(LedgerError):
    """The book cannot be opened, read or written as it stands."""


class BookDamaged(BookTrouble):
    """The book's bytes are not what they were: a copy has to be put back."""


class BookChanged(LedgerError):
    """Another command posted while this one was reading: what it read may no longer be so."""

    def __init__(self) -> None:
        super().__init__("Another command changed the book meanwhile; nothing was posted.")


class Ambiguous(LedgerError):
    """A name that several things answer to."""

    def __init__(self, what: str, text: str, names: Sequence[str]) -> None:
        shown = ", ".join(names[:6]) + (", …" if len(names) > 6 else "")
        super().__init__(f"“{text}”: which {what}? {shown}. Write more of its name.")
        self.names = tuple(names)


class NotFound(LedgerError):
    """A name that nothing answers to; the nearest names are offered.

    Where none is near, a few are listed, and many if they are all that there can ever be
    (`are_all`); where there is no name at all, `if_none` says what helps.
    """

    def __init__(
        self,
        what: str,
        text: str,
        names: Iterable[str] = (),
        *,
        if_none: str = "",
        are_all: bool = False,
    ) -> None:
        known = sorted(set(names))
        folded = {name.casefold(): name for name in known if len(name) <= LONGEST_SOUGHT}
        text = text if len(text) <= LONGEST_SOUGHT else f"{text[:LONGEST_SOUGHT]}…"
        near = [folded[key] for key in get_close_matches(text.casefold(), folded, n=3, cutoff=0.5)]
        if near:
            hint = f" Nearest: {', '.join(near)}."
        elif known and (are_all or len(known) <= 8):
            hint = f" There is: {', '.join(known)}."
        else:
            hint = f" {if_none}" if if_none and not known else ""
        super().__init__(f"No {what} is called “{text}”.{hint}")
        self.names = tuple(near)


class Fault(Struct, frozen=True):
    """One thing wrong in a file: where it stands and a sentence saying what would be right."""

    where: str
    sentence: str

    def __str__(self) -> str:
        return f"{self.where}: {self.sentence}"


class BadFile(LedgerError):
    """A file that was not taken; every fault is listed and nothing of it was posted.

    `headings` are those that nobody knows, each with the columns it is likely meant for; `columns`
    are all that it could be. `remedy` is a last sentence.
    """

    def __init__(
        self,
        faults: Sequence[Fault],
        headings: Mapping[str, tuple[str, ...]] | None = None,
        columns: Sequence[str] = (),
        remedy: str = "",
    ) -> None:
        self.faults = tuple(faults)
        self.headings, self.columns = dict(headings or {}), tuple(columns)
        count = len(self.faults)
        head = "One thing is" if count == 1 else f"{count} things are"
        lines = "\n".join(f"  {fault}" for fault in self.faults[:MOST_TOLD])
        if count > MOST_TOLD:
            lines += f"\n  … and {count - MOST_TOLD} more."
        last = f"\n{remedy}" if remedy else ""
        super().__init__(f"{head} wrong, and nothing was posted:\n{lines}{last}")
