"""What has still to go back once a job is over: goods to their seller, money to the client."""

import json

import pytest

PRICES = "code,name,kind,unit,price\nCHY84,Cherry 8/4,lumber,bf,12.40\n"
DAY = "2025-05-06"


@pytest.fixture
def table(begun, tmp_path):
    """A table of solid wood, 1,000 paid ahead and its lumber bought, nothing cut."""
    (tmp_path / "prices.csv").write_text(PRICES)
    return begun(
        ["new", "--shop", "Solid Wood"],
        ["material", "load", "prices.csv"],
        ["job", "new", "One table", "--client", "S. Ames"],
        ["receipt", "add", "CHY84", "75", "12.40", "--from", "Mill", "--to", "one",
         "--tax-kind", "resale"],
        ["job", "pay", "one", "1000"],
        on=DAY,
    )  # fmt: skip


def facts(shop, *words, on=DAY):
    said = shop(*words, "--json", on=on)
    assert said.code == 0, said.err
    return json.loads(said.out)


def cancel(shop, returnable):
    return shop("job", "cancel", "one", "--returnable", returnable, "--why", "moves",
                "--stage", "before cutting", on=DAY)  # fmt: skip


def waiting(shop):
    """What is still to be sent back: the same in `today`, `month` and `year`."""
    lists = [facts(shop, *words)["to_send_back"]
             for words in (["today"], ["month", "2025-05"], ["year", "2025"])]  # fmt: skip
    assert lists[0] == lists[1] == lists[2]
    return [row["amount"] for row in lists[0]]


def test_goods_that_go_back_are_named_until_they_have_gone(table):
    said = cancel(table, "930")
    assert "stock send-back CHY84 75 --job J-2501" in " ".join(said.out.split())
    table("job", "pay", "one", "1000", "--refund", on=DAY)
    assert waiting(table) == ["930.00"]
    assert "930.00" in table("today", on=DAY).out
    assert "930.00 of CHY84" in " ".join(table("month", "2025-05", on=DAY).out.split())

    table("stock", "send-back", "CHY84", "40", "--job", "one", on=DAY)
    assert waiting(table) == ["434.00"]  # 35 × 12.40
    table("undo", "--why", "not sent", on=DAY)
    assert waiting(table) == ["930.00"]


@pytest.mark.parametrize("back", ["30", "40"])
def test_goods_returned_to_stock_are_no_longer_to_be_sent_back(table, back):
    cancel(table, "372")  # 30 of the 75
    assert waiting(table) == ["372.00"]
    back = table("stock", "return", "one", "CHY84", back, on=DAY)
    assert (back.code, waiting(table)) == (0, [])


def test_another_settlement_keeps_what_goes_back(table):
    cancel(table, "930")
    table("stock", "send-back", "CHY84", "40", "--job", "one", on=DAY)
    table("job", "cancel", "one", "--kept", "0", "--why", "as agreed", on=DAY)
    assert waiting(table) == ["434.00"]


def test_a_job_opened_again_sends_nothing_back(table):
    cancel(table, "930")
    table("job", "reopen", "one", "--why", "stays", on=DAY)
    assert waiting(table) == []


def test_less_than_nothing_cannot_go_back(table):
    assert cancel(table, "-5").code == 1


def test_what_the_seller_credits_later_is_a_credit_and_no_cost(table):
    cancel(table, "930")
    table("stock", "send-back", "CHY84", "75", "--job", "one", on=DAY)
    said = " ".join(table("job", "show", "one", on=DAY).out.split())
    assert "Late credit of J-2501" in said
    assert "Late cost" not in said


@pytest.fixture
def stool(begun, tmp_path):
    """A repair of three hours without a quote: 212 paid, in a shop that charges 6 % sales tax."""
    (tmp_path / "parts.csv").write_text(
        "id,qty,length,width,grain,material\nA1,2,40,16,length,PLY\n"
    )
    (tmp_path / "ply.csv").write_text(
        "code,name,kind,unit,length,width,price\nPLY,Plywood,sheet,sheet,96,48,60\n"
    )
    return begun(
        ["new", "--shop", "Repairs"],
        ["shop", "set", "overhead_year=22000", "pay_year=56000", "tax_rate=6 %"],
        ["material", "load", "ply.csv"],
        ["job", "new", "Stool repair", "--parts", "parts.csv", "--client", "S. Ames"],
        ["job", "pay", "stool", "212", "--by", "cash"],
        ["hours", "add", "stool", "assemble", "3h"],
        on=DAY,
    )  # fmt: skip


def owed_back(shop):
    """What closed jobs owe their clients: the same in `today`, `month` and `year`."""
    lists = [facts(shop, *words)["to_refund"]
             for words in (["today"], ["month", "2025-05"], ["year", "2025"])]  # fmt: skip
    assert lists[0] == lists[1] == lists[2]
    return [row["back"] for row in lists[0]]


def test_a_price_said_at_closing_is_the_agreed_one_with_its_tax(stool):
    said = stool("job", "close", "stool", "--price", "200", on=DAY)

    assert (said.code, "12.00 tax = 212.00" in said.out) == (0, True)
    assert "go back" not in said.err
    paid = facts(stool, "job", "pay", "stool")
    assert (paid["asked"], paid["due"], owed_back(stool)) == ("212.00", "0.00", [])
    assert facts(stool, "job", "close", "stool")["price"] == "200.00"


def test_an_untaxed_job_is_closed_without_tax(stool):
    stool("job", "tax", "stool", "improvement", on=DAY)
    stool("job", "close", "stool", "--price", "200", on=DAY)
    assert facts(stool, "job", "pay", "stool")["asked"] == "200.00"


def test_what_a_closed_job_owes_its_client_is_named_until_it_is_refunded(stool):
    stool("job", "close", "stool", "--price", "100", on=DAY)
    assert owed_back(stool) == ["106.00"]  # 212 less 100 and 6 % of it
    for words in (["today"], ["month", "2025-05"], ["year", "2025"]):
        assert "106.00 of what" in " ".join(stool(*words, on=DAY).out.split())

    assert stool("job", "pay", "stool", "--refund", on=DAY).code == 0
    assert (owed_back(stool), facts(stool, "job", "pay", "stool")["received"]) == ([], "106.00")


def test_a_month_before_the_closing_owes_nothing_back(stool):
    june = "2025-06-03"
    stool("job", "close", "stool", "--price", "100", on=june)

    months = [
        facts(stool, "month", month, on=june)["to_refund"] for month in ("2025-05", "2025-06")
    ]
    assert months[0] == []
    assert [row["back"] for row in months[1]] == ["106.00"]


def test_closing_is_taken_back_with_the_price_that_it_said(stool):
    stool("job", "close", "stool", "--price", "100", on=DAY)
    assert stool("undo", "--why", "wrong", on=DAY).code == 0
    assert facts(stool, "job", "pay", "stool")["asked"] == "0.00"


def test_a_price_said_at_closing_gives_way_to_a_later_one(stool):
    stool("job", "close", "stool", "--price", "100", on=DAY)
    stool("job", "reopen", "stool", "--why", "more to do", on=DAY)
    stool("job", "close", "stool", "--price", "200", on=DAY)
    assert facts(stool, "job", "pay", "stool")["asked"] == "212.00"

    stool("job", "reopen", "stool", "--why", "quoted after all", on=DAY)
    for words in (["draft", "stool", "--price", "300"], ["send", "stool"], ["accept", "stool"]):
        assert stool("quote", *words, on=DAY).code == 0
    assert facts(stool, "job", "pay", "stool")["asked"] == "318.00"


def test_a_canceled_job_was_never_due_its_estimate(stool):
    stool("job", "cancel", "stool", "--why", "moves", "--stage", "before the deposit", on=DAY)
    account = facts(stool, "job", "close", "stool")
    assert (account["price"], account["not_logged"]) == ("0.00", [])
    said = stool("job", "close", "stool", on=DAY)
    assert "forgotten" not in said.err


@pytest.mark.parametrize("amount", [["-50"], ["--", "-50"]])
def test_a_minus_before_a_payment_names_the_refund(stool, amount):
    refused = stool("job", "pay", "stool", *amount, on=DAY)
    assert (refused.code > 0, "--refund" in refused.err) == (True, True)
    assert facts(stool, "job", "pay", "stool")["received"] == "212.00"


def test_a_refund_without_an_amount_is_refused_where_none_is_due(stool):
    refused = stool("job", "pay", "stool", "--refund", on=DAY)
    assert (refused.code, "212.00" in refused.err) == (1, True)
    stool("job", "close", "stool", "--price", "200", on=DAY)
    assert stool("job", "pay", "stool", "--refund", on=DAY).code == 1


def test_the_refund_of_a_canceled_job_is_what_its_settlement_leaves(table):
    cancel(table, "930")
    assert table("job", "pay", "one", "--refund", on=DAY).code == 0
    assert facts(table, "job", "pay", "one")["received"] == "0.00"
