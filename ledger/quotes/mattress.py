"""The client's own mattress as measured: width, length, thickness, weight, and does it fit.

No standard gives mattress weights, sizes vary by half an inch and more, and the springs and the
tray are made for one mattress: a bed is not quoted on a guess.
"""

import re
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from ledger.errors import BadValue
from ledger.measures.length import Length, parse_length, parse_size, show_length
from ledger.measures.rounding import half_up, trimmed
from ledger.measures.spoken import quoted, read_number
from ledger.measures.units import convert, kind

AS_MEASURED = ", as measured"
"""What ends the words of a mattress, for nobody else's figures are taken."""

_HINT = "write width x length x thickness, weight: for example 60x80x10 in, 75 lb"
_SPOKEN = re.compile(
    r"(?P<sizes>[^,x×]+[x×][^,x×]+[x×][^,x×]+), *(?P<weight>[0-9.,/ -]*[0-9]) *(?P<unit>[a-z]+)",
    re.IGNORECASE,
)
_UNIT_AT_END = re.compile(r"(?P<unit>[a-z]+|['\"″])$", re.IGNORECASE)


class Mattress(Struct, frozen=True):
    """A mattress as the client measured it."""

    width: Length
    length: Length
    thickness: Length
    kilograms: Fraction

    def words(self, units: str) -> str:
        """The mattress as it stands on a quote."""
        sides = (self.width, self.length, self.thickness)
        sizes = " × ".join(show_length(side, units) for side in sides)
        unit = "lb" if units == "inch" else "kg"
        weight = trimmed(half_up(convert(self.kilograms, "kg", unit), 1))
        return f"{sizes} {'in' if units == 'inch' else 'mm'}, {weight:f} {unit}{AS_MEASURED}"


def parse_mattress(text: str, units: str) -> Mattress:
    """Read a measured mattress; the last size's unit counts for all three.

    >>> parse_mattress("60x80x10 in, 75 lb", "inch").words("inch")
    '60 × 80 × 10 in, 75 lb, as measured'
    >>> parse_mattress("60 x 80", "inch")
    Traceback (most recent call last):
    ledger.errors.BadValue: “60 x 80” is not a measured mattress; write width x length x \
thickness, weight: for example 60x80x10 in, 75 lb.
    """
    match = _SPOKEN.fullmatch(text.strip())
    weight = read_number(match["weight"].strip()) if match else None
    if match is None or not weight:
        raise BadValue(f"{quoted(text)} is not a measured mattress; {_HINT}.")
    if kind(match["unit"]) != "mass":
        raise BadValue(f"{quoted(match['unit'])} is not a weight; {_HINT}.")
    sizes = [size.strip() for size in re.split("[x×]", match["sizes"])]
    ending = _UNIT_AT_END.search(sizes[2])
    if ending:
        sizes = [s if _UNIT_AT_END.search(s) else f"{s} {ending['unit']}" for s in sizes]
    width, length, thickness = (parse_size(size, units) for size in sizes)
    return Mattress(width, length, thickness, convert(weight, match["unit"], "kg"))


def misfits(mattress: Mattress, parameters: Mapping[str, str], units: str) -> list[str]:
    """Where the measured mattress is larger or heavier than the piece was drawn for."""
    faults = []
    for name, side in (
        ("width", mattress.width),
        ("length", mattress.length),
        ("thickness", mattress.thickness),
    ):
        drawn = _length(parameters.get(f"mattress_{name}", ""), units)
        if drawn is not None and side > drawn:
            faults.append(
                f"The measured mattress has a {name} of {show_length(side, units, suffix=True)};"
                f" the piece is drawn for {show_length(drawn, units, suffix=True)}."
            )
    drawn_weight = _number(parameters.get("mattress_weight", ""))
    weight = convert(mattress.kilograms, "kg", "lb" if units == "inch" else "kg")
    if drawn_weight is not None and weight > drawn_weight:
        faults.append(
            "The measured mattress is heavier than the piece is drawn for; the mechanism's maker"
            " says which springs it needs."
        )
    return faults


def _length(text: str, units: str) -> Length | None:
    try:
        return parse_length(text, units)
    except BadValue:
        return None


def _number(text: str) -> Fraction | None:
    try:
        return Fraction(Decimal(text))
    except ArithmeticError:
        return None
