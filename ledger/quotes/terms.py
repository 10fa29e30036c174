"""The arithmetic of an offer: deliverables that make up the price, tax, payments that add up.

What is split always adds up again: the deliverables to the price, the payments to the price and to
the tax. Rate and taxability are the owner's settings; the tax is rounded as sales-tax law does, by
document or by line.
"""

from collections.abc import Mapping, Sequence
from fractions import Fraction

from ledger.errors import BadValue
from ledger.jobs.agreement import Ask
from ledger.jobs.tax import is_untaxed
from ledger.measures.money import Currency, Money, sales_tax, split, total
from ledger.measures.share import show_share
from ledger.measures.values import replace
from ledger.quotes.offer import QuoteDeliverable, Tax

_SERVICES = ("deliver", "install", "fitting on site", "wall fixing")
"""Words by which a deliverable is told from goods, common practice; the owner may say otherwise."""


def is_service(name: str) -> bool:
    """Whether a deliverable is delivery or installation by its name.

    >>> is_service("Delivery and installation"), is_service("Bed and towers")
    (True, False)
    """
    return any(word in name.casefold() for word in _SERVICES)


def is_fitted(name: str) -> bool:
    """Whether a deliverable is work that fixes the piece to a building, by its name.

    >>> is_fitted("Delivery and installation"), is_fitted("Delivery")
    (True, False)
    """
    return any(word in name.casefold() for word in _SERVICES[1:])


def divide_price(
    price: Money, goods: str, extras: Mapping[str, Money], currency: Currency
) -> list[tuple[str, Money]]:
    """Allocate the price to deliverables: extras at their named amounts, the goods the rest.

    Raises:
        BadValue: an extra is zero or less, has the goods' name, or leaves nothing for them.
    """
    for name, amount in extras.items():
        if amount <= Money(0):
            raise BadValue(
                f"“{name}” should cost more than 0; leave it out if it is included. A"
                " discount is a lower price: --price AMOUNT"
            )
        if name.casefold() == goods.casefold():
            raise BadValue(f"“{name}” is named twice; give one of the two another name.")
    rest = price - total(extras.values())
    if rest <= Money(0):
        raise BadValue(
            f"The deliverables take {currency.show(total(extras.values()))} of a price of"
            f" {currency.show(price)}; nothing is left for “{goods}”. Say a higher --price, or name"
            " the part that takes the rest by --goods and leave out its amount."
        )
    return [(goods, rest), *extras.items()]


def tax_on(
    deliverables: Sequence[QuoteDeliverable],
    *,
    standing: str,
    rate: Fraction,
    by_line: bool,
    currency: Currency,
    words: str = "",
) -> Tax:
    """The tax on the taxed deliverables; an exempt shop, or for an improvement, asks for none."""
    taxed = [line.amount for line in deliverables if line.taxed]
    base = total(taxed)
    if is_untaxed(standing):
        return Tax(standing, Fraction(0), Money(0), Money(0), words)
    if by_line:
        amount = total(sales_tax(line, rate, currency) for line in taxed)
    else:
        amount = sales_tax(base, rate, currency)
    return Tax(standing, rate, base, amount, words)


def tax_inside(tax: Tax, amount: Money, currency: Currency) -> Tax:
    """The tax that a sum said with tax leaves beside its price; what is rounded is said.

    >>> from ledger.measures.money import currency
    >>> on_price = Tax("vat", Fraction(19, 100), Money(71429), Money(13572), "VAT 19 %")
    >>> inside = tax_inside(on_price, Money(13571), currency("EUR"))
    >>> inside.amount, inside.words
    (Money(minor=13571), 'VAT 19 %, in the agreed total, 0.01 less by rounding')
    """
    rounding = amount - tax.amount
    words = f"{tax.words}, in the agreed total" if amount else tax.words
    if rounding:
        side = "more" if rounding > Money(0) else "less"
        words += f", {currency.show(abs(rounding))} {side} by rounding"
    return replace(tax, amount=amount, words=words)


def payments_of(
    price: Money, tax: Money, shares: Sequence[Fraction], names: Sequence[str]
) -> tuple[Ask, ...]:
    """The payments asked for: the sum to pay and the tax in it by shares, each adding up exactly.

    >>> paid = payments_of(Money(698000), Money(36480), [Fraction(5, 10), Fraction(4, 10),
    ...     Fraction(1, 10)], ["On acceptance", "Before finishing", "On installation"])
    >>> [(payment.price.minor, payment.tax.minor) for payment in paid]
    [(349000, 18240), (279200, 14592), (69800, 3648)]
    """
    parts = zip(names, split(price + tax, shares), split(tax, shares), strict=True)
    return tuple(Ask(name, asked - part, part) for name, asked, part in parts)


def tax_within(asked: Money, rate: Fraction, currency: Currency) -> Money | None:
    """The tax in a sum that a net and the rounded tax on it add up to; None where no net does.

    >>> from ledger.measures.money import currency
    >>> tax_within(Money(120000), Fraction(19, 100), currency("EUR"))
    Money(minor=19160)
    >>> tax_within(Money(10005), Fraction(19, 100), currency("EUR")) is None
    True
    """
    near = asked.times(1 / (1 + rate))
    for net in (near, near - Money(1), near + Money(1)):
        tax = sales_tax(net, rate, currency)
        if net + tax == asked:
            return tax
    return None


def offered_payments(
    price: Money, tax: Tax, shares: Sequence[Fraction], names: Sequence[str], currency: Currency
) -> tuple[Ask, ...]:
    """The payments of an offer; of one taxed in whole each has its tax as its invoice will."""
    asked = payments_of(price, tax.amount, shares, names)
    return tuple(at_rate(asked, tax.rate, currency)) if tax.base == price else asked


def at_rate(payments: Sequence[Ask], rate: Fraction, currency: Currency) -> list[Ask]:
    """The payments of a contract taxed in whole, each with its tax as its invoice will have it.

    The last one takes the cents that are left, as the final invoice does. A sum that no net and
    its tax add up to keeps the tax it has.

    >>> from ledger.measures.money import currency
    >>> shares = [Fraction(5, 10), Fraction(4, 10), Fraction(1, 10)]
    >>> paid = payments_of(Money(201681), Money(38319), shares, ["a", "b", "c"])
    >>> [(one.price.minor, one.tax.minor) for one in at_rate(paid, Fraction(19, 100),
    ...     currency("EUR"))]
    [(100840, 19160), (80672, 15328), (20169, 3831)]
    """
    taxes = [
        one.tax if (tax := tax_within(one.asked, rate, currency)) is None else tax
        for one in payments[:-1]
    ]
    left = total(one.tax for one in payments) - total(taxes)
    if not Money(0) <= left <= payments[-1].asked:
        return list(payments)
    divided = zip(payments, [*taxes, left], strict=True)
    return [Ask(one.name, one.asked - tax, tax) for one, tax in divided]


def payment_names(count: int, names: Sequence[str]) -> list[str]:
    """The names of so many payments: the shop's own where it has just as many, else plain ones.

    >>> payment_names(2, ["On acceptance", "Before finishing", "On installation"])
    ['On acceptance', 'On completion']
    >>> payment_names(4, ["On acceptance"])
    ['On acceptance', 'Stage 2', 'Stage 3', 'On completion']
    """
    if len(names) == count:
        return list(names)
    first = names[0] if names else "On acceptance"
    if count == 1:
        return [first]
    return [first, *(f"Stage {number}" for number in range(2, count)), "On completion"]


def tax_words(standing: str, rate: Fraction, *, whole: bool) -> str:
    """How the tax line reads on the page.

    >>> tax_words("sales_tax", Fraction(6, 100), whole=False)
    'Sales tax 6 % on the taxable part'
    >>> tax_words("vat", Fraction(19, 100), whole=True)
    'VAT 19 %'
    >>> tax_words("sales_tax", Fraction(0), whole=True)
    ''
    """
    if not rate:
        return ""
    name = {"vat": "VAT", "sales_tax": "Sales tax"}.get(standing, "Tax")
    return f"{name} {show_share(rate)}{'' if whole else ' on the taxable part'}"
