"""The review said block by block, and one figure of it explained."""

from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import typer
from msgspec import Struct

from ledger.book import Book
from ledger.cli import voice
from ledger.cli.opened import open_shop
from ledger.cli.printed import on_letter, put_paper
from ledger.errors import BadValue
from ledger.measures.money import Money
from ledger.measures.quantity import parse_quantity
from ledger.papers.words import paper_size
from ledger.quotes.wording import maker
from ledger.reports.review import Review, TypedYear, review
from ledger.reports.review_blocks import show_datum
from ledger.reports.review_blocks_more import blocks_of, missing_words, period_words, standing_words
from ledger.reports.review_figures import ReviewTable
from ledger.reports.review_json import find_row, review_json, row_json


class Wishes(Struct, frozen=True):
    """What was typed behind `review`."""

    which: str
    first: str
    last: str
    overhead: str
    pay: str
    hours: str
    explain: str


def tell(wishes: Wishes, pdf: Path | None, xlsx: Path | None, *, as_json: bool) -> None:
    """Review the days that were typed, on the screen and in files."""
    with open_shop() as book:
        first, last = _days(book, wishes)
        one = review(book, first, last, _typed(book, wishes))
        shop, letter = maker(book), on_letter(book)
        size = paper_size(book)
    if pdf:
        from ledger.papers.review import review_paper

        put_paper(review_paper(one, shop, size), pdf)
        voice.note(f"Written: {pdf}")
    if xlsx:
        from ledger.workbooks.writers.review import write_review

        voice.note(f"Written: {write_review(one, xlsx, letter=letter)}")
    if wishes.explain:
        _explain(one, wishes.explain, as_json=as_json)
    elif as_json:
        voice.print_json(review_json(one))
    else:
        _say(one)


def _days(book: Book, wishes: Wishes) -> tuple[date, date]:
    if wishes.which and (wishes.first or wishes.last):
        raise typer.BadParameter("Either a year or --from and --to.")
    if wishes.last and not wishes.first:
        raise typer.BadParameter("--to needs --from.")
    if wishes.first:
        last = book.dates.read(wishes.last) if wishes.last else book.today
        return book.dates.read(wishes.first), last
    which = wishes.which or str(book.today.year)
    if not (which.isascii() and which.isdigit() and len(which) == 4 and int(which)):
        raise BadValue(f"“{which}” is not a year; write for example 2025.")
    return date(int(which), 1, 1), date(int(which), 12, 31)


def _typed(book: Book, wishes: Wishes) -> TypedYear:
    def money(text: str, option: str) -> Money | None:
        amount = book.currency.parse(text) if text else None
        if amount is not None and amount <= Money(0):
            raise BadValue(f"{option} must be more than zero; not “{text}”.")
        return amount

    hours: Fraction | None = None
    if wishes.hours:
        hours = parse_quantity(wishes.hours, book.currency.decimal_mark).fraction
        if hours <= 0:
            raise BadValue(f"--hours must be more than zero; not “{wishes.hours}”.")
    return TypedYear(money(wishes.overhead, "--overhead"), money(wishes.pay, "--pay"), hours)


def _say(one: Review) -> None:
    voice.heading(f"{one.shop}: review of {period_words(one.first, one.last)}, for you alone")
    if not one.is_over:
        voice.say(standing_words(one))
    for remark in missing_words(one):
        voice.say(remark.on_screen)
    for block in blocks_of(one):
        if not block.tables and not block.remarks:
            continue
        voice.say()
        voice.heading(block.title)
        for table in block.tables:
            _say_table(one, table)
        for remark in block.remarks:
            voice.say(remark.on_screen)
    voice.note("Which jobs a line comes from: benchledger review --explain “a line's name”")


def _say_table(one: Review, table: ReviewTable) -> None:
    if table.title:
        voice.say(table.title)
    rows = table.shortened(table.most)
    columns: list[str] = [table.heads[0]]
    for place, head in enumerate(table.heads[1:]):
        is_figure = any(isinstance(row.cells[place], Money | Decimal | int) for row in rows)
        columns.append(f">{head}" if is_figure else head)
    kept, currency = table.places, one.currency
    cells = [
        [show_datum(table.shown_in(currency, at), table.shown(row, at, currency)) for at in kept]
        for row in rows
    ]
    voice.table(
        [columns[0], *(columns[place + 1] for place in kept)],
        [[row.name, *shown] for row, shown in zip(rows, cells, strict=True)],
    )


def _explain(one: Review, text: str, *, as_json: bool) -> None:
    table, row = find_row(blocks_of(one), text)
    if as_json:
        voice.print_json({"table": table.key, **row_json(row, one.currency)})
        return
    voice.heading(f"{row.name}: {table.title}" if table.title else row.name)
    for head, cell in zip(table.heads[1:], row.cells, strict=True):
        if cell not in (None, ""):
            voice.say(f"{head or 'this'}: {show_datum(one.currency, cell)}")
    if row.parts:
        voice.table(
            ["of", "", ">"],
            [[p.of, p.words, show_datum(one.currency, p.value)] for p in row.parts],
        )
    else:
        voice.say("No single job stands behind it: it follows from the lines beside it.")
