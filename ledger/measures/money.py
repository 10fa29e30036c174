"""Money as whole minor units of the one currency a book is kept in.

A line rounds half-up once, when it is shown or posted; what is split always adds up again.

The currencies of ISO 4217 that are legal tender somewhere: digits of the minor unit, and signs.

The list stands here rather than in a library's locale data because that data follows custom (no
decimals for an Iraqi dinar) where a ledger follows the standard, and because a command should not
wait for it.
"""

import re
from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction
from functools import cache
from operator import attrgetter
from typing import Annotated

from msgspec import Struct

from ledger.errors import BadValue
from ledger.measures.custom import COMMA, POINT, parted, usual_decimal_mark, with_comma
from ledger.measures.rounding import apportion, half_up, half_up_whole, scaled, trimmed
from ledger.measures.spoken import by_mark, plain_decimal, quoted, tidy, two_readings
from ledger.measures.values import NEVER_WRITTEN, WRITTEN_IF_OTHER

_CODES_BY_DIGITS = {
    0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
    2: """
        AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BGN BMD BND BOB BRL BSD BTN BWP BYN BZD CAD
        CDF CHF CNY COP CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ
        GYD HKD HNL HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL
        MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR
        PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SYP SZL THB TJS TMT TOP
        TRY TTD TWD TZS UAH USD UYU UZS VES WST XCD XCG YER ZAR ZMW ZWG
    """,
    3: "BHD IQD JOD KWD LYD OMR TND",
    4: "CLF UYW",
}
DIGITS = {code: digits for digits, codes in _CODES_BY_DIGITS.items() for code in codes.split()}
SIGNS = {
    "USD": "$", "EUR": "€", "GBP": "£", "JPY": "¥", "CAD": "CA$", "AUD": "A$", "NZD": "NZ$",
    "INR": "₹", "KRW": "₩", "ILS": "₪", "UAH": "₴", "PHP": "₱",
}  # fmt: skip


PRICE_DECIMALS = 6
LARGEST_AMOUNT = 10**12
_HINT = "write an amount such as 1234.50"
_COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
_AMOUNT = re.compile(
    r"(?P<minus>-)? ?(?P<before>[^0-9., -]*) ?(?P<inner>-)? ?"
    r"(?P<body>[0-9.,](?:[0-9., ]*[0-9])?) ?(?P<after>[^0-9., -]*)"
)


class Money(Struct, frozen=True, order=True):
    """A whole number of minor units (cents, where the currency has them)."""

    minor: int

    def __add__(self, other: "Money") -> "Money":
        return Money(self.minor + other.minor)

    def __sub__(self, other: "Money") -> "Money":
        return Money(self.minor - other.minor)

    def __neg__(self) -> "Money":
        return Money(-self.minor)

    def __abs__(self) -> "Money":
        return Money(abs(self.minor))

    def __bool__(self) -> bool:
        return self.minor != 0

    def __mul__(self, count: int) -> "Money":
        return Money(self.minor * count)

    __rmul__ = __mul__

    def times(self, factor: Fraction | Decimal) -> "Money":
        """Multiply by something that is not whole, half-up to the minor unit.

        >>> Money(1010).times(Fraction(1, 20)), Money(-1010).times(Decimal("0.05"))
        (Money(minor=51), Money(minor=-51))
        """
        return Money(half_up_whole(self.minor * Fraction(factor)))

    def divided(self, parts: int) -> "Money | None":
        """One of so many equal parts; None where it does not divide.

        >>> Money(1010).divided(2), Money(1010).divided(3)
        (Money(minor=505), None)
        """
        each, rest = divmod(self.minor, parts)
        return None if rest else Money(each)


def total(amounts: Iterable[Money]) -> Money:
    """Add amounts up; none at all come to zero.

    >>> total([Money(125), Money(-25)]), total([])
    (Money(minor=100), Money(minor=0))
    """
    return sum(amounts, Money(0))


def totals(rows: Iterable[object], names: str) -> list[Money]:
    """The total of each named amount over some rows; a dot leads to a field of a field.

    >>> from types import SimpleNamespace
    >>> totals([SimpleNamespace(full=Money(5), cash=Money(0)) for _ in range(2)], "full cash")
    [Money(minor=10), Money(minor=0)]
    """
    listed = list(rows)
    return [total(map(attrgetter(name), listed)) for name in names.split()]


def split(amount: Money, weights: Sequence[int | Fraction | Decimal]) -> list[Money]:
    """Divide an amount in proportion, by largest remainder; the pieces always add up to it.

    >>> split(Money(10000), [1, 1, 1])
    [Money(minor=3334), Money(minor=3333), Money(minor=3333)]
    >>> split(Money(-100), [Fraction(2, 3), 0, Fraction(1, 3)])
    [Money(minor=-67), Money(minor=0), Money(minor=-33)]
    >>> split(Money(100), [0, 0])
    Traceback (most recent call last):
    ledger.errors.BadValue: An amount cannot be divided by weights that add up to zero.
    >>> split(Money(100), [2, -1])
    Traceback (most recent call last):
    ledger.errors.BadValue: An amount cannot be divided by a negative weight.
    """
    return [Money(part) for part in apportion(amount.minor, weights)]


class Currency(Struct, frozen=True, eq=False):
    """A currency of ISO 4217 and how many digits its minor unit has.

    `decimal_mark` is how amounts are typed in the book at hand: `point`, `comma`, or unknown, and
    then an amount with two readings is refused. `written` is the mark with which it is shown.
    """

    code: str
    digits: int
    decimal_mark: Annotated[str, NEVER_WRITTEN] = ""
    written: Annotated[str, WRITTEN_IF_OTHER] = POINT

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Currency) and self._identity() == other._identity()

    def __hash__(self) -> int:
        return hash(self._identity())

    def _identity(self) -> tuple[str, int, str]:
        """How it is typed makes no other currency of it."""
        return self.code, self.digits, self.written

    def money(self, value: Decimal | Fraction | int) -> Money:
        """Make money of an exact value, rounding half-up once.

        >>> currency("USD").money(Decimal("1.005")), currency("JPY").money(Decimal("1234.5"))
        (Money(minor=101), Money(minor=1235))
        """
        return Money(half_up_whole(Fraction(value) * 10**self.digits))

    def decimal(self, money: Money) -> Decimal:
        """Give the amount as a decimal with the currency's digits.

        >>> currency("USD").decimal(Money(698000)), currency("KWD").decimal(Money(1235))
        (Decimal('6980.00'), Decimal('1.235'))
        """
        return scaled(money.minor, self.digits)

    def show(self, money: Money, symbol: bool = False) -> str:
        """Write an amount in plain English grouping, with its sign or code where asked.

        >>> usd = currency("USD")
        >>> usd.show(Money(698000)), usd.show(Money(-5)), usd.show(Money(5), symbol=True)
        ('6,980.00', '-0.05', '$0.05')
        >>> currency("CHF").show(Money(-698000), symbol=True), currency("JPY").show(Money(1234))
        ('-CHF 6,980.00', '1,234')
        >>> Currency("EUR", 2, written="comma").show(Money(123450), symbol=True)
        '€1.234,50'
        """
        minus = "-" if money.minor < 0 else ""
        sign = SIGNS.get(self.code, f"{self.code} ") if symbol else ""
        return f"{minus}{sign}{self.number(self.decimal(abs(money)))}"

    def number(self, value: Decimal | int) -> str:
        """Write a number as the book does, its thousands parted; to be shown as `words` are."""
        return parted(value, self.written, self.digits)

    def words(self, text: str) -> str:
        """A text with its decimals as the book writes numbers."""
        return with_comma(text, self.digits) if self.written == COMMA else text

    def parse(self, text: str) -> Money:
        """Read an amount with no more decimals than the currency has.

        >>> spellings = ("1,234.50", "1.234,50", "1234,50", "1 234.50", "$1,234.50", "1234.5 usd")
        >>> {currency("USD").parse(text).minor for text in spellings}
        {123450}
        >>> currency("USD").parse("-0.05"), currency("JPY").parse("¥1,234")
        (Money(minor=-5), Money(minor=1234))
        >>> currency("KWD").parse("1.234")
        Money(minor=1234)

        In a dollar book a comma parts thousands, in a euro book a point does.

        >>> currency("USD").parse("22,000").minor, currency("EUR").parse("22.000").minor
        (2200000, 2200000)
        >>> currency("USD").parse("12.345")
        Traceback (most recent call last):
        ledger.errors.BadValue: “12.345” has three decimals; USD has two. If 12345.00 is meant, \
write it so.
        >>> currency("CAD").parse("12.345")
        Traceback (most recent call last):
        ledger.errors.BadValue: “12.345” may be 12345.00, or 12.345 which has three decimals; \
CAD has two.
        >>> currency("USD").parse("0.345")
        Traceback (most recent call last):
        ledger.errors.BadValue: “0.345” has three decimals; USD has two.
        >>> currency("KWD").parse("1,234")
        Traceback (most recent call last):
        ledger.errors.BadValue: “1,234” may be 1234.000 or 1.234; write it one of these two ways.
        >>> currency("USD").parse("€12")
        Traceback (most recent call last):
        ledger.errors.BadValue: “€12” carries “€”, but amounts here are in USD; write it in USD.
        >>> currency("USD").parse("twelve")
        Traceback (most recent call last):
        ledger.errors.BadValue: “twelve” is not an amount; write an amount such as 1234.50.
        """
        minus, body = self._amount(text)
        readings = self._readings(body)
        if readings:
            many, few = f"{self.decimal(self.money(int(readings[0])))}", readings[1]
            if self.digits < 3:
                named = f"{many}, or {few} which has three decimals; {self._digits_in_words()}"
                raise BadValue(f"{quoted(body)} may be {named}.")
            few += "0" * (self.digits - 3)
            raise BadValue(
                f"{quoted(body)} may be {many} or {few}; write it one of these two ways."
            )
        amount = self._decimal(text, body)
        decimals = len(f"{amount:f}".partition(".")[2])
        if decimals > self.digits:
            places = f"{_in_words(decimals)} decimal{'' if decimals == 1 else 's'}"
            grouped = two_readings(body)
            large = self.decimal(self.money(int(grouped[0]))) if grouped else None
            other = f" If {large} is meant, write it so." if grouped else ""
            raise BadValue(f"{quoted(body)} has {places}; {self._digits_in_words()}.{other}")
        return self.money(-amount if minus else amount)

    def parse_price(self, text: str) -> Decimal:
        """Read a unit price, which may carry up to six decimals and is never negative.

        >>> [str(currency("USD").parse_price(text)) for text in ("0.054", "$96", "6,80", "1.2340")]
        ['0.054', '96.00', '6.80', '1.234']
        >>> [str(currency(code).parse_price("12.345")) for code in ("USD", "EUR")]
        ['12.345', '12345.00']
        >>> currency("CAD").parse_price("12.345")
        Traceback (most recent call last):
        ledger.errors.BadValue: “12.345” may be 12345 or 12.345; write 12345 or 12.3450.
        >>> currency("USD").parse_price("-3")
        Traceback (most recent call last):
        ledger.errors.BadValue: “-3” is negative; a price is zero or more.
        >>> currency("USD").parse_price("0.0000001")
        Traceback (most recent call last):
        ledger.errors.BadValue: “0.0000001” has more than six decimals; write at most six.
        """
        minus, body = self._amount(text)
        if minus:
            raise BadValue(f"{quoted(text)} is negative; a price is zero or more.")
        readings = self._readings(body)
        if readings:
            many, few = readings
            raise BadValue(f"{quoted(body)} may be {many} or {few}; write {many} or {few}0.")
        price = trimmed(self._decimal(text, body))
        decimals = len(f"{price:f}".partition(".")[2])
        if decimals > PRICE_DECIMALS:
            raise BadValue(f"{quoted(body)} has more than six decimals; write at most six.")
        return half_up(price, max(decimals, self.digits))

    def _amount(self, text: str) -> tuple[bool, str]:
        """Take the minus and this currency's own sign or code off a text."""
        match = _AMOUNT.fullmatch(tidy(text, _HINT))
        if match is None or (match["minus"] and match["inner"]):
            raise BadValue(f"{quoted(text)} is not an amount; {_HINT}.")
        for mark in (match["before"], match["after"]):
            if mark and mark not in self._marks():
                raise BadValue(
                    f"{quoted(text)} carries {quoted(mark)}, but amounts here are in {self.code}; "
                    f"write it in {self.code}."
                )
        return bool(match["minus"] or match["inner"]), match["body"]

    def _marks(self) -> set[str]:
        """List what may stand beside an amount of this currency, in small letters."""
        sign = SIGNS.get(self.code, self.code)
        marks = {self.code, sign}
        if sign.endswith("$"):
            marks |= {"$", f"{self.code[:2]}$"}
        return {mark.lower() for mark in marks}

    def _readings(self, body: str) -> tuple[str, str] | None:
        """Give both readings of an amount that may be thousands or three decimals."""
        return None if self._decided(body) else two_readings(body)

    def _decided(self, body: str) -> str | None:
        """Read what has two readings: as `show` writes it, else by the decimal mark of the book.

        Without decimals a comma, and with three a point, is what `show` writes.
        """
        readings = two_readings(body)
        if readings and self.digits == 0 and "," in body:
            return readings[0]
        if readings and self.digits == 3 and "." in body:
            return readings[1]
        return by_mark(body, self.decimal_mark)

    def _decimal(self, text: str, body: str) -> Decimal:
        """Read the digits of an amount, without minus, sign or code."""
        plain = self._decided(body) or plain_decimal(body)
        if plain is None:
            raise BadValue(f"{quoted(text)} is not an amount; {_HINT}.")
        amount = Decimal(plain)
        if amount > LARGEST_AMOUNT:
            raise BadValue(f"{quoted(text)} is more than a million million; check the number.")
        return amount

    def _digits_in_words(self) -> str:
        """Say how many decimals the currency has."""
        return f"{self.code} has {_in_words(self.digits) if self.digits else 'none'}"


def _in_words(count: int) -> str:
    """Say a small count in a word, a larger one in figures."""
    return _COUNTS[count] if count < len(_COUNTS) else str(count)


@cache
def currency(code: str) -> Currency:
    """Find a currency by its ISO 4217 code, its amounts typed as its users usually write them.

    >>> currency("USD"), currency("jpy").digits
    (Currency(code='USD', digits=2, decimal_mark='point', written='point'), 0)
    >>> currency("US")
    Traceback (most recent call last):
    ledger.errors.BadValue: “US” is not a currency code of ISO 4217; write one such as USD or EUR.
    """
    known = code.strip().upper()
    if known not in DIGITS:
        raise BadValue(
            f"{quoted(code)} is not a currency code of ISO 4217; write one such as USD or EUR."
        )
    return Currency(known, DIGITS[known], usual_decimal_mark(known))


def grossed_up(amount: Money, rate: Fraction, fixed: Money) -> Money:
    """What must be paid by card so that an amount is left after the fee.

    Raises:
        BadValue: a fee of the whole payment leaves nothing.

    >>> grossed_up(Money(69800), Fraction(29, 1000), Money(30))
    Money(minor=71916)
    """
    if rate >= 1:
        raise BadValue("A card fee is less than the whole payment.")
    return Money(1).times(Fraction(amount.minor + fixed.minor) / (1 - rate))


def sales_tax(amount: Money, rate: Fraction, currency: Currency) -> Money:
    """Work out a tax as US sales-tax law rounds it.

    The tax is carried to one decimal more than the currency has (the third, for dollars), the rest
    is cut off, and it is rounded up when that decimal is greater than four. Whether this is done
    for each line or for the whole document is the seller's choice, so the caller's.

    >>> sales_tax(Money(42899), Fraction("0.0825"), currency("USD"))
    Money(minor=3539)
    >>> sales_tax(Money(1010), Fraction("0.05"), currency("USD"))
    Money(minor=51)
    """
    exact = abs(Fraction(currency.decimal(amount)) * rate)
    carried = int(exact * 10 ** (currency.digits + 1))
    minor, last = divmod(carried, 10)
    tax = Money(minor + 1 if last > 4 else minor)
    return -tax if (amount.minor < 0) != (rate < 0) else tax
