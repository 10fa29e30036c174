"""From what is written on a receipt to a line of it: codes found, packs turned to stock units.

The command line and the receipt file both read lines with this, so that a line means the same
wherever it is entered.

Where a line's goods go, as it is written: `J-2507`, `stock`, `J-2507: 12.00; stock: 6.00`.

Board-foot tallies: rough boards counted by their sizes, as the yard does it.
"""

import math
import re
from collections.abc import Callable, Sequence
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from ledger.book.tables.materials import Material
from ledger.errors import BadValue, NotFound
from ledger.measures.length import Length, parse_size
from ledger.measures.money import Currency, Money
from ledger.measures.quantity import Quantity, parse_quantity, show_quantity
from ledger.measures.rounding import half_up
from ledger.measures.spoken import how_many
from ledger.measures.units import SQUARE_METER, board_feet, convert, kind
from ledger.measures.values import replace
from ledger.stock.documents import CATEGORIES, DocumentLine, Share

type FindJob = Callable[[str], int]
"""Gives the number of the job's row for its number or a part of its name."""


def read_shares(
    text: str, quantity: Quantity, net: Decimal, find_job: FindJob, decimal_mark: str = ""
) -> tuple[Share, ...]:
    """Read where a line goes; nothing written means stock.

    Several places are told apart by `;`, each with its part after a colon. The parts are read as
    quantities where they add up to the line's quantity, as amounts where they add up to its net.

    Raises:
        BadValue: the parts add up to neither, or a part is missing.
    """
    pieces = [piece.strip() for piece in text.split(";") if piece.strip()] or ["stock"]
    if len(pieces) == 1 and ":" not in pieces[0]:
        return (_share(pieces[0], quantity, find_job),)
    parts = [_part(piece, decimal_mark) for piece in pieces]
    weights = [weight for _, weight in parts]
    if sum(weights) not in (quantity.fraction, Fraction(net)):
        raise BadValue(
            f"“{text}” adds up to {_plain(sum(weights, Fraction(0)))}; the parts should add up to"
            f" the quantity {_plain(quantity.fraction)} or to the amount {net}."
        )
    return tuple(
        _share(name, piece, find_job)
        for (name, _), piece in zip(parts, _divide(quantity, weights), strict=True)
    )


def _part(piece: str, decimal_mark: str) -> tuple[str, Fraction]:
    name, mark, part = piece.rpartition(":")
    if not mark or not name.strip():
        raise BadValue(f"“{piece}” should say its part, for example J-2507: 12.00")
    weight = parse_quantity(part, decimal_mark).fraction
    if not weight:
        raise BadValue(f"“{piece}” has a part of 0; leave that place out.")
    return name.strip(), weight


def _share(name: str, quantity: Quantity, find_job: FindJob) -> Share:
    place = name.casefold()
    if place in ("stock", "shop"):
        return Share(place, quantity)
    return Share("job", quantity, find_job(name))


def _divide(quantity: Quantity, weights: Sequence[Fraction]) -> list[Quantity]:
    """Divide in proportion; the last place takes what rounding leaves."""
    whole = sum(weights)
    pieces = [Quantity.of(quantity.fraction * weight / whole) for weight in weights[:-1]]
    return [*pieces, quantity - sum(pieces, Quantity(0))]


def _plain(value: Fraction) -> str:
    return f"{Quantity.of(value).decimal:f}"


ONE = Quantity(1_000_000)


class PurchaseNames(Struct, frozen=True):
    """How a line's names are found, and the currency its prices are rounded in."""

    material: Callable[[str], Material]
    job: FindJob
    currency: Currency


def line_of(
    written: DocumentLine, names: PurchaseNames, *, goes_to: str = "", net: Money | None = None
) -> DocumentLine:
    """Turn a line as it was written into a line of a document: its code, stock units and net.

    `written` has quantity, unit and price as they stand on the paper; `net` is the amount, where
    one is written, and `goes_to` says where the goods go.

    Raises:
        LedgerError: an unknown name, a unit that cannot be stock, a price that does not multiply.
    """
    currency = names.currency
    if written.credit_of and not written.quantity and written.unit_price is not None:
        # a credit without goods: the price that is written is what comes back
        net = currency.money(Fraction(written.unit_price)) if net is None else net
        written = replace(written, unit_price=None)
    net = _net(written, net, currency)
    material = names.material(written.material) if written.material else None
    if material is None:
        quantity, unit, category = written.quantity, written.unit or "each", _category(written)
    else:
        quantity = stock_quantity(material, written.quantity, written.unit)
        unit, category = material.unit, _known(written.category or material.kind)
    is_placed = bool(goes_to) or not (category == "freight" or written.credit_of)
    decimal, mark = currency.decimal(net), currency.decimal_mark
    return replace(
        written,
        words=written.words or (material.name if material else category),
        category=category,
        quantity=quantity,
        unit=unit,
        net=net,
        material=material.code if material else None,
        bought=written.quantity,
        bought_unit=written.unit or unit,
        shares=read_shares(goes_to, quantity, decimal, names.job, mark) if is_placed else (),
    )


def stock_quantity(material: Material, quantity: Quantity, unit: str) -> Quantity:
    """A bought quantity in the stock unit: the same unit, a measure of its kind, or whole packs.

    The area of sheets of a known size is so many sheets.

    Raises:
        BadValue: the unit is neither, the material has no pack size, or sheets do not come whole.
    """
    if not unit or unit == material.unit:
        return quantity
    if kind(unit) == "area" and material.unit == "sheet" and material.length and material.width:
        area = material.length.meters * material.width.meters
        return _sheets_of(quantity, unit, convert(area, SQUARE_METER, unit), material.code)
    if kind(unit) != "count":
        return Quantity.of(convert(quantity.fraction, unit, material.unit))
    if material.pack == ONE:
        raise BadValue(
            f"{material.code} is stocked by the {material.unit} and has no pack size; write the"
            f" quantity in {material.unit}, or load its pack size with the price list."
        )
    return Quantity.of(quantity.fraction * material.pack.fraction)


def _sheets_of(area: Quantity, unit: str, one: Fraction, code: str) -> Quantity:
    """How many sheets an area is, where one has the area `one` in the same unit."""
    sheets = area.fraction / one
    if sheets.denominator == 1:
        return Quantity.of(sheets)
    more = math.ceil(sheets)
    are = "is" if more == 1 else "are"
    next_whole = f"{how_many(more, 'sheet')} {are} {_shown(more * one)}"
    over = area.fraction - (more - 1) * one
    raise BadValue(
        f"{_shown(area.fraction)} {unit} of {code} are {how_many(more - 1, 'sheet')} and"
        f" {_shown(over)} {unit} over; {next_whole} {unit}."
        f" Write that area, or how many sheets came (one is {_shown(one)} {unit})."
    )


def _shown(number: Fraction) -> str:
    """An area to four places: three after a point could be read as thousands when typed again."""
    return f"{half_up(number, 4):f}"


def _net(written: DocumentLine, net: Money | None, currency: Currency) -> Money:
    """What the line comes to, checked against quantity × price where all three are written."""
    if written.unit_price is None:
        if net is None:
            raise BadValue("The line has neither a unit price nor an amount; write one of them.")
        return net
    exact = written.quantity.fraction * Fraction(written.unit_price)
    worked = currency.money(exact) - written.discount
    if worked.minor < 0:
        raise BadValue("The discount is more than the line comes to.")
    if net is not None and net != worked:
        less = f" less {currency.show(written.discount)}" if written.discount else ""
        raise BadValue(
            f"{show_quantity(written.quantity)} at {written.unit_price}{less} come to"
            f" {currency.show(worked)}, not {currency.show(net)}."
        )
    return worked


def _category(written: DocumentLine) -> str:
    if not written.category:
        raise BadValue(
            "Goods without a material's code need a category, such as supply, hardware or freight."
        )
    category = _known(written.category)
    if not written.words and category != "freight":
        raise BadValue("Goods without a material's code need words that say what they are.")
    return category


def _known(category: str) -> str:
    if category in CATEGORIES:
        return category
    raise NotFound("category", category, CATEGORIES, are_all=True)


_BOARD = re.compile(r"(?:(?P<count>\d+)\s*@)?\s*(?P<sizes>[^@]+)")
_QUARTERS = re.compile(r"(\d+)/4")
ONE_INCH = Length.of(1, "in")


def read_tally(text: str, units: str) -> Quantity:
    """Read a tally such as `4/4 x 4-1/2 x 96; 2 @ 8/4 x 6 x 72` in board feet.

    Sizes are rough; stock under 4/4 counts as one inch. The boards are added up exactly and rounded
    once; what the yard rounds a tally to is its own, and stands on its document.

    >>> read_tally("4/4 x 4-1/2 x 96", "inch"), read_tally("2 @ 3/4 in x 6 in x 8 ft", "mm")
    (Quantity(millionths=3000000), Quantity(millionths=8000000))
    >>> read_tally("4/4 x 6", "inch")
    Traceback (most recent call last):
    ledger.errors.BadValue: “4/4 x 6” is not a board; write thickness x width x length, such as \
4/4 x 4-1/2 x 96.
    """
    boards = [piece.strip() for piece in text.split(";") if piece.strip()]
    return Quantity.of(sum((_feet(board, units) for board in boards), Fraction(0)))


def _feet(text: str, units: str) -> Fraction:
    match = _BOARD.fullmatch(text)
    sizes = [size.strip() for size in re.split("[x×]", match["sizes"])] if match else []
    if match is None or len(sizes) != 3:
        raise BadValue(
            f"“{text}” is not a board; write thickness x width x length, such as 4/4 x 4-1/2 x 96."
        )
    quarters = _QUARTERS.fullmatch(sizes[0])
    rough = (
        Length.of(Fraction(int(quarters[1]), 4), "in") if quarters else parse_size(sizes[0], units)
    )
    width, length = (parse_size(size, units) for size in sizes[1:])
    return int(match["count"] or 1) * board_feet(max(rough, ONE_INCH), width, length)
