"""What stands once money, answers and change orders came in another order than expected."""

import json

import pytest

DAY = "2025-05-06"


@pytest.fixture
def nook(begun, tmp_path):
    """A painted nook in a metric euro shop, its quote sent, nothing agreed."""
    (tmp_path / "parts.csv").write_text(
        "id,qty,length,width,grain,material\nA1,2,1000,400,length,PLY\n"
    )
    (tmp_path / "prices.csv").write_text(
        "code,name,kind,unit,length,width,price\nPLY,Plywood 18,sheet,sheet,2500,1250,60\n"
    )
    return begun(
        ["new", "--shop", "Atelier Nord", "--currency", "EUR", "--units", "mm"],
        ["shop", "set", "overhead_year=22000", "pay_year=56000"],
        ["material", "load", "prices.csv"],
        ["job", "new", "Window nook", "--parts", "parts.csv"],
        ["quote", "draft", "nook", "--price", "3000"],
        ["quote", "send", "nook"],
        on=DAY,
    )  # fmt: skip


def facts(shop, *words):
    said = shop(*words, "--json", on=DAY)
    assert said.code == 0, said.err
    return json.loads(said.out)


def typed(shop, *words):
    said = shop(*words, on=DAY)
    assert said.code == 0, said.err
    return said


def job_now(shop):
    (row,) = facts(shop, "today")["jobs"]
    return row


def accept(shop):
    typed(shop, "quote", "accept", "nook")


def test_a_payment_before_the_answer_leaves_the_quote_in_sight(nook):
    said = typed(nook, "job", "pay", "nook", "1500")
    assert "quote accept Q-2501-A" in " ".join(said.err.split())

    today = facts(nook, "today")
    assert [row["quote"] for row in today["quotes"]] == ["Q-2501-A"]
    assert today["paid_ahead"] == [{"job": "J-2501", "held": "1500.00", "quote": "Q-2501-A"}]
    assert "1500.00" in nook("today", on=DAY).out.replace(",", "").replace(" ", "")

    accept(nook)
    today = facts(nook, "today")
    assert (today["paid_ahead"], today["quotes"]) == ([], [])
    assert job_now(nook)["state"] == "deposit paid"


@pytest.mark.parametrize("over", ["closed", "canceled"])
def test_a_job_that_is_over_is_not_quoted(nook, over):
    if over == "closed":
        typed(nook, "job", "close", "nook", "--price", "100")
    else:
        typed(nook, "job", "cancel", "nook", "--why", "moves")
    for words in (["accept", "nook"], ["draft", "nook", "--price", "90"]):
        refused = nook("quote", *words, on=DAY)
        assert (refused.code, "job reopen J-2501" in " ".join(refused.err.split())) == (1, True)


def test_a_draft_of_a_job_that_was_closed_since_is_not_sent(nook):
    typed(nook, "quote", "draft", "nook", "--price", "90")
    typed(nook, "job", "close", "nook", "--price", "100")
    refused = nook("quote", "send", "nook", on=DAY)
    assert (refused.code, "job reopen" in " ".join(refused.err.split())) == (1, True)


def test_the_state_follows_a_deposit_that_went_back(nook):
    accept(nook)
    typed(nook, "job", "pay", "nook", "1500")
    assert job_now(nook)["state"] == "deposit paid"
    typed(nook, "job", "pay", "nook", "1500", "--refund")
    assert job_now(nook)["state"] == "won"

    typed(nook, "job", "pay", "nook", "1500")
    typed(nook, "job", "cancel", "nook", "--why", "moves", "--stage", "before the deposit")
    typed(nook, "job", "pay", "nook", "--refund")
    typed(nook, "job", "reopen", "nook", "--why", "stays")
    assert job_now(nook)["state"] == "won"


def planned_freight(shop):
    return facts(shop, "job", "close", "nook", "--price", "3000", "--preview")["freight_planned"]


def test_freight_that_is_answered_is_planned_once(nook):
    before = facts(nook, "price", "nook")["totals"]["build_up"]
    typed(nook, "job", "answer", "nook", "freight", "45")
    after = facts(nook, "price", "nook")
    assert float(after["totals"]["build_up"]) - float(before) == 45
    assert planned_freight(nook) == "45.00"

    refused = nook("job", "add-cost", "nook", "freight", "1", "45", on=DAY)
    assert (refused.code, "45" in refused.err) == (1, True)
    typed(nook, "job", "answer", "nook", "freight", "60")
    assert planned_freight(nook) == "60.00"


def test_freight_that_is_planned_is_not_answered_too(nook):
    typed(nook, "job", "add-cost", "nook", "freight", "1", "45")
    assert nook("job", "answer", "nook", "freight", "45", on=DAY).code == 1
    assert planned_freight(nook) == "45.00"


def test_an_approved_change_order_is_in_the_hours_planned(nook):
    accept(nook)
    before = job_now(nook)
    said = typed(nook, "job", "change", "nook", "doors", "--price", "380", "--hours", "10")
    assert "10.00 more proposed" in said.out
    assert job_now(nook) == before

    typed(nook, "job", "change", "nook", "--approved", "CO-1")
    after = job_now(nook)
    for name in ("planned_hours", "owner_hours_left"):
        assert float(after[name]) == pytest.approx(float(before[name]) + 10)
    hours = facts(nook, "hours", "job", "nook")
    assert float(hours["estimate"]) == pytest.approx(float(after["planned_hours"]))

    typed(nook, "hours", "add", "nook", "assemble", "4h", "--class", "change order")
    worked = job_now(nook)
    assert float(worked["owner_hours_left"]) == pytest.approx(float(before["owner_hours_left"]) + 6)
    assert facts(nook, "hours", "job", "nook")["apart"] == {}


def test_no_job_with_hours_is_said_to_have_none(begun):
    shop = begun(
        ["new", "--shop", "Repairs"],
        ["job", "new", "Chair repair"],
        ["hours", "add", "chair", "assemble", "3h"],
        on=DAY,
    )
    assert "no hours yet" not in shop("today", on=DAY).out
    assert "no hours yet" not in shop("today", on=DAY).err
