"""The sample bed's quote on paper: one page, its figures, and where they stand."""

import pypdfium2
import pytest

from ledger.jobs.jobs import client_of
from ledger.measures.money import Money
from ledger.papers.engine import print_paper
from ledger.papers.quote import quote_paper
from ledger.quotes.draft import Wishes, draft_quote

# Left and foot of a text's first letter in points from the left and the foot of a letter page. A
# typst that moves them is looked at before its figures are written here.
PLACES = {
    "Q-2507-A": (507.3, 722.3),
    "Quillhaven Workshop": (57.6, 735.9),
    "Touching up": (322.6, 279.7),
    "What you get": (57.6, 520.1),
    "Overall size": (57.6, 609.4),
    "D. Marrow": (57.6, 690.3),
    "7,344.80": (507.3, 455.9),
    "We assume": (57.6, 364.9),
    "Page 1": (518.9, 23.2),
}


@pytest.fixture(scope="module")
def bed_quote(bed_book, bed, bed_sheet):
    wishes = Wishes(extras={"Delivery and installation": Money(90000)}, goods="Bed and towers",
                    drawing="D-2507 rev 2", sample="3", mattress="60x80x10 in, 75 lb")  # fmt: skip
    return draft_quote(bed_book, bed, wishes, bed_sheet).offer, client_of(bed_book, bed)


@pytest.mark.parametrize("size", ["letter", "A4"])
def test_the_beds_quote_is_one_page_of_figures(bed_quote, size):
    content = print_paper(quote_paper(*bed_quote, size)).content
    document = pypdfium2.PdfDocument(content)
    text = " ".join(document[0].get_textpage().get_text_bounded().split())

    assert len(document) == 1
    assert len(content) <= 60_000
    for words in (
        "Bed and towers 6,080.00", "Delivery and installation 900.00", "Price before tax 6,980.00",
        "Sales tax 6 % on the taxable part 364.80", "Total to pay $7,344.80",
        "On acceptance 3,490.00 182.40 3,672.40", "Before finishing 2,792.00 145.92 2,937.92",
        "On installation 698.00 36.48 734.48", "Date April 25, 2025",
    ):  # fmt: skip
        assert words in text, words


def test_its_texts_stand_where_they_stood(bed_quote):
    page = pypdfium2.PdfDocument(print_paper(quote_paper(*bed_quote, "letter")).content)[0]

    assert places(page, PLACES) == {
        text: pytest.approx(place, abs=0.5) for text, place in PLACES.items()
    }


def places(page, texts):
    where, words = {}, page.get_textpage()
    for text in texts:
        start, _count = words.search(text).get_next()
        left, foot, _right, _top = words.get_charbox(start, loose=True)
        where[text] = (round(left, 1), round(foot, 1))
    return where
