"""How a need is covered: by what the job was given, from stock, and what is left to buy.

Goods in kind cost no cash and stand under the name of who gave them; all others are the shop's own
and are paid for. Borrowed goods cover nothing, and a piece on the rack covers no whole sheet.
"""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from math import ceil

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.joint import Outgrown, shared_issues_to
from ledger.book.questions.stock import OnHand, still_out
from ledger.book.tables.materials import Material
from ledger.book.tables.stock import Lot
from ledger.measures.quantity import Quantity
from ledger.measures.units import kind
from ledger.stock.worth import value_on

NONE = Quantity(0)
OWN = ""
"""The giver of goods that the shop paid for."""

_TALLY_STEP = Quantity.of(Decimal("0.0005"))


class Goods(Struct, frozen=True):
    """So much of a material, and who gave it; the shop's own has no giver."""

    quantity: Quantity
    giver: str = OWN


type Pots = dict[str, list[Goods]]
"""Goods by material in the order in which they are drawn; covering a need takes them out."""


class Cover(Struct, frozen=True):
    """How one need is met: goods that the job has, goods in stock, and what is to be bought."""

    given: tuple[Goods, ...]
    from_stock: tuple[Goods, ...]
    to_buy: Quantity

    @property
    def in_kind(self) -> Quantity:
        """The quantity that was given to the shop and costs no cash."""
        return sum((g.quantity for g in (*self.given, *self.from_stock) if g.giver), NONE)

    @property
    def owned(self) -> Quantity:
        """What the shop has and has paid for, at the job already or in stock."""
        return sum((g.quantity for g in (*self.given, *self.from_stock) if not g.giver), NONE)


def goods_on_hand(book: Book) -> Pots:
    """What there is to draw from today, the oldest lots first: no loans, no pieces of the rack."""
    pots: Pots = {}
    for lot in value_on(book):
        if lot.material is not None and lot.source not in ("borrowed", "offcut"):
            pots.setdefault(lot.material, []).append(Goods(lot.quantity, _giver(lot)))
    return pots


def goods_given(
    book: Book, job: int, planned: Mapping[str, Quantity], outgrown: Outgrown = tuple
) -> Pots:
    """What a job was issued and did not bring back, the oldest issue first; scrap is not there.

    Sheets that it shares with other jobs stand there as what they are as good as in its own plan,
    those of a material `outgrown` as its share of them.
    """
    pots: Pots = {}
    issues, shared = shared_issues_to(book, job), dict[str, Quantity]()
    if issues:
        from ledger.stock.shared import as_own_plan  # few jobs share sheets

        shared = as_own_plan(book, job, planned, outgrown)
    of_own = {code.partition("/")[0] for code in shared}
    for out in reversed(still_out(book, job, book.today)):
        lot = book.row(Lot, out.lot)
        if lot is None or not lot.material or lot.source == "offcut":
            continue
        quantity = out.quantity
        if lot.material.partition("/")[0] in of_own and out.movement in issues:
            quantity = shared.pop(lot.material, NONE)
        pots.setdefault(lot.material, []).append(Goods(quantity, _giver(lot)))
    for code, quantity in shared.items():  # met by pieces of the rack, or by another size
        pots.setdefault(code, []).append(Goods(quantity))
    return pots


def _giver(lot: Lot | OnHand) -> str:
    is_free = bool(lot.full) and not lot.cash
    return (lot.sponsor or "in kind") if is_free else OWN


def cover(material: str, need: Quantity, given: Pots, stock: Pots) -> Cover:
    """Meet a need from what the job has, then from stock, and take that out of the pots."""
    has, left = _draw(given.get(material, []), need)
    taken, left = _draw(stock.get(material, []), left)
    return Cover(has, taken, left)


def still_short(need: Quantity, left: Quantity) -> Quantity:
    """What is lacking of a need; a tally's rounding beside what is there is no lack.

    Dealers round cubic meters to a thousandth (*common practice, no source*).

    >>> still_short(Quantity.of(Decimal("0.0211")), Quantity.of(Decimal("0.0001")))
    Quantity(millionths=0)
    >>> still_short(Quantity.of(Decimal("0.0211")), Quantity.of(Decimal("0.0005")))
    Quantity(millionths=500)
    >>> still_short(Quantity.of(Decimal("0.0004")), Quantity.of(Decimal("0.0004")))
    Quantity(millionths=400)
    """
    return NONE if left < need and left < _TALLY_STEP else left


def packs_of(material: Material, short: Quantity) -> int | None:
    """How many packs to buy; None for lumber by the board foot, which comes in whole boards."""
    by_measure = material.kind == "lumber" and kind(material.unit) != "count"
    if by_measure and material.pack == Quantity.of(1):
        return None
    return ceil(Fraction(short.millionths, material.pack.millionths))


def in_packs(met: Cover, material: Material) -> Cover:
    """How a need is met that is charged in whole packs: goods that save no pack cover nothing.

    Of 50, charged as a pack of 50 with 28 on hand, the pack is bought.
    """
    there = met.in_kind + met.owned
    short = still_short(there + met.to_buy, met.to_buy)
    packs = packs_of(material, short) if material.whole else None
    more = NONE if packs is None else min(material.pack * packs - short, there)
    if not more:
        return met
    from_stock, left = _less(met.from_stock, more)
    given, _ = _less(met.given, left)
    return Cover(given, from_stock, met.to_buy + more)


def _less(goods: tuple[Goods, ...], quantity: Quantity) -> tuple[tuple[Goods, ...], Quantity]:
    """Goods without so much of those drawn last, and what is left to be taken off."""
    kept: list[Goods] = []
    for one in reversed(goods):
        off = min(one.quantity, quantity)
        quantity = quantity - off
        if off < one.quantity:
            kept.insert(0, Goods(one.quantity - off, one.giver))
    return tuple(kept), quantity


def _draw(pot: list[Goods], need: Quantity) -> tuple[tuple[Goods, ...], Quantity]:
    """Take a need out of a pot; give back what was taken and what is still lacking."""
    taken, left = [], need
    for place, there in enumerate(pot):
        part = min(left, there.quantity)
        if part > NONE:
            taken.append(Goods(part, there.giver))
            pot[place] = Goods(there.quantity - part, there.giver)
            left = left - part
    return tuple(taken), left
