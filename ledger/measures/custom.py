"""How the users of a currency write numbers and numeric dates, until a shop says otherwise.

The lists agree with Unicode's locale data (CLDR) for the country of the currency, and for the
euro with its largest. A currency whose users write in more than one way, such as CAD, CHF or ZAR,
stands in none of them: there what can be read two ways is refused.
"""

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
