"""The files of a month: one for the accountant, and one for each sponsor with nothing of others."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from ledger.book import Book
from ledger.cli import voice
from ledger.errors import NotAllowed
from ledger.measures.day import Month
from ledger.measures.letters import file_name
from ledger.reports.month import MonthReport

if TYPE_CHECKING:
    from ledger.sponsors.withheld import Doubt


@dataclass(frozen=True, slots=True)
class MonthFiles:
    """Where the files of a month go: the summary's PDF, and the folder of the workbooks."""

    pdf: Path | None
    folder: Path | None


def write_files(book: Book, report: MonthReport, files: MonthFiles) -> list[Path]:
    """Write what is wanted of a month's files.

    Raises:
        LedgerError: the folder cannot be made, or a file cannot be written.
    """
    written = _workbooks(book, report, files.folder) if files.folder else []
    if files.pdf:
        from ledger.cli.printed import put_paper
        from ledger.papers.month import month_paper
        from ledger.papers.words import paper_size
        from ledger.quotes.wording import maker

        put_paper(month_paper(report, maker(book), book.units, paper_size(book)), files.pdf)
        written.append(files.pdf)
    return written


def _workbooks(book: Book, report: MonthReport, folder: Path) -> list[Path]:
    """Write the month's workbooks into a folder, made where it is missing."""
    from ledger.cli.printed import on_letter
    from ledger.reports.month_data import month_data
    from ledger.reports.sponsor import sponsor_report
    from ledger.sponsors.agreements import sponsors
    from ledger.workbooks.writers.month import write_month
    from ledger.workbooks.writers.sponsor import write_sponsor

    make_folder(folder)
    month, letter = report.month, on_letter(book)
    data = month_data(book, month)
    accountant = folder / f"{month}-accountant.xlsx"
    written = [write_month(report, data, accountant, letter=letter)]
    for sponsor in sponsors(book).values():
        prepared = sponsor_report(book, sponsor, month.first, report.as_of)
        one = prepared.report
        if prepared.doubts:
            _say_doubts(prepared.doubts, sponsor.name, month)
        elif one.lines or one.published:
            path = folder / f"{month}-sponsor-{file_name(sponsor.name)}.xlsx"
            written.append(write_sponsor(one, path, letter=letter))
    return written


def _say_doubts(doubts: "Sequence[Doubt]", sponsor: str, month: Month) -> None:
    """Say why a sponsor's file was not written, and how it is."""
    voice.warn(*map(str, doubts))
    voice.warn(
        f"The file for {sponsor} was not written. Find other words, or if none of it is a name:"
        f' benchledger sponsor report "{sponsor}" --month {month} --xlsx FILE --yes'
    )


def make_folder(folder: Path) -> None:
    """Make a folder where it is missing.

    Raises:
        NotAllowed: something else stands there, or it may not be made.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as trouble:
        raise NotAllowed(f"{folder} cannot be used as a folder ({trouble.strerror}).") from trouble
