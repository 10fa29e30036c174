"""How the users of a currency write numbers and numeric dates, until a shop says otherwise.

The lists agree with Unicode's locale data (CLDR) for the country of the currency, and for the
euro with its largest. A currency whose users write in more than one way, such as CAD, CHF or ZAR,
stands in none of them: there what can be read two ways is refused.
"""

import re
from decimal import Decimal

POINT, COMMA = "point", "comma"
MONTH_FIRST, DAY_FIRST, ISO_ONLY = "month_first", "day_first", "iso"

_CODES_BY_MARK = {
    POINT: "USD GBP AUD NZD INR ILS JPY CNY KRW TWD HKD SGD MYR THB PHP MXN NGN KES PKR LKR",
    COMMA: """
        EUR DKK SEK NOK ISK PLN CZK HUF RON BGN RSD BAM MKD ALL TRY RUB UAH BYN GEL BRL ARS CLP COP
        UYU PYG IDR VND
    """,
}
_CODES_BY_ORDER = {
    DAY_FIRST: """
        EUR GBP AUD NZD DKK NOK ISK PLN CZK RON BGN RSD BAM MKD ALL TRY RUB UAH BYN GEL BRL ARS CLP
        COP UYU PYG IDR VND INR ILS SGD MYR THB MXN PEN NGN KES
    """,
}
MARKS = {code: mark for mark, codes in _CODES_BY_MARK.items() for code in codes.split()}
ORDERS = {code: order for order, codes in _CODES_BY_ORDER.items() for code in codes.split()}


def usual_decimal_mark(currency: str) -> str:
    """Say which mark stands before the decimals: `point`, `comma`, or nothing where it differs.

    >>> usual_decimal_mark("USD"), usual_decimal_mark("EUR"), usual_decimal_mark("CAD")
    ('point', 'comma', '')
    """
    return MARKS.get(currency, "")


def usual_date_order(currency: str, units: str) -> str:
    """Say how 5/6/2025 is read; dollars and inches together are the mark of the United States.

    >>> usual_date_order("USD", "inch"), usual_date_order("EUR", "mm")
    ('month_first', 'day_first')
    >>> usual_date_order("USD", "mm"), usual_date_order("SEK", "mm")
    ('iso', 'iso')
    """
    if currency == "USD" and units == "inch":
        return MONTH_FIRST
    return ORDERS.get(currency, ISO_ONLY)


_SWAPPED = str.maketrans(".,", ",.")
JOINER = "\N{WORD JOINER}"
"""Stands before a point that parts thousands of a whole number, so that it is not taken for the one
before decimals; it is dropped where the number is shown."""

_UNTOUCHED = re.compile(r"“[^”]*”|benchledger .*")
_DECIMALS = re.compile(r"(?<![\w.,/=-])-?[0-9]+\.[0-9]+(?!\w|/(?![a-zµ])|[.,][0-9])")
_GROUP = re.compile(r"-?[1-9][0-9]{0,2}\.[0-9]{3}")


def with_comma(text: str, digits: int) -> str:
    """A text with commas before decimals; what is quoted or a command to type stays as it is.

    Amounts come with their mark already; where the currency has no `digits`, 1.234 is one. Whole
    numbers come with a joiner, which is dropped here.

    >>> with_comma("65.79 h at 1115.47/m³, as 4.5x3 or v1.2.3", 2)
    '65,79 h at 1115,47/m³, as 4.5x3 or v1.2.3'
    """

    def comma(number: re.Match[str]) -> str:
        is_amount = not digits and _GROUP.fullmatch(number[0])
        return number[0] if is_amount else number[0].replace(".", ",")

    pieces, end = [], 0
    for kept in _UNTOUCHED.finditer(text):
        pieces += [_DECIMALS.sub(comma, text[end : kept.start()]), kept[0]]
        end = kept.end()
    return ("".join(pieces) + _DECIMALS.sub(comma, text[end:])).replace(JOINER, "")


def parted(value: Decimal | int, mark: str, digits: int) -> str:
    """A number with its thousands parted, by the mark before decimals and the currency's `digits`.

    >>> parted(2498, POINT, 2), parted(Decimal("1180.00"), COMMA, 2), parted(2498, COMMA, 0)
    ('2,498', '1.180,00', '2.498')
    >>> with_comma(f"1604.5 h, {parted(2498, COMMA, 2)} open", 2)
    '1604,5 h, 2.498 open'
    """
    shown = f"{Decimal(value):,f}"
    if mark != COMMA:
        return shown
    point = f"{JOINER}." if digits and "." not in shown else "."
    return shown.translate(_SWAPPED).replace(".", point)
