"""Papers that a command writes: laid out, saved, and what has to be said of them."""

from pathlib import Path
from typing import TYPE_CHECKING

from ledger.cli import voice

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.papers.engine import Paper, PrintedPaper


def on_letter(book: "Book") -> bool:
    """Whether the shop prints on letter, its workbooks too; else on A4."""
    from ledger.papers.words import LETTER, paper_size

    return paper_size(book) == LETTER


def put_paper(paper: "Paper", path: Path) -> "PrintedPaper":
    """Lay a paper out and put the file in its place; nothing is written where it cannot be.

    Raises:
        LedgerError: it cannot be laid out or written.
    """
    from ledger.papers.engine import FALLBACK, print_paper, save_paper

    printed = print_paper(paper)
    save_paper(printed, path)
    if printed.fallback:
        voice.warn(FALLBACK)
    return printed
