"""A change takes off what is invoiced already: the credit note is asked for where one looks."""

import json

import pytest

INCH = ("new", "--shop", "Larkhollow Joinery", "--overhead", "21000", "--pay", "52000")
METRIC = (*INCH, "--currency", "EUR", "--units", "mm", "--tax", "vat")
PARTICULARS = ("address=4 Ferry Road", "tax_number=ATU12345678")


@pytest.fixture(params=[(INCH, "10 %"), (METRIC, "20 %")], ids=["sales tax", "VAT"])
def invoiced(request, begun):
    """A job of 1,000.00 and its tax that is invoiced in full, in a book of each kind."""
    new, rate = request.param
    shop = begun(
        list(new),
        ["shop", "set", f"tax_rate={rate}", *PARTICULARS],
        ["job", "new", "Gate", "--price", "1000", "--hours", "10"],
        ["job", "client", "gate", "--name", "T. Okafor", "--address", "2 Mill Lane"],
        ["quote", "invoice", "gate", "--rest", "--supplied", "2025-04-25"],
        ["job", "change", "gate", "smaller", "--price", "-200"],
    )
    return shop, rate


def test_it_is_said_at_approval_payment_closing_and_by_today_until_it_is_credited(invoiced):
    """200.00 with tax of 10 % and 20 %: 220.00 and 240.00 are to be credited."""
    shop, rate = invoiced
    number = json.loads(shop("quote", "invoice", "gate", "--list", "--json").out)[0]["invoice"]
    command = f"quote credit {number} {{}} --why TEXT"
    command = command.format({"10 %": "220.00", "20 %": "240.00"}[rate])
    said = [
        shop("job", "change", "gate", "--approved", "CO-1"),
        shop("job", "pay", "gate", {"10 %": "880", "20 %": "960"}[rate]),
        shop("job", "close", "gate"),
        shop("today"),
    ]
    before = shop("job", "change", "gate", "--json")
    shop(*command.replace("TEXT", "smaller").split())
    later = [shop("job", "change", "gate"), shop("job", "pay", "gate"), shop("today")]

    assert [command in " ".join((one.out + one.err).split()) for one in said] == [True] * 4
    assert json.loads(before.out)[0]["state"] == "approved"
    assert not any("quote credit" in one.out + one.err for one in later)


def test_a_change_that_is_only_proposed_asks_for_no_credit_note(invoiced):
    shop, _ = invoiced

    said = [shop("job", "change", "gate"), shop("job", "pay", "gate"), shop("today")]

    assert not any("quote credit" in one.out + one.err for one in said)
