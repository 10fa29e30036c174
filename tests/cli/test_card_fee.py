"""Card fees from the price to the close-out: counted once, of what the client really pays."""

import json
from decimal import Decimal

import pytest

INCH = ("new", "--shop", "Larkhollow Joinery", "--overhead", "21000", "--pay", "52000")
METRIC = (*INCH, "--currency", "EUR", "--units", "mm", "--tax", "vat")
BY_CARD = ("shop", "set", "card_fee=3 %", "card_share=100 %", "contingency=0 %")
WHOLE = {"10 %": "1100", "20 %": "1200"}
"""1,000.00 with its tax."""


@pytest.fixture(params=[(INCH, "10 %"), (METRIC, "20 %")], ids=["sales tax", "VAT"])
def shop_of(request, begun):
    """A shop whose clients pay by card, in inches with 10 % sales tax or metric with 20 % VAT."""
    new, rate = request.param
    shop = begun(list(new), [*BY_CARD, f"tax_rate={rate}"])
    return shop, rate


def priced(shop, job):
    """The full cost of a job and the lines of its build-up by name."""
    found = json.loads(shop("price", job, "--json").out)
    lines = {line["name"]: line["amount"] for line in found["build_up"]}
    return found["totals"], lines


def test_the_planned_fee_is_of_the_price_with_its_tax(shop_of):
    """718.62 ÷ (1 − 3 % × 1.1) = 743.14, ÷ (1 − 3 % × 1.2) = 745.46: fees of 24.52 and 26.84."""
    shop, rate = shop_of
    shop("job", "new", "Fence", "--work", "repair 10h")

    _, lines = priced(shop, "fence")

    assert lines["owner hours"] == "718.62"
    assert lines["card fee"] == {"10 %": "24.52", "20 %": "26.84"}[rate]


def test_the_planned_fee_of_a_job_without_tax_is_of_its_price(shop_of):
    """718.62 ÷ 0.97 = 740.85, so 22.23: an improvement's client is asked for no sales tax."""
    shop, rate = shop_of
    shop("job", "new", "Fence", "--work", "repair 10h")
    if rate == "10 %":
        shop("job", "tax", "fence", "improvement")
    else:
        shop("shop", "set", "tax_rate=0 %")

    assert priced(shop, "fence")[1]["card fee"] == "22.23"


def test_the_planned_fee_of_an_agreed_price_is_of_that_price(shop_of):
    """3 % of 1,100.00 and 1,200.00; the cost is 10 h at 63.37 and the fee."""
    shop, rate = shop_of
    shop("job", "new", "Gate", "--price", "1000", "--hours", "10")

    totals, lines = priced(shop, "gate")

    fee, cost = {"10 %": ("33.00", "666.70"), "20 %": ("36.00", "669.70")}[rate]
    assert (lines["card fee"], totals["full_cost"], totals["price"]) == (fee, cost, "1000.00")
    assert sum(Decimal(one) for one in lines.values()) == 1000


def test_the_planned_fee_of_a_quote_is_of_the_price_that_it_asks_for(shop_of):
    """3 % of 1,100.00 and 1,200.00, and not of the 744 or 746 that was worked out."""
    shop, rate = shop_of
    shop("job", "new", "Fence", "--work", "repair 10h")
    shop("quote", "draft", "fence", "--price", "1000")
    shop("quote", "send", "fence")
    shop("quote", "accept", "fence")
    close = ("job", "close", "fence", "--preview", "--json")

    planned = json.loads(shop(*close).out)
    shop("job", "pay", "fence", WHOLE[rate], "--by", "card")
    paid = json.loads(shop(*close).out)

    fee = {"10 %": "33.00", "20 %": "36.00"}[rate]
    assert planned["not_noted"] == [{"name": "fee", "planned": fee}]
    assert (paid["not_noted"], paid["other"]) == ([], fee)


def test_a_price_with_the_fee_in_it_bears_no_surcharge(shop_of):
    shop, _ = shop_of
    shop("job", "new", "Fence", "--work", "repair 10h")
    shop("quote", "draft", "fence")
    shop("quote", "send", "fence")
    shop("quote", "accept", "fence")
    shop("job", "new", "Gate", "--price", "1000")
    shop("shop", "set", "card_share=0 %")

    assert "leave --card out" in shop("quote", "invoice", "fence", "--card").err
    shop("quote", "invoice", "gate", "--card")
    shop("shop", "set", "card_share=50 %")
    shop("job", "new", "Shelf", "--price", "1000")
    assert "leave --card out" in shop("quote", "invoice", "shelf", "--card").err


def test_a_surcharge_without_a_fee_to_reckon_it_by_is_said_to_be_none(shop_of):
    shop, rate = shop_of
    shop("shop", "set", "card_fee=0 %", "card_share=0 %")
    shop("job", "new", "Gate", "--price", "1000")

    said = shop("quote", "invoice", "gate", "--card", "--json")

    assert json.loads(said.out)["by_card"] is None
    assert "No card fee is set, so by card it comes to the same sum" in " ".join(said.err.split())
    shop("undo")
    assert "card fee" not in shop("quote", "invoice", "gate").err
    shop("undo")
    shop("shop", "set", "card_fee_fixed=0.30")
    said = shop("quote", "invoice", "gate", "--card", "--json")
    # 0.30 and, under VAT, 20 % of it
    more = {"10 %": "1100.30", "20 %": "1200.36"}[rate]
    assert (json.loads(said.out)["by_card"], "No card fee" in said.err) == (more, False)


def test_a_surcharge_that_was_asked_for_is_earned_and_pays_the_card_company(shop_of):
    """1,100 ÷ 0.97 = 1,134.02. Under VAT 36 ÷ (1 − 3 % × 1.2) = 37.34, with VAT 44.81."""
    shop, rate = shop_of
    shop("shop", "set", "card_share=0 %")
    shop("job", "new", "Gate", "--price", "1000", "--hours", "10")
    by_card, more, fee = {
        "10 %": ("1134.02", "34.02", "34.02"), "20 %": ("1244.81", "44.81", "37.34"),
    }[rate]  # fmt: skip

    asked = json.loads(shop("quote", "invoice", "gate", "--card", "--json").out)
    said = shop("job", "pay", "gate", by_card, "--by", "card", "--json")
    paid = json.loads(said.out)
    closed = json.loads(shop("job", "close", "gate", "--json").out)

    assert (asked["by_card"], f"{more} of it" in said.err) == (by_card, True)
    assert (paid["asked"], paid["due"]) == (by_card, "0.00")
    # what is asked for above the price is just what the card company keeps; VAT of 7.47 is no gain
    assert (closed["changes"], closed["other"], closed["earned"]) == (fee, fee, "1000.00")
    assert "go back" not in shop("today").out + shop("month", "2025-05").out
    assert shop("papers", "gate", "out").code == 0


def test_a_surcharge_is_taken_once_and_only_of_a_payment_by_card(shop_of):
    shop, rate = shop_of
    shop("shop", "set", "card_share=0 %")
    shop("job", "new", "Gate", "--price", "1000")
    by_card = {"10 %": "1134.02", "20 %": "1244.81"}[rate]
    shop("quote", "invoice", "gate", "--card")

    by_transfer = shop("job", "pay", "gate", by_card)
    shop("undo")
    shop("job", "pay", "gate", by_card, "--by", "card")
    twice = shop("job", "pay", "gate", by_card, "--by", "card")

    assert "more came than was asked for" in by_transfer.err
    assert f"{Decimal(by_card):,} more came" in twice.err
    shop("undo")
    shop("undo")
    assert json.loads(shop("job", "pay", "gate", "--json").out)["received"] == "0.00"
    assert json.loads(shop("job", "change", "gate", "--json").out) == []


@pytest.mark.parametrize("new", [INCH, METRIC], ids=["dollar", "euro"])
def test_an_answered_fee_stands_beside_the_fee_that_was_kept(begun, new):
    """9.00 planned by the answer and 9.00 kept of the payment: both are fees."""
    shop = begun(
        list(new),
        ["job", "new", "Gate", "--work", "repair 3h"],
        ["job", "answer", "gate", "card fee=9"],
        ["quote", "draft", "gate", "--price", "300"], ["quote", "send", "gate"],
        ["quote", "accept", "gate"], ["hours", "add", "gate", "repair", "3h"],
    )  # fmt: skip
    close = ("job", "close", "gate", "--unlogged", "ADS=not done")
    planned = json.loads(shop(*close, "--preview", "--json").out)
    assert planned["not_noted"] == [{"name": "card fee", "planned": "9.00"}]
    assert "fees" not in {row["name"] for row in planned["differences"]}

    shop("job", "pay", "gate", "100", "--by", "card", "--fee", "9")
    facts = json.loads(shop(*close, "--preview", "--json").out)
    named = {row["name"] for row in facts["differences"]}
    assert (facts["not_noted"], named & {"fees", "other costs"}) == ([], set())

    shop("job", "add-cost", "gate", "card fee", "1", "2", "--actual")
    shown = shop(*close).out
    assert "Fees: 11.00 noted, 9.00 planned." in shown
    assert "Other costs:" not in shown
    assert "fees −2.00" in " ".join(shop("review").out.split())


def test_a_fee_that_is_in_the_price_is_not_answered_too(shop_of):
    """24.52 or 26.84 are planned by the shop's settings; 9.00 more would be a second fee."""
    shop, _ = shop_of
    shop("job", "new", "Fence", "--work", "repair 10h")
    before = priced(shop, "fence")
    refused = shop("job", "answer", "fence", "card fee=9")

    assert (refused.code, "it counts once" in " ".join(refused.err.split())) == (1, True)
    assert shop("job", "answer", "fence", "card fee=0").code == 0
    assert priced(shop, "fence") == before
    shop("shop", "set", "card_share=0 %")
    assert shop("job", "answer", "fence", "card fee=9").code == 0
