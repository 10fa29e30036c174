"""The price build-up: marked-up material, hours at their rates, other costs, contingency, step.

Materials and hardware are marked up by kind: lines of one group and markup are summed first, the
sum is marked up and rounded once, and the result is split back over its lines so that it adds up.
"""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from msgspec import Struct

from ledger.costing.rates import Rates, margin_between, markup_between
from ledger.costing.sheet import BuildUpLine, CostLine, CostSheet, OtherCost, SheetHours, Totals
from ledger.labor.hours_range import HoursRange
from ledger.measures.grouped import grouped
from ledger.measures.money import Currency, Money, grossed_up, split, total
from ledger.measures.rounding import half_up
from ledger.measures.share import show_share
from ledger.measures.values import replace

ZERO = Money(0)


class PriceRules(Struct, frozen=True):
    """How the shop makes a price of its costs.

    `contingency` is a share of the owner's hours, or the point of the range whose hours the price
    is to pay for: p50, p80 or p95. `card_tax` is the rate of the tax on the price, for who pays by
    card pays that by card too.
    """

    markups: Mapping[str, Fraction]
    markup_outside: Fraction
    contingency: Fraction | str
    step: Money
    minimum: Money
    freight: Fraction = Fraction(0)
    card_fee: Fraction = Fraction(0)
    card_fee_fixed: Money = ZERO
    card_share: Fraction = Fraction(0)
    card_tax: Fraction = Fraction(0)

    @property
    def has_card_fee(self) -> bool:
        """Whether a price has the fee of card payments in it."""
        return bool(self.card_share and (self.card_fee or self.card_fee_fixed))

    @property
    def card_rate(self) -> Fraction:
        """The fee's share of a price before tax."""
        return self.card_fee * self.card_share * (1 + self.card_tax)


class Priced(Struct, frozen=True):
    """The outcome: lines with their part of the price, the build-up, the totals."""

    lines: tuple[CostLine, ...]
    build_up: tuple[BuildUpLine, ...]
    totals: Totals


def round_up(amount: Money, step: Money) -> Money:
    """The amount rounded up to the shop's step.

    >>> round_up(Money(696893), Money(2000))
    Money(minor=698000)
    """
    if step.minor <= 0:
        return amount
    return Money(-(-amount.minor // step.minor) * step.minor)


def build_price(
    lines: Sequence[CostLine],
    hours: Sequence[SheetHours],
    others: Sequence[OtherCost],
    rates: Rates,
    rules: PriceRules,
    currency: Currency,
    *,
    spread: HoursRange | None = None,
    is_typical: bool = False,
    freight: Money | None = None,
    asked: Money | None = None,
) -> Priced:
    """Cost-plus price: marked-up material, hours at their rates, contingency, rounded up to a step.

    `spread` is the range of the hours that the price must pay for; without it they are the lines'.
    With `is_typical` the hours billed are those of its typical point, rework in them, where the
    lines have the work alone.
    `freight` is what is planned for this job, in place of the shop's share of purchases. `asked` is
    the price that the client is asked for where that is not the one worked out here: the fee of
    card payments is a cost of it.
    """
    base = _Base(lines, others, rates, rules, currency, freight)
    owner = sum((line.owner for line in hours), Decimal(0))
    helper = sum((line.helper for line in hours), Decimal(0))
    if spread and is_typical:
        owner, helper = shared(spread, spread.p50)
    priced, built, computed = _summed_up(
        base, owner, helper, (_contingency(owner, helper, rates, rules, spread),)
    )
    if asked is not None and rules.has_card_fee:
        computed += fee_of_price(asked, rules) - built[-1].amount
    return Priced(
        tuple(priced), tuple(built), _totals(base, owner, helper, built, computed, spread)
    )


def shared(spread: HoursRange, hours: Decimal) -> tuple[Decimal, Decimal]:
    """Divide person-hours between owner and helper, in the proportion of the range."""
    helper = half_up(Fraction(hours) * spread.helper, 2)
    return hours - helper, helper


def sum_of_hours(sheet: CostSheet, owner: Decimal, helper: Decimal, rules: PriceRules) -> Money:
    """The build-up for exactly these person-hours, before contingency and rounding."""
    freight = sheet.totals.freight
    base = _Base(sheet.lines, sheet.others, sheet.rates, rules, sheet.currency, freight)
    return total(line.amount for line in _summed_up(base, owner, helper)[1])


def price_of_hours(sheet: CostSheet, owner: Decimal, helper: Decimal, rules: PriceRules) -> Money:
    """The price that these person-hours need, rounded up to the shop's step, no contingency."""
    return round_up(sum_of_hours(sheet, owner, helper, rules), rules.step)


class _Base(Struct, frozen=True):
    """What a price is built of besides hours; `planned` is the job's own freight."""

    lines: Sequence[CostLine]
    others: Sequence[OtherCost]
    rates: Rates
    rules: PriceRules
    currency: Currency
    planned: Money | None

    @property
    def freight(self) -> list[BuildUpLine]:
        """The freight planned for the job, else the shop's share of what must be paid for.

        Tax that stays a cost is no line: it is inside the price of each material.
        """
        if self.planned is not None:
            words = "planned for this job"
            return [BuildUpLine("freight", words, self.planned)] if self.planned else []
        share, bought = self.rules.freight, total(line.cash for line in self.lines)
        words = f"{show_share(share)} of purchases"
        return [BuildUpLine("freight", words, bought.times(share))] if share else []


def _summed_up(
    base: _Base, owner: Decimal, helper: Decimal, contingency: Sequence[BuildUpLine] = ()
) -> tuple[list[CostLine], list[BuildUpLine], Money]:
    """The lines with their part of the price, the build-up, and what of it is computed cost."""
    priced, built = _marked_up(base.lines, base.rules.markups, base.currency)
    built += _labor_lines(owner, helper, base.rates, base.currency)
    built += [BuildUpLine(o.words, o.calculation, o.price) for o in base.others]
    built += [*contingency, *base.freight]
    # last, for it is a share of all that the client is charged
    fee = _card_fee(total(line.amount for line in built), base.rules)
    return priced, [*built, *fee], total(line.amount for line in (*base.freight, *fee))


def _marked_up(
    lines: Sequence[CostLine], markups: Mapping[str, Fraction], currency: Currency
) -> tuple[list[CostLine], list[BuildUpLine]]:
    groups = grouped(range(len(lines)), lambda n: (lines[n].group, markups[lines[n].kind]))
    priced = list(lines)
    built = []
    several = {group for group, _ in groups if sum(g == group for g, _ in groups) > 1}
    for (group, markup), members in groups.items():
        cost = total(lines[n].full for n in members)
        # the group is marked up, not its lines: so the printed sum times the markup is the amount
        marked = cost.times(1 + markup)
        if cost:
            shares = split(marked, [lines[n].full.minor for n in members])
            for number, share in zip(members, shares, strict=True):
                priced[number] = replace(lines[number], price=share)
        kinds = sorted({lines[n].kind for n in members})
        name = f"{_PLURAL[group]} ({', '.join(kinds)})" if group in several else _PLURAL[group]
        calculation = f"{currency.show(cost)} × {1 + _decimal(markup)}"
        built.append(BuildUpLine(name, f"{calculation} (markup {show_share(markup)})", marked))
    return priced, built


_PLURAL = {"material": "materials", "hardware": "hardware"}


def _decimal(share: Fraction) -> Decimal:
    return (Decimal(share.numerator) / Decimal(share.denominator)).quantize(Decimal("0.0001")) \
        .normalize()  # fmt: skip


def _labor_lines(
    owner: Decimal, helper: Decimal, rates: Rates, currency: Currency
) -> list[BuildUpLine]:
    calculation = f"{owner} × {currency.show(rates.selling)}"
    built = [BuildUpLine("owner hours", calculation, rates.selling.times(owner))]
    if helper:
        calculation = f"{helper} × {currency.show(rates.helper_billed)}"
        billed = rates.helper_billed.times(helper)
        built.append(BuildUpLine("helper hours", calculation, billed))
    return built


COVERED = {"p50": "typical", "p80": "8 in 10", "p95": "19 in 20"}
"""The points of a range that a price can be made to pay for, in the owner's words."""


def _contingency(
    owner: Decimal, helper: Decimal, rates: Rates, rules: PriceRules, spread: HoursRange | None
) -> BuildUpLine:
    """A share of the owner's hours, or the hours from the estimate in use to the chosen point.

    With a point the firm price is the same whichever estimate is in use; where the estimate has
    more hours than the point, the line is negative.
    """
    if isinstance(rules.contingency, Fraction):
        words = f"{show_share(rules.contingency)} of owner hours"
        return BuildUpLine(
            "contingency", words, rates.selling.times(owner).times(rules.contingency)
        )
    covered = getattr(spread, rules.contingency) if spread else owner + helper
    more = shared(spread, covered) if spread else (owner, helper)
    amount = rates.selling.times(more[0]) - rates.selling.times(owner)
    amount += rates.helper_billed.times(more[1]) - rates.helper_billed.times(helper)
    words = f"to cover {COVERED[rules.contingency]}: {covered} h − {owner + helper} h"
    return BuildUpLine("contingency", words, amount)


def _card_fee(summed: Money, rules: PriceRules) -> list[BuildUpLine]:
    """The fee grossed up: the fee is taken of the price that contains it."""
    if not rules.has_card_fee:
        return []
    fee = grossed_up(summed, rules.card_rate, rules.card_fee_fixed) - summed
    words = f"{show_share(rules.card_fee)} of the {show_share(rules.card_share)} paid by card"
    words += ", with tax" if rules.card_tax else ""
    return [BuildUpLine(CARD_FEE, words, fee, rules.card_rate, rules.card_fee_fixed)]


CARD_FEE = "card fee"
"""The line of the build-up that has the fee of card payments."""


def fee_of_price(price: Money, rules: PriceRules) -> Money:
    """What card payments of a price before tax are to cost."""
    return price.times(rules.card_rate) + rules.card_fee_fixed


def _totals(
    base: _Base,
    owner: Decimal,
    helper: Decimal,
    built: Sequence[BuildUpLine],
    computed: Money,
    spread: HoursRange | None,
) -> Totals:
    lines, rates = base.lines, base.rates
    summed = total(line.amount for line in built)
    price = round_up(summed, base.rules.step)
    material = total(line.full for line in lines if line.group == "material")
    hardware = total(line.full for line in lines if line.group == "hardware")
    full = material + hardware
    cash = total(line.cash for line in lines)
    fixed = full + total(o.cost for o in base.others) + computed
    helped = rates.helper_cost.times(helper)
    full_cost = fixed + helped + rates.break_even.times(owner)
    worked = shared(spread, spread.p50) if spread else (owner, helper)
    earned = earned_an_hour(price, fixed, *worked, rates)
    return Totals(
        material=material,
        hardware=hardware,
        material_full=full,
        material_cash=cash,
        estimate_hours=owner + helper,
        owner_hours=owner,
        helper_hours=helper,
        full_cost=full_cost,
        cash_cost=fixed - full + cash + helped,
        build_up=summed,
        price=price,
        earned_per_hour=earned,
        earned_after_overhead=earned - rates.overhead if earned is not None else None,
        material_share=Fraction(full.minor, price.minor) if price else None,
        markup=markup_between(full_cost, price),
        margin=margin_between(full_cost, price),
        material_owned=total(line.owned_value for line in lines),
        freight=total(line.amount for line in base.freight),
    )


def earned_an_hour(
    price: Money, fixed: Money, owner: Decimal, helper: Decimal, rates: Rates
) -> Money | None:
    """What a price leaves the owner an hour, before overhead; None without hours of the owner's.

    `fixed` is what the job costs whatever the hours are: material, miles, fees.
    """
    if not owner:
        return None
    return (price - fixed - rates.helper_cost.times(helper)).times(1 / Fraction(owner))
