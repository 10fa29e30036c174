"""What a setting is: its kind, how its text is read and kept, and what it may be.

A setting is stored as canonical text with its unit written out, so that it reads the same whatever
the book's default unit is. Each kind has one reader, the one its measure has.
"""

import re
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

from msgspec import Struct

from ledger.errors import BadValue
from ledger.measures.bank import parse_bic, parse_iban
from ledger.measures.custom import COMMA, DAY_FIRST, ISO_ONLY, MONTH_FIRST, POINT
from ledger.measures.days_off import parse_days_off
from ledger.measures.driving import driving
from ledger.measures.length import Length, parse_allowance, show_length
from ledger.measures.money import Currency, Money
from ledger.measures.quantity import parse_quantity, show_quantity
from ledger.measures.share import parse_share, show_share
from ledger.measures.spoken import spell_mixed
from ledger.measures.values import replace
from ledger.measures.weight import parse_weight, show_grams
from ledger.measures.zone import Zone

type Units = tuple[Currency, str]

_MOST_SHIFT = 10_000_000


class Setting(Struct, frozen=True):
    """One setting: its kind, default text and a line for `shop show`."""

    name: str
    kind: str
    default: str
    words: str
    choices: tuple[str, ...] = ()
    only: str = ""
    """The unit of length (inch or mm) of the books that have it, for a rate of a distance."""

    def read(self, text: str, units: Units) -> Any:
        """The value of a text that was kept; None where a setting without default is empty.

        Raises:
            ValueError: the text is none that was ever kept; the book is damaged.

        """
        if not text:
            return "" if self.kind in _WRITTEN else None
        try:
            return self.parse(text, (replace(units[0], decimal_mark=POINT), units[1]))
        except BadValue as wrong:
            if self.kind == "zone":  # this computer may lack a time zone that another has
                raise
            raise ValueError(f"setting {self.name}: {wrong}") from wrong

    def parse(self, text: str, units: Units) -> Any:
        """The value of a text as it is typed.

        Raises:
            BadValue: the text is not of the setting's kind.

        """
        return _KINDS[self.kind](text, units)

    def keep(self, text: str, units: Units) -> str:
        """The canonical text to store.

        Raises:
            BadValue: the text is not of the setting's kind.

        """
        text = text.strip()
        if not text and not self.default:
            return ""
        if self.only not in ("", units[1]):
            own = driving(units[1])
            raise BadValue(f"{self.name}: this book counts {own.many}; write {own.rate}.")
        if self.kind == "choice" and text not in self.choices:
            raise BadValue(f"{self.name} is one of: {', '.join(self.choices)}; not “{text}”.")
        try:
            value = self.parse(text, units)
        except BadValue as wrong:
            raise BadValue(f"{self.name}: {wrong}") from wrong
        least, most = _BOUNDS.get(self.name, (None, None))
        if least is not None and (value < least or (most is not None and value > most)):
            low = _text(self.kind, least, units)
            wanted = f"{low} to {_text(self.kind, most, units)}" if most else f"at least {low}"
            raise BadValue(f"{self.name} is {wanted}; not “{text}”.")
        return _text(self.kind, value, units)


def _text(kind: str, value: Any, units: Units) -> str:
    """The value written down so that it reads back the same."""
    write = _TEXTS.get(kind)
    return write(value, units) if write else str(value)


def _share_text(share: Fraction, _units: Units) -> str:
    """A share that reads back the same: in percent, with all its decimals or as a fraction."""
    shown = show_share(share)
    return shown if parse_share(shown) == share else f"{spell_mixed(share * 100)} %"


def _length_text(value: Length, units: Units) -> str:
    """A length that reads back the same: what a tape shows in inches, the rest in millimeters.

    Nothing is on both tapes, and is told by that of the book.
    """
    on_tape = (value.inches * 32).denominator == 1 and (value.nm != 0 or units[1] == "inch")
    return show_length(value, "inch", suffix=True) if on_tape else f"{value.mm:f} mm"


def _parse_whole(text: str, _units: Units) -> int:
    if not text.isascii() or not text.isdigit() or len(text) > 9:
        raise BadValue(f"“{text}” is not a whole number; write for example 30.")
    return int(text)


def _parse_day(text: str, _units: Units) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise BadValue(f"“{text}” is not a day; write for example 2025-05-06.") from None


def _parse_month_day(text: str, _units: Units) -> str:
    """A month and day that every year has."""
    try:
        return date.fromisoformat(f"2025-{text}").strftime("%m-%d")
    except ValueError:
        raise BadValue(f"“{text}” is not a month and a day; write for example 04-15.") from None


def _parse_flag(text: str, _units: Units) -> bool:
    if text.casefold() not in {"yes", "no", "true", "false"}:
        raise BadValue(f"“{text}” is neither yes nor no.")
    return text.casefold() in {"yes", "true"}


COVER = ("typical", "8 in 10", "19 in 20")
"""How many of such jobs a price can be made to cover; typical is half of them."""


def _parse_contingency(text: str, _units: Units) -> str:
    """A share, or how many jobs the price is to cover; kept as text, for they work differently.

    What older books have as `range` was the way to the 80 % point: it reads as 8 in 10.
    """
    words = " ".join(text.casefold().split())
    if words == "range":
        return "8 in 10"
    if words in COVER:
        return words
    try:
        return _share_text(parse_share(text), _units)
    except BadValue as wrong:
        raise BadValue(f"{wrong} Or say how many jobs to cover: {', '.join(COVER)}.") from wrong


def _parse_parts(text: str, _units: Units) -> tuple[Fraction, ...]:
    """Shares such as 50/40/10 that make up 100."""
    parts = [parse_share(f"{part.strip()} %") for part in text.split("/")]
    if sum(parts) != 1:
        raise BadValue(f"“{text}” does not add up to 100; write for example 50/40/10.")
    return tuple(parts)


def _parse_shift(text: str, units: Units) -> tuple[int, int]:
    """How far to the right and down, in nanometers; with a minus to the left and up."""
    parts = [part.strip() for part in re.split(r"[,;]\s+", text)]
    if len(parts) != 2:
        raise BadValue(f"“{text}” is not a shift; write right and down, as “0.5 mm, -1 mm”.")
    right, down = (
        parse_allowance(part.lstrip("-− "), units[1]).nm * (-1 if part[0] in "-−" else 1)
        for part in parts
    )
    if max(abs(right), abs(down)) > _MOST_SHIFT:
        raise BadValue(f"“{text}” is more than 10 mm; labels are only put right by it.")
    return right, down


def _shift_text(value: tuple[int, int], _units: Units) -> str:
    return ", ".join(f"{'-' if nm < 0 else ''}{Length(abs(nm)).mm:f} mm" for nm in value)


def _parse_folder(text: str, _units: Units) -> str:
    """A folder's whole path: commands run in many folders, and each must find the same one."""
    if not Path(text).is_absolute():
        raise BadValue(f"“{text}” is not a whole path; write for example /media/stick/copies.")
    return text


def _parse_zone(text: str, _units: Units) -> str:
    Zone(text).check()
    return text


def _parse_price(text: str, units: Units) -> Decimal:
    return units[0].parse_price(text)


_WRITTEN = ("text", "folder", "iban", "bic", "zone")
"""Kinds whose value is a text, empty where nothing is set."""

_KINDS: dict[str, Callable[[str, Units], Any]] = {
    "text": lambda text, _: text,
    "choice": lambda text, _: text,
    "money": lambda text, units: units[0].parse(text),
    "price": _parse_price,
    "length": lambda text, units: parse_allowance(text, units[1]),
    "share": lambda text, _: parse_share(text),
    "quantity": lambda text, units: parse_quantity(text, units[0].decimal_mark),
    "weight": lambda text, units: parse_weight(text, units[1]),
    "whole": _parse_whole,
    "zone": _parse_zone,
    "day": _parse_day,
    "month_day": _parse_month_day,
    "days_off": lambda text, _: parse_days_off(text),
    "flag": _parse_flag,
    "iban": lambda text, _: parse_iban(text),
    "bic": lambda text, _: parse_bic(text),
    "parts": _parse_parts,
    "contingency": _parse_contingency,
    "folder": _parse_folder,
    "shift": _parse_shift,
}

_TEXTS: dict[str, Callable[[Any, Units], str]] = {
    "money": lambda value, units: str(units[0].decimal(value)),
    "price": lambda value, _: f"{value:f}",
    "length": _length_text,
    "weight": lambda value, _: show_grams(value),
    "share": _share_text,
    "quantity": lambda value, _: show_quantity(value),
    "flag": lambda value, _: "yes" if value else "no",
    "shift": _shift_text,
    "parts": lambda value, _: "/".join(_share_text(part, _).removesuffix(" %") for part in value),
}
"""How a value is written down; other kinds are their own text."""

ONLY = {driving(units).rate: units for units in ("inch", "mm")}

CHOICES = {
    "decimal_mark": (POINT, COMMA),
    "decimal": (POINT, COMMA),
    "paper": ("letter", "A4"),
    "dates": (MONTH_FIRST, DAY_FIRST, ISO_ONLY),
    "estimate": ("standards", "history"),
    "tax_standing": ("sales_tax", "vat", "exempt"),
    "tax_basis": ("document", "line"),
    "list_prices": ("before_tax", "with_tax"),
    "default_joint": ("tenon", "loose_tenon", "joiner_tenon", "dowel", "pocket"),
}

_BOUNDS: dict[str, tuple[Any, Any]] = {
    # what is divided by, or would make a price nonsense
    "hours_year": (1, 8784),
    "keep_years": (1, 100),
    "billable": (Fraction(1, 100), Fraction(1)),
    "price_step": (Money(1), None),
    "daily_copies": (0, 365),
    "invoice_days": (0, 365),
    **dict.fromkeys(("overhead_year", "pay_year", "selling_rate"), (Money(0), None)),
    **dict.fromkeys(("helper_cost", "helper_billed", "minimum_charge"), (Money(0), None)),
    "card_fee_fixed": (Money(0), None),
    **dict.fromkeys(
        ("card_fee", "card_share", "tax_rate", "use_tax_rate"), (Fraction(0), Fraction(1))
    ),
    "offcut_value": (Fraction(0), Fraction(1)),
}
