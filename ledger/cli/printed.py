"""Papers that a command writes: laid out, saved, and what has to be said of them."""

from pathlib import Path
from typing import TYPE_CHECKING

from ledger.cli import voice

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.papers.engine import Paper, PrintedPaper
    from ledger.quotes.offer import Maker


def on_letter(book: "Book") -> bool:
    """Whether the shop prints on letter, its workbooks too; else on A4."""
    from ledger.papers.words import LETTER, paper_size

    return paper_size(book) == LETTER


def shop_and_size(book: "Book") -> "tuple[Maker, str]":
    """The shop as its papers name it, and the size that it prints on."""
    from ledger.papers.words import paper_size
    from ledger.quotes.wording import maker

    return maker(book), paper_size(book)


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


def make_folder(folder: Path) -> None:
    """Make a folder where it is missing.

    Raises:
        NotAllowed: something else stands there, or it may not be made.
    """
    from ledger.errors import NotAllowed

    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as trouble:
        raise NotAllowed(f"{folder} cannot be used as a folder ({trouble.strerror}).") from trouble
