"""The buying list on paper: a box for each line, packs, the price known, room for the one paid."""

from collections.abc import Sequence

from ledger.jobs.buying import BuyingLine, BuyingList, sum_of
from ledger.measures.spoken import how_many, large
from ledger.papers.blocks import Account, heading, moneys, notes, sentences, table
from ledger.papers.engine import Paper
from ledger.papers.words import BOX, Words, amount, day_words, row
from ledger.quotes.offer import Maker
from ledger.reports.buying_words import (
    buy_words,
    covered,
    name_words,
    need_words,
    tax_words,
    together_words,
    warnings,
)


def buying_paper(purchases: BuyingList, maker: Maker, units: str, size: str) -> Paper:
    """What to buy for one or more jobs, by supplier, to be taken along."""
    jobs = [f"{job.number} {job.title}" for job in purchases.jobs]
    not_won = [job.number for job in purchases.jobs if not job.is_won]
    day = day_words(purchases.as_of, purchases.currency, units)
    return Account(
        kind="Buying list",
        number=jobs[0].partition(" ")[0] if len(jobs) == 1 else "",
        title=purchases.jobs[0].title if len(jobs) == 1 else "What the jobs need",
        day=purchases.as_of,
        maker=maker,
        currency=purchases.currency,
        foot="what to buy, for the shop alone",
        above=f"{day} · what the jobs need, less what is there, in whole packs",
        below="; ".join(jobs) if len(jobs) > 1 else "",
        blocks=[
            *_suppliers(purchases),
            *sentences([*map(large, together_words(purchases)), _total(purchases)]),
            *notes([*(large(words) for words in warnings(purchases)), _doubt(not_won)]),
            *_covered(purchases),
        ],
    ).paper(size)


def _suppliers(purchases: BuyingList) -> list[Words]:
    several = len(purchases.jobs) > 1
    columns = ["|", "|Code", "What", *(["|for"] if several else [])]
    columns += [">need", ">buy", ">price", ">its age", ">amount", "_paid"]
    blocks: list[Words] = []
    for supplier, lines in purchases.by_supplier.items():
        rows = [_row(purchases, line, several=several) for line in lines]
        empty = [""] * (len(columns) - 4)
        summed = amount(purchases.currency, sum_of(lines))
        rows.append(row("", "Subtotal", *empty, summed, "", look="sum"))
        blocks.append(heading(supplier or "No supplier known"))
        blocks.append(table(columns, rows, is_tall=True))
    return blocks


def _row(purchases: BuyingList, line: BuyingLine, *, several: bool) -> Words:
    jobs = [", ".join(job for job, _ in line.jobs)] if several else []
    price = "–" if line.price is None else f"{line.price:f}"
    amounts = moneys(purchases.currency, line.amount)
    return row(BOX, line.material, name_words(line), *jobs, need_words(line), buy_words(line),
               price, _age(purchases, line), *amounts, "")  # fmt: skip


def _age(purchases: BuyingList, line: BuyingLine) -> str:
    if line.price_day is None:
        return "–"
    days = how_many((purchases.as_of - line.price_day).days, "day")
    return f"{days}{' *' if line.is_stale else ''}"


def _total(purchases: BuyingList) -> str:
    if not purchases.to_buy:
        return "Nothing is to be bought."
    show = amount(purchases.currency, purchases.total, sign=True)
    return f"To buy: {show}, {tax_words(purchases)}. Paid is what the receipt says."


def _doubt(not_won: Sequence[str]) -> str:
    return f"Not won yet: {', '.join(not_won)}." if not_won else ""


def _covered(purchases: BuyingList) -> list[Words]:
    rows = [row(*cells) for cells in covered(purchases)]
    columns = ("|Code", "What", "|unit", "covered by")
    return [heading("Covered already"), table(columns, rows)] if rows else []
