"""A change that adds to the price: until a paper asks for it, each paper says that it does not."""

import json

import pytest

INCH = ("new", "--shop", "Larkhollow Joinery", "--overhead", "21000", "--pay", "52000")
METRIC = (*INCH, "--currency", "EUR", "--units", "mm", "--tax", "vat")
PARTICULARS = ("address=4 Ferry Road", "tax_number=ATU12345678")


@pytest.fixture(params=[(INCH, "10 %"), (METRIC, "20 %")], ids=["sales tax", "VAT"])
def changed(request, begun):
    """A job quoted at 1,000.00 in two payments; a latch for 80.00 is approved, a lid is not."""
    new, rate = request.param
    shop = begun(
        list(new),
        ["shop", "set", f"tax_rate={rate}", *PARTICULARS],
        ["job", "new", "Gate", "--price", "1000", "--hours", "10"],
        ["job", "client", "gate", "--name", "T. Okafor", "--address", "2 Mill Lane"],
        *(["quote", step, "gate"] for step in ("draft", "send", "accept")),
        ["job", "change", "gate", "latch", "--price", "80"],
        ["job", "change", "gate", "--approved", "CO-1"],
        ["job", "change", "gate", "lid", "--price", "40"],
    )
    return shop, {"10 %": "88.00", "20 %": "96.00"}[rate]


def invoice(shop, *words):
    """What an invoice or request says beside its figures, and the sum that it asks for."""
    said = shop("quote", "invoice", "gate", *words, "--json").done()
    return " ".join(said.err.split()), json.loads(said.out)["asked"]


def test_a_paper_says_that_a_change_is_not_on_it_with_its_figure_and_the_command(changed):
    """80.00 with tax of 10 % and 20 %: 88.00 and 96.00."""
    shop, figure = changed
    told, _ = invoice(shop)
    asked, sum_ = invoice(shop, "--for", "CO-1")
    again, _ = invoice(shop, "--for", "completion")

    assert f"Not on this paper: CO-1: latch, {figure} with tax. To ask for it now:" in told
    assert "benchledger quote invoice J-2501 --for CO-1." in told
    assert "CO-2" not in told
    assert sum_ == figure
    assert not any("Not on this paper" in one for one in (asked, again))


def test_the_last_invoice_has_the_change_in_it_and_says_nothing(changed):
    shop, figure = changed
    told, _ = invoice(shop, "--rest", "--supplied", "2025-04-25")

    assert "Not on this paper" not in told
    assert "Everything asked for on J-2501 was invoiced" in shop("quote", "invoice", "gate").err
    assert figure in shop("job", "pay", "gate").out
