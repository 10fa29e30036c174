"""Variants side by side: what differs is bold, what none says is left out, all on one page."""

import pytest

from ledger.errors import NotAllowed
from ledger.measures.money import Money, currency
from ledger.measures.values import replace
from ledger.papers.variants import variants_paper
from ledger.quotes.offer import Option, QuoteDeliverable, QuoteFact, Tax


@pytest.fixture
def offers(offer_of):
    """A bench in oak, and one in ash with a drawer that may be added."""
    oak = offer_of(
        title="Bench in oak",
        deliverables=(QuoteDeliverable("Bench", Money(745000), True),
                      QuoteDeliverable("Delivery", Money(90000), True)),
        facts=(QuoteFact("Wood", "oak"), QuoteFact("Finish", "oil")),
    )  # fmt: skip
    ash = replace(
        oak, revision="B", deliverables=(QuoteDeliverable("Bench", Money(608000), True),),
        facts=(QuoteFact("Wood", "ash"), QuoteFact("Finish", "oil")),
        options=(Option("Drawer", Money(24000), Money(1440)),),
        tax=replace(oak.tax, amount=Money(36480)),
    )  # fmt: skip
    return [oak, ash]


def test_variants_stand_side_by_side(offers, read_back):
    pdf = read_back(variants_paper(offers, "letter"))

    for words in (
        "Q-1-A Q-1-B", "Wood oak ash", "Finish oil oil", "Bench 7,450.00 6,080.00",
        "Delivery 900.00 –", "Total to pay $8,350.00 $6,444.80", "In addition: Drawer – 254.40",
        "Valid until May 25, 2025 May 25, 2025",
    ):  # fmt: skip
        assert words in pdf.text, words
    assert "Drawing" not in pdf.text
    assert len(pdf.pages) == 1


def test_only_what_differs_is_bold(offers):
    texts = variants_paper(offers, "letter").texts

    differs = {row["name"]: row["differs"] for row in (*texts["words"], *texts["amounts"])}
    assert (differs["Wood"], differs["Finish"], differs["Bench"]) == (True, False, True)


def test_without_tax_one_total_is_enough(offers, read_back):
    untaxed = replace(offers[0], tax=Tax("exempt", 0, Money(0), Money(0), ""))

    text = read_back(variants_paper([untaxed, untaxed], "A4")).text

    assert "Total $8,350.00 $8,350.00" in text
    assert "Price before tax" not in text


@pytest.mark.parametrize("size", ["letter", "A4"])
@pytest.mark.parametrize("count", [2, 3, 4])
def test_two_to_four_of_the_fullest_stay_inside_their_margins(
    count, size, full_offer, offer_of, read_back, inside_margins
):
    pdf = read_back(variants_paper([full_offer(5)] * (count - 1) + [offer_of()], size))

    assert not inside_margins(pdf)[:5]
    assert (pdf.sizes()[0][0] > pdf.sizes()[0][1]) == (count > 2)


def test_one_offer_five_or_two_currencies_are_not_put_side_by_side(offers):
    for count in (1, 5):
        with pytest.raises(NotAllowed, match="Name 2 to 4 quotes"):
            variants_paper([offers[0]] * count, "letter")
    with pytest.raises(NotAllowed, match="different currencies"):
        variants_paper([offers[0], replace(offers[1], currency=currency("EUR"))], "letter")
