"""What clients paid in a month, the tax in it, and what is held until the work is done."""

from datetime import date
from fractions import Fraction

import pytest

from ledger.jobs.agreement import Ask, agree
from ledger.jobs.jobs import find_job, set_state
from ledger.jobs.payments import receive
from ledger.measures.day import Month
from ledger.measures.money import Money
from ledger.reports.month import month_json, month_report
from ledger.reports.wip import money_in

MAY, JUNE = Month(2025, 5), Month(2025, 6)


def paid(book, month):
    return [
        (row.job, row.received.minor, row.tax.minor, row.held.minor)
        for row in money_in(book, month.first, month.last)
    ]


@pytest.fixture
def sold(spring):
    """The bed, sold for 6,980.00 and 364.80 of tax in three payments, the first in May."""
    job = find_job(spring, "J-2507")
    asks = [Ask("acceptance", Money(349000), Money(18240)),
            Ask("before finishing", Money(279200), Money(14592)),
            Ask("installed", Money(69800), Money(3648))]  # fmt: skip
    agree(spring, job, "Q-2507-B", asks, day=date(2025, 5, 2), tax_rate=Fraction(6, 100),
          tax_standing="sales_tax")  # fmt: skip
    receive(spring, job, Money(367240), "transfer", day=date(2025, 5, 3))
    return spring


def test_a_payment_holds_its_part_of_the_tax_and_is_held(sold):
    assert paid(sold, MAY) == [("J-2507", 367240, 18240, 367240)]


def test_a_later_month_shows_only_what_came_in_it(sold):
    receive(sold, find_job(sold, "J-2507"), Money(293792), "transfer", day=date(2025, 6, 10))

    assert paid(sold, JUNE) == [("J-2507", 293792, 14592, 661032)]
    assert paid(sold, MAY) == [("J-2507", 367240, 18240, 367240)]


def test_part_of_a_payment_has_part_of_its_tax(sold):
    receive(sold, find_job(sold, "J-2507"), Money(146896), "cash", day=date(2025, 6, 10))

    assert paid(sold, JUNE)[0][2] == 7296


def test_nothing_is_held_once_the_piece_stands(sold):
    set_state(sold, find_job(sold, "J-2507"), "installed", day=date(2025, 6, 20))

    assert paid(sold, JUNE) == []
    assert paid(sold, MAY)[0][3] == 367240


def test_the_month_tells_what_came_and_what_is_held(sold):
    facts = month_json(month_report(sold, MAY))

    assert (facts["received"], facts["tax_collected"]) == ("3672.40", "182.40")
    assert facts["deposits_held"] == "3672.40"
