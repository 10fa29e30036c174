"""The shop's tools as its settings have them, for the cutting room."""

from ledger.book import Book
from ledger.cutting.tools import Tools


def shop_tools(book: Book) -> Tools:
    """Read what the shop's tools can do from its settings."""
    shop = book.settings
    return Tools(
        rip_capacity=shop.rip_capacity.nm,
        fence_edge=shop.fence_edge.nm,
        fence_ratio=shop.fence_ratio,
        fence_least=shop.fence_least.nm,
        push_below=shop.push_below.nm,
        crosscut_capacity=shop.crosscut_capacity.nm,
        miter_hold=shop.miter_hold.nm,
        clamp_hold=shop.clamp_hold.nm,
        rail_cut=shop.rail_cut.nm,
        rail_support=shop.rail_support.nm,
        carry_alone=shop.carry_alone,
        sled_capacity=shop.sled_capacity.nm,
    )
