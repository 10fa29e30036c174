"""Questions about prices: the day of those in force, and which changed within some days."""

from collections.abc import Collection
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from ledger.book.journal import Book
from ledger.book.questions import IN_FORCE

STARTING_PRICE = "starting price"
"""How the source of every price of the starting list begins."""


class PricePaid(NamedTuple):
    """The last price of a material before a time and the last one in it, as they were noted.

    With a rate the amount is before tax; with None, tax that stays a cost is in it.
    """

    material: str
    before: Decimal
    before_tax_rate: Fraction | None
    after: Decimal
    after_tax_rate: Fraction | None
    day: date


def _told(last: str) -> str:
    """The prices noted until a day, without starting prices that gave way to the shop's own."""
    return f"""SELECT * FROM price AS told WHERE day <= {last} AND {IN_FORCE}
      AND NOT (source LIKE '{STARTING_PRICE}%' AND EXISTS (
        SELECT 1 FROM price AS own WHERE own.material = told.material AND own.id > told.id
          AND own.day <= {last} AND own.source NOT LIKE '{STARTING_PRICE}%' AND {IN_FORCE}))"""


def days_of_prices(book: Book, codes: Collection[str], day: date) -> dict[str, date]:
    """The day of the latest price that each of these materials has on a day, by code."""
    named = {f"code{place}": code for place, code in enumerate(codes)}
    if not named:
        return {}
    rows = book.query(
        f"WITH these(code) AS (VALUES {', '.join(f'(:{name})' for name in named)})"
        f" SELECT code, (SELECT MAX(day) FROM ({_told(':day')})"
        " WHERE material = code) FROM these",
        day=day,
        **named,
    )
    return {code: date.fromisoformat(latest) for code, latest in rows if latest}


_PRICES_CHANGED = f"""WITH told AS (
  SELECT material, amount, iif(with_tax, NULL, tax_rate) AS tax_rate, day,
    day < :first AS before, row_number() OVER (
    PARTITION BY material, day < :first ORDER BY day DESC, id DESC) AS place
  FROM ({_told(":last")}))
SELECT a.material, b.amount AS before, b.tax_rate AS before_rate, a.amount AS after,
  a.tax_rate AS after_rate, a.day
FROM told a JOIN told b ON b.material = a.material AND b.before AND b.place = 1
WHERE NOT a.before AND a.place = 1
  AND (a.amount, a.tax_rate) IS NOT (b.amount, b.tax_rate) ORDER BY a.material"""


def prices_changed(book: Book, first: date, last: date) -> list[PricePaid]:
    """Materials whose price on the last day was noted otherwise than before the first one."""
    return book.query_as(PricePaid, _PRICES_CHANGED, first=first, last=last)
