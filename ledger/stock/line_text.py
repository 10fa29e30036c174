"""A line of a receipt written in one go: `shop rags 1 pack at 4.00 as supply to shop tax 0.33`.

The item comes first, then the quantity with or without its unit, and the price of one after `at`.
What follows may say in any order where it goes (`to`), what kind of goods it is (`as`), a discount
(`less`), and the tax on it or how it stands to tax (`tax 0.33`, `tax resale`).
"""

import re

from msgspec import Struct

from ledger.errors import BadValue
from ledger.measures.spoken import quoted

EXAMPLE = "shop rags 1 pack at 4.00 as supply to shop"

_NUMBER = r"(?:[0-9.,]+(?:[ -][0-9]+/[0-9]+)?|[0-9]+/[0-9]+|[0-9]*[½⅓⅔¼¾⅛⅜⅝⅞])"
_LINE = re.compile(
    rf"(?P<item>.+?),? (?P<quantity>{_NUMBER})(?: (?P<unit>[^0-9]+?))?,? (?:at|@) ?(?P<price>[^ ]+)"
    r"(?P<rest>(?: .*)?)",
    re.IGNORECASE,
)
_CLAUSE = re.compile(r",? (as|to|tax|less) ", re.IGNORECASE)


class LineText(Struct, frozen=True):
    """The pieces of a line, each as it is written; empty where nothing is said."""

    item: str
    quantity: str
    price: str
    unit: str = ""
    category: str = ""
    to: str = ""
    tax: str = ""
    discount: str = ""


def split_line(text: str) -> LineText:
    """Part a line into its pieces.

    >>> split_line("Birch ply 3/4 2 at 96.00 to bed")
    LineText(item='Birch ply 3/4', quantity='2', price='96.00', unit='', category='', to='bed', \
tax='', discount='')
    >>> split_line("wood screws 8 x 1-1/4 2 box at 6,40 as fastener less 1,00 tax resale").discount
    '1,00'
    >>> split_line("GLUE 2")
    Traceback (most recent call last):
    ledger.errors.BadValue: “GLUE 2” is not a line; write the item, how much of it, and the price \
of one after “at”: shop rags 1 pack at 4.00 as supply to shop
    """
    plain = " ".join(text.split())
    match = _LINE.fullmatch(plain)
    first, *clauses = _CLAUSE.split(match["rest"]) if match else ("?",)
    named = dict(zip(map(str.casefold, clauses[::2]), clauses[1::2], strict=True))
    if match is None or first.strip(" ,;") or len(named) * 2 < len(clauses):
        given = "; goods in kind are a receipt of their own: --in-kind METHOD"
        raise BadValue(
            f"{quoted(plain)} is not a line; write the item, how much of it, and the price of one"
            f" after “at”: {EXAMPLE}{given if 'in kind' in plain.casefold() else ''}"
        )
    return LineText(
        item=match["item"],
        quantity=match["quantity"],
        price=match["price"].rstrip(",;"),
        unit=match["unit"] or "",
        category=named.get("as", "").strip(" ,"),
        to=named.get("to", "").strip(" ,"),
        tax=named.get("tax", "").strip(" ,"),
        discount=named.get("less", "").strip(" ,"),
    )
