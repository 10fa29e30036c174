"""A commission next to a kit, on a page with a picture: for the client, or for who builds it.

The client's page holds what the client pays and nothing of what the shop spends; the builder's page
holds what somebody without a sponsor pays for the material and how long the work takes, and nothing
of the commission: neither its title, often the client's name, nor what was made for this client.
"""

from collections.abc import Sequence

from ledger.measures.money import Money, total
from ledger.measures.rounding import half_up
from ledger.measures.spoken import how_many, large
from ledger.measures.values import replace
from ledger.papers.blocks import (
    Account,
    heading,
    moneys,
    notes,
    picture,
    sentences,
    table,
)
from ledger.papers.charts import BarRow, bars_svg
from ledger.papers.engine import Paper
from ledger.papers.words import Words, amount, day_words, row
from ledger.quotes.kit import Way, cash_ratio
from ledger.quotes.kits import Comparison
from ledger.quotes.offer import Maker

_CHART = "ways.svg"


def kit_paper_for_client(comparison: Comparison, maker: Maker, size: str) -> Paper:
    """The client's page: the commission beside the kit, by what a year of it costs."""
    commission = comparison.commission
    ways = (comparison.bought, commission.way)
    ratio = half_up(cash_ratio(commission.way, comparison.bought), 2)
    difference = commission.break_even.words.removeprefix("no break-even: ")
    with_labor = comparison.bought.with_labor(comparison.wage)
    sentences = (
        f"The commission takes {ratio} times the kit's cash: {difference}. With your own work at"
        f" {_shown(comparison, comparison.wage)} an hour the kit comes to"
        f" {_shown(comparison, with_labor)}."
    )
    bars = [(way.name, way.a_year) for way in ways if way.a_year is not None]
    title = f"{comparison.title}, or a kit?"
    return _paper(
        comparison, maker, size, title, ways, [sentences], "Cost of a year of expected life", bars
    )


def kit_paper_for_builder(comparison: Comparison, maker: Maker, size: str) -> Paper:
    """The plan buyer's page: building it oneself beside the kit, cash and own work together."""
    comparison = replace(comparison, title=comparison.piece, buys=())
    built = comparison.built
    ways = (comparison.bought, *(choice.way for choice in built))
    used, packs, wage = (
        _shown(comparison, money)
        for money in (comparison.material, comparison.material_in_packs, comparison.wage)
    )
    sentences = [f"{choice.way.name}: {choice.break_even.words}." for choice in built]
    sentences.append(
        f"Material with tax and the plan: {used} by the quantities used, {packs} in the whole packs"
        f" that are sold. Your work counts at {wage} an hour. Tools you may need to buy, and"
        " mistakes, are not in it."
    )
    bars = [(way.name, way.with_labor(comparison.wage)) for way in ways]
    title = f"{comparison.title}: build it, or buy a kit?"
    return _paper(comparison, maker, size, title, ways, sentences, "Cash and your own work", bars)


def _paper(
    comparison: Comparison,
    maker: Maker,
    size: str,
    title: str,
    ways: Sequence[Way],
    remarks: Sequence[str],
    caption: str,
    bars: Sequence[tuple[str, Money]],
) -> Paper:
    day = day_words(comparison.day, comparison.currency, comparison.units)
    drawn = [BarRow(name, money.minor, _shown(comparison, money)) for name, money in bars]
    shown: list[Words] = (
        [heading(caption), picture(_CHART, f"{caption}: {_in_words(drawn)}")] if drawn else []
    )
    return Account(
        kind="Kit",
        number=comparison.kit.number,
        title=title,
        day=comparison.day,
        maker=maker,
        currency=comparison.currency,
        foot=comparison.title,
        above=f"{day} · amounts in {comparison.currency.code}",
        blocks=[
            *_landed(comparison), *_ways(comparison, ways), *sentences(remarks), *shown,
            *_about(comparison),
        ],
        drawings={_CHART: bars_svg(drawn)} if drawn else {},
    ).paper(size)  # fmt: skip


def _landed(comparison: Comparison) -> list[Words]:
    """What the kit comes to, with what it needs to do the same."""
    currency, seen = comparison.currency, comparison.kit.seen
    day = day_words(seen, currency, comparison.units)
    rows = [row(large(line.words), *moneys(currency, line.amount)) for line in comparison.lines]
    landed = total(line.amount for line in comparison.lines)
    rows.append(row("Landed, doing the same", *moneys(currency, landed), look="sum"))
    columns = (f"The kit, price seen on {day}", f">{currency.code}")
    return [table(columns, rows)]


def _ways(comparison: Comparison, ways: Sequence[Way]) -> list[Words]:
    """The ways side by side, and how long each is guessed to last."""
    rows = [
        row(way.name, f"{way.hours.normalize():f}",
            *moneys(comparison.currency, way.cash, way.with_labor(comparison.wage), way.a_year))
        for way in ways
    ]  # fmt: skip
    lives = [f"{way.name}: {how_many(way.years, 'year')}" for way in ways if way.years]
    return [
        heading("The ways beside each other"),
        table(("Way", ">your hours", ">cash", ">with your own work", ">a year of life"), rows),
        *sentences([f"Expected life, a guess: {'; '.join(dict.fromkeys(lives))}."]),
    ]


def _about(comparison: Comparison) -> list[Words]:
    """What is known of the kit, and what the difference buys: words, never money."""
    kit = comparison.kit
    lines = [
        f"{kit.assembly.normalize():f} person-hours to assemble",
        f"warranty: {kit.warranty or 'not said'}",
        f"help with lifting: {kit.lift_help or 'not said'}",
        kit.note,
        f"source: {kit.source}" if kit.source else "",
    ]
    buys = notes(comparison.buys)
    return [
        heading("The kit says of itself"), *notes(lines),
        *([heading("What the difference buys"), *buys] if buys else []),
    ]  # fmt: skip


def _in_words(bars: Sequence[BarRow]) -> str:
    return "; ".join(f"{bar.name} {bar.words}" for bar in bars)


def _shown(comparison: Comparison, money: Money) -> str:
    return amount(comparison.currency, money, sign=True)
