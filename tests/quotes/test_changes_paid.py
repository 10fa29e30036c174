"""A change order invoiced or requested by itself: what comes for it is for it."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.jobs.agreement import Ask, Delivered, agree
from ledger.jobs.changes import approve, propose
from ledger.jobs.job_rules import REVERSAL_RULES as JOB_RULES
from ledger.jobs.jobs import describe, new_job, set_state
from ledger.jobs.payments import outstanding, payments_due, receive
from ledger.measures.money import Money, currency
from ledger.quotes.asked_later import asked_later
from ledger.quotes.billing import write_invoice
from ledger.quotes.quote_rules import REVERSAL_RULES as QUOTE_RULES
from ledger.quotes.to_be_paid import open_papers, open_papers_of
from ledger.reports.wip import money_in

USD, EUR = currency("USD"), currency("EUR")
RULES = (*JOB_RULES, *QUOTE_RULES)
DAY, NONE = date(2025, 4, 10), Money(0)


def usd(text):
    return USD.money(Decimal(text))


def eur(text):
    return EUR.money(Decimal(text))


def agreed(book, title, price, tax, rate, standing, untaxed=NONE):
    """A job agreed on in halves, one part of it without tax."""
    job = new_job(book, title, client="T. Okafor")
    lines = [Delivered(title, price - untaxed, True)]
    lines += [Delivered("Delivery", untaxed, False)] if untaxed else []
    half, half_tax = price.times(Fraction(1, 2)), tax.times(Fraction(1, 2))
    asks = [Ask("On acceptance", half, half_tax), Ask("On completion", half, half_tax)]
    with book.entry("quote accept", title):
        set_state(book, job, "won", day=DAY)
        agree(book, job, "Q-1-A", asks, day=DAY, tax_rate=rate, tax_standing=standing, lines=lines)
    return job


def change(book, job, words, price):
    order = propose(book, job, words, price, day=DAY)
    approve(book, job, order, "e-mail", day=DAY)


def pay(book, job, amount, day=DAY):
    receive(book, job, amount, "transfer", day=day)


def still_open(book, job):
    return [book.currency.show(one.open).lstrip("$€") for one in outstanding(book, job)]


def late(book, job):
    return [(paper.name, paper.open) for paper in open_papers_of(book, job)]


def tax_of_april(book):
    (row,) = money_in(book, date(2025, 4, 1), date(2025, 4, 30))
    return row.tax


@pytest.fixture
def wall(book):
    """A wall of shelves at 8,110.00, its delivery of 1,250.00 untaxed; the deposit is paid."""
    job = agreed(book, "Wall", usd("8110"), usd("480.20"), Fraction(7, 100), "sales_tax",
                 usd("1250"))  # fmt: skip
    write_invoice(book, job, day=DAY)
    pay(book, job, usd("4295.10"))
    change(book, job, "crown", usd("380"))
    return job


def test_what_comes_for_the_invoice_of_a_change_order_is_for_it(book, wall):
    write_invoice(book, wall, which="CO-1", day=DAY)
    assert [open_of for _, open_of in late(book, wall)] == [usd("406.60")]
    pay(book, wall, usd("406.60"))

    assert still_open(book, wall) == ["0.00", "4,295.10", "0.00"]
    assert open_papers(book) == []
    assert [(job.number, one.name, one.open) for job, one in payments_due(book)] == [
        (wall.number, "On completion", usd("4295.10"))
    ]
    assert tax_of_april(book) == usd("266.70")


def test_the_final_invoice_after_a_change_order_asks_for_all_that_it_invoices(book, wall):
    write_invoice(book, wall, which="CO-1", day=DAY)
    pay(book, wall, usd("406.60"))
    final = write_invoice(book, wall, day=DAY)

    assert (final.asked, final.to_pay, final.left) == (usd("4295.10"), usd("4295.10"), Money(0))
    pay(book, wall, usd("4295.10"))
    assert (open_papers(book), tax_of_april(book)) == ([], usd("506.80"))


@pytest.mark.parametrize("first", ["406.60", "4295.10"])
def test_of_two_open_invoices_each_gets_the_money_of_its_sum(book, wall, first):
    write_invoice(book, wall, which="CO-1", day=DAY)
    final = write_invoice(book, wall, day=DAY)
    assert (final.to_pay, final.left) == (usd("4295.10"), usd("406.60"))

    second = {"406.60": "4295.10", "4295.10": "406.60"}[first]
    pay(book, wall, usd(first))
    assert [left for _, left in late(book, wall)] == [usd(second)]
    pay(book, wall, usd(second))
    assert (open_papers(book), tax_of_april(book)) == ([], usd("506.80"))


def test_a_part_of_the_money_of_a_change_order_leaves_its_rest_on_its_invoice(book, wall):
    write_invoice(book, wall, which="CO-1", day=DAY)
    pay(book, wall, usd("200"))

    assert late(book, wall) == [("I-2501-2", usd("206.60"))]
    pay(book, wall, usd("1206.60"))
    assert still_open(book, wall) == ["0.00", "3,295.10", "0.00"]


def test_paid_before_its_invoice_a_change_order_is_paid_on_it(book, wall):
    pay(book, wall, usd("406.60"))
    found = write_invoice(book, wall, which="CO-1", day=DAY)

    assert (found.asked, found.to_pay, found.left) == (usd("406.60"), Money(0), usd("4295.10"))
    assert open_papers(book) == []


def test_a_change_order_that_is_paid_is_not_offered_to_be_asked_for(book, wall):
    change(book, wall, "lamps", usd("100"))
    pay(book, wall, usd("406.60"))
    said = asked_later(book, wall, write_invoice(book, wall, day=DAY))

    assert said.startswith("Not on this paper: CO-2: lamps, 107.00 with tax.")


def test_of_two_change_orders_each_gets_its_own(book, wall):
    change(book, wall, "lamps", usd("100"))
    write_invoice(book, wall, which="CO-1", day=DAY)
    write_invoice(book, wall, which="CO-2", day=DAY)
    pay(book, wall, usd("107"))
    assert late(book, wall) == [("I-2501-2", usd("406.60"))]

    pay(book, wall, usd("406.60"))
    assert still_open(book, wall) == ["0.00", "4,295.10", "0.00", "0.00"]
    assert tax_of_april(book) == usd("273.70")


def test_undone_or_given_back_the_money_of_a_change_order_is_open_again(book, wall):
    write_invoice(book, wall, which="CO-1", day=DAY)
    pay(book, wall, usd("406.60"))
    book.reverse(book.entries(1)[0].id, "typed twice", RULES)
    assert late(book, wall) == [("I-2501-2", usd("406.60"))]

    pay(book, wall, usd("406.60"))
    pay(book, wall, usd("1000"))
    pay(book, wall, usd("-406.60"))
    assert still_open(book, wall) == ["0.00", "3,295.10", "406.60"]
    # 1,000.00 of 4,295.10 has 55.90 of its 240.10
    assert tax_of_april(book) == usd("240.10") + usd("55.90")


@pytest.fixture
def table(metric_book):
    """A table at 2,000.00 and 19 % of VAT in halves, the first one paid and invoiced."""
    with metric_book.entry("shop set"):
        for name, value in {
            "tax_standing": "vat", "tax_rate": "19 %", "address": "Lindenweg 4 | Hamburg",
            "tax_number": "DE123456788",
        }.items():  # fmt: skip
            metric_book.set(name, value)
    job = agreed(metric_book, "Tisch", eur("2000"), eur("380"), Fraction(19, 100), "vat")
    describe(metric_book, job, address="Feldstr. 9 | Hamburg")
    pay(metric_book, job, eur("1190"))
    write_invoice(metric_book, job, day=DAY)
    change(metric_book, job, "Kabel", eur("80"))
    return job


def test_what_comes_for_a_payment_request_is_invoiced_for_what_it_asked(metric_book, table):
    write_invoice(metric_book, table, which="CO-1", request=True, day=DAY)
    pay(metric_book, table, eur("95.20"))
    assert open_papers(metric_book) == []

    found = write_invoice(metric_book, table, day=DAY)
    assert [(line.name, line.price, line.tax) for line in found.lines] == [
        ("CO-1: Kabel", eur("80"), eur("15.20"))
    ]
    assert tax_of_april(metric_book) == eur("205.20")


def test_invoices_of_what_came_and_the_final_one_are_the_contract(metric_book, table):
    pay(metric_book, table, eur("500"))
    change(metric_book, table, "ohne Lade", eur("-100"))
    found = [write_invoice(metric_book, table, day=DAY)]
    pay(metric_book, table, eur("300"))
    found += [write_invoice(metric_book, table, day=DAY)]
    found += [write_invoice(metric_book, table, rest=True, supplied=DAY, day=DAY)]

    # 2,080.00 less 100.00, with 376.20 of VAT, less the 1,000.00 and 190.00 invoiced first
    assert sum(one.price.minor for one in found) == 980_00
    assert sum(one.tax.minor for one in found) == 186_20
    assert tax_of_april(metric_book) == sum((one.tax for one in found[:2]), eur("190"))
