"""Quotes sent under an older schema open, check and can be written again."""

import hashlib
from pathlib import Path

import pytest

from ledger.book.tables.quotes import Quote, QuoteBasis, QuotePage, QuoteState
from ledger.measures.money import Money
from ledger.quotes.check import check_quotes
from ledger.quotes.revisions import standing
from ledger.quotes.snapshot import SCHEMA, read_offer

OLD = {int(path.stem.split("-")[1]): path for path in Path(__file__).parent.glob("old_pages/*")}


def test_every_older_schema_has_its_page_here():
    assert sorted(OLD) == list(range(1, SCHEMA))


@pytest.mark.parametrize("schema", sorted(OLD))
def test_an_old_page_reads_as_an_offer_of_today(schema):
    offer = read_offer(OLD[schema].read_bytes(), schema)

    assert (offer.name, offer.title) == ("Q-2507-A", "Marrow fold-down bed")
    assert offer.to_pay == Money(734480)
    assert offer.options == ()


@pytest.mark.parametrize("schema", sorted(OLD))
def test_a_quote_sent_under_an_old_schema_opens_and_checks(book, job, schema):
    page = OLD[schema].read_bytes()
    with book.entry("quote send", "long ago"):
        quote = book.post(Quote(number="Q-2507", revision="A", job=job.key))
        book.post(QuotePage(quote=quote.key, schema_number=schema, program="0.0.9", page=page,
                            sha256=hashlib.sha256(page).hexdigest()))  # fmt: skip
        book.post(QuoteBasis(quote=quote.key, schema_number=schema, basis=b"{}",
                             sha256=hashlib.sha256(b"{}").hexdigest()))  # fmt: skip
        book.post(QuoteState(quote=quote.key, state="sent", day=book.today))

    assert standing(book, quote).state == "sent"
    assert [finding.faults for finding in check_quotes(book)] == [()]
