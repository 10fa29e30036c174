"""Under VAT, where the client owes the tax: the words and both VAT numbers stand on the invoice.

Source: Directive 2006/112/EC, Article 226, points 4, 11 and 11a.
"""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.errors import NotAllowed
from ledger.jobs.agreement import Ask, Delivered, agree
from ledger.jobs.jobs import client_of, describe, new_job, set_state
from ledger.measures.money import Money, currency
from ledger.papers.invoice import invoice_paper
from ledger.quotes.billing import write_invoice
from ledger.quotes.issuing import missing_particulars

EUR = currency("EUR")
DAY = date(2025, 4, 25)
PRICE = EUR.money(Decimal(1200))


@pytest.fixture
def counter(metric_book):
    """A shop counter for a client in another country, agreed on without VAT."""
    with metric_book.entry("shop set"):
        for name, value in {
            "shop": "Lindenhof", "address": "Lindenweg 4", "tax_standing": "vat",
            "tax_rate": "19 %", "tax_number": "DE123456788", "wording_pay_to": "By transfer",
        }.items():  # fmt: skip
            metric_book.set(name, value)
    job = new_job(metric_book, "Shop counter", client="Van Dael", number="J-2501")
    describe(metric_book, job, address="Kade 3 | Antwerpen")
    with metric_book.entry("quote accept", "J-2501"):
        set_state(metric_book, job, "won", day=DAY)
        agree(metric_book, job, "Q-2501-A", [Ask("On delivery", PRICE, Money(0))], day=DAY,
              tax_rate=Fraction(19, 100), tax_standing="vat",
              lines=[Delivered("Counter", PRICE, False)])  # fmt: skip
    return metric_book, job


def test_why_no_tax_falls_on_it_is_asked_for(counter):
    book, job = counter

    invoice = write_invoice(book, job, rest=True, supplied=DAY)

    assert (invoice.tax, invoice.tax_words) == (Money(0), "No tax on this part")
    (lacking,) = missing_particulars(book, job, invoice)
    assert 'wording_untaxed="Reverse charge"' in lacking


def test_a_reverse_charge_names_the_client_who_owes_the_tax(counter):
    book, job = counter
    with book.entry("shop set"):
        book.set("wording_untaxed", "Reverse charge")

    with pytest.raises(NotAllowed, match="job client J-2501 --vat-number NUMBER"):
        write_invoice(book, job, rest=True, supplied=DAY)
    describe(book, job, vat_number="BE0999999999")
    invoice = write_invoice(book, job, rest=True, supplied=DAY)

    assert missing_particulars(book, job, invoice) == []
    texts = invoice_paper(invoice, client_of(book, job), "A4").texts
    assert texts["tax_words"] == "Reverse charge"
    assert "VAT number BE0999999999" in texts["client"]
    assert "VAT number DE123456788" in texts["ways"]
