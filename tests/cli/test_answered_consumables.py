"""Consumables that were answered: met by the glue, tape and discs that came as goods."""

import json

import pytest

DOLLAR = ["new", "--shop", "Larkhollow Joinery", "--overhead", "18000", "--pay", "48000"]
EURO = [*DOLLAR, "--currency", "EUR", "--units", "mm", "--tax", "vat"]
CLOSE = ("job", "close", "gate", "--unlogged", "ADS=not done")


@pytest.fixture(params=[DOLLAR, EURO], ids=["dollar", "euro"])
def gate(request, begun):
    """The program with a job that was sold with consumables of 6.00 in its price."""
    return begun(
        request.param,
        ["job", "new", "Gate", "--work", "repair 3h"],
        ["job", "answer", "gate", "consumables=6"],
        ["quote", "draft", "gate", "--price", "300"], ["quote", "send", "gate"],
        ["quote", "accept", "gate"], ["hours", "add", "gate", "repair", "3h"],
    )  # fmt: skip


def bought(gate, words, price, category):
    """Take goods without a code to the job; what its close-out says then, and shows."""
    done = gate("receipt", "add", words, "1", price, "--from", "Copper Vale Lumber",
                "--category", category, "--to", "gate")  # fmt: skip
    assert done.code == 0, done.err
    facts = json.loads(gate(*CLOSE, "--preview", "--json").out)
    return facts, {row["name"]: row["amount"] for row in facts["differences"]}


def test_consumables_that_came_as_goods_are_not_missing(gate):
    """6.00 planned; glue of 4.00 and discs of 4.00 came: 3.00 planned and 1.00 more for each."""
    facts, named = bought(gate, "glue sticks", "4", "adhesive")
    assert (facts["not_noted"], named["material price"]) == ([], "-2.00")

    facts, named = bought(gate, "discs", "4", "abrasive")
    assert [line["planned_cost"] for line in facts["materials"]] == ["3.00", "3.00"]
    assert (named["material price"], "other costs" in named) == ("2.00", False)
    said = gate(*CLOSE)
    assert "Material: prices 2.00 higher than planned; as much used." in said.out
    assert "consumables" not in said.err
    assert "material −2.00" in " ".join(gate("review").out.split())


def test_other_goods_and_a_noted_cost_leave_consumables_where_they_are(gate):
    """Hinges are no consumables; noted by name, the 6.00 stand beside the noted cost alone."""
    facts, named = bought(gate, "hinges", "4", "hardware")
    assert facts["not_noted"] == [{"name": "consumables", "planned": "6.00"}]
    assert (named["material used"], named["planned costs never booked"]) == ("4.00", "-6.00")

    gate("job", "add-cost", "gate", "consumables", "1", "6", "--actual")
    facts, named = bought(gate, "glue sticks", "5", "adhesive")
    assert (facts["not_noted"], named["material used"]) == ([], "9.00")
    assert "other costs" not in named
