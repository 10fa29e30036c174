"""What covers a line of a price: its value, and the words that say so. Pure."""

from ledger.book.tables.materials import Material
from ledger.measures.money import Money, split
from ledger.measures.quantity import show_quantity
from ledger.measures.units import show_count
from ledger.stock.cover import Cover


def value_covered(full: Money, met: Cover) -> tuple[Money, Money]:
    """What of a line's value goods in kind cover, and what the shop's own; the rest is bought."""
    weights = [part.millionths for part in (met.in_kind, met.owned, met.to_buy)]
    in_kind, owned, _ = split(full, weights) if full else (full, full, full)
    return in_kind, owned


def cover_words(met: Cover, there: Cover, material: Material) -> list[str]:
    """What of a line is there already; nothing where all of it is to be bought.

    `there` is what is on hand of it, also what saves no whole pack.
    """
    unit = material.unit
    named = [
        f"{show_count(quantity, unit)} {words}"
        for quantity, words in (
            (met.in_kind, "in kind"),
            (met.owned, "owned already, at the price above"),
        )
        if quantity
    ]
    lines = [f"{', '.join(named)}, {show_count(met.to_buy, unit)} to buy"] if named else []
    if met.to_buy > there.to_buy:
        lines.append(
            f"{show_count(there.in_kind + there.owned, unit)} on hand,"
            f" {show_count(there.to_buy, unit)} short: bought in whole packs of"
            f" {show_quantity(material.pack)}, {show_count(met.to_buy, unit)}"
        )
    return lines
