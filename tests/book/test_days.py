"""Days that may be posted to, and months that are closed and opened again."""

from datetime import date

import pytest

from ledger.book import close_month, is_closed, reopen_month, require_open_day
from ledger.book.days import open_months
from ledger.errors import NotAllowed
from ledger.measures.day import Month

FEBRUARY, MARCH, APRIL = Month(2025, 2), Month(2025, 3), Month(2025, 4)


def test_today_and_earlier_days_are_open(book):
    for day in (date(2025, 4, 25), date(2025, 4, 1), date(2019, 1, 1)):
        assert require_open_day(book, day) == day


def test_a_day_in_the_future_is_refused(book):
    sentence = "2025-04-26 lies in the future; today is 2025-04-25"
    with pytest.raises(NotAllowed, match=sentence):
        require_open_day(book, date(2025, 4, 26))


def test_a_day_of_a_closed_month_is_refused_and_the_sentence_says_what_to_do(book):
    close_month(book, MARCH)
    assert is_closed(book, MARCH)
    for day in (date(2025, 3, 1), date(2025, 3, 31)):
        with pytest.raises(NotAllowed, match=r"2025-03 is closed.* --reopen --why TEXT"):
            require_open_day(book, day)
    assert require_open_day(book, date(2025, 2, 28))
    assert require_open_day(book, date(2025, 4, 1))


def test_a_month_that_is_not_over_is_not_closed(book):
    with pytest.raises(NotAllowed, match=r"2025-04 .* 2025-05-01"):
        close_month(book, APRIL)


def test_a_month_is_closed_once(book):
    close_month(book, MARCH)
    with pytest.raises(NotAllowed, match="2025-03 is closed already"):
        close_month(book, MARCH)
    assert len(book.entries(10)) == 2


def test_a_month_is_opened_again_with_a_reason_and_can_be_closed_again(book):
    with book.entry("shop set"):
        book.set("opened", "2025-02-10")
    close_month(book, MARCH)
    assert open_months(book) == (FEBRUARY,)
    reopen_month(book, MARCH, "a bill came late")
    assert not is_closed(book, MARCH)
    assert open_months(book) == (FEBRUARY, MARCH)
    assert require_open_day(book, date(2025, 3, 31))
    close_month(book, MARCH)
    assert is_closed(book, MARCH)


@pytest.mark.parametrize("why", ["", "  "])
def test_a_month_is_not_opened_again_without_a_reason(book, why):
    close_month(book, MARCH)
    with pytest.raises(NotAllowed, match=r"why 2025-03.* --why"):
        reopen_month(book, MARCH, why)
    assert is_closed(book, MARCH)


def test_an_open_month_is_not_opened_again(book):
    with pytest.raises(NotAllowed, match="2025-03 is open"):
        reopen_month(book, MARCH, "a bill came late")


def test_taking_back_the_closing_opens_the_month(book):
    close_month(book, MARCH)
    book.reverse(2, "closed too early")
    assert not is_closed(book, MARCH)
