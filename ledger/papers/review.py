"""The owner's review on at most four pages, with pictures that read in black and white."""

from collections.abc import Mapping

from ledger.measures.day import MONTHS
from ledger.measures.money import Money
from ledger.measures.spoken import large
from ledger.papers.blocks import (
    FIGURE,
    INSIDE,
    SHORT,
    TEXT,
    Account,
    Column,
    account_paper,
    heading,
    notes,
    picture,
    sentences,
    table,
)
from ledger.papers.charts import BarRow, ColumnRow, bars_svg, columns_svg
from ledger.papers.engine import Paper
from ledger.papers.words import Words, amount, row
from ledger.quotes.offer import Maker
from ledger.reports.review import Review
from ledger.reports.review_blocks import show_datum
from ledger.reports.review_blocks_more import blocks_of, missing_words, period_words
from ledger.reports.review_figures import ReviewBlock, ReviewTable

MOST_ROWS = 5
"""Rows of a table on paper; what is more stands on the screen and in the workbook."""

_WHOLE = {"streams": 12, "kinds": 8, "rates": 9}
"""Tables of which more rows are printed."""

_LEFT_OUT: Mapping[str, tuple[str, ...]] = {
    "kinds": ("helper h", "full", "cash"),
    "points": ("price at typical",),
}
"""Columns that find no room on a page."""

_DRAWN = {"classes", "booked", "categories", "months"}
"""Tables that a picture shows instead."""


def review_paper(one: Review, maker: Maker, size: str) -> Paper:
    """The review on paper, for the owner alone."""
    period = period_words(one.first, one.last)
    standing = "" if one.is_over else f" Still running: figures up to {one.last}."
    blocks: list[Words] = []
    drawings: dict[str, str] = {}
    for block in blocks_of(one):
        words, drawn = _block(one, block)
        blocks += words
        drawings |= drawn
    return account_paper(
        Account(
            kind="Review",
            number=period,
            title="What earned, quotes, time, material, rates",
            day=one.last,
            maker=maker,
            foot="review for the owner",
            above=f"{INSIDE} Amounts in {one.currency.code}.{standing}",
            below=" ".join(missing_words(one)),
            big=_big(one),
            blocks=blocks,
            drawings=drawings,
        ),
        size,
    )


def _big(one: Review) -> list[tuple[str, str]]:
    """Income in cash, earned an hour, the billable share: what there is of them."""
    big, share = [], one.time.share
    cash = sum((stream.cash.minor for stream in one.streams), 0)
    if cash:
        big.append((amount(one.currency, Money(cash), sign=True), "income in cash"))
    if one.check is not None and one.check.earned_hour is not None:
        big.append((amount(one.currency, one.check.earned_hour, sign=True),
                    "earned an hour on closed jobs, before overhead"))  # fmt: skip
    is_known = one.check is not None and (one.check.year.is_hours_typed or not share.is_thin)
    if one.check is not None and one.check.needed is not None and is_known:
        big.append((amount(one.currency, one.check.needed, sign=True),
                    "an hour would have met overhead and pay"))  # fmt: skip
    return big


def _block(one: Review, block: ReviewBlock) -> tuple[list[Words], dict[str, str]]:
    words: list[Words] = []
    drawings: dict[str, str] = {}
    for part in block.tables:
        if part.key not in _DRAWN:
            words += [heading(part.title), *_table(one, part)]
            continue
        drawing, alt = _drawing(one, part)
        if drawing:
            drawings[f"{part.key}.svg"] = drawing
            words += [heading(part.title), picture(f"{part.key}.svg", alt)]
    return [heading(block.title.upper()), *notes(block.sentences), *words], drawings


def _drawing(one: Review, part: ReviewTable) -> tuple[str, str]:
    """A picture of a table, and words for who cannot see it; nothing where it has no figures."""
    if part.key in {"booked", "months"}:
        columns = [
            ColumnRow(_month_name(name), length, f"{length:g}" if length else "")
            for name, length in _lengths(one, part, 1 if part.key == "booked" else 0)
        ]
        if len(columns) < 2:
            return "", ""
        alt = f"{part.title}: " + ", ".join(f"{c.name} {c.words or 0}" for c in columns)
        return columns_svg(columns, high=50), alt
    rows = [
        BarRow(large(name), length, f"{length:,.2f}")
        for name, length in _lengths(one, part, 0)
        if not name.startswith("all ")
    ]
    alt = f"{part.title}: " + ", ".join(f"{bar.name} {bar.words}" for bar in rows)
    return bars_svg(rows[:MOST_ROWS]), alt


def _month_name(day: str) -> str:
    """The month of a day or month in ISO form, as it stands under a column."""
    return f"{MONTHS[int(day[5:7]) - 1][:3]} {day[2:4]}"


def _lengths(one: Review, part: ReviewTable, place: int) -> list[tuple[str, float]]:
    """The name and one cell of each row as a length; money in whole units of the currency."""
    lengths = []
    for line in part.rows:
        cell = line.cells[place]
        value = one.currency.decimal(cell) if isinstance(cell, Money) else cell
        lengths.append((line.name, float(str(value))))
    return lengths


def _table(one: Review, part: ReviewTable) -> list[Words]:
    out = _LEFT_OUT.get(part.key, ())
    kept = [
        place
        for place, head in enumerate(part.heads[1:])
        if head not in out and any(r.cells[place] not in (None, "") for r in part.rows)
    ]
    columns = [Column(large(part.heads[0]), TEXT if part.key in {"kinds", "rates"} else SHORT)]
    for place in kept:
        cells = [r.cells[place] for r in part.rows]
        words = [cell for cell in cells if isinstance(cell, str)]
        is_long = any(len(cell) > 24 for cell in words)
        kind = TEXT if is_long else SHORT if words else FIGURE
        columns.append(Column(part.heads[place + 1], kind))
    if TEXT not in {column.kind for column in columns}:
        columns[0] = Column(columns[0].head, TEXT)
    most = _WHOLE.get(part.key, MOST_ROWS)
    has_sum = part.rows[-1].name.startswith("all ")
    body, last = (part.rows[:-1], part.rows[-1:]) if has_sum else (part.rows, ())
    rows = [
        row(large(r.name), *(show_datum(one.currency, r.cells[place]) for place in kept),
            look="sum" if r in last else "")
        for r in (*body[:most], *last)
    ]  # fmt: skip
    more = len(body) - most
    rest = [f"{more} more on the screen and in the workbook."] if more > 0 else []
    return [table(columns, rows), *sentences(rest)]
