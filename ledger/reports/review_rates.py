"""The rates that a year would have needed, from what it really was; nothing is set by it. Pure.

needed = overhead ÷ hours on jobs + pay ÷ hours on jobs,    each rounded to the minor unit
"""

from fractions import Fraction

from msgspec import Struct

from ledger.measures.money import Money


class YearAsItWas(Struct, frozen=True):
    """What overhead, pay and hours on jobs of a period were, and which of them were typed.

    `job_hours` have rework in them, as the hours of the closed jobs have.
    `selling` and `break_even` are the rates in use. `earned` is what the closed jobs left the owner
    before overhead (full value), `earned_minutes` the owner's minutes on them; jobs that are mostly
    unlogged are in neither.
    """

    overhead: Money
    pay: Money
    job_hours: Fraction
    break_even: Money
    selling: Money
    profit: Fraction
    earned: Money
    earned_minutes: int
    is_overhead_typed: bool = False
    is_pay_typed: bool = False
    is_hours_typed: bool = False


class RatesCheck(Struct, frozen=True):
    """The rates that a year would have needed; None where no hour was on a job.

    `missing` is by how much an hour that was sold fell short of them; negative where it was over.
    `earned_hour` is what the closed jobs really left an hour, before overhead.
    """

    needed: Money | None
    overhead_hour: Money | None
    pay_hour: Money | None
    selling: Money | None
    earned_hour: Money | None
    year: YearAsItWas

    @property
    def is_met(self) -> bool | None:
        """Whether the closed jobs earned the needed rate an hour; None where it is not known."""
        if self.needed is None or self.earned_hour is None:
            return None
        return self.earned_hour >= self.needed

    @property
    def missing(self) -> Money | None:
        """What an hour of the closed jobs lacked of the needed rate; negative where it was over."""
        if self.needed is None or self.earned_hour is None:
            return None
        return self.needed - self.earned_hour


def check_rates(year: YearAsItWas) -> RatesCheck:
    """Work the needed rates out; each is rounded before they are added, as rates are."""
    earned = year.earned.times(Fraction(60, year.earned_minutes)) if year.earned_minutes else None
    if year.job_hours <= 0:
        return RatesCheck(None, None, None, None, earned, year)
    overhead = year.overhead.times(1 / year.job_hours)
    pay = year.pay.times(1 / year.job_hours)
    needed = overhead + pay
    selling = needed.times(1 + year.profit)
    return RatesCheck(needed, overhead, pay, selling, earned, year)
