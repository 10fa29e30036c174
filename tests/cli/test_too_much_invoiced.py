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


def test_month_and_year_name_the_credit_note_with_its_figure_until_it_is_written(
    invoiced, pdf_text
):
    """200.00 with tax of 10 % and 20 %; a month before the change was approved needs none."""
    shop, rate = invoiced
    figure, later = {"10 %": "220.00", "20 %": "240.00"}[rate], "2025-05-06"
    shop("job", "change", "gate", "--approved", "CO-1", on=later)
    number = json.loads(shop("quote", "invoice", "gate", "--list", "--json").out)[0]["invoice"]

    def facts(*words):
        return json.loads(shop(*words, "--json", on=later).out)["to_credit"]

    accounts = ("month", "2025-05"), ("year", "2025")
    listed = [facts(*words) for words in accounts]
    april = facts("month", "2025-04")
    said = [shop(*words, on=later).out for words in (*accounts, ("job", "show", "gate"))]
    files = [shop(*words, "--pdf", f"{words[0]}.pdf", on=later) for words in accounts]
    papers = [" ".join(pdf_text(f"{words[0]}.pdf").split()) for words in accounts]
    shop("quote", "credit", number, figure, "--why", "smaller", on=later)

    assert listed == [[{"job": "J-2501", "invoice": number, "amount": figure}]] * 2
    assert april == []
    words = f"{figure} more was invoiced than J-2501 comes to; a credit note"
    assert [words in " ".join(one.split()) for one in said] == [True] * 3
    assert [one.code for one in files] == [0, 0]
    assert [f"{words} on {number} takes it off." in one for one in papers] == [True] * 2
    assert [facts(*one) for one in accounts] == [[], []]
