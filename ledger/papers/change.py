"""A change order on paper, to be signed before its work begins."""

from ledger.measures.money import Money
from ledger.measures.spoken import how_many
from ledger.papers.engine import Paper
from ledger.papers.quote import maker_lines, reader_lines
from ledger.papers.words import Words, amount, day_words, footer, row
from ledger.quotes.change_page import ChangePage
from ledger.quotes.text import Reader

ACCEPTED = "Accepted: this change with its price and its days. All else stays as agreed{in_quote}."


def change_paper(page: ChangePage, client: Reader, size: str) -> Paper:
    """A change order as its client signs it."""
    name = f"Change order {page.number}"
    in_quote = f" in {page.quote}" if page.quote else ""
    dated = [("Date", _day(page))]
    dated += [("Belongs to", page.quote)] if page.quote else []
    dated += [("Asked for by", page.asked_by)] if page.asked_by else []
    return Paper(
        template="change",
        title=f"{name}: {page.title}",
        author=page.maker.name,
        day=page.day,
        size=size,
        footer=footer(change_name(page), page.title, page.maker.name),
        texts={
            "shop": page.maker.name,
            "ways": maker_lines(page.maker),
            "number": page.number,
            "client": reader_lines(client),
            "dated": dated,
            "title": page.title,
            "words": page.words,
            "prices": _prices(page),
            "time": _time(page),
            "clause": page.clause,
            "acceptance": ACCEPTED.format(in_quote=in_quote),
        },
    )


def change_name(page: ChangePage) -> str:
    """Its number and the quote that it changes, where there is one."""
    return f"{page.number} to {page.quote}" if page.quote else page.number


def _day(page: ChangePage) -> str:
    return day_words(page.day, page.currency, page.units)


def _prices(page: ChangePage) -> dict[str, Words]:
    """What was agreed until now, what this adds or takes off, and the new whole."""
    taxed = bool(page.tax or page.agreed_tax)
    price, tax = page.agreed_price + page.price, page.agreed_tax + page.tax
    words = f"{page.number}, {page.tax_words}" if page.tax_words else page.number
    rows = [
        _row(page, "Agreed until now", page.agreed_price, page.agreed_tax, taxed=taxed),
        _row(page, words, page.price, page.tax, taxed=taxed),
        _row(page, "Agreed with this change", price, tax, taxed=taxed, look="total"),
    ]
    code = page.currency.code
    heads = ["", "price", "tax", code] if taxed else ["", code]
    return {"heads": heads, "rows": rows}


def _row(
    page: ChangePage, words: str, price: Money, tax: Money, *, taxed: bool, look: str = ""
) -> Words:
    parts = (price, tax) if taxed else ()
    shown = [amount(page.currency, part) for part in parts]
    return row(words, *shown, amount(page.currency, price + tax, sign=look == "total"), look=look)


def _time(page: ChangePage) -> str:
    """The days that it adds, those of changes before it, and about when the piece comes now."""
    sentences = [f"This change {_days(page, page.days, 'adds', 'takes')}."]
    if page.days_before:
        before = _days(page, page.days_before, "added", "took")
        sentences.append(f"Changes agreed before it {before}.")
    if page.ready is not None:
        ready = day_words(page.ready, page.currency, page.units)
        sentences.append(f"The piece is ready about {ready}.")
    return " ".join(sentences)


def _days(page: ChangePage, days: int, adds: str, takes: str) -> str:
    """Days added or taken off; a page of the first schema “adds -3 days”, as it was sent."""
    if days < 0 and page.takes_days_off:
        return f"{takes} {how_many(-days, 'day')} off"
    return f"{adds} {how_many(days, 'day') if days else 'no days'}"
