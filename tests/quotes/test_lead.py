"""The weeks of a quote beside the hours that are booked before it."""

from datetime import date
from decimal import Decimal

import pytest

from ledger.quotes.draft import Wishes, draft_quote
from ledger.quotes.lead import LeadTime
from ledger.quotes.text import offer_text

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


@pytest.mark.parametrize(
    ("count", "said"),
    [("0", ""), ("1", "1 drawing revision included."), ("3", "3 drawing revisions included.")],
)
def test_a_quote_says_how_often_its_drawing_is_changed(book, job, sheet, count, said):
    with book.entry("shop set"):
        book.set("revisions", count)
    text = " ".join(offer_text(draft_quote(book, job, Wishes(), sheet).offer, None).split())

    assert said in text
    assert text.count("included.") == bool(said)
