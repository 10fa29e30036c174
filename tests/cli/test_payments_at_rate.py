"""The payments of a quote have the tax that their invoices will have, to the cent."""

import json
from decimal import Decimal

import pytest


def facts(shop, *words):
    said = shop(*words, "--json").done()
    return json.loads(said.out)


@pytest.fixture
def gate(begun):
    """A gate at 2,400.00 with VAT of 19 % in it, 2,016.81 and 383.19, in 50, 40 and 10 %."""
    return begun(
        ["new", "--shop", "Atelier", "--currency", "EUR", "--units", "mm", "--overhead", "16800",
         "--pay", "39000", "--tax", "vat"],
        ["shop", "set", "tax_rate=19 %", "address=Lindenweg 4", "tax_number=DE123456788"],
        ["job", "new", "Gate", "--price", "2400 with tax", "--hours", "30", "--client", "Y"],
        ["job", "client", "gate", "--address", "Feldstr. 9"],
        ["quote", "draft", "gate", "--payments", "50/40/10"],
        ["quote", "send", "gate"],
        ["quote", "accept", "gate"],
    )  # fmt: skip


def figures(paper):
    """Price and tax of a payment of a quote, or of an invoice."""
    (one,) = paper.get("taxes", [{"base": paper.get("price"), "tax": paper.get("tax")}])
    return one["base"], one["tax"]


@pytest.mark.parametrize(
    ("said", "told"),
    [("100.03 with tax", ""), ("100.05", ""),
     ("100.05 with tax", "CO-1 asks for 100.06 with tax: no price and the rounded tax on it come to"
      " 100.05.")],
)  # fmt: skip
def test_a_change_that_no_price_and_its_tax_come_to_says_what_it_asks_for(gate, said, told):
    """84.07 + 15.97 = 100.04, 84.08 + 15.98 = 100.06; 84.06 + 15.97 = 100.03."""
    noted = " ".join(gate("job", "change", "gate", "wider", "--price", said).done().err.split())
    assert (told in noted) and ("asks for" in noted) == bool(told)


def test_quote_request_and_invoice_of_a_deposit_say_the_same(gate):
    """1,200 ÷ 1.19 = 1,008.40 and 191.60; 960 = 806.72 + 153.28; what is left 201.69 + 38.31."""
    planned = [figures(one) for one in facts(gate, "quote", "show", "Q-2501-A")["payments"]]
    assert planned == [("1008.40", "191.60"), ("806.72", "153.28"), ("201.69", "38.31")]

    for paid, plan in (("1200", planned[0]), ("960", planned[1])):
        assert figures(facts(gate, "quote", "invoice", "gate")) == plan
        gate("job", "pay", "gate", paid).done()
        assert figures(facts(gate, "quote", "invoice", "gate")) == plan
    gate("job", "state", "gate", "installed").done()
    last = facts(gate, "quote", "invoice", "gate", "--rest")
    assert figures(last) == planned[2]
    assert sum(Decimal(tax) for _, tax in planned) == Decimal("383.19")
