"""A review as facts for other programs, and one figure of it explained."""

from difflib import get_close_matches
from typing import Any

from ledger.errors import LONGEST_SOUGHT, Ambiguous, NotFound
from ledger.measures.money import Currency
from ledger.measures.plain import plain_fields, plain_rows
from ledger.reports.review import Review
from ledger.reports.review_blocks_more import blocks_of, missing_words
from ledger.reports.review_figures import ReviewBlock, ReviewRow, ReviewTable

_NEAREST = 6
"""How many figures are offered where none answers."""


def review_json(one: Review) -> dict[str, Any]:
    """The review for other programs: money, hours and weeks as decimal strings.

    Shape: from, to, currency, is_over, missing · blocks [block, title, sentences, tables [table,
    title, heads, rows [name, cells, parts [of, words, value]]]].
    """
    return {
        **plain_fields(one, "from=first to=last currency=currency.code is_over"),
        "missing": [remark.words for remark in missing_words(one)],
        "blocks": [_block(block, one.currency) for block in blocks_of(one)],
    }


def _block(block: ReviewBlock, currency: Currency) -> dict[str, Any]:
    return {
        **plain_fields(block, "block=key title"),
        "sentences": [remark.words for remark in block.remarks],
        "tables": [
            plain_fields(table, "table=key title heads")
            | {"rows": [row_json(row, currency) for row in table.rows]}
            for table in block.tables
        ],
    }


def row_json(row: ReviewRow, currency: Currency) -> dict[str, Any]:
    """A row with its parts."""
    parts = plain_rows(row.parts, "of words value", currency)
    return plain_fields(row, "name cells", currency) | {"parts": parts}


def find_row(blocks: list[ReviewBlock], text: str) -> tuple[ReviewTable, ReviewRow]:
    """The row of that name, or of TABLE.NAME, or of an unambiguous part of its name.

    The words above a table stand for its rows.

    Raises:
        NotFound: no figure answers.
        Ambiguous: several do.
    """
    rows = [(table, row) for block in blocks for table in block.tables for row in table.rows]
    sought = " ".join(text.split()).casefold()
    exact = [
        (table, row)
        for table, row in rows
        if sought in (row.name.casefold(), f"{table.key}.{row.name}".casefold())
    ]
    near = exact or [
        (table, row) for table, row in rows if sought and sought in row.name.casefold()
    ]
    near = near or [
        (table, row) for table, row in rows if sought and sought in table.title.casefold()
    ]
    if len(near) == 1:
        return near[0]
    if near:
        raise Ambiguous("figure", text, [f"{table.key}.{row.name}" for table, row in near])
    names = {row.name.casefold(): row.name for _, row in rows}
    sharing = [name for name in names if any(word in name for word in sought.split())]
    alike = get_close_matches(sought[:LONGEST_SOUGHT], names, n=4, cutoff=0)
    nearest = list(dict.fromkeys([*sharing, *alike]))[:_NEAREST]
    offered = ", ".join(names[name] for name in nearest)
    raise NotFound("figure", text, if_none=f"Nearest: {offered}.")
