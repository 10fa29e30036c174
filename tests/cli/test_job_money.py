"""`benchledger job change`, `pay`, `cancel` and `quote invoice`, `variants`, typed."""

import json
import re
from decimal import Decimal
from pathlib import Path

import pytest

SAMPLES = Path(__file__).parents[2] / "sample_data"


@pytest.fixture
def agreed(begun, tmp_path):
    """The program with a small job that was agreed on at 2,000.00 and 120.00 of tax."""
    (tmp_path / "shelves.csv").write_text(
        "id,qty,length,width,grain,material\nA1,2,40,11,length,PLY34\n"
    )
    return begun(
        ["new", "--shop", "Quillhaven Workshop"],
        ["shop", "load", str(SAMPLES / "shop.csv")],
        ["material", "load", str(SAMPLES / "materials.csv")],
        ["job", "new", "Marrow shelves", "--parts", "shelves.csv", "--client", "D. Marrow"],
        ["quote", "draft", "shelves", "--price", "2000", "--option", "Lamp=100"],
        ["quote", "send", "shelves"],
        ["quote", "accept", "shelves"],
    )


def test_a_change_order_is_written_approved_and_asked_for(agreed):
    agreed("job", "change", "shelves", "one more shelf", "--price", "120", "--hours", "0.8")
    said = agreed("job", "change", "shelves", "--approved", "CO-1", "--by", "e-mail")

    assert "approved 2025-04-25" in said.out
    assert "0.80 estimated, 0.00 logged" in said.out
    facts = json.loads(agreed("job", "pay", "shelves", "--json").out)
    assert (facts["asked"], facts["due"]) == ("2247.20", "2247.20")
    assert facts["open"][-1] == {"name": "CO-1: one more shelf", "open": "127.20"}


def test_a_change_order_needs_its_price_even_if_it_is_a_favor(agreed):
    assert agreed("job", "change", "shelves", "sand it again").code == 2

    said = agreed("job", "change", "shelves", "sand it again", "--price", "0", "--json")
    assert json.loads(said.out)[0]["price"] == "0.00"


def test_a_change_order_is_not_written_anew_beside_another_answer(agreed):
    agreed("job", "change", "shelves", "one shelf less", "--price", "-80")
    words = ("job", "change", "shelves", "one shelf less", "--price", "-60")
    for other in ("--again", "--approved", "--declined"):
        said = agreed(*words, other, "CO-1")
        assert (said.code, f"{other}" in said.err, "new order" in said.err) == (1, True, True)

    (order,) = json.loads(agreed("job", "change", "shelves", "--json").out)
    assert (order["price"], order["state"]) == ("-80.00", "proposed")


def test_work_ahead_of_the_approval_is_warned_about(agreed):
    agreed("job", "change", "shelves", "one more shelf", "--price", "120")
    said = agreed("hours", "add", "shelves", "rip", "30m", "--class", "change order")
    assert said.code == 0, said.err

    assert "none is approved" in agreed("job", "change", "shelves").err


def test_a_payment_says_what_is_still_open_and_held(agreed):
    said = agreed("job", "pay", "shelves", "1060", "--by", "check", on="2025-04-28")

    assert re.search(r"Held .*: 1,060\.00", said.out)
    assert json.loads(agreed("job", "pay", "shelves", "--json").out)["due"] == "1060.00"


def test_a_refund_goes_back(agreed):
    agreed("job", "pay", "shelves", "500")
    agreed("job", "pay", "shelves", "200", "--refund")

    assert json.loads(agreed("job", "pay", "shelves", "--json").out)["received"] == "300.00"


@pytest.mark.parametrize(("answer", "received"), [("y", "200.00"), ("n", "100.00"), ("", "200.00")])
def test_a_payment_that_is_noted_already_is_asked_about(agreed, monkeypatch, answer, received):
    for other in ("90", "100 --by cash", "100 --on yesterday"):
        assert "already" not in agreed("job", "pay", "shelves", *other.split()).err
    before = Decimal(json.loads(agreed("job", "pay", "shelves", "--json").out)["received"])
    agreed("job", "pay", "shelves", "100")
    monkeypatch.setattr("ledger.cli.answers.can_ask", lambda: bool(answer))
    said = agreed("job", "pay", "shelves", "100", keys=f"{answer}\n")

    assert "100.00 of J-2501 is noted for that day already" in said.err
    assert said.code == int(answer == "n")
    after = Decimal(json.loads(agreed("job", "pay", "shelves", "--json").out)["received"])
    assert after - before == Decimal(received)


@pytest.mark.parametrize(("answer", "received"), [("y", "5000.00"), ("n", "0.00"), ("", "5000.00")])
def test_a_payment_of_more_than_is_due_is_asked_about(agreed, monkeypatch, answer, received):
    monkeypatch.setattr("ledger.cli.answers.can_ask", lambda: bool(answer))
    said = agreed("job", "pay", "shelves", "5000", keys=f"{answer}\n")

    assert (said.code, "5,000.00 is more than the 2,120.00" in said.err) == (
        int(answer == "n"), bool(answer),
    )  # fmt: skip
    assert ("2,880.00 more" in said.err) == (answer != "n")
    assert json.loads(agreed("job", "pay", "shelves", "--json").out)["received"] == received


def test_invoices_are_written_and_written_again(agreed, tmp_path):
    first = json.loads(agreed("quote", "invoice", "shelves", "--pdf", "i.pdf", "--json").out)
    again = agreed("quote", "invoice", "shelves", "--again", first["invoice"], "--json")

    assert (first["invoice"], first["kind"], first["asked"]) == (
        "I-2501-1", "Deposit invoice", "1060.00",
    )  # fmt: skip
    assert json.loads(again.out) == first
    assert (tmp_path / "i.pdf").exists()


def test_where_an_invoices_file_cannot_be_written_there_is_no_invoice(agreed):
    assert agreed("quote", "invoice", "shelves", "--pdf", "nowhere/i.pdf").code == 1

    facts = json.loads(agreed("quote", "invoice", "shelves", "--rest", "--json").out)
    assert (facts["asked"], facts["left"]) == ("2120.00", "0.00")


def test_a_cancellation_is_worked_out_before_it_is_done(agreed):
    agreed("job", "pay", "shelves", "1060")
    shown = agreed("job", "cancel", "shelves")
    assert "local law decide" in shown.err
    assert "goes back:   1,060.00" in shown.out

    done = json.loads(agreed("job", "cancel", "shelves", "--why", "moved away", "--json").out)
    assert (done["stage"], done["canceled"]) == ("before material was ordered", True)


def test_variants_are_written_side_by_side(shop, agreed, tmp_path):
    said = agreed("quote", "variants", "shelves", "Q-2501-A", "--pdf", "v.pdf")

    assert said.code == 0, said.err
    assert (tmp_path / "v.pdf").exists()


def test_panels_without_papers_are_named(agreed):
    assert json.loads(agreed("job", "panels", "shelves", "--json").out) == []

    said = agreed("job", "panels", "shelves", "--label", "--statement", "mine", "--confirm")
    assert "No composite panel was issued" in said.err


def test_an_option_that_was_taken_is_asked_for(shop, agreed):
    facts = json.loads(agreed("quote", "show", "shelves", "--json").out)

    assert facts["options"] == [{"name": "Lamp", "price": "100.00", "tax": "6.00"}]


def test_a_job_says_how_far_it_has_come_and_then_nothing_is_held(agreed):
    agreed("job", "pay", "shelves", "2120")
    said = agreed("job", "state", "shelves", "installed", "--note", "straps shown")

    assert said.out == "J-2501 Marrow shelves: handed over.\n"
    assert json.loads(agreed("job", "pay", "shelves", "--json").out)["held"] == "0.00"
    assert "straps shown" in agreed("job", "state", "shelves").out


@pytest.mark.parametrize(
    ("entered", "says"),
    [("closed", "benchledger job close"), ("painted", "No state is called"), ("i", "which state?")],
)
def test_a_state_is_one_of_the_list_and_not_one_with_a_verb_of_its_own(agreed, entered, says):
    said = agreed("job", "state", "shelves", entered)

    assert said.code == 1
    assert says in said.err


def test_payments_stand_in_the_order_of_their_days(agreed):
    assert agreed("job", "pay", "shelves", "100").code == 0
    said = agreed("job", "pay", "shelves", "200", "--on", "2025-04-20")
    days = [line.split()[0] for line in said.out.splitlines() if line.startswith("2025-")]
    assert (said.code, days) == (0, ["2025-04-20", "2025-04-25"])


@pytest.mark.parametrize("occasion", [[], ["--actual"]], ids=["planned", "as it came"])
@pytest.mark.parametrize("new", [[], ["--currency", "EUR", "--units", "mm"]], ids=["inch", "mm"])
def test_the_same_cost_twice_is_told_of_and_counts(begun, new, occasion):
    """Another sum, another day or other words are another cost."""
    shop = begun(["new", "--shop", "Larkhollow", *new], ["job", "new", "Gate", "--price", "850"])
    cost = ("job", "add-cost", "gate", "other", "1")

    def is_asked(*words):
        said = shop(*cost, *words, *occasion)
        assert said.code == 0
        return "stands on J-2501 for 2025-04-25 already" in " ".join(said.err.split())

    caning = ("50", "--note", "caning")
    told = [
        is_asked(*words)
        for words in (caning, caning, ("51", "--note", "caning"), ("50", "--note", "glass"),
                      (*caning, "--on", "2025-04-24"))
    ]  # fmt: skip
    costs = json.loads(shop("job", "show", "gate", "--json").out)["costs"]

    assert told == [False, True, False, False, False]
    assert [row["amount"] for row in costs] == ["50.00", "50.00", "51.00", "50.00", "50.00"]


def test_a_cost_that_was_taken_back_is_noted_again_without_a_question(agreed):
    cost = ("job", "add-cost", "shelves", "other", "1", "50", "--note", "caning")
    agreed(*cost)
    agreed("undo")

    assert "already" not in agreed(*cost).err


@pytest.mark.parametrize("new", [[], ["--currency", "EUR", "--units", "mm"]], ids=["inch", "mm"])
def test_a_change_that_takes_money_off_and_no_hours_says_which_hours_stay(begun, new):
    """10.50 h guessed less 2 h are 8.50 h; no hours said is asked about, 0 is an answer."""
    shop = begun(["new", "--shop", "Larkhollow", "--overhead", "21000", "--pay", "52000", *new])
    shop("job", "new", "Gate", "--price", "850", "--hours", "10.5").done()
    shop("job", "new", "Bare", "--price", "850").done()

    def said(job, *words):
        return " ".join(shop("job", "change", job, "smaller", *words).done().err.split())

    first = said("gate", "--price", "-100")
    told = [said("gate", "--price", price, "--hours", hours)
            for price, hours in (("-100", "0"), ("-100", "-2"))]  # fmt: skip
    shop("job", "change", "gate", "--approved", "CO-3").done()
    later, others = said("gate", "--price", "-50"), [said("gate", "--price", "50"),
                                                     said("bare", "--price", "-50")]  # fmt: skip

    assert "CO-1 takes 100.00 off and no hours: 10.50 h stay agreed." in first
    assert "benchledger job change J-2501 WORDS --price -100.00 --hours -HOURS" in first
    assert "CO-4 takes 50.00 off and no hours: 8.50 h stay agreed." in later
    assert not any("stay agreed" in one for one in (*told, *others))
