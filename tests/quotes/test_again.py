"""Drafting again: a revision says what the last one said, but for the price and what is changed."""

from fractions import Fraction

import pytest

from ledger.errors import NotAllowed
from ledger.measures.money import Money, currency
from ledger.measures.values import replace
from ledger.quotes.again import wished_again
from ledger.quotes.draft import Wishes, draft_quote

USD = currency("USD")
FIRST = Wishes(
    extras={"Delivery and installation": Money(90000)},
    options={"Reading lamp": Money(15000), "Lamp fitting": Money(9000)},
    goods="Bed",
    description="A bed that folds away.",
    taxed={"Lamp fitting": False},
    drawing="D-7",
    sample="S-2",
    mattress="60x80x10 in, 75 lb",
    lead_weeks=9,
    valid_days=20,
    payments=(Fraction(7, 10), Fraction(3, 10)),
    assumed=("The stair is clear.",),
    excluded=("The old bed is taken away by you.",),
)


@pytest.fixture
def again(book, job, sheet):
    draft_quote(book, job, FIRST, sheet)

    def drafted(**wishes):
        return draft_quote(book, job, wished_again(book, job, Wishes(**wishes)), sheet).offer

    return drafted


def test_a_draft_again_says_all_that_the_last_one_said(book, job, sheet, again):
    first = draft_quote(book, job, FIRST, sheet).offer

    assert again() == first
    assert again() == first, "a third time too"


def test_the_price_is_todays_unless_it_is_said(book, job, sheet):
    draft_quote(book, job, replace(FIRST, price=USD.money(7200)), sheet)

    offer = draft_quote(book, job, wished_again(book, job, Wishes()), sheet).offer

    assert offer.price == sheet.totals.price != USD.money(7200)


def test_what_is_said_now_takes_the_place_of_what_was_said(again):
    offer = again(
        extras={"Delivery and installation": Money(95000)}, goods="Fold-down bed", drawing="D-8",
        taxed={"Lamp fitting": True}, payments=(Fraction(1),), assumed=("The lift works.",),
    )  # fmt: skip

    assert [line.name for line in offer.deliverables] == [
        "Fold-down bed", "Delivery and installation",
    ]  # fmt: skip
    assert offer.deliverables[1].amount == Money(95000)
    assert (offer.drawing, offer.sample, len(offer.payments)) == ("D-8", "S-2", 1)
    assert [bool(option.tax.minor) for option in offer.options] == [True, True]
    assert offer.assumptions[-2:] == ("The stair is clear.", "The lift works.")


def test_an_extra_or_an_option_at_nothing_is_left_out(again):
    offer = again(
        extras={"Delivery and installation": Money(0)}, options={"Lamp fitting": Money(0)}
    )

    assert [line.name for line in offer.deliverables] == ["Bed"]
    assert [option.name for option in offer.options] == ["Reading lamp"]


def test_the_shops_own_wordings_are_those_of_today(book, again):
    with book.entry("shop set"):
        book.set("wording_exclusions", "Painting walls")

    assert again().exclusions[-2:] == ("Painting walls", "The old bed is taken away by you.")


def test_a_job_without_a_quote_has_nothing_to_say_again(book, job):
    with pytest.raises(NotAllowed, match="has no quote yet that could be drafted again"):
        wished_again(book, job, Wishes())


def test_a_shop_that_asks_tax_from_now_on_asks_it_of_every_part(book, job, sheet):
    with book.entry("shop set"):
        book.set("tax_standing", "exempt")
    draft_quote(book, job, replace(FIRST, taxed={}), sheet)
    with book.entry("shop set"):
        book.set("tax_standing", "vat")

    offer = draft_quote(book, job, wished_again(book, job, Wishes()), sheet).offer

    assert all(line.taxed for line in offer.deliverables)
    assert all(option.tax.minor for option in offer.options)
