"""A price agreed in one sum that is said with tax: quote, payments, invoice, close-out add up."""

import json

import pytest

SHOPS = {
    # 850 ÷ 1.0825, and its tax is just 8.25 % of it
    "USD": (["tax_rate=8.25 %"], "785.22", "64.78"),
    # 850 ÷ 1.19 = 714.2857; 19 % of 714.29 would be 135.72, and 850.01 in all
    "EUR": (["tax_rate=19 %", "tax_standing=vat", "address=Mill Lane 3", "tax_number=12 345"],
            "714.29", "135.71"),
}  # fmt: skip


def sold(begun, code, *more):
    settings, price, tax = SHOPS[code]
    typed = begun(
        ["new", "--shop", "Larkhollow Joinery", "--currency", code, "--overhead", "14400",
         "--pay", "42000"],
        ["shop", "set", *settings],
        ["job", "new", "Oak stool", "--price", "850 with tax", "--hours", "9h"],
        ["job", "client", "stool", "--name", "A. Client", "--address", "Birch Lane 2"],
        *more,
    )  # fmt: skip
    return typed, price, tax


def facts(typed, *words):
    said = typed(*words, "--json")
    assert said.code == 0, said.err
    return json.loads(said.out)


@pytest.mark.parametrize("code", SHOPS)
def test_quote_payments_invoice_and_close_out_make_up_the_sum(begun, code):
    typed, price, tax = sold(begun, code, ["quote", "draft", "stool"])
    offer = facts(typed, "quote", "show", "Q-2501-A")
    assert (offer["price"], offer["tax"], offer["to_pay"]) == (price, tax, "850.00")
    assert [row["amount"] for row in offer["deliverables"]] == [price]
    assert [row["asked"] for row in offer["payments"]] == ["425.00", "425.00"]
    shown = " ".join(typed("quote", "show", "Q-2501-A").out.split())
    assert ("0.01 less by rounding" in shown) == (code == "EUR")

    for words in ("quote send", "quote accept", "job pay", "job state"):
        more = {"job pay": ["850"], "job state": ["installed"]}.get(words, [])
        assert typed(*words.split(), "stool", *more).code == 0
    bill = facts(typed, "quote", "invoice", "stool")
    (row,) = bill["taxes"]
    assert (row["base"], row["tax"], bill["agreed"]) == (price, tax, "850.00")
    assert facts(typed, "job", "close", "stool")["price"] == price


def test_it_is_sold_without_a_quote_too(begun):
    typed, price, tax = sold(begun, "EUR", ["job", "pay", "stool", "850"])
    lines = facts(typed, "job", "lines", "stool")
    assert (lines["agreed_price"], lines["agreed_with_tax"]) == (price, "850.00")
    typed("job", "state", "stool", "installed")
    bill = facts(typed, "quote", "invoice", "stool")
    (row,) = bill["taxes"]
    assert (row["base"], row["tax"], bill["agreed"]) == (price, tax, "850.00")
    assert facts(typed, "job", "close", "stool")["price"] == price


def test_a_part_without_tax_leaves_more_of_the_sum(begun):
    draft = ["quote", "draft", "stool", "--deliverable", "Delivery=100"]
    typed, _, _ = sold(begun, "USD", draft)
    offer = facts(typed, "quote", "show", "Q-2501-A")
    # 100 + 750 ÷ 1.0825
    assert (offer["price"], offer["tax"]) == ("792.84", "57.16")


def test_a_copy_is_sold_at_the_same_sum(begun):
    typed, price, _ = sold(begun, "USD", ["job", "copy", "stool"])
    lines = facts(typed, "job", "lines", "J-2502")
    assert (lines["agreed_price"], lines["agreed_with_tax"]) == (price, "850.00")


@pytest.mark.parametrize("code", SHOPS)
def test_a_sum_with_tax_said_at_closing_is_divided_too(begun, code):
    settings, price, _ = SHOPS[code]
    typed = begun(
        ["new", "--shop", "Larkhollow Joinery", "--currency", code, "--overhead", "14400",
         "--pay", "42000"],
        ["shop", "set", *settings],
        ["job", "new", "Reglue a chair"],
        ["job", "line", "chair", "repair", "3h"],
        ["job", "client", "chair", "--name", "A. Client", "--address", "Birch Lane 2"],
        ["job", "state", "chair", "installed"],
    )  # fmt: skip
    assert facts(typed, "job", "close", "chair", "--price", "850 with tax")["price"] == price
    typed("job", "pay", "chair", "850")
    bill = facts(typed, "quote", "invoice", "chair")
    assert (bill["agreed"], bill["left"]) == ("850.00", "0.00")


def test_a_sales_tax_invoice_says_the_cent_of_rounding_as_the_quote_does(begun):
    typed = begun(
        ["new", "--shop", "Larkhollow Joinery", "--overhead", "14400", "--pay", "42000"],
        ["shop", "set", "tax_rate=19 %"],
        ["job", "new", "Oak stool", "--price", "850 with tax", "--hours", "9h"],
        ["job", "client", "stool", "--name", "A. Client"],
        ["job", "pay", "stool", "850"],
        ["job", "state", "stool", "installed"],
    )
    (row,) = facts(typed, "quote", "invoice", "stool")["taxes"]
    assert (row["base"], row["tax"]) == ("714.29", "135.71")
    assert "0.01 less by rounding" in row["words"]


@pytest.mark.parametrize("is_of_job", [True, False])
def test_of_a_sum_with_tax_the_part_without_tax_is_left_out_of_it(begun, is_of_job):
    price = ("--price", "850 with tax")
    typed = begun(
        ["new", "--shop", "Larkhollow Joinery", "--overhead", "14400", "--pay", "42000"],
        ["shop", "set", "tax_rate=8.25 %"],
        ["job", "new", "Gate", "--work", "repair 4h", "--client", "A. Client"],
        ["job", "set", "gate", *price] if is_of_job else ["today"],
        ["quote", "draft", "gate", "--deliverable", "Installation=200",
         *([] if is_of_job else price)],
    )  # fmt: skip
    offer = facts(typed, "quote", "show", "Q-2501-A")
    # 650 ÷ 1.0825 = 600.46, and 200 without tax
    assert (offer["price"], offer["tax"], offer["to_pay"]) == ("800.46", "49.54", "850.00")

    if is_of_job:
        assert facts(typed, "price", "gate")["totals"]["price"] == "800.46"
    typed("quote", "send", "gate")
    typed("quote", "accept", "gate")
    if is_of_job:
        assert facts(typed, "price", "gate")["totals"]["price"] == "800.46"
    typed("job", "change", "gate", "a wider gate", "--price", "100 with tax")
    typed("job", "change", "gate", "--approved", "CO-1")
    assert facts(typed, "job", "pay", "gate")["asked"] == "950.00"  # 92.38 and 7.62 more


def test_the_price_follows_the_last_quote_of_a_sum_with_tax(begun):
    typed, price, _ = sold(begun, "USD", ["quote", "draft", "stool"], ["quote", "send", "stool"])
    assert facts(typed, "price", "stool")["totals"]["price"] == price
    typed("quote", "draft", "stool", "--deliverable", "Delivery=100").done()
    # 100 without tax + 750 ÷ 1.0825
    assert facts(typed, "price", "stool")["totals"]["price"] == "792.84"
