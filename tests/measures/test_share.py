"""A share is read as a percentage, or as a number below one."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import BadValue
from ledger.measures.share import parse_share, show_share


@given(st.integers(0, 10**6).map(lambda steps: Fraction(steps, 10**6)))
def test_a_shown_share_reads_back_the_same(share):
    assert parse_share(show_share(share)) == share


@pytest.mark.parametrize(
    ("text", "share"),
    [
        ("0", "0"),
        ("0 %", "0"),
        ("6pct", "3/50"),
        ("6 per cent", "3/50"),
        ("8.875%", "71/800"),
        ("½ %", "1/200"),
        ("1/8", "1/8"),
        ("0,06", "3/50"),
        ("100 %", "1"),
        ("250 %", "5/2"),
    ],
)
def test_a_share_reads_in_the_usual_spellings(text, share):
    assert parse_share(text) == Fraction(share)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "Nothing is written"),
        ("6", "may be 6 % or 600 %; write 6 % or 0.06"),
        ("1", "may be 1 % or 100 %; write 1 % or 0.01"),
        ("-6 %", "negative"),
        ("6 %%", "is not a share"),
        ("six percent", "is not a share"),
        ("1,250 %", "may be 1250 or 1.250"),
        ("10001 %", "at most 10000 %"),
        ("101", "at most 10000 %"),
    ],
)
def test_what_is_no_share_is_refused_with_the_reason(text, reason):
    with pytest.raises(BadValue, match=reason):
        parse_share(text)


def test_a_share_above_its_limit_is_refused_with_the_limit():
    assert parse_share("50 %", most=Fraction(1, 2)) == Fraction(1, 2)
    with pytest.raises(BadValue, match="at most 50 %"):
        parse_share("50.1 %", most=Fraction(1, 2))
