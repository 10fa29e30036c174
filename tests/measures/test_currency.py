"""Amounts are read in the one currency of the book, and never guessed at."""

import pytest
from babel.core import get_global

from ledger.errors import BadValue
from ledger.measures.money import DIGITS, Money, currency

USD, EUR, CAD = currency("USD"), currency("EUR"), currency("CAD")

ACCEPTED = {
    "7": 700,
    "0": 0,
    ".5": 50,
    "1234": 123400,
    "1234.5": 123450,
    "1,234.50": 123450,
    "1.234,50": 123450,
    "1 234,50": 123450,
    "1\u202f234.50": 123450,
    "1,234": 123400,
    "22,000": 2200000,
    "1,234,567": 123456700,
    "1.234.567,89": 123456789,
    "$ 12": 1200,
    "12$": 1200,
    "US$12": 1200,
    "USD 12.00": 1200,
    "12 usd": 1200,
    "-12": -1200,
    "$-12": -1200,
    "-$12": -1200,
    "−12": -1200,
}


@pytest.mark.parametrize(("text", "minor"), ACCEPTED.items(), ids=[ascii(t) for t in ACCEPTED])
def test_an_amount_reads_in_the_usual_spellings(text, minor):
    assert USD.parse(text) == Money(minor)


REFUSED = {
    "": "Nothing is written",
    "free": "is not an amount",
    "1.234": "has three decimals; USD has two. If 1234.00 is meant, write it so",
    "999.999": "If 999999.00 is meant",
    "0.123": "“0.123” has three decimals; USD has two",
    "1234.5678": "has four decimals",
    "0.12345678901": "has 11 decimals",
    "1,23,456": "is not an amount",
    "1.2.3": "is not an amount",
    "12.": "is not an amount",
    "--5": "is not an amount",
    "-$-5": "is not an amount",
    "(5)": "carries “\\(”",
    "€5": "amounts here are in USD",
    "5 EUR": "amounts here are in USD",
    "CA$5": "amounts here are in USD",
    "$5 CAD": "amounts here are in USD",
    "1e5": "is not an amount",
    "٥": "is not an amount",
    "5\u202e": "cannot be seen",
    "1000000000001": "more than a million million",
}


@pytest.mark.parametrize(("text", "reason"), REFUSED.items(), ids=[ascii(t) for t in REFUSED])
def test_what_is_no_amount_of_the_book_is_refused(text, reason):
    with pytest.raises(BadValue, match=reason):
        USD.parse(text)


def test_the_currency_decides_what_its_sign_is():
    assert EUR.parse("€ 1.234,50") == EUR.parse("1234,50 EUR") == Money(123450)
    assert CAD.parse("CA$5") == CAD.parse("$5") == Money(500)
    with pytest.raises(BadValue, match="amounts here are in EUR"):
        EUR.parse("$5")


def test_a_currency_without_decimals_takes_none():
    yen = currency("JPY")

    assert yen.parse("¥1,234") == Money(1234)
    with pytest.raises(BadValue, match="has one decimal; JPY has none"):
        yen.parse("1234.5")
    with pytest.raises(BadValue, match=r"has three decimals; JPY has none\. If 1234 is meant"):
        yen.parse("1.234")


def test_three_decimals_are_plain_where_the_currency_has_three():
    assert currency("KWD").parse("1.234") == Money(1234)
    with pytest.raises(BadValue, match=r"may be 1234.0000 or 1.2340"):
        currency("CLF").parse("1.234")


@pytest.mark.parametrize(
    ("text", "price"),
    [("0.054", "0.054"), ("96", "96.00"), ("6,8", "6.80"), ("0.000001", "0.000001"), ("0", "0.00"),
     ("1,234", "1234.00"), ("12.345", "12.345")],
)  # fmt: skip
def test_a_unit_price_keeps_its_digits_and_at_least_those_of_the_currency(text, price):
    assert str(USD.parse_price(text)) == price


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("-1", "negative"),
        ("0.1234567", "more than six decimals"),
        ("£1", "amounts here are in USD"),
        ("a dozen", "is not an amount"),
    ],
)
def test_a_unit_price_that_says_too_much_or_too_little_is_refused(text, reason):
    with pytest.raises(BadValue, match=reason):
        USD.parse_price(text)


EUROS = {"1.200,50": 120050, "1.200": 120000, "22.000": 2200000, "1200,50": 120050, "1,5": 150,
         "1,200.50": 120050, "1.234.567": 123456700}  # fmt: skip


@pytest.mark.parametrize(("text", "minor"), EUROS.items())
def test_in_euros_a_point_parts_thousands_and_a_comma_the_cents(text, minor):
    assert EUR.parse(text) == Money(minor)


def test_a_thousand_is_never_taken_for_a_unit_nor_the_other_way_round():
    with pytest.raises(BadValue, match=r"“1,200” has three decimals; EUR has two. If 1200.00 is"):
        EUR.parse("1,200")
    assert str(EUR.parse_price("0,054")) == "0.054"
    assert str(EUR.parse_price("1,234")) == "1.234"


@pytest.mark.parametrize("text", ["1,200", "1.200"])
def test_where_the_currency_is_written_both_ways_both_readings_are_shown(text):
    with pytest.raises(BadValue, match=r"may be 1200.00, or 1.200 which has three decimals"):
        CAD.parse(text)
    with pytest.raises(BadValue, match=r"may be 1200 or 1.200; write 1200 or 1.2000"):
        CAD.parse_price(text)


@pytest.mark.parametrize("code", ["", "US", "USDT", "XAU", "DEM", "\x00", "usd;"])
def test_a_code_that_no_country_pays_in_is_refused(code):
    with pytest.raises(BadValue, match="ISO 4217"):
        currency(code)


def test_every_currency_here_is_known_to_the_locale_data():
    unidade = "UYW"  # an index unit of ISO 4217 that locale data may leave out

    assert set(DIGITS) - {unidade} <= set(get_global("all_currencies"))
    assert all(len(code) == 3 and code.isupper() for code in DIGITS)
