"""Where a line's goods go, as it is written: `J-2507`, `stock`, `J-2507: 12.00; stock: 6.00`."""

from collections.abc import Callable, Sequence
from decimal import Decimal
from fractions import Fraction

from ledger.errors import BadValue
from ledger.measures.quantity import Quantity, parse_quantity
from ledger.stock.documents import Share

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
