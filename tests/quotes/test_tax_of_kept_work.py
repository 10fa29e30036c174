"""Pay for work on a canceled job has its tax at the rate agreed, on the part that is taxed."""

from datetime import date
from fractions import Fraction

import pytest

from ledger.jobs.agreement import Ask, Delivered, agree
from ledger.jobs.cancel import CUT, CancelBasis, Terms
from ledger.jobs.jobs import new_job, set_state
from ledger.jobs.payments import balance
from ledger.measures.money import currency
from ledger.quotes.canceling import account_of, cancel_with_papers, settle_with_papers
from ledger.quotes.contract import contract_on

eur = currency("EUR").parse
RATE = Fraction(19, 100)
AGREED = date(2025, 3, 1)
GATE = (Delivered("Gate", eur("2016.81"), True),)
COURSE = (Delivered("Table", eur("1000"), True), Delivered("Course", eur("500"), False))


def sold(book, lines, price, tax):
    """A job agreed at a price and its tax, in one payment."""
    with book.entry("shop set"):
        book.set("tax_standing", "vat")
        book.set("tax_rate", "19 %")
    job = new_job(book, "Gate", client="Y", number="J-2501")
    with book.entry("quote accept"):
        set_state(book, job, "won", day=AGREED)
        agree(book, job, "Q-2501-A", [Ask("At once", eur(price), eur(tax))], day=AGREED,
              tax_rate=RATE, tax_standing="vat", lines=lines)  # fmt: skip
    return job


@pytest.fixture
def gate(metric_book):
    """Agreed at 2,400.00 with tax: 2,016.81 and 383.19, which is a little less than 19 %."""
    return sold(metric_book, GATE, "2016.81", "383.19")


@pytest.fixture
def course(metric_book):
    """A table with tax and a course without: two thirds of the price are taxed."""
    return sold(metric_book, COURSE, "1500", "190")


def kept(book, job, net):
    record = CancelBasis(CUT, balance(book, job), [], eur(net), None)
    return account_of(book, job, record, Terms(), "work")


def test_the_tax_on_kept_work_is_the_rate_of_it(metric_book, gate):
    """518.82 × 19 % = 98.5758; the contract's 383.19 ÷ 2,016.81 would give 98.57."""
    found = kept(metric_book, gate, "518.82")

    assert (found.tax, found.kept) == (eur("98.58"), eur("617.40"))
    cancel_with_papers(metric_book, gate, found, "moved")
    whole = contract_on(metric_book, gate, metric_book.today).whole
    assert (whole.price, whole.taxed, whole.tax) == (eur("518.82"), eur("518.82"), eur("98.58"))


@pytest.mark.parametrize("net, tax", [("518.82", "98.58"), ("1000.03", "190.01")])
def test_a_sum_settled_with_its_tax_in_it_is_divided_by_the_rate(metric_book, gate, net, tax):
    """1,000.03 × 19 % = 190.0057; in share of the contract 1,190.04 would have 190.00 in it."""
    cancel_with_papers(metric_book, gate, kept(metric_book, gate, "300"), "moved")

    asked = eur(net) + eur(tax)
    again, _ = settle_with_papers(metric_book, gate, asked, "met halfway", kept_as="work")

    assert (again.kept - again.tax, again.tax) == (eur(net), eur(tax))


def test_kept_work_is_taxed_in_the_part_of_the_contract_that_is(metric_book, course):
    """Of 300.00 two thirds, 200.00, are taxed: 38.00, and the invoice says so."""
    found = kept(metric_book, course, "300")

    assert (found.tax, found.kept) == (eur("38"), eur("338"))
    cancel_with_papers(metric_book, course, found, "moved")
    whole = contract_on(metric_book, course, metric_book.today).whole
    assert (whole.price, whole.taxed, whole.tax) == (eur("300"), eur("200"), eur("38"))
