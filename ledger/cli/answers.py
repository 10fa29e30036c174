"""Answers typed at a terminal, or piped in line by line."""

import sys

import typer

from ledger.cli import voice
from ledger.cli.labor import can_ask


def heard(question: str, usual: str) -> str | None:
    """What is typed or piped in as an answer; None where no more comes."""
    if can_ask():
        try:
            said = typer.prompt(question, default=usual, show_default=bool(usual), err=True)
        except typer.Abort:
            return None
        return str(said).strip()
    voice.note(f"{question}{f' [{usual}]' if usual else ''}:")
    line = sys.stdin.readline()
    return line.strip() or usual if line else None
