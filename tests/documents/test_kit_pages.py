"""Kit pages on paper: one page each, the program's figures, and a picture of them."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pypdfium2
import pytest

from ledger.measures.money import Money
from ledger.papers.engine import print_paper
from ledger.papers.kit import kit_paper_for_builder, kit_paper_for_client
from ledger.quotes.answers import accept_quote
from ledger.quotes.draft import Wishes, draft_quote
from ledger.quotes.kit import Extra, KitOffer
from ledger.quotes.kits import compare
from ledger.quotes.offer import Maker
from ledger.quotes.revisions import offer_of, send_quote

KIT = KitOffer(
    "K-1", "Melamine fold bed", Money(189000), date(2025, 4, 24), "the seller's page",
    Money(21000), Fraction(6, 100), Decimal(12), 8, "5 years on the mechanism", "gas springs", "",
    (Extra("two 18-in bookcases", Money(52000), taxed=True),
     Extra("wall fixings", Money(2500), taxed=False)),
)  # fmt: skip


@pytest.fixture(scope="module")
def offers(bed_book, bed, bed_sheet):
    """Two revisions of the bed's quote, with drawers and without, the second one accepted."""
    delivery = {"Delivery and installation": Money(90000)}
    drawers = Wishes(extras=delivery, goods="Bed, towers and drawers", price=Money(745000))
    first = draft_quote(bed_book, bed, drawers, bed_sheet).quote
    send_quote(bed_book, first)
    second = draft_quote(
        bed_book, bed, Wishes(extras=delivery, goods="Bed and towers"), bed_sheet
    ).quote
    send_quote(bed_book, second)
    accept_quote(bed_book, second, how="signature")
    return [offer_of(bed_book, first), offer_of(bed_book, second)]


def read(paper):
    """All the words of a paper's only page, on one line."""
    (page,) = pypdfium2.PdfDocument(print_paper(paper).content)
    return " ".join(page.get_textpage().get_text_bounded().split())


@pytest.fixture(scope="module")
def comparison(bed_book, bed, bed_sheet, offers):
    return compare(bed_book, bed, KIT, wage=Money(2000), years=20, plan=Money(1800),
                   sheet=bed_sheet)  # fmt: skip


SHOP = Maker("Quillhaven Workshop", "Larkspur Falls", "")


@pytest.mark.parametrize("size", ["letter", "A4"])
def test_the_clients_kit_page_has_both_ways_and_a_picture(comparison, size):
    text = read(kit_paper_for_client(comparison, SHOP, size))

    for words in (
        "price seen on April 24, 2025", "Landed, doing the same 2,789.60",
        "Commission 0 7,344.80 7,344.80 367.24", "Commission $367.24",
        "Expected life, a guess: Melamine fold bed: 8 years; Commission: 20 years.",
    ):  # fmt: skip
        assert words in text, words
    assert "Built" not in text


@pytest.mark.parametrize("size", ["letter", "A4"])
def test_the_builders_kit_page_has_skilled_and_novice_and_no_commission(comparison, size):
    text = read(kit_paper_for_builder(comparison, SHOP, size))

    assert "Built, skilled 53 1,876.03 2,936.03" in text
    assert "Built, novice 95 1,876.03 3,776.03" in text
    assert "22.28" in text
    assert "7,344.80" not in text
    assert "Commission" not in text


def test_a_kit_page_has_the_same_bytes_twice_and_a_bar_a_way(comparison):
    paper = kit_paper_for_builder(comparison, SHOP, "letter")

    assert print_paper(paper).sha256 == print_paper(paper).sha256
    assert paper.drawings["ways.svg"].count("<rect") == 3
