"""A bill of others that came by a receipt stands beside the outside work that was planned."""

import json

import pytest

from ledger.book import Book
from ledger.jobs.going_back import all_goods_to_return
from tests.conftest import DAY

PRICES = "code,name,kind,unit,length,width,thickness,price\nGLUE,Glue,adhesive,bottle,,,,7.50\n"
RATES = ["shop", "set", "overhead_year=22000", "pay_year=56000", "selling_rate=73"]
INCH = (["new", "--shop", "Quillhaven"], [*RATES, "tax_standing=sales_tax", "tax_rate=8.25 %"])
METRIC = (
    ["new", "--shop", "Lindhof", "--currency", "EUR", "--units", "mm"],
    [*RATES, "tax_standing=vat", "tax_rate=19 %", "decimal=comma"],
)
BOTH = [(INCH, "10.31", "135.31"), (METRIC, "23.75", "125.00")]
"""A shop, the tax on 125, and what a bill of 125 costs it."""


@pytest.fixture(params=BOTH, ids=["inch", "metric"])
def chair(request, begun, tmp_path):
    """A chair whose caning was planned at 120; the tax on its bill of 125, and what that costs."""
    book, tax, cost = request.param
    (tmp_path / "p.csv").write_text(PRICES)
    shop = begun(
        *book,
        ["material", "load", "p.csv"],
        ["job", "new", "Cane chair", "--work", "repair 3h", "--use", "GLUE 1"],
        ["job", "line", "chair", "outside", "120", "caning", "--lead", "14", "--quoted"],
        ["quote", "draft", "chair"],
        ["quote", "send", "chair"],
        ["quote", "accept", "chair"],
        ["receipt", "add", "GLUE", "1", "7.50", "--from", "Copper Vale", "--tax", "0", "--to",
         "chair"],
        ["hours", "add", "chair", "repair", "3h"],
    )  # fmt: skip
    return shop, tax, cost


def bill(chair, *, category, words="Reed & Rush, chair seat"):
    shop, tax, _ = chair
    said = shop("receipt", "add", words, "1", "125", "--category", category, "--to", "chair",
                "--from", "Reed & Rush", "--tax", tax)  # fmt: skip
    assert said.code == 0, said.err


def facts(shop, *words):
    said = shop(*words, "--json")
    assert said.code == 0, said.err
    return json.loads(said.out)


def reviewed(shop):
    """The parts behind the chair in the review, and its result in cash and by closed jobs."""
    assert shop("job", "close", "chair", "--unlogged", "ADS=forgotten").code == 0
    blocks = facts(shop, "review", "2025")["blocks"]
    tables = [table for block in blocks for table in block["tables"]]
    parts = {part["words"]: part["value"] for table in tables
             for row in table["rows"] if row["name"] == "J-2501"
             for part in row["parts"]}  # fmt: skip
    rows = next(table["rows"] for table in tables if table["table"] == "result")
    return parts, {row["name"]: row["cells"] for row in rows}


@pytest.mark.parametrize("words", ["Reed & Rush, chair seat", "Caning"])
def test_a_bill_on_a_receipt_stands_beside_its_plan(chair, words):
    shop, _, cost = chair
    assert "caning" in shop("job", "buying-list", "chair").err
    bill(chair, category="outside", words=words)
    assert "caning" not in shop("job", "buying-list", "chair").err
    assert facts(shop, "today")["others"] == []

    account = facts(shop, "job", "close", "chair", "--preview")
    assert account["not_noted"] == []
    assert [row["item"] for row in account["materials"]] == ["GLUE"]
    assert (account["material"], account["other"]) == ("7.50", cost)
    parts, result = reviewed(shop)
    assert (parts["outside work planned"], parts["outside work as it came"]) == ("120.00", cost)
    assert parts["material as it came"] == parts["material planned"] == "7.50"
    assert not [name for name in parts if "nothing booked: outside" in name]
    assert result["outside work, driving, other costs"] == [f"-{cost}", f"-{cost}"]
    assert result["material"] == ["-7.50", "-7.50"]


def test_a_bill_among_the_material_is_said_where_the_planned_one_is_missing(chair, tmp_path):
    shop, _, cost = chair
    bill(chair, category="supply")
    said = " ".join(shop("job", "close", "chair", "--preview").err.split())
    assert "perhaps the bill of the outside work: Reed & Rush, chair seat 1" in said
    parts, _ = reviewed(shop)
    name = "material, perhaps a bill of outside work: Reed & Rush, chair seat"
    assert parts[name] == cost
    assert "perhaps the bill of the outside work" in " ".join(shop("review", "2025").out.split())


def test_a_bill_noted_beside_goods_of_another_kind_raises_no_doubt(chair):
    shop, *_ = chair
    bill(chair, category="supply", words="Felt pads")
    shop("job", "add-cost", "chair", "outside", "1", "125", "--actual")
    said = " ".join(shop("job", "close", "chair", "--preview").err.split())
    assert "perhaps the bill" not in said


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["caning", "1", "125", "--to", "stock"], "is for a job"),
        (["caning", "1", "125", "--to", "shop"], "is for a job"),
        (["caning", "1", "125"], "is for a job"),
        (["GLUE", "1", "125", "--to", "chair"], "is no work of others"),
        (["caning", "1", "125", "--to", "chair", "--in-kind", "retail"], "is no goods"),
    ],
)
def test_the_work_of_others_is_for_a_job_and_no_goods(chair, words, sentence):
    shop, *_ = chair
    said = shop("receipt", "add", *words, "--category", "outside", "--from", "Reed & Rush")
    assert (said.code, sentence in said.err) == (1, True), said.err


def test_what_is_credited_of_a_bill_comes_off_the_outside_work(chair):
    shop, _, cost = chair
    bill(chair, category="outside", words="caning")
    said = shop("receipt", "add", "caning", "0", "25", "--category", "outside", "--credit-of",
                "R-102", "--to", "chair")  # fmt: skip
    assert said.code == 0, said.err
    account = facts(shop, "job", "close", "chair", "--preview")
    assert (account["material"], account["other"]) == ("7.50", f"{float(cost) - 25:.2f}")


def test_of_a_canceled_job_the_bill_is_kept_as_outside_work(chair):
    """It stood under material where it came by a receipt, and in no line where it was noted."""
    shop, _, cost = chair
    bill(chair, category="outside")
    shop("job", "add-cost", "chair", "outside", "1", "40", "--actual")
    said = " ".join(shop("job", "cancel", "chair", "--stage", "after cutting").out.split())
    outside, glue = f"{float(cost) + 40:.2f}", "7.50"
    said = said.replace(",", ".")
    assert f"material as issued to the job {glue}" in said
    assert f"outside work as it came {outside}" in said


def test_a_bill_of_others_is_no_goods_that_go_back(chair, tmp_path):
    shop, _, cost = chair
    bill(chair, category="outside")
    of_vat = ["--kept-as", "work"] if cost == "125.00" else []
    why = ["--stage", "before cutting", "--why", "moved away", *of_vat]
    shop("job", "cancel", "chair", "--returnable", "7.50", *why).done()
    with Book(tmp_path / "shop.sqlite", DAY) as book:
        (waiting,) = all_goods_to_return(book)
    assert [use.material for use in waiting.goods] == ["GLUE"]


def test_a_bill_that_stands_as_a_cost_and_on_a_receipt_is_asked_about(chair, pdf_text, tmp_path):
    shop, _, cost = chair
    bill(chair, category="outside")
    said = shop("job", "add-cost", "chair", "outside", "1", cost, "--actual", "--note", "caning")
    assert "it counts twice" in " ".join(said.err.split())

    close = ("job", "close", "chair", "--preview", "--pdf", "c.pdf")
    words = "of outside work twice, by a cost and by a receipt"
    assert words in " ".join(shop(*close).err.split())
    assert words in pdf_text(tmp_path / "c.pdf")
    # the same bill once as a cost and once on the receipt: both are in the figures
    assert f"{float(cost) * 2:.2f}" == facts(shop, "job", "close", "chair", "--preview")["other"]
    parts, _ = reviewed(shop)
    assert parts["outside work, a cost and a receipt, perhaps one bill"] == cost


@pytest.mark.parametrize("noted", ["before tax", "with tax"])
def test_a_bill_noted_before_its_receipt_came_is_asked_about_with_or_without_its_tax(chair, noted):
    shop, tax, cost = chair
    amount = {"before tax": "125.00", "with tax": f"{125 + float(tax):.2f}"}[noted]
    shop("job", "add-cost", "chair", "outside", "1", amount, "--actual", "--note", "caning")
    said = shop("receipt", "add", "chair seat", "1", "125", "--category", "outside", "--to",
                "chair", "--from", "Reed & Rush", "--tax", tax)  # fmt: skip
    doubt = " ".join(said.err.split())
    assert f"{amount} of outside work was noted as a cost".replace(",", ".") in doubt.replace(
        ",", "."
    )
    close = " ".join(shop("job", "close", "chair", "--preview").err.split())
    assert "of outside work twice, by a cost and by a receipt" in close

    entry = doubt.partition("benchledger undo ")[2].split()[0]
    assert shop("undo", entry).code == 0
    assert facts(shop, "job", "close", "chair", "--preview")["other"] == cost
    assert "twice" not in shop("job", "close", "chair", "--preview").err


def test_a_bill_of_which_a_part_was_noted_as_a_cost_is_no_doubt(chair):
    shop, _, _ = chair
    shop("job", "add-cost", "chair", "outside", "1", "40", "--actual", "--note", "gilding")
    said = shop("receipt", "add", "caning", "1", "125", "--category", "outside", "--to", "chair",
                "--from", "Reed & Rush", "--tax", "0")  # fmt: skip
    assert "twice" not in said.err


def test_two_bills_of_others_that_differ_are_no_doubt(chair):
    shop, _, _ = chair
    bill(chair, category="outside")
    said = shop("job", "add-cost", "chair", "outside", "1", "40", "--actual", "--note", "gilding")
    assert "twice" not in said.err + shop("job", "close", "chair", "--preview").err
