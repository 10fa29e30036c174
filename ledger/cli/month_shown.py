"""The month on one page: closed or opened if asked, its figures, its files.

Of the files one is for the accountant, and one for each sponsor, with nothing of others.
"""

from collections.abc import Sequence
from contextlib import nullcontext
from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct

from ledger.book import Book, close_month, reopen_month
from ledger.book.days import open_months
from ledger.book.questions.month import Named
from ledger.cli import voice
from ledger.cli.opened import open_shop
from ledger.cli.printed import make_folder, on_letter, put_paper, shop_and_size
from ledger.jobs.payments import HELD_WORDS
from ledger.measures.day import Month, parse_month
from ledger.measures.letters import file_name
from ledger.measures.money import Money, totals
from ledger.measures.rounding import half_up
from ledger.reports.month import MonthReport, month_json, month_report
from ledger.reports.roll import COLUMNS
from ledger.reports.settled import credit_words, leftover_words

if TYPE_CHECKING:
    from ledger.sponsors.withheld import Doubt

_STANDING = {
    "closed": "The month is closed.",
    "open": "The month is over and not closed yet.",
    "running": "The month is still running: figures up to {day}.",
    "ahead": "The month has not begun.",
    "before the book": "The book begins after this month; nothing is posted in it.",
    "entered before the book": "The book begins after this month; this was entered for it later.",
}


class MonthFiles(Struct, frozen=True):
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
        from ledger.papers.accountant import month_paper

        shop, size = shop_and_size(book)
        put_paper(month_paper(report, shop, book.units, size), files.pdf)
        written.append(files.pdf)
    return written


def _workbooks(book: Book, report: MonthReport, folder: Path) -> list[Path]:
    """Write the month's workbooks into a folder, made where it is missing."""
    from ledger.reports.month_data import month_data
    from ledger.reports.sponsor import sponsor_report
    from ledger.sponsors.agreements import sponsors
    from ledger.workbooks.writers.accountant import write_month
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


def account(which: str, files: MonthFiles, action: str, why: str, *, as_json: bool) -> None:
    """Take the account of a month; `asked` closes or reopens it first.

    The files belong to the entry: where they cannot be written, the month stays as it was.
    """
    with open_shop() as book:
        chosen = parse_month(which, book.today)
        with book.entry(f"month {action}", str(chosen)) if action else nullcontext():
            if action == "close":
                from ledger.labor.clock import require_stopped

                require_stopped(book, chosen)
                close_month(book, chosen)
            if action == "reopen":
                reopen_month(book, chosen, why)
            report = month_report(book, chosen)
            written = write_files(book, report, files)
        earlier = [one for one in open_months(book) if one < chosen]
    if action == "close" and earlier:
        voice.warn(
            f"Not closed before it: {', '.join(map(str, earlier))}. What is still posted there"
            f" changes what {chosen} began with: benchledger month {earlier[0]} --close"
        )
    if as_json:
        voice.print_json(month_json(report))
    elif action:
        voice.say(f"{chosen} is {'closed' if action == 'close' else 'open again'}.")
    else:
        _say(report)
        if report.standing == "before the book":
            voice.note(f"The month that is running: benchledger month {book.today:%Y-%m}")
    for path in written:
        voice.note(f"Written: {path}")


def _say(report: MonthReport) -> None:
    voice.heading(f"{report.shop}: material and stock, {report.month}")
    standing = report.standing
    if standing == "before the book" and not report.is_empty:
        standing = "entered before the book"
    voice.say(_STANDING[standing].format(day=report.as_of))
    if report.is_empty:
        voice.say("Nothing was bought, used or in stock.")
        return
    if report.standing == "ahead":
        return
    for say_block in (_say_spend, _say_roll, _say_jobs):
        voice.say()
        say_block(report)
    if report.canceled or report.late or report.to_refund or report.to_send_back:
        voice.say()
        _say_over(report)
    voice.say()
    _say_rest(report)
    voice.say_all([*credit_words(report), *report.to_invoice])


def _say_spend(report: MonthReport) -> None:
    spend, show = report.spend, report.currency.show
    use_tax, back = show(spend.use_tax), show(spend.recoverable)
    words = f"Net {show(spend.net)} + tax paid {show(spend.tax_paid)} = paid {show(spend.paid)}"
    if spend.recoverable:
        words += f"; − recoverable {back}"
    if spend.has_use_tax:
        words += f"; + use tax due {use_tax}"
    voice.say(f"{words} = landed {show(spend.landed)}.")
    if spend.in_kind:
        voice.say(f"In kind received: {show(spend.in_kind)} at fair value, no cash.")
    columns = [spend.by_supplier, spend.by_category, spend.by_job]
    height = max(map(len, columns))
    cells = [[*_cells(parts, report, height)] for parts in columns]
    voice.table(
        ["by supplier", ">landed", "by category", ">landed", "by job", ">landed"],
        [[text for column in cells for text in column[at]] for at in range(height)],
        footer=["all", show(spend.landed)] * 3,
    )  # fmt: skip
    voice.say_all(spend.beside_words(report.currency))


def _cells(parts: tuple[Named, ...], report: MonthReport, height: int) -> list[tuple[str, str]]:
    rows = [(part.name, report.currency.show(part.amount)) for part in parts]
    return rows + [("", "")] * (height - len(rows))


def _say_roll(report: MonthReport) -> None:
    show = report.currency.show
    full, cash = report.full.columns(), report.cash.columns()
    still = ("opening", "received", "issued", "closing")
    names = [name for name in COLUMNS if name in still or full[name] or cash[name]]
    voice.table(
        ["stock", *(f">{name.replace('_', ' ')}" for name in names)],
        [["full value", *(show(full[name]) for name in names)],
         ["cash", *(show(cash[name]) for name in names)]],
    )  # fmt: skip


def _say_jobs(report: MonthReport) -> None:
    show = report.currency.show
    issued = {row.job: row for row in report.issued}
    progress = {job.number: job for job in report.progress}
    clients = {row.job: row for row in report.money_in}
    has_tax = report.spend.has_use_tax or any(row.tax for row in report.money_in)
    rows = []
    for number in sorted({*issued, *progress, *clients}):
        got, job, paid = issued.get(number), progress.get(number), clients.get(number)
        rows.append([
            number, show(got.full) if got else "", show(got.cash) if got else "",
            show(job.cost) if job else "", show(paid.received) if paid else "",
            *([show(paid.tax) if paid else ""] if has_tax else []),
            show(paid.held) if paid else "",
        ])  # fmt: skip
    if rows:
        sums = totals(report.issued, "full cash") + totals(report.progress, "cost")
        sums += totals(report.money_in, "received tax held" if has_tax else "received held")
        voice.table(
            ["job", ">issued", ">of it cash", ">in progress", ">received",
             *([">tax in it"] if has_tax else []), ">held"],
            rows,
            footer=["all", *map(show, sums)],
        )  # fmt: skip


def _say_over(report: MonthReport) -> None:
    """Say what happened to jobs that are over: canceled ones, and cost after closing."""
    show = report.currency.show
    if report.canceled:
        voice.table(
            ["canceled", "day", ">cost till then", ">kept",
             ">received", ">goes back", ">still owed"],
            [
                [row.settlement.job.number, str(row.settlement.canceled.day),
                 show(row.progress.cost), show(row.settlement.canceled.kept),
                 show(row.settlement.received), show(row.settlement.back),
                 show(row.settlement.owed)]
                for row in report.canceled
            ],
        )  # fmt: skip
    voice.say_all(leftover_words(report))


def _say_rest(report: MonthReport) -> None:
    if report.billable is not None:
        share = half_up(report.billable * 100, 0)
        assumed = half_up(report.assumed_billable * 100, 0)
        voice.say(f"Owner's logged time on commissions: {share} % (the rates assume {assumed} %).")
    for change in report.price_changes:
        percent = half_up(change.share * 100, 1)
        voice.say(
            f"Price of {change.code}: {change.before} → {change.after} ({percent:+} %) from"
            f" {change.day}."
        )
    if any(row.held for row in report.money_in):
        voice.note(HELD_WORDS)
    if report.spend.use_tax != Money(0):
        voice.note("What use tax is due and when, your tax authority says.")
