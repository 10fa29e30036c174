"""What went back for less than it stood at, what was given back, and money paid back too much."""

import json
from datetime import date

import pytest

from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.stock.documents import Document, DocumentLine
from ledger.stock.fair import check_free_goods


@pytest.fixture
def gifts(begun):
    """A shop with ten board feet that were given, four hinges that were bought, and a gate."""
    return begun(
        ["new", "--shop", "Alder Gap", "--overhead", "14400", "--pay", "45000"],
        ["material", "load", "--starting"],
        ["sponsor", "add", "Tannery Hill"],
        ["sponsor", "receive", "tannery", "OAK44", "10", "--value", "12.50"],
        ["receipt", "add", "HINGE", "4", "7.50", "--from", "Plinth Supply", "--document", "P-1"],
        ["job", "new", "Gate", "--price", "640", "--hours", "12"],
        on="2025-05-02",
    )


def done(shop, *words, on="2025-05-05"):
    said = shop(*words, on=on)
    assert said.code == 0, said.err
    return said


def test_gifts_given_back_and_what_a_supplier_kept_are_off_what_was_left(gifts):
    before = done(gifts, "review", "2025").out
    done(gifts, "sponsor", "return", "tannery", "OAK44", "1")
    done(gifts, "stock", "send-back", "HINGE", "2", "--why", "scratched")
    done(gifts, "receipt", "add", "HINGE", "1", "6.00", "--credit-of", "P-1",
         "--from", "Plinth Supply")  # fmt: skip
    after = done(gifts, "review", "2025").out

    assert "without full credit" not in before
    (line,) = [line for line in after.splitlines() if "sent back without full credit" in line]
    assert line.split()[-1] == "-14.00"  # 12.50 of the gift, and 7.50 less 6.00
    words = " ".join(after.split())
    assert "12.50 went back to the giver, 112.50 still lay in stock" in words
    assert "change of price: 1 material, 24.00" in words  # 30.00 less the credit


def test_a_credit_note_before_the_goods_are_sent_counts_once(gifts):
    done(gifts, "receipt", "add", "HINGE", "1", "6.00", "--credit-of", "P-1",
         "--from", "Plinth Supply")  # fmt: skip
    done(gifts, "stock", "send-back", "HINGE", "1", "--why", "scratched")

    after = done(gifts, "review", "2025").out
    (line,) = [line for line in after.splitlines() if "sent back without full credit" in line]
    assert line.split()[-1] == "-1.50"


@pytest.mark.parametrize("steps", [("send", "credit"), ("credit", "send")])
def test_a_month_rolls_forward_alike_whichever_came_first(gifts, steps):
    done(gifts, "receipt", "add", "HINGE", "2", "100", "--to", "gate", "--freight", "10",
         "--from", "Yard", "--document", "D1")  # fmt: skip
    words = {
        "send": ("stock", "send-back", "HINGE", "1", "--job", "gate"),
        "credit": ("receipt", "add", "HINGE", "1", "100", "--credit-of", "D1", "--from", "Yard"),
    }
    for step in steps:
        done(gifts, *words[step])

    month = json.loads(done(gifts, "month", "2025-05", "--json").out)
    # 2 × 100 + 10 freight came and went to the gate, 100 came back and went to the yard; of the
    # 105 of one the freight of 5 stays with the gate: 210 − 100. Beside it: 10 × 12.50 were given
    # and 4 × 7.50 bought.
    figures = month["stock"]["cash"]
    assert [figures[name] for name in ("received", "issued", "returned", "to_supplier")] == [
        "240.00", "210.00", "100.00", "100.00",
    ]  # fmt: skip
    assert (figures["closing"], month["issued"][0]["cash"]) == ("30.00", "110.00")


def test_more_paid_back_than_had_to_go_back_is_said(gifts):
    done(gifts, "job", "pay", "gate", "700")
    fair = done(gifts, "job", "pay", "gate", "60", "--refund").err
    slip = " ".join(done(gifts, "job", "pay", "gate", "30", "--refund").err.split())

    assert "more went back" not in fair
    assert "30.00 more went back than had to, and is asked for again." in slip


def test_hours_of_a_month_before_the_book_are_no_month_without_entries(gifts):
    empty = done(gifts, "month", "2025-03").out
    done(gifts, "hours", "add", "gate", "rip", "2h", "--on", "2025-03-10")

    assert "nothing is posted in it" in empty
    assert "The book begins after this month; this was entered for it later." in (
        done(gifts, "month", "2025-03").out
    )


def test_freight_on_goods_in_kind_is_refused_in_one_sentence():
    line = DocumentLine("freight", "freight", Quantity.of(1), "each", Money(600))
    given = Document("Tannery Hill", date(2025, 5, 5), (line,), kind="in_kind")
    faults = check_free_goods(given)

    assert faults == [
        "Goods in kind or on loan carry no discount, tax or freight; enter what you paid for their"
        " way as a receipt of its own."
    ]


def test_a_job_typed_before_what_goes_back_is_told_how_it_is_named(gifts):
    done(gifts, "stock", "issue", "gate", "HINGE", "2")

    said = gifts("stock", "send-back", "gate", "HINGE", "1", on="2025-05-05")

    assert said.code == 1
    assert "“gate” is the job J-2501; what it has is sent back as:" in said.err
    assert "benchledger stock send-back HINGE 1 --job J-2501" in " ".join(said.err.split())
    done(gifts, "stock", "send-back", "HINGE", "1", "--job", "J-2501", "--why", "scratched")
    assert "No material is called “nosuch”" in gifts("stock", "send-back", "nosuch", "1").err
    assert "No material is called “gate”" in gifts("stock", "send-back", "gate", "nosuch", "1").err
