"""Days, months and times are read as spoken, told which day is today."""

from datetime import date, time, timedelta

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from ledger.errors import BadValue
from ledger.measures.day import (
    MONTHS,
    WEEKDAYS,
    Month,
    parse_day,
    parse_month,
    parse_time,
)
from ledger.measures.yearless import JUST_AHEAD

TODAY = date(2025, 5, 7)
days = st.dates(date(1910, 1, 1), date(2190, 12, 31))


@given(days, st.sampled_from(WEEKDAYS))
def test_a_weekday_is_the_latest_one_up_to_today(today, weekday):
    day = parse_day(weekday[:3], today)

    assert 0 <= (today - day).days < 7
    assert WEEKDAYS[day.weekday()] == weekday
    assert parse_day(weekday, today) == day


@given(days, days)
def test_a_day_without_its_year_is_the_latest_one_up_to_today(today, other):
    assume(not any(_is_just_ahead(same, today) for same in _same_day_of_years(other, today)))
    day = parse_day(f"{other.day} {MONTHS[other.month - 1]}", today)

    assert (day.day, day.month) == (other.day, other.month)
    assert day <= today
    assert day == parse_day(f"{MONTHS[other.month - 1][:3]} {other.day}", today)
    assert day == max(same for same in _same_day_of_years(other, today) if same <= today)


@given(days, st.integers(1, JUST_AHEAD))
def test_a_day_without_its_year_that_lies_just_ahead_is_not_taken_for_one_a_year_back(today, ahead):
    coming = today + timedelta(days=ahead)

    with pytest.raises(BadValue, match="has no year and lies just after today"):
        parse_day(f"{MONTHS[coming.month - 1]} {coming.day}", today)
    assert parse_day(str(coming), today, future=True) == coming


def _is_just_ahead(day, today):
    return 0 < (day - today).days <= JUST_AHEAD


def _same_day_of_years(day, today):
    for year in range(today.year - 8, today.year + 2):
        try:
            yield date(year, day.month, day.day)
        except ValueError:
            continue  # 29 February of a common year


@given(days, st.integers(0, 9999))
def test_days_back_are_counted_from_today(today, steps):
    if steps < (today - date(1, 1, 1)).days:
        assert parse_day(f"-{steps}d", today) == today - timedelta(days=steps)


@given(days)
def test_an_iso_day_reads_back_the_same(day):
    assert parse_day(str(day), day) == day


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("TODAY", TODAY),
        (" yesterday ", date(2025, 5, 6)),
        ("-10 days", date(2025, 4, 27)),
        ("thurs", date(2025, 5, 1)),
        ("29 feb", date(2024, 2, 29)),
        ("31 Dec", date(2024, 12, 31)),
        ("sept 1 2024", date(2024, 9, 1)),
        ("1 June, 2024", date(2024, 6, 1)),
    ],
)
def test_a_day_reads_as_it_is_spoken(text, expected):
    assert parse_day(text, TODAY) == expected


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "Nothing is written"),
        ("5/6/2025", "5 June 2025 or 6 May 2025; write 2025-06-05 or 2025-05-06"),
        ("5.6.2025", "5 June 2025 or 6 May 2025"),
        ("5/5/2025", "write 2025-05-05"),
        ("5/31/2025", "write 2025-05-31"),
        ("45/45/2025", "is not a day"),
        ("5/6/25", "5 June 2025 or 6 May 2025"),
        ("2025-02-29", "February 2025 has 28 days"),
        ("31 april", "April 2025 has 30 days"),
        ("0 may", "May 2025 has 31 days"),
        ("2025-13-01", "no month 13"),
        ("1825-05-06", "outside 1900 to 2199"),
        ("2025-05-08", "lies after today, 2025-05-07"),
        ("tomorrow", "lies after today"),
        ("+1d", "lies after today"),
        ("m", "is not a day"),
        ("45783", "is not a day"),
        ("the day after", "is not a day"),
    ],
)
def test_what_is_no_past_day_is_refused_with_the_reason(text, reason):
    with pytest.raises(BadValue, match=reason):
        parse_day(text, TODAY)


def test_days_to_come_are_read_where_they_are_allowed():
    assert parse_day("+30d", TODAY, future=True) == date(2025, 6, 6)
    assert parse_day("2025-12-24", TODAY, future=True) == date(2025, 12, 24)
    assert parse_day("24 dec 2025", TODAY, future=True) == date(2025, 12, 24)


def test_a_day_without_its_year_is_not_guessed_where_it_may_lie_ahead():
    with pytest.raises(BadValue, match="write 24 dec 2025 or 24 dec 2026"):
        parse_day("24 dec", TODAY, future=True)


@given(days)
def test_months_follow_one_another_without_gap(day):
    month = Month.of(day)

    assert month.first <= day <= month.last
    assert month.next().first - month.last == timedelta(days=1)
    assert month.next().previous() == month
    assert month.previous() < month < month.next()
    assert parse_month(str(month), day) == month


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2025-5", "2025-05"),
        ("MAY", "2025-05"),
        ("june", "2024-06"),
        ("jan", "2025-01"),
        ("sept 2023", "2023-09"),
        ("this month", "2025-05"),
        ("last", "2025-04"),
        ("2026-01", "2026-01"),
    ],
)
def test_a_month_reads_as_it_is_spoken(text, expected):
    assert str(parse_month(text, TODAY)) == expected


@pytest.mark.parametrize(
    "text", ["", "5", "2025", "ma", "mayo", "2025-05-06", "13-2025", "1066-10"]
)
def test_what_is_no_month_is_refused(text):
    with pytest.raises(BadValue):
        parse_month(text, TODAY)


@given(st.times().map(lambda moment: moment.replace(second=0, microsecond=0)))
def test_every_minute_of_the_day_reads_on_both_clocks(moment):
    twelve = f"{moment.hour % 12 or 12}:{moment.minute:02}{'pm' if moment.hour >= 12 else 'am'}"

    assert parse_time(f"{moment:%H:%M}") == moment
    assert parse_time(f"{moment:%H%M}") == moment
    assert parse_time(twelve) == moment


def test_a_full_hour_needs_no_minutes():
    assert parse_time("3 p.m.") == time(15)
    assert parse_time("12am") == time(0)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "Nothing is written"),
        ("3", "write 3am or 3pm"),
        ("15", "is not a time of day"),
        ("24:00", "is not a time of day"),
        ("12:60", "is not a time of day"),
        ("13pm", "is not a time of day"),
        ("0am", "is not a time of day"),
        ("154", "is not a time of day"),
        ("noon", "is not a time of day"),
        ("3:4", "is not a time of day"),
    ],
)
def test_what_is_no_time_is_refused_with_the_reason(text, reason):
    with pytest.raises(BadValue, match=reason):
        parse_time(text)
