"""The after-calculation: what a job really cost and what the owner earned an hour with it.

owner's earned = price + change orders − material + offcut credit − helper − other costs. The full
view takes material at full value, the cash view at what left the purse; they differ by the stock in
kind that was used. Content (what publishing the build brought) is told apart and together:

    cash furniture + content = full furniture + content + in kind used

Why a cost came out otherwise than planned: dearer or cheaper, more or less of it.

price part = (actual price − standard price) × actual quantity
usage part = (actual quantity − standard quantity) × standard price

The two always add up to actual − standard; a positive one is unfavorable. For hours the parts are
called rate and efficiency. Method and checks: standard costing as textbooks have it (OpenStax,
Managerial Accounting, 2019, chapter 8).
"""

from fractions import Fraction

from msgspec import Struct

from ledger.costing.rates import Rates
from ledger.measures.money import Money

NOTHING = Money(0)


class Done(Struct, frozen=True):
    """What happened on a job, added up: money in minor units, time in minutes.

    `material` is what the job took of stock, net of returns and before the credit for offcuts that
    went to the rack; each at full value and in cash. `use_tax` is what an improvement owes on it.
    """

    price: Money
    changes: Money
    material: Money
    material_cash: Money
    credit: Money
    credit_cash: Money
    helper: Money
    other: Money
    owner_minutes: int
    helper_minutes: int
    rework_minutes: int
    rework_material: Money
    content_minutes: int
    content: Money
    use_tax: Money = NOTHING

    @property
    def earned(self) -> Money:
        """What the owner earned, material at full value."""
        income, paid_out = self.price + self.changes, self.helper + self.other + self.use_tax
        return income - self.material + self.credit - paid_out


class Earned(Struct, frozen=True):
    """What the owner earned: an amount, and an hour before and after overhead."""

    amount: Money
    hour: Money | None
    after_overhead: Money | None


class Afterwards(Struct, frozen=True):
    """The profit on a finished job, at full value and in cash, and what one owner hour earned."""

    done: Done
    full: Earned
    cash: Earned
    content_hour: Money | None
    together: Money
    in_kind: Money
    rework: Money
    overhead_applied: Money


def account_afterwards(done: Done, rates: Rates) -> Afterwards:
    """Profit on a job: revenue less actual cost, also by owner hour before and after overhead."""
    paid_out = done.helper + done.other + done.use_tax
    income = done.price + done.changes
    full = done.earned
    cash = income - done.material_cash + done.credit_cash - paid_out
    return Afterwards(
        done=done,
        full=_earned(full, done.owner_minutes, rates),
        cash=_earned(cash, done.owner_minutes, rates),
        content_hour=_an_hour(done.content, done.content_minutes),
        together=cash + done.content,
        in_kind=cash - full,
        rework=rates.break_even.times(Fraction(done.rework_minutes, 60)) + done.rework_material,
        overhead_applied=rates.overhead.times(Fraction(done.owner_minutes, 60)),
    )


def _earned(amount: Money, minutes: int, rates: Rates) -> Earned:
    hour = _an_hour(amount, minutes)
    return Earned(amount, hour, None if hour is None else hour - rates.overhead)


def _an_hour(amount: Money, minutes: int) -> Money | None:
    return amount.times(Fraction(60, minutes)) if minutes else None


ROUNDED = Money(1)


class Variance(Struct, frozen=True):
    """The two parts of a difference; `total` is their sum, actual − standard to the minor unit."""

    price: Money
    usage: Money

    @property
    def total(self) -> Money:
        """Actual cost less standard cost; positive is unfavorable."""
        return self.price + self.usage


def variance(
    actual: Money, actual_quantity: Fraction, standard: Money, standard_quantity: Fraction
) -> Variance:
    """Split actual less standard cost into a price variance and a usage (efficiency) variance.

    The usage part is rounded, the price part takes the rest, so that they add up; a rest of one
    minor unit is what was rounded and no price, and stays with the usage. Where nothing was planned
    there is no standard price: all of it is usage; where nothing was used, too.

    >>> variance(Money(7476000), Fraction(89000), Money(7480000), Fraction(88000))
    Variance(price=Money(minor=-89000), usage=Money(minor=85000))
    """
    difference = actual - standard
    if not standard_quantity or not actual_quantity:
        return Variance(Money(0), difference)
    extra = actual_quantity - standard_quantity
    usage = standard.times(extra / standard_quantity)
    if abs(difference - usage) <= ROUNDED:
        usage = difference
    return Variance(difference - usage, usage)
