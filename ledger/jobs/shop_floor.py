"""The shop's wood and its tools, as price list and settings are today: for designs and cutting."""

from typing import Any

from ledger.book import Book
from ledger.costing.woods import shop_wood
from ledger.cutting.tools import Tools
from ledger.designs.wood import ShopWood
from ledger.measures.length import Length
from ledger.stock.materials import materials


def wood_of(book: Book) -> ShopWood:
    """The shop's boards, kerf and usual joint: what the counts of a design rest on."""
    joint = book.settings.default_joint.replace("_", " ")
    return shop_wood(materials(book), book.settings.kerf, joint)


def shop_tools(book: Book) -> Tools:
    """Read what the shop's tools can do from its settings."""
    values: dict[str, Any] = {}
    for name in Tools.__struct_fields__:
        value = getattr(book.settings, name)
        values[name] = value.nm if isinstance(value, Length) else value
    return Tools(**values)
