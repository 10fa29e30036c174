"""What a buying list says in words: packs, what is covered already, and what to mind."""

from collections.abc import Iterator

from ledger.jobs.buying import BuyingLine, BuyingList
from ledger.measures.quantity import Quantity, show_quantity
from ledger.measures.units import SHEET, as_bought, show_bought, show_count


def name_words(line: BuyingLine) -> str:
    """What a material is called; of sheets that another list has too, that they are bought once."""
    if not line.shared_with:
        return line.name
    return f"{line.name} (shared with {' and '.join(line.shared_with)}, buy once)"


def need_words(line: BuyingLine) -> str:
    """How much the jobs need of a material, in the measure it is bought in."""
    return show_quantity(as_bought(line.need, line.unit))


def buy_words(line: BuyingLine) -> str:
    """How much to buy: packs of so much where it comes in packs."""
    if line.packs is not None and line.pack != Quantity.of(1):
        return f"{line.packs} × {show_count(line.pack, line.unit)}"
    return show_bought(line.buy, line.unit)


def covered(purchases: BuyingList) -> Iterator[tuple[str, str, str, str]]:
    """What need not be bought, or not in full: code, name, unit, and what covers it."""
    for line in purchases.lines:
        if _covers(line):
            yield line.material, line.name, line.unit, _cover_words(line)
    for used in purchases.offcuts:
        yield used.material, "offcut on the rack", "lot", f"{used.lot} for {used.job}"


def together_words(purchases: BuyingList) -> Iterator[str]:
    """A sentence for each group of jobs that share sheets: their one need beside those alone."""
    units = {line.material: line.unit for line in purchases.lines}
    here = {job.number for job in purchases.jobs}
    for group in purchases.shared.groups:
        sheets = show_count(Quantity.of(group.sheets), units.get(group.material, SHEET))
        there = " and ".join(group.others(here))
        once = f": it is on the list of {there} too, so buy it once" if there else ""
        yield f"{group.words(sheets)}, one need for all of them{once}."


def tax_words(purchases: BuyingList) -> str:
    """Whether tax is in the sum, and about how much."""
    if not purchases.tax_inside:
        return "before freight and tax"
    return f"before freight; about {purchases.currency.show(purchases.tax_inside)} of it is tax"


def warnings(purchases: BuyingList) -> Iterator[str]:
    """What to mind before buying: tax to be paid, old prices, and what has no price."""
    yield from purchases.shared.broken
    yield from purchases.promised
    built_in = [job.number for job in purchases.jobs if job.is_improvement]
    if built_in:
        yield (
            f"Buy for {', '.join(built_in)} with tax paid, without a resale certificate: an"
            f" improvement of real property. {_improvement_tax(purchases)}"
        )
    if purchases.others:
        show = purchases.currency.show
        named = [
            f"{name} {show(price)}{f', {days} days' if days else ''}"
            for name, price, days in purchases.others
        ]
        yield f"work of others to be given out, not in the sum: {'; '.join(named)}."
    old = [line.price_day for line in purchases.to_buy if line.is_stale and line.price_day]
    if old:
        yield (
            f"* a price older than {purchases.stale_days} days (the oldest of {min(old)}):"
            " ask again before you order."
        )
    unknown = [line.material for line in purchases.to_buy if line.price is None]
    if unknown:
        yield f"no price, not in the sum: {', '.join(unknown)}."


def _covers(line: BuyingLine) -> list[tuple[str, Quantity]]:
    parts = [("given to the job", line.given), ("from stock", line.from_stock)]
    parts += [(f"from {name}", quantity) for name, quantity in line.from_sponsors]
    return [(words, quantity) for words, quantity in parts if quantity]


def _cover_words(line: BuyingLine) -> str:
    words = ", ".join(
        f"{show_quantity(as_bought(quantity, line.unit))} {source}"
        for source, quantity in _covers(line)
    )
    return f"{words}: {'all' if not line.short else f'of {need_words(line)}'}"


def _improvement_tax(purchases: BuyingList) -> str:
    if purchases.tax_inside and not purchases.tax:
        return "The tax is in the prices above."
    return f"About {purchases.currency.show(purchases.tax)} of tax on top."
