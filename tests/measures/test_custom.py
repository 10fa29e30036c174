"""How numbers and dates are usually written, held against Unicode's locale data (CLDR)."""

from datetime import date

import pytest
from babel import Locale
from babel.languages import get_official_languages

from ledger.errors import BadValue
from ledger.measures.custom import MARKS, ORDERS, usual_date_order, usual_decimal_mark
from ledger.measures.day import DateReader, parse_day
from ledger.measures.money import DIGITS
from ledger.measures.quantity import parse_quantity

TODAY = date(2025, 5, 20)


def locale(code: str) -> Locale:
    """The locale of the country whose currency it is; of the euro's countries the largest."""
    land = {"EUR": "DE"}.get(code, code[:2])
    languages = get_official_languages(land, de_facto=True)
    language = {"NO": "nb", "PY": "es"}.get(land, languages[0])
    return Locale.parse(f"{language}_{land}")


def test_every_listed_currency_is_one():
    assert MARKS.keys() | ORDERS.keys() <= DIGITS.keys()


@pytest.mark.parametrize("code", sorted(MARKS))
def test_the_decimal_mark_is_the_one_of_the_country(code):
    mark = locale(code).number_symbols["latn"]["decimal"]
    assert {".": "point", ",": "comma"}[mark] == usual_decimal_mark(code)


@pytest.mark.parametrize("code", sorted([*ORDERS, "USD"]))
def test_the_order_of_a_date_is_the_one_of_the_country(code):
    pattern = locale(code).date_formats["short"].pattern
    first = {"d": "day_first", "M": "month_first"}[pattern[0]]
    assert first == usual_date_order(code, "inch" if code == "USD" else "mm")


@pytest.mark.parametrize("code", ["CAD", "CHF", "ZAR"])
def test_where_a_country_writes_in_two_ways_nothing_is_taken_for_granted(code):
    assert usual_decimal_mark(code) == ""
    assert usual_date_order(code, "mm") == "iso"


@pytest.mark.parametrize(
    ("order", "text", "day"),
    [
        ("month_first", "5/13/2025", "2025-05-13"),
        ("month_first", "05/06/2025", "2025-05-06"),
        ("month_first", "5-13-2025", "2025-05-13"),
        ("month_first", "5/13/25", "2025-05-13"),
        ("day_first", "13.05.2025", "2025-05-13"),
        ("day_first", "6.5.2025", "2025-05-06"),
        ("day_first", "13/05/2025", "2025-05-13"),
        ("day_first", "13.5.25", "2025-05-13"),
        ("day_first", "2025-05-13", "2025-05-13"),
        ("iso", "2025-05-13", "2025-05-13"),
    ],
)
def test_a_numeric_date_is_read_in_the_order_of_the_book(order, text, day):
    assert str(parse_day(text, TODAY, order=order)) == day


@pytest.mark.parametrize(
    ("order", "text", "reason"),
    [
        ("month_first", "13/5/2025", "no month 13, and dates are written month first here; write"),
        ("day_first", "5/13/2025", "no month 13, and dates are written day first here; write 2025"),
        ("month_first", "13.05.2025", "write 2025-05-13"),
        ("month_first", "5.6.2025", "5 June 2025 or 6 May 2025"),
        ("iso", "5/6/2025", "5 June 2025 or 6 May 2025"),
        ("day_first", "5/13-2025", "is not a day"),
        ("day_first", "25-05-13", "is not a day"),
        ("month_first", "2/30/2025", "February 2025 has 28 days"),
        ("month_first", "5/21/2025", "lies after today"),
    ],
)
def test_a_numeric_date_that_does_not_fit_is_refused(order, text, reason):
    with pytest.raises(BadValue, match=reason):
        parse_day(text, TODAY, order=order)


def test_only_numeric_dates_are_said_back_and_in_the_words_of_the_order():
    dates = DateReader(TODAY, "day_first")
    dates.read("yesterday")
    assert dates.said_back() == ""
    for day in (2, 3, 4, 5):
        dates.read(f"{day:02}/05/2025")
    assert dates.said_back() == (
        "Dates were read day first: 02/05/2025 is 2 May 2025; 03/05/2025 is 3 May 2025;"
        " 04/05/2025 is 4 May 2025."
    )


@pytest.mark.parametrize("text", ["13/5/2025", "13/5", "5/5/2025", "3.5.2025", "3.5.", "3 may"])
def test_a_date_with_one_reading_is_not_said_back(text):
    dates = DateReader(TODAY, "day_first")
    dates.read(text)
    assert dates.said_back() == ""


@pytest.mark.parametrize(
    ("order", "offered", "kept_out"),
    [("month_first", "may 6", "6 may"), ("day_first", "6.5.", "may 6"), ("iso", "6 may", "5/6")],
)
def test_the_days_a_refusal_offers_are_written_as_in_the_book_and_are_taken(
    order, offered, kept_out
):
    with pytest.raises(BadValue) as refused:
        parse_day("someday", TODAY, order=order)
    assert offered in str(refused.value)
    assert kept_out not in str(refused.value)
    assert parse_day(offered, date(2025, 5, 20), order=order) == date(2025, 5, 6)


@pytest.mark.parametrize(
    ("order", "text"),
    [("iso", "5/6"), ("iso", "6.5."), ("month_first", "6.5."), ("day_first", "6/5."),
     ("month_first", "13/5"), ("day_first", "0.5."), ("day_first", "31.4.")],
)  # fmt: skip
def test_a_day_and_month_that_the_order_does_not_decide_is_refused(order, text):
    with pytest.raises(BadValue):
        parse_day(text, TODAY, order=order)


def test_a_day_and_month_that_may_lie_ahead_asks_for_the_year():
    with pytest.raises(BadValue, match="write 2025-05-06 or 2026-05-06"):
        parse_day("6.5.", date(2025, 5, 20), future=True, order="day_first")


@pytest.mark.parametrize(
    ("mark", "text", "value"),
    [("point", "1,200", "1200"), ("point", "1.200", "1.2"), ("comma", "1.200", "1200"),
     ("comma", "1,200", "1.2"), ("comma", "1.200,5", "1200.5"), ("point", "1,200.5", "1200.5"),
     ("comma", "0.125", "0.125"), ("comma", "3-1/2", "3.5")],
)  # fmt: skip
def test_a_quantity_is_read_by_the_decimal_mark_of_the_book(mark, text, value):
    assert str(parse_quantity(text, mark).decimal) == value
