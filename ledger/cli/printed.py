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


_FILES = {".csv", ".json", ".pdf", ".svg", ".xlsx", ".zip"}


def require_folder_name(folder: Path) -> None:
    """Make sure that what is to be a folder is not called like a file.

    Raises:
        NotAllowed: it is.
    """
    from ledger.errors import NotAllowed

    if folder.suffix.casefold() in _FILES and not folder.exists():
        raise NotAllowed(
            f"{folder} is called like a file, and several are written here; name a folder, such as"
            f" {folder.with_suffix('')}"
        )


def make_folder(folder: Path, mode: int = 0o777) -> None:
    """Make a folder where it is missing.

    Raises:
        NotAllowed: it is called like a file, something else stands there, or it may not be made.
    """
    from ledger.errors import NotAllowed

    require_folder_name(folder)
    try:
        folder.mkdir(mode=mode, parents=True, exist_ok=True)
    except OSError as trouble:
        raise NotAllowed(
            f"{folder} cannot be used as a folder; it cannot be made ({trouble.strerror})."
        ) from trouble
