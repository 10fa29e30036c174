"""The tax of a deposit or a credit note under VAT is the rate of its net, to the cent."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.jobs.agreement import Ask, Delivered, agree
from ledger.jobs.jobs import describe, new_job, set_state
from ledger.jobs.payments import receive
from ledger.measures.money import Money, currency, sales_tax, total
from ledger.quotes.billing import write_invoice
from ledger.quotes.contract import contract_on
from ledger.quotes.credits import write_credit
from ledger.quotes.invoice import find_paper
from ledger.quotes.issuing import TAX_OF_SUM

EUR, RATE, DAY = currency("EUR"), Fraction(19, 100), date(2025, 4, 25)


@pytest.fixture
def shelf(metric_book):
    """An oiled oak shelf at 3,141.59 before VAT, in three payments, in a German shop."""
    with metric_book.entry("shop set"):
        for name, value in {
            "tax_standing": "vat", "tax_rate": "19 %", "address": "Lindenweg 4 | 20095 Hamburg",
            "tax_number": "DE123456788",
        }.items():  # fmt: skip
            metric_book.set(name, value)
    job = new_job(metric_book, "Oak shelf", client="Familie Brandt", number="J-2501")
    describe(metric_book, job, address="Feldstr. 9 | 20357 Hamburg")
    asks = [Ask("acceptance", Money(104720), Money(19897)),
            Ask("finishing", Money(104720), Money(19897)),
            Ask("installation", Money(104719), Money(19896))]  # fmt: skip
    with metric_book.entry("quote accept", "J-2501"):
        set_state(metric_book, job, "won", day=DAY)
        agree(metric_book, job, "Q-2501-A", asks, day=DAY, tax_rate=RATE, tax_standing="vat",
              lines=[Delivered("Oak shelf", Money(314159), True)])  # fmt: skip
    return job


def test_every_deposit_and_the_final_invoice_hold_the_tax_of_their_net(metric_book, shelf):
    written = []
    for came in ("1292.24", "333.33", "700.01", "41.70", "500.05"):
        receive(metric_book, shelf, EUR.money(Decimal(came)), "transfer")
        paper = write_invoice(metric_book, shelf)
        written.append(paper)
        assert paper.asked == EUR.money(Decimal(came))
        exact = sales_tax(paper.price, RATE, EUR) == paper.tax
        assert exact or TAX_OF_SUM in paper.notes, (came, paper.price, paper.tax)
        assert sum(part.base.minor for part in paper.taxes) == paper.price.minor
    assert (written[0].price, written[0].tax) == (Money(108592), Money(20632))

    final = write_invoice(metric_book, shelf, rest=True)
    whole = contract_on(metric_book, shelf, DAY).agreed_whole
    papers = [*written, final]
    assert total(paper.price for paper in papers) == whole.price == Money(314159)
    assert total(paper.tax for paper in papers) == whole.tax


def test_a_sum_that_no_net_adds_up_to_says_how_its_tax_was_worked_out(metric_book, shelf):
    gross = {net + sales_tax(Money(net), RATE, EUR).minor for net in range(2000)}
    missing = next(value for value in range(1000, 2000) if value not in gross)
    receive(metric_book, shelf, Money(missing), "transfer")

    paper = write_invoice(metric_book, shelf)
    assert paper.asked == Money(missing)
    assert TAX_OF_SUM in paper.notes


def test_a_credit_note_holds_the_tax_of_its_net(metric_book, shelf):
    final = write_invoice(metric_book, shelf, rest=True)
    row = find_paper(metric_book, final.number)
    for amount in ("80.00", "95.20", "33.33", "0.05"):
        note = write_credit(metric_book, row, "a dent", amount=EUR.money(Decimal(amount)))
        assert note.asked == -EUR.money(Decimal(amount))
        assert note.tax == sales_tax(note.price, RATE, EUR) or TAX_OF_SUM in note.notes
    contract = contract_on(metric_book, shelf, DAY)
    assert contract.whole == contract.invoiced
