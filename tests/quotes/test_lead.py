"""The weeks of a quote beside the hours that are booked before it."""

from datetime import date
from decimal import Decimal

from ledger.quotes.lead import LeadTime

TODAY = date(2026, 3, 2)


def lead(day):
    return LeadTime(day, TODAY, Decimal("48.00"), Decimal("24.00"))


def test_weeks_begin_with_each_seven_days():
    assert lead(date(2026, 3, 16)).weeks == 2
    assert lead(date(2026, 3, 17)).weeks == 3


def test_what_can_be_kept_is_not_said():
    assert lead(date(2026, 3, 16)).notice(2, 2) == ""


def test_what_cannot_be_kept_says_what_would_be_right():
    words = lead(date(2026, 3, 17)).notice(2, 2)
    assert "can hardly be kept" in words
    assert "24.00 h of yours for it after 48.00 h booked before it" in words
    assert "--weeks 3" in words
    assert "not the usual 2" in lead(date(2026, 3, 17)).notice(2, 3)
    assert "can't be kept" in lead(None).notice(2, 2)
