"""The shop's wood and its tools, as price list and settings are today: for designs and cutting."""

from ledger.book import Book
from ledger.costing.woods import shop_wood
from ledger.cutting.tools import Tools
from ledger.designs.wood import ShopWood
from ledger.stock.materials import materials


def wood_of(book: Book) -> ShopWood:
    """The shop's boards, kerf and usual joint: what the counts of a design rest on."""
    joint = book.settings.default_joint.replace("_", " ")
    return shop_wood(materials(book), book.settings.kerf, joint)


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
