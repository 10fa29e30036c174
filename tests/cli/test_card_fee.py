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
