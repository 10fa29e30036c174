"""Answers typed at a terminal, or piped in line by line; slips are asked about at a terminal."""

import sys
from collections.abc import Callable, Collection

import typer

from ledger.cli import voice
from ledger.errors import LedgerError, NotAllowed, Question


def heard(question: str, usual: str) -> str | None:
    """Prompt for a line at a terminal, or read it from a pipe; None at the end of input."""
    if can_ask():
        try:
            answer = typer.prompt(question, default=usual, show_default=bool(usual), err=True)
        except typer.Abort:
            return None
        return str(answer).strip()
    voice.note(f"{question}{f' [{usual}]' if usual else ''}:")
    line = sys.stdin.readline()
    return line.strip() or usual if line else None


def answered[T](
    question: str, usual: str, read: Callable[[str], T], *, ends: Collection[str] = ()
) -> T | None:
    """An answer as it is read; one that cannot be is refused, and the question asked again.

    None where no more comes, or a word of `ends`.
    """
    while True:
        text = heard(question, usual)
        if text is None or text.casefold() in ends:
            return None
        try:
            return read(text)
        except LedgerError as wrong:
            voice.refuse(str(wrong))


def ask[T](act: Callable[[bool], T], *, yes: bool) -> T:
    """Do something that may be questioned: `--yes` or a yes at the terminal lets it pass.

    Raises:
        NotAllowed: there is a question, and nobody at a terminal to answer it.
    """
    try:
        return act(yes)
    except Question as question:
        if not can_ask():
            raise NotAllowed(f"{question}\nIf that is right, say so: --yes") from question
        confirm(str(question))
        return act(True)


def confirm(question: str) -> None:
    """Ask at a terminal whether what looks like a slip is right.

    Raises:
        NotAllowed: it is not.
    """
    voice.warn(question)
    if not typer.confirm("Is that right?", err=True):
        raise NotAllowed("Nothing was posted.")


def can_ask() -> bool:
    """Whether standard input is a terminal."""
    return sys.stdin.isatty()
