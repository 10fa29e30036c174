"""What a distance driven is counted in: miles in an inch book, kilometers in a metric one."""

from msgspec import Struct

from ledger.errors import BadValue
from ledger.measures.spoken import quoted


class Driving(Struct, frozen=True):
    """The unit of a book: its name, the short word for many of it, and the setting of its rate."""

    one: str
    many: str
    rate: str
    spellings: tuple[str, ...]

    @property
    def title(self) -> str:
        """The unit as it heads a line: `Miles`, `Kilometers`."""
        return f"{self.one.capitalize()}s"


_BY_UNITS = {
    "inch": Driving("mile", "miles", "mile_rate", ("miles", "mile", "mi")),
    "mm": Driving(
        "kilometer", "km", "km_rate", ("km", "kilometers", "kilometer", "kilometres", "kilometre")
    ),
}


def driving(units: str) -> Driving:
    """Give the unit of a book of these units of length.

    >>> driving("inch").many, driving("mm").many
    ('miles', 'km')
    """
    return _BY_UNITS[units]


def is_distance(word: str, units: str) -> bool:
    """Whether a word means a distance driven; the other unit is refused.

    >>> is_distance("km", "mm"), is_distance("fee", "mm")
    (True, False)
    >>> is_distance("miles", "mm")
    Traceback (most recent call last):
    ledger.errors.BadValue: “miles”: this book counts km; write km.
    """
    unit = word.strip().casefold()
    own = driving(units)
    if unit in own.spellings:
        return True
    if any(unit in other.spellings for other in _BY_UNITS.values()):
        raise BadValue(f"{quoted(unit)}: this book counts {own.many}; write {own.many}.")
    return False
