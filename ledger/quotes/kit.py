"""A kit that is bought, next to a commission or to building it oneself. Pure arithmetic.

Same function first: what a kit lacks to do the same is added to its side. Then

    cash ratio       = cash of a way / landed cash of the kit
    with own labor   = cash + hours × own wage
    break-even wage  = (kit − build) / (hours to build − hours to assemble), where above 0
    a year of life   = cash / expected years

Relevant cost only: it is shown with and without one's own labor, never as one number. Nothing is
said of quality that has no basis; the day of the kit's price always stands beside it.
"""

from datetime import date
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from ledger.errors import BadValue
from ledger.measures.money import Currency, Money, sales_tax, total
from ledger.measures.rounding import half_up, half_up_whole


class Extra(Struct, frozen=True):
    """Something a kit needs beside it to do the same."""

    words: str
    amount: Money
    taxed: bool


class KitOffer(Struct, frozen=True):
    """A kit as it is sold: what it costs, what it lacks, how long it takes and lasts."""

    number: str
    name: str
    price: Money
    seen: date
    source: str
    shipping: Money
    tax_rate: Fraction
    assembly: Decimal
    years: int
    warranty: str
    lift_help: str
    note: str
    extras: tuple[Extra, ...]


class KitLine(Struct, frozen=True):
    """One line of what a kit comes to."""

    words: str
    amount: Money


class Way(Struct, frozen=True):
    """One way to the piece: what it takes in cash and in one's own hours, how long it lasts."""

    name: str
    cash: Money
    hours: Decimal
    years: int | None = None

    def with_labor(self, wage: Money) -> Money:
        """Cash and one's own hours at a wage."""
        return self.cash + wage.times(self.hours)

    @property
    def a_year(self) -> Money | None:
        """Cash by expected year of life, to the whole unit of the currency's minor one."""
        return (
            None if not self.years else Money(half_up_whole(Fraction(self.cash.minor, self.years)))
        )


class BreakEven(Struct, frozen=True):
    """The wage at which both ways cost the same, where there is one, and what it means."""

    wage: Money | None
    words: str


def landed(kit: KitOffer, currency: Currency) -> tuple[KitLine, ...]:
    """What the kit comes to, line by line: price, shipping, tax, and what it lacks with its tax."""
    lines = [KitLine(kit.name, kit.price)]
    if kit.shipping:
        lines.append(KitLine("shipping", kit.shipping))
    lines += _tax("tax on the kit", kit.price, kit, currency)
    for extra in kit.extras:
        lines.append(KitLine(extra.words, extra.amount))
        if extra.taxed:
            lines += _tax(f"tax on {extra.words}", extra.amount, kit, currency)
    return tuple(lines)


def _tax(words: str, amount: Money, kit: KitOffer, currency: Currency) -> list[KitLine]:
    tax = sales_tax(amount, kit.tax_rate, currency)
    return [KitLine(words, tax)] if tax else []


def kit_way(kit: KitOffer, currency: Currency) -> Way:
    """The kit as a way: landed cash, hours of assembly, its life."""
    cash = total(line.amount for line in landed(kit, currency))
    return Way(kit.name, cash, kit.assembly, kit.years)


def cash_ratio(way: Way, kit: Way) -> Fraction:
    """How many times the kit's cash a way takes.

    Raises:
        BadValue: the kit costs nothing.
    """
    if kit.cash.minor <= 0:
        raise BadValue("A kit that costs nothing cannot be compared by its cost.")
    return Fraction(way.cash.minor, kit.cash.minor)


def break_even(build: Way, kit: Way, currency: Currency) -> BreakEven:
    """The wage at which both cost the same: below it building pays, or above it what saves hours.

    There is one where a way costs less and takes longer than the other, and else none.
    """
    saved, more_hours = kit.cash - build.cash, build.hours - kit.hours
    hours = f"{abs(more_hours).normalize():f} hour{'' if abs(more_hours) == 1 else 's'}"
    money = currency.show(abs(saved))
    if saved and more_hours and (saved > Money(0)) == (more_hours > 0):
        wage = saved.times(1 / Fraction(more_hours))
        shown = currency.show(wage)
        if more_hours > 0:
            return BreakEven(wage, f"below {shown} an hour building pays, above it the kit does")
        return BreakEven(
            wage,
            f"it costs {money} more and takes {hours} less; above {shown} an hour it pays, below"
            " it the kit does",
        )
    if more_hours > 0:
        return BreakEven(None, f"no wage makes building pay: it costs {money} and {hours} more")
    if saved >= Money(0):
        return BreakEven(None, f"no break-even: it costs {money} and {hours} less than the kit")
    return BreakEven(None, f"no break-even: it costs {money} more and takes as long")


class Builder(Struct, frozen=True):
    """Who builds from the plan: hours by skill, the plan's price, their own wage."""

    plan: Money
    skilled: Decimal
    novice_factor: Decimal
    wage: Money

    @property
    def novice(self) -> Decimal:
        """The hours of a novice, whole: the skilled ones and as much again as the factor says."""
        return half_up(Fraction(self.skilled) * Fraction(self.novice_factor), 0)


def build_cash(material: Money, tax_rate: Fraction, plan: Money) -> Money:
    """What building takes in cash: material with the tax that is paid on it, and the plan.

    >>> build_cash(Money(175286), Fraction(6, 100), Money(1800))
    Money(minor=187603)
    """
    return material.times(1 + tax_rate) + plan


def whole_packs(quantity: Fraction, pack: Fraction) -> Fraction:
    """The quantity that is bought where only whole packs are sold.

    >>> whole_packs(Fraction(117), Fraction(100)), whole_packs(Fraction(3), Fraction(1))
    (Fraction(200, 1), Fraction(3, 1))
    """
    return -(-quantity // pack) * pack
