"""The client's quote on paper: its figures, its margins, its blocks together, for any offer."""

import pytest

from ledger.book.tables.clients import Client
from ledger.measures.money import Money, currency
from ledger.papers.engine import print_paper
from ledger.papers.quote import quote_paper
from ledger.quotes.offer import Maker, QuoteDeliverable
from tests.papers.conftest import ReadBack

CLIENT = Client(name="D. Marrow " * 12, address="4 Long Row | Larkspur Falls | ME 04099")
HEADS = ("We assume", "Not included", "Please note", "What you get", "Payments")


@pytest.mark.parametrize("size", ["letter", "A4"])
def test_the_fullest_quote_stays_inside_its_margins_and_is_readable(
    size, full_offer, read_back, inside_margins
):
    pdf = read_back(quote_paper(full_offer(), CLIENT, size, is_draft=True))

    assert not inside_margins(pdf)[:5]
    assert "Part 24" in pdf.text
    assert all("Page" in page for page in pdf.pages)


@pytest.mark.parametrize("size", ["letter", "A4"])
def test_the_emptiest_quote_is_one_page(size, offer_of, read_back, inside_margins):
    pdf = read_back(quote_paper(offer_of(), None, size))

    assert len(pdf.pages) == 1
    assert "Page 1 of 1" in pdf.text
    assert not inside_margins(pdf)


@pytest.mark.parametrize("size", ["letter", "A4"])
@pytest.mark.parametrize("lines", range(1, 60, 7))
def test_no_heading_ends_a_page_and_heads_stand_on_each(lines, size, full_offer, read_back):
    pdf = read_back(quote_paper(full_offer(lines), CLIENT, size))

    for page in pdf.pages[:-1]:
        body = [line for line in page.splitlines() if line.strip() and "Page " not in line]
        assert body[-1].strip() not in HEADS, body[-3:]
        assert not body[-1].strip().startswith(HEADS), body[-3:]
    for page in pdf.pages:
        if "Part " in page and "Part 1 " not in page:
            assert "What you get" in page
    signed = next(page for page in pdf.pages if "Signature" in page)
    assert "Clause 5" in signed


def test_amounts_days_and_a_draft_in_words(offer_of, read_back):
    eur = currency("EUR")
    lines = (
        QuoteDeliverable("Table", Money(123456), True),
        QuoteDeliverable("Less", Money(-500), True),
    )
    offer = offer_of(currency=eur, units="mm", deliverables=lines)

    text = read_back(quote_paper(offer, None, "A4", is_draft=True)).text

    assert "Draft, not an offer yet" in text
    assert "Draft" not in read_back(quote_paper(offer, None, "A4")).text
    assert "Table 1,234.56" in text
    assert "Less −5.00" in text
    assert "Total €1,229.56" in text
    assert "Date 25 April 2025" in text
    assert "This quote stands until 25 May 2025." in text


def test_type_is_printed_at_its_size(offer_of, read_back):
    pdf = read_back(quote_paper(offer_of(description="Measured"), None, "letter"))

    sizes = {letter.size for letter in pdf.letters(0)}
    assert 10.0 in {round(size, 2) for size in sizes}
    assert min(sizes) >= 7.95


def test_a_quote_weighs_little(full_offer):
    assert len(print_paper(quote_paper(full_offer(3), None, "letter")).content) < 90_000


@pytest.mark.parametrize("size", ["letter", "A4"])
def test_an_address_is_copied_from_the_paper_as_it_was_typed(size, offer_of, inside_margins):
    mail = "office.and.bench@larkhollow-joinery.example"  # of more letters than stand unbroken
    word = "Wardrobe" * 30  # broken at the margin, with nothing in it that is not seen
    line = QuoteDeliverable(word, Money(100), True)
    offer = offer_of(maker=Maker("", "", mail), deliverables=(line,))
    pdf = ReadBack(print_paper(quote_paper(offer, None, size)).content)
    raw = "".join(page.get_textpage().get_text_bounded() for page in pdf.document)

    assert mail in raw
    assert word in raw.replace("\r\n", "")
    assert "\u200b" not in raw
    assert not inside_margins(pdf)
