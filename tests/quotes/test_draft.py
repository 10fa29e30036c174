"""Drafting: the firm price by deliverables, tax by the taxable part, payments that add up."""

import re
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.errors import BadValue, NotFound
from ledger.jobs.payments import receive
from ledger.measures.money import Money, currency, total
from ledger.measures.values import replace
from ledger.quotes.draft import UNMEASURED, Wishes, draft_quote
from ledger.quotes.offer import QuoteDeliverable
from ledger.quotes.terms import at_rate, divide_price, payments_of, tax_on

USD = currency("USD")
DELIVERY = {"Delivery and installation": Money(90000)}


def amounts(*said):
    return [USD.money(Decimal(text)) for text in said]


@pytest.fixture
def draft(book, job, sheet):
    def drafted(**wishes):
        return draft_quote(book, job, Wishes(**wishes), sheet)

    return drafted


def test_the_sample_sheet_is_the_worked_bed(sheet):
    assert sheet.totals.material_full == USD.money(Decimal("1752.86"))
    assert sheet.totals.build_up == USD.money(Decimal("6968.93"))
    assert sheet.totals.price == USD.money(6980)


def test_the_bed_is_6080_and_its_delivery_900_of_6980(draft):
    offer = draft(extras=DELIVERY).offer

    assert [(line.name, line.amount) for line in offer.deliverables] == [
        ("Bed and towers", USD.money(6080)),
        ("Delivery and installation", USD.money(900)),
    ]
    assert offer.price == USD.money(6980)


def test_payments_stand_in_money_and_tax_is_added_to_each(draft):
    offer = draft(extras=DELIVERY).offer

    assert offer.tax.amount == USD.money(Decimal("364.80"))
    assert [payment.name for payment in offer.payments] == [
        "On acceptance", "Before finishing", "On installation",
    ]  # fmt: skip
    assert [payment.price for payment in offer.payments] == amounts("3490", "2792", "698")
    assert [payment.tax for payment in offer.payments] == amounts("182.40", "145.92", "36.48")
    assert total(payment.asked for payment in offer.payments) == offer.to_pay
    assert offer.to_pay == USD.money(Decimal("7344.80"))


def test_a_quote_stands_thirty_days_and_says_when_the_piece_comes(draft):
    offer = draft().offer

    assert str(offer.valid_until) == "2025-05-25"
    assert offer.lead_weeks == 6


def test_what_the_maker_wishes_goes_before_the_settings(draft):
    offer = draft(
        price=USD.money(7450), lead_weeks=8, valid_days=14, drawing="D-2507 rev 2", sample="no. 3",
        payments=(Fraction(1, 2), Fraction(1, 2)), assumed=["Ceiling of 96 in"],
        excluded=["The bolster"],
    ).offer  # fmt: skip

    assert (offer.price, offer.lead_weeks) == (USD.money(7450), 8)
    assert str(offer.valid_until) == "2025-05-09"
    assert [payment.name for payment in offer.payments] == ["On acceptance", "On completion"]
    assert offer.assumptions[-1] == "Ceiling of 96 in"
    assert offer.exclusions[-1] == "The bolster"
    assert (offer.drawing, offer.sample) == ("D-2507 rev 2", "no. 3")


def test_the_description_and_the_facts_come_from_the_design(draft):
    offer = draft().offer

    assert offer.description.startswith("One fold-down bed cabinet")
    assert [fact.name for fact in offer.facts] == ["Overall", "Mattress"]


def test_tax_falls_on_delivery_only_where_the_shop_says_so(book, draft):
    with book.entry("shop set", ""):
        book.set("tax_delivery", "yes")
    whole = draft(extras=DELIVERY).offer.tax

    apart = draft(extras=DELIVERY, taxed={"Delivery and installation": False}).offer.tax

    assert (whole.base, whole.words) == (USD.money(6980), "Sales tax 6 %")
    assert (apart.base, apart.words) == (USD.money(6080), "Sales tax 6 % on the taxable part")


def test_a_buyer_who_pays_no_tax_is_asked_for_none_and_the_page_names_no_rate(book, draft):
    names = [line.name for line in draft(extras=DELIVERY).offer.deliverables]
    untaxed = {"extras": DELIVERY, "taxed": dict.fromkeys(names, False)}
    offer = draft(**untaxed).offer
    assert (offer.tax.amount, offer.tax.words, offer.to_pay) == (Money(0), "", USD.money(6980))

    with book.entry("shop set", ""):
        book.set("tax_standing", "vat")
        book.set("wording_untaxed", "Reverse charge")
    offer = draft(**untaxed).offer
    assert (offer.tax.amount, offer.tax.words) == (Money(0), "Reverse charge")


def test_an_exempt_shop_asks_for_no_tax_and_says_why(book, draft):
    with book.entry("shop set", ""):
        book.set("tax_standing", "exempt")

    offer = draft(extras=DELIVERY).offer

    assert offer.tax.amount == Money(0)
    assert offer.to_pay == offer.price
    assert offer.tax.words == "No sales tax is charged."


def test_vat_is_named_as_vat_and_falls_on_delivery_too(book, draft):
    with book.entry("shop set", ""):
        book.set("tax_standing", "vat")
        book.set("tax_rate", "19 %")

    tax = draft(extras=DELIVERY).offer.tax

    assert (tax.words, tax.base) == ("VAT 19 %", USD.money(6980))


def test_a_bed_without_its_measured_mattress_warns_the_maker_and_tells_the_client(draft):
    drafted = draft()

    assert any("has not been measured" in warning for warning in drafted.warnings)
    assert UNMEASURED in drafted.offer.assumptions


def test_a_measured_mattress_stands_on_the_quote_and_ends_the_warning(draft):
    drafted = draft(mattress="60x80x10 in, 75 lb")

    assert drafted.offer.facts[-1].words == "60 × 80 × 10 in, 75 lb, as measured"
    assert UNMEASURED not in drafted.offer.assumptions
    assert not any("mattress" in warning for warning in drafted.warnings)


@pytest.mark.parametrize(
    ("mattress", "said"),
    [
        ("60x80x12 in, 75 lb", "thickness of 12 in; the piece is drawn for 10 in"),
        ("62x80x10 in, 75 lb", "width of 62 in"),
        ("60x80x10 in, 120 lb", "heavier than the piece is drawn for"),
    ],
)
def test_a_mattress_larger_or_heavier_than_drawn_for_is_warned_about(draft, mattress, said):
    assert any(said in warning for warning in draft(mattress=mattress).warnings)


@pytest.mark.parametrize(
    "said", ["60x80", "60x80x10 in", "60x80x10 in, 75 in", "queen, 75 lb", "x"]
)
def test_a_mattress_that_was_not_measured_in_full_is_refused(draft, said):
    with pytest.raises(BadValue, match=r"60x80x10 in, 75 lb|not a length"):
        draft(mattress=said)


def test_law_is_named_as_local_and_never_decided(draft):
    told = " ".join(draft(extras=DELIVERY).warnings)

    assert "cap the deposit" in told
    assert "right to cancel" in told
    assert "made to measure may be excepted" in told.replace("A piece ", "")
    assert "contractor's license" in told
    assert "local law decides" in told
    assert "surcharge" not in told


def test_a_shop_that_passes_on_card_fees_is_told_of_their_limits(book, draft):
    with book.entry("shop set", ""):
        book.set("card_fee", "2.9 %")

    assert any("surcharge" in warning for warning in draft().warnings)


@pytest.mark.parametrize(
    ("setting", "value", "said"),
    [("contact", "", "how the client reaches you"), ("tax_rate", "0 %", "asks for no tax")],
)
def test_a_page_without_a_contact_or_without_tax_reminds_the_maker(
    book, draft, setting, value, said
):
    with book.entry("shop set", ""):
        book.set("address", "")
        book.set("contact", "555-0100")
    before = draft()
    with book.entry("shop set", ""):
        book.set(setting, value)
    after = draft()

    assert not any(said in warning for warning in before.warnings)
    assert any(said in warning for warning in after.warnings)


def test_a_page_that_does_not_say_what_the_piece_is_reminds_the_maker(book, job, sheet):
    def told(**wished):
        bare = replace(sheet, facts={})
        return " ".join(draft_quote(book, job, Wishes(**wished), bare).warnings)

    assert "does not say what the piece is" in told()
    assert "does not say what the piece is" not in told(description="One bed in birch.")


def test_a_tax_of_nothing_is_no_line_on_the_page(book, draft):
    with book.entry("shop set", ""):
        book.set("tax_rate", "0 %")

    assert draft().offer.tax.words == ""


@pytest.mark.parametrize(
    ("hundredths", "warned"),
    [(10, ["of 698.00"]), (11, ["is 11 %", "of 767.80"]), (50, ["is 50 %"])],
)
def test_a_deposit_above_a_tenth_or_below_the_material_is_warned_about(draft, hundredths, warned):
    first = Fraction(hundredths, 100)
    told = " ".join(draft(payments=(first, 1 - first)).warnings)

    assert re.findall(r"The first payment (is \S+ %|of [\d.]+)", told) == warned


def test_deliverables_that_leave_nothing_for_the_piece_are_refused(draft):
    with pytest.raises(BadValue, match="left for “Bed and towers”"):
        draft(extras={"Delivery": USD.money(6980)})


@pytest.mark.parametrize("price", [Money(0), Money(-100)])
def test_a_price_of_nothing_is_refused(draft, price):
    with pytest.raises(BadValue, match="nothing is left"):
        draft(price=price)


def test_a_deliverable_of_nothing_or_of_the_same_name_is_refused(draft):
    with pytest.raises(BadValue, match="more than 0"):
        draft(extras={"Delivery": Money(0)})
    with pytest.raises(BadValue, match="named twice"):
        draft(extras={"bed and towers": Money(100)})


def test_tax_of_an_unknown_deliverable_is_refused(draft):
    with pytest.raises(NotFound, match=r"deliverable .*“Delivry”"):
        draft(extras=DELIVERY, taxed={"Delivry": True})


MONEY = st.integers(min_value=1, max_value=10**9).map(Money)
SHARES = st.lists(st.integers(min_value=1, max_value=99), min_size=1, max_size=6)


@settings(deadline=None)
@given(price=MONEY, tax=MONEY, weights=SHARES)
def test_payments_add_up_to_price_and_tax(price, tax, weights):
    shares = [Fraction(weight, sum(weights)) for weight in weights]

    paid = payments_of(price, tax, shares, [f"payment {n}" for n in range(len(shares))])

    for asked in (paid, at_rate(paid, Fraction(19, 100), USD)):
        assert total(payment.price for payment in asked) == price
        assert total(payment.tax for payment in asked) == tax
        assert all(min(payment.price, payment.tax) >= Money(0) for payment in asked)
        assert [payment.asked for payment in asked] == [payment.asked for payment in paid]


@settings(deadline=None)
@given(price=MONEY, extras=st.lists(MONEY, max_size=4))
def test_deliverables_add_up_to_the_price_or_are_refused(price, extras):
    named = {f"extra {number}": amount for number, amount in enumerate(extras)}
    if total(extras) >= price:
        with pytest.raises(BadValue, match="nothing is left"):
            divide_price(price, "piece", named, USD)
        return

    assert total(amount for _, amount in divide_price(price, "piece", named, USD)) == price


def test_tax_by_line_and_by_document_may_differ_by_a_cent():
    lines = [QuoteDeliverable(f"shelf {n}", Money(99), taxed=True) for n in range(3)]
    asked = {"standing": "sales_tax", "rate": Fraction("0.0825"), "currency": USD}

    assert tax_on(lines, by_line=True, **asked).amount == Money(24)
    assert tax_on(lines, by_line=False, **asked).amount == Money(25)


def test_money_that_came_before_the_quote_is_said(book, job, draft):
    assert not [words for words in draft().warnings if "came before" in words]
    receive(book, job, USD.money(250), "cash")
    assert any(words.startswith("250.00 of the client's") for words in draft().warnings)
