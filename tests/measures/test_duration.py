"""Worked time is whole minutes, however it is spoken."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import BadValue
from ledger.measures.duration import parse_duration, show_minutes, to_hours


@given(st.integers(1, 24 * 60))
def test_shown_minutes_read_back_the_same(minutes):
    hours, rest = divmod(minutes, 60)

    assert parse_duration(show_minutes(minutes)) == minutes
    assert parse_duration(f"{hours}:{rest:02}") == minutes
    assert parse_duration(f"{minutes} min") == minutes


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("1H45", 105),
        ("1 hr 5 min", 65),
        ("0:30", 30),
        ("1.25", 75),
        ("1,25 h", 75),
        ("1 1/4 h", 75),
        ("1½", 90),
        (".5", 30),
        ("24", 1440),
        ("1.5 m", 2),
        ("1h45'", 105),
        ("0.01h", 1),
    ],
)
def test_a_duration_reads_as_it_is_spoken(text, minutes):
    assert parse_duration(text) == minutes


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "Nothing is written"),
        ("90", "90m or 90h"),
        ("25", "25m or 25h"),
        ("0m", "no whole minute"),
        ("0.001", "no whole minute"),
        ("-2h", "negative"),
        ("1:75", "write 2h15"),
        ("24h01", "at most 24h"),
        ("1:5", "is not a duration"),
        ("1h2h", "is not a duration"),
        ("1d", "is not a duration"),
        ("15:40:20", "is not a duration"),
    ],
)
def test_what_is_no_duration_is_refused_with_the_reason(text, reason):
    with pytest.raises(BadValue, match=reason):
        parse_duration(text)


def test_a_longer_piece_is_taken_where_it_is_allowed():
    assert parse_duration("30h", longest=40 * 60) == 1800
    with pytest.raises(BadValue, match="at most 40h"):
        parse_duration("41h", longest=40 * 60)


@given(st.integers(0, 10**6))
def test_hours_are_a_sixtieth_of_the_minutes_to_the_nearest_hundredth(minutes):
    assert abs(Fraction(to_hours(minutes)) - Fraction(minutes, 60)) <= Fraction(1, 200)


def test_half_a_hundredth_of_an_hour_goes_up():
    assert to_hours(Fraction(3, 10)) == Decimal("0.01")
