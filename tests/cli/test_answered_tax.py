"""Sales tax that was answered: beside the tax that came with the goods, and in the price once."""

import json

import pytest

DOLLAR = ["new", "--shop", "Larkhollow Joinery", "--overhead", "18000", "--pay", "48000"]
EURO = [*DOLLAR, "--currency", "EUR", "--units", "mm", "--tax", "exempt"]
SOLD = (
    ["quote", "draft", "gate", "--price", "500"], ["quote", "send", "gate"],
    ["quote", "accept", "gate"], ["hours", "add", "gate", "repair", "3h"],
)  # fmt: skip
FROM = ("--from", "Copper Vale Lumber")
CLOSE = ("job", "close", "gate", "--unlogged", "ADS=not done")


@pytest.fixture(params=[DOLLAR, EURO], ids=["dollar", "euro"])
def gate(request, begun, tmp_path):
    """The program with a job that takes glue for 100.00, in a book whose prices have no tax."""
    (tmp_path / "t.csv").write_text("code,name,kind,unit,price\nGLUE,Glue,supply,each,10\n")
    return begun(
        request.param,
        ["shop", "set", "use_tax_rate=7 %", "list_prices=before_tax"],
        ["material", "load", "t.csv"],
        ["job", "new", "Gate", "--work", "repair 3h", "--use", "GLUE 10"],
    )


@pytest.mark.parametrize(
    ("gate", "told"),
    [(DOLLAR, ("--tax", "7.00")), (DOLLAR, ("--tax-kind", "use")), (EURO, ("--tax", "7.00"))],
    ids=["dollar paid", "dollar use", "euro paid"], indirect=["gate"],
)  # fmt: skip
def test_answered_tax_is_met_by_the_tax_on_the_goods(gate, told):
    """7.00 planned and 7.00 of 107.00 paid or owed: the price of the glue is as planned."""
    gate("job", "answer", "gate", "sales tax=7")
    for words in SOLD:
        gate(*words)
    before = json.loads(gate(*CLOSE, "--preview", "--json").out)
    assert {"name": "sales tax", "planned": "7.00"} in before["not_noted"]

    assert gate("receipt", "add", "GLUE", "10", "10", *FROM, "--to", "gate", *told).code == 0
    facts = json.loads(gate(*CLOSE, "--preview", "--json").out)
    said = gate(*CLOSE)

    assert (facts["material"], facts["not_noted"]) == ("107.00", [])
    assert (facts["material_tax_planned"], facts["material_tax"]) == ("7.00", "7.00")
    assert facts["variances"]["material_price"] == "0.00"
    assert "Material: prices as planned; as much used." in said.out
    assert "Tax on material: 7.00 paid or owed as use tax, 7.00 planned." in said.out
    assert "sales tax" not in said.err
    assert "Gate. Costs as planned." in " ".join(gate("review").out.split())


def test_answered_tax_that_was_noted_as_a_cost_stands_beside_it(gate):
    """Goods without tax, and 9.00 of it noted by its name: 2.00 more than the 7.00 planned."""
    gate("job", "answer", "gate", "sales tax=7")
    for words in SOLD:
        gate(*words)
    gate("job", "add-cost", "gate", "sales tax", "1", "9", "--actual")
    gate("receipt", "add", "GLUE", "10", "10", *FROM, "--to", "gate")
    facts = json.loads(gate(*CLOSE, "--preview", "--json").out)
    named = {row["name"]: row["amount"] for row in facts["differences"]}

    assert (facts["material_tax_planned"], facts["material_tax"]) == ("7.00", "9.00")
    assert (named["tax on material"], "other costs" in named, facts["not_noted"]) == (
        "2.00", False, [],
    )  # fmt: skip


def test_tax_that_is_in_the_prices_is_not_answered_too(gate):
    """With `material_tax` the glue counts 107.00; an answer of 7.00 would be in the price twice."""
    gate("shop", "set", "material_tax=7 %")
    gate("job", "new", "Stool", "--work", "repair 3h", "--use", "GLUE 10")
    gate("material", "load", "t.csv")
    refused = gate("job", "answer", "stool", "sales tax=7")

    assert (refused.code, "it counts once" in " ".join(refused.err.split())) == (1, True)
    assert gate("job", "answer", "stool", "sales tax=0").code == 0
    assert gate("job", "answer", "stool", "parking=7").code == 0


def test_tax_that_came_into_the_prices_after_its_answer_is_said(gate):
    gate("job", "answer", "gate", "sales tax=7")
    before = " ".join(gate("price", "gate").out.split())
    gate("shop", "set", "material_tax=7 %")
    gate("material", "load", "t.csv")
    gate("material", "price", "GLUE", "10")
    after = " ".join(gate("price", "gate").out.split())

    words = "7.00 of sales tax is answered, and the price has the tax on its material in it already"
    assert (words in before, words in after) == (False, True)
