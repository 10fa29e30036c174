"""The owner's review on at most four pages, with pictures that read in black and white."""

from decimal import Decimal

from ledger.measures.day import MONTHS, Month
from ledger.measures.money import Money
from ledger.measures.rounding import half_up, trimmed
from ledger.measures.spoken import large
from ledger.papers.blocks import (
    INSIDE,
    Account,
    heading,
    notes,
    picture,
    table,
    together,
)
from ledger.papers.charts import WIDTH, BarRow, ColumnRow, bars_svg, columns_svg
from ledger.papers.engine import Paper
from ledger.papers.words import Words, amount, row
from ledger.quotes.offer import Maker
from ledger.reports.review import Review
from ledger.reports.review_blocks import is_rate_known, show_datum
from ledger.reports.review_blocks_more import blocks_of, missing_words, period_words, standing_words
from ledger.reports.review_blocks_result import result_block
from ledger.reports.review_figures import ReviewBlock, ReviewRow, ReviewTable
from ledger.reports.review_reasons import timed_words

MOST_ROWS = 5
"""Rows of a table on paper; what is more stands on the screen and in the workbook."""

MORE = "What stands as “more” is told line by line on the screen and in the workbook."

_ROWS = {
    "result": 12, "streams": 12, "kinds": 7, "rates": 9, "quotes_by_kind": 3, "points": 3,
    "declined": 3, "promises": 3, "activities": 4, "operations": 4, "suppliers": 4,
    "categories": 4, "prices": 3, "scrapped": 3, "sponsors": 3,
}  # fmt: skip
"""Tables of which more rows are printed, or fewer."""

_BESIDE = {
    "suppliers": "categories", "classes": "promises", "price_an_hour": "declined",
    "scrapped": "rack",
}  # fmt: skip
"""Tables with room for another one beside them."""

_HALF = 230
"""Units across of a picture with something beside it."""

_DRAWN = {"classes", "booked", "months"}
"""Tables that a picture shows instead."""


def review_paper(one: Review, maker: Maker, size: str) -> Paper:
    """The review on paper, for the owner alone."""
    period = period_words(one.first, one.last)
    blocks: list[Words] = []
    drawings: dict[str, str] = {}
    for block in blocks_of(one):
        words, drawn = _block(one, block)
        blocks += words
        drawings |= drawn
    return Account(
        kind="Review",
        number=period,
        title="What earned, quotes, time, material, rates",
        day=one.last,
        maker=maker,
        currency=one.currency,
        foot="review for the owner",
        above=f"{INSIDE} Amounts in {one.currency.code}. {MORE} {standing_words(one)}".rstrip(),
        below=" ".join(remark.words for remark in missing_words(one)),
        big=_big(one),
        blocks=blocks,
        drawings=drawings,
        is_dense=True,
    ).paper(size)


def _big(one: Review) -> list[tuple[str, str]]:
    """The result in cash and by closed jobs, and what an hour brought: what there is of them."""
    big = []
    for part in result_block(one).tables:
        left = part.rows[-1]
        for head, cell in zip(part.heads[1:], left.cells, strict=True):
            if isinstance(cell, Money):
                big.append((amount(one.currency, cell, sign=True), f"{left.name}, {head}"))
    if one.check is not None and one.check.earned_hour is not None:
        big.append((amount(one.currency, one.check.earned_hour, sign=True),
                    f"earned an hour on {timed_words(one.jobs)}, before overhead"))  # fmt: skip
    if one.check is not None and one.check.needed is not None and is_rate_known(one):
        big.append((amount(one.currency, one.check.needed, sign=True),
                    "an hour would have met overhead and pay"))  # fmt: skip
    return big


def _block(one: Review, block: ReviewBlock) -> tuple[list[Words], dict[str, str]]:
    """The blocks of one part of the review, each table on one page with its heading."""
    if not block.tables and not block.remarks:
        return [], {}
    laid: dict[str, list[Words]] = {}
    drawings: dict[str, str] = {}
    keys = {part.key for part in block.tables}
    for part in block.tables:
        across = _HALF if _BESIDE.get(part.key) in keys else WIDTH
        drawing, alt = _drawing(one, part, across) if part.key in _DRAWN else ("", "")
        if drawing:
            drawings[f"{part.key}.svg"] = drawing
            laid[part.key] = [heading(_drawn_title(one, part)), picture(f"{part.key}.svg", alt)]
        elif part.key not in _DRAWN:
            laid[part.key] = [*([heading(part.title)] if part.title else []), *_table(one, part)]
    for left, right in _BESIDE.items():
        if left in laid and right in laid:
            laid[left] = [together(laid[left], laid.pop(right))]
    remarks = notes(remark.words.replace(" %", "\u00a0%") for remark in block.remarks)
    first, *rest = list(laid.values()) or [[]]
    begun = together([heading(block.title.upper()), *remarks, *first], begins_section=True)
    return [begun, *(together(words) for words in rest)], drawings


def _drawn_title(one: Review, part: ReviewTable) -> str:
    """The heading of a picture, with the sum of what it shows."""
    sums = [show_datum(one.currency, row.cells[0]) for row in part.rows if row.is_sum]
    return f"{part.title}: {sums[0]} in all" if sums else part.title


def _drawing(one: Review, part: ReviewTable, across: int) -> tuple[str, str]:
    """A picture of a table, and words for who cannot see it; nothing where it has no figures."""
    if part.key in {"booked", "months"}:
        lengths = dict(_lengths(one, part, 1 if part.key == "booked" else 0))
        if part.key == "months" and lengths:
            lengths = {month: lengths.get(month, 0) for month in _months_between(*lengths)}
        places = 0 if part.key == "months" else 2
        columns = [
            ColumnRow(_month_name(name), length, _figure(one, length, places) if length else "")
            for name, length in lengths.items()
        ]
        if len(columns) < 2:
            return "", ""
        alt = f"{part.title}: " + ", ".join(f"{c.name} {c.words or 0}" for c in columns)
        return columns_svg(columns, high=32), alt
    rows = [
        BarRow(large(name), length, one.currency.number(half_up(Decimal(str(length)), 2)))
        for name, length in _lengths(one, part, 0)
    ]
    alt = f"{part.title}: " + ", ".join(f"{bar.name} {bar.words}" for bar in rows)
    return bars_svg(rows, across), alt


def _figure(one: Review, length: float, places: int) -> str:
    """A length as the figure above its column, with no more places than it has."""
    return one.currency.number(trimmed(half_up(Decimal(str(length)), places)))


def _months_between(*months: str) -> list[str]:
    """Every month from the first to the last of some (YYYY-MM), those without a row too."""
    month, last = (Month(*map(int, name.split("-"))) for name in (months[0], months[-1]))
    named = [month]
    while named[-1] < last:
        named.append(named[-1].next())
    return [str(one) for one in named]


def _month_name(day: str) -> str:
    """The month of a day or month in ISO form, as it stands under a column."""
    return f"{MONTHS[int(day[5:7]) - 1][:3]} {day[2:4]}"


def _lengths(one: Review, part: ReviewTable, place: int) -> list[tuple[str, float]]:
    """The name and one cell of each row as a length; money in whole units of the currency."""
    lengths = []
    most = 0 if part.key in {"booked", "months"} else MOST_ROWS
    for line in part.shortened(most):
        if line.is_sum:
            continue
        cell = line.cells[place]
        value = one.currency.decimal(cell) if isinstance(cell, Money) else cell
        lengths.append((line.name, float(str(value))))
    return lengths


def _shown(one: Review, part: ReviewTable, line: ReviewRow, place: int) -> str:
    currency, cell = part.shown_in(one.currency, place), part.shown(line, place, one.currency)
    return amount(currency, cell) if isinstance(cell, Money) else show_datum(currency, cell)


def _table(one: Review, part: ReviewTable) -> list[Words]:
    kept = part.places
    columns = [f"{'' if part.key in {'kinds', 'rates'} else '|'}{large(part.heads[0])}"]
    for place in kept:
        cells = [r.cells[place] for r in part.rows]
        words = [cell for cell in cells if isinstance(cell, str)]
        is_long = any(len(cell) > 24 for cell in words)
        columns.append(f"{'' if is_long else '|' if words else '>'}{part.heads[place + 1]}")
    if all(column.startswith(("|", ">")) for column in columns):
        columns[0] = columns[0].removeprefix("|")
    shown = part.shortened(_ROWS.get(part.key, MOST_ROWS))
    rows = [
        row(large(r.name), *(_shown(one, part, r, place) for place in kept),
            look="sum" if r.is_sum else "")
        for r in shown
    ]  # fmt: skip
    return [table(columns, rows)]
