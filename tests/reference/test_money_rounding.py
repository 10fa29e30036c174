"""Money, currencies and taxes against published values.

Sources:
- ISO 4217, list one, published 2024-06-25: digits of the minor units.
- Streamlined Sales and Use Tax Agreement, section 324, enacted word for word in Rhode Island
  (44-18.1-25) and North Dakota (57-39.4-25): the rounding rule.
- OpenStax, *Contemporary Mathematics*, section 6.2: the worked sales taxes. One printed total
  ($464.87) does not recompute; $464.38 is right and used here.
- Half-up against half-even: computed, IEEE 754 names for the two.
"""

from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction

import pytest

from ledger.measures.money import DIGITS, Money, currency, sales_tax, split, total
from ledger.measures.rounding import half_up

USD = currency("USD")

# ISO 4217, list one: every currency whose minor unit has not two digits.
NO_DIGITS = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF"
THREE_DIGITS = "BHD IQD JOD KWD LYD OMR TND"
FOUR_DIGITS = "CLF UYW"

# OpenStax, Contemporary Mathematics, section 6.2: amount, rate, tax, total.
WORKED_TAXES = [
    ("428.99", "8.25", "35.39", "464.38"),
    ("34.88", "8.25", "2.88", "37.76"),
    ("499.00", "8.81", "43.96", "542.96"),
    ("329.50", "7.5", "24.71", "354.21"),
    ("13.77", "4.5", "0.62", "14.39"),
]
# Streamlined agreement, section 324: a third decimal of five goes up, where half-even goes down.
HALF_CENTS = [("10.10", "5", "0.51", "10.61"), ("9.00", "6.5", "0.59", "9.59")]
# OpenStax, section 6.2: total with tax, rate, amount before tax.
REVERSED_TAXES = [
    ("36.56", "5.75", "34.57"),
    ("97.17", "4.25", "93.21"),
    ("467.64", "8.25", "432.00"),
]
# Computed: value, half-up, half-even, at two places.
ROUNDED = [
    ("2.675", "2.68", "2.68"),
    ("2.665", "2.67", "2.66"),
    ("0.125", "0.13", "0.12"),
    ("1.005", "1.01", "1.00"),
    ("-2.675", "-2.68", "-2.68"),
]


def test_minor_units_are_those_of_iso_4217():
    unusual = {code: digits for code, digits in DIGITS.items() if digits != 2}
    expected = (
        dict.fromkeys(NO_DIGITS.split(), 0)
        | dict.fromkeys(THREE_DIGITS.split(), 3)
        | dict.fromkeys(FOUR_DIGITS.split(), 4)
    )

    assert unusual == expected


def test_yen_and_dinar_round_half_up_at_their_own_digits():
    """1,234.5 yen are 1,235 and 1.2345 dinar 1.235; half-even would give 1,234 and 1.234.

    Source: digits of ISO 4217, list one (2024-06-25); the rounding is computed.
    """
    assert currency("JPY").money(Decimal("1234.5")) == Money(1235)
    assert currency("KWD").money(Decimal("1.2345")) == Money(1235)


@pytest.mark.parametrize(("amount", "percent", "tax", "sum_due"), WORKED_TAXES + HALF_CENTS)
def test_a_tax_is_cut_at_the_third_decimal_and_rounded_up_above_four(amount, percent, tax, sum_due):
    net = USD.parse(amount)
    due = sales_tax(net, Fraction(percent) / 100, USD)

    assert USD.show(due) == tax
    assert USD.show(net + due) == sum_due


def test_a_tax_is_not_rounded_twice():
    """$0.014999 is cut to .014, so one cent; rounding it to three places first would give two.

    Source: Streamlined Sales and Use Tax Agreement, section 324.
    """
    exact = Fraction("0.014999")

    assert sales_tax(Money(100), exact, USD) == Money(1)
    assert half_up(half_up(exact, 3), 2) == Decimal("0.02")


def test_tax_by_line_and_by_document_differ_and_are_both_lawful():
    """Three lines of $0.99 at 8.25 %: 24 cents by line, 25 by document.

    Source: Streamlined Sales and Use Tax Agreement, section 324 (item or invoice basis).
    """
    line, rate = USD.parse("0.99"), Fraction("0.0825")

    assert total([sales_tax(line, rate, USD)] * 3) == Money(24)
    assert sales_tax(line * 3, rate, USD) == Money(25)


@pytest.mark.parametrize(("gross", "percent", "net"), REVERSED_TAXES)
def test_a_tax_can_be_taken_out_of_a_total(gross, percent, net):
    before = USD.parse(gross).times(1 / (1 + Fraction(percent) / 100))

    assert USD.show(before) == net


@pytest.mark.parametrize(("value", "up", "even"), ROUNDED)
def test_half_up_goes_away_from_zero_where_half_even_does_not(value, up, even):
    """Source: IEEE 754 names the two roundings; the values are computed."""
    assert half_up(Decimal(value), 2) == Decimal(up)
    assert Decimal(value).quantize(Decimal("0.01"), ROUND_HALF_EVEN) == Decimal(even)


def test_a_hundred_split_three_ways_by_largest_remainder():
    """100.00 gives 33.34, 33.33 and 33.33: common practice, no source; computed."""
    assert [USD.show(piece) for piece in split(USD.parse("100"), [1, 1, 1])] == [
        "33.34",
        "33.33",
        "33.33",
    ]
