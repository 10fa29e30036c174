"""What clients paid in a month, the tax in it, and what is held until the work is done."""

from datetime import date
from fractions import Fraction

import pytest

from ledger.jobs.agreement import IN_ONE_SUM, Ask, Delivered, agree
from ledger.jobs.changes import approve, propose
from ledger.jobs.jobs import find_job, new_job, set_state
from ledger.jobs.payments import receive
from ledger.measures.day import Month
from ledger.measures.money import Money
from ledger.quotes.billing import write_invoice
from ledger.reports.month import month_json, month_report
from ledger.reports.wip import money_in

MAY, JUNE = Month(2025, 5), Month(2025, 6)
JANUARY, FEBRUARY = Month(2025, 1), Month(2025, 2)


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


@pytest.fixture
def partly_taxed(book):
    """A wall at 8,110.00, of it 6,860.00 taxed at 7 %, in halves of 4,055.00 and 240.10 of tax."""
    job = new_job(book, "Wall")
    set_state(book, job, "won", day=date(2025, 1, 2))
    asks = [Ask(name, Money(405500), Money(24010)) for name in ("acceptance", "completion")]
    lines = [Delivered("Wall", Money(686000), True), Delivered("Delivery", Money(125000), False)]
    agree(book, job, "Q-2501-A", asks, day=date(2025, 1, 2), tax_rate=Fraction(7, 100),
          tax_standing="sales_tax", lines=lines)  # fmt: skip
    return job


def less(book, job, day):
    approve(book, job, propose(book, job, "less", Money(-9000), day=day), "e-mail", day=day)


def test_a_change_that_takes_off_moves_no_tax_of_a_month_in_which_nothing_came(book, partly_taxed):
    job = partly_taxed
    receive(book, job, Money(429510), "transfer", day=date(2025, 1, 3))
    less(book, job, date(2025, 2, 3))
    assert paid(book, FEBRUARY) == [(job.number, 0, 0, 429510)]

    receive(book, job, Money(333978), "transfer", day=date(2025, 3, 3))
    receive(book, job, Money(85902), "transfer", day=date(2025, 4, 3))
    # the last 4,198.80 have 233.80 of tax: 3,339.78 of them 185.97, the rest what is left
    months = [paid(book, Month(2025, month))[0][2] for month in (1, 2, 3, 4)]
    assert months == [24010, 0, 18597, 4783]
    assert sum(months) == 48020 - 630


def test_a_change_that_takes_off_leaves_the_tax_of_a_part_payment(book, partly_taxed):
    receive(book, partly_taxed, Money(200000), "transfer", day=date(2025, 1, 3))
    less(book, partly_taxed, date(2025, 2, 3))

    # 2,000.00 of 4,295.10 have 111.80 of its 240.10
    assert paid(book, JANUARY)[0][2] == 11180
    assert paid(book, FEBRUARY)[0][2] == 0


def test_an_invoice_says_the_tax_in_what_comes_for_it_whatever_changed_since(book, partly_taxed):
    found = write_invoice(book, partly_taxed, day=date(2025, 1, 2))
    less(book, partly_taxed, date(2025, 1, 3))
    receive(book, partly_taxed, Money(429510), "transfer", day=date(2025, 1, 4))

    assert paid(book, JANUARY)[0][1:3] == (429510, found.tax.minor) == (429510, 24010)


def test_a_price_agreed_anew_leaves_the_tax_of_months_before(book):
    job = new_job(book, "Bench")
    january = Ask("agreed price", Money(100000), Money(7000))
    agree(book, job, IN_ONE_SUM, [january], day=date(2025, 1, 2), tax_rate=Fraction(7, 100),
          tax_standing="sales_tax")  # fmt: skip
    receive(book, job, Money(53500), "transfer", day=date(2025, 1, 3))
    february = Ask("On completion", Money(120000), Money(0))
    agree(book, job, "Q-2501-A", [february], day=date(2025, 2, 2), tax_rate=Fraction(7, 100),
          tax_standing="sales_tax")  # fmt: skip
    assert (paid(book, JANUARY)[0][2], paid(book, FEBRUARY)) == (3500, [(job.number, 0, 0, 53500)])

    receive(book, job, Money(66500), "transfer", day=date(2025, 2, 3))
    assert paid(book, FEBRUARY)[0][1:3] == (66500, -3500)
