"""`receipt` as it is typed: one line, a file of many, taken back."""

import csv
import json
from pathlib import Path

import pytest

SAMPLES = Path(__file__).parents[2] / "sample_data"
MAY = "2025-05-31"


def test_a_file_of_receipts_is_taken_in(started):
    said = started("receipt", "load", str(SAMPLES / "receipts.csv"))

    assert said.code == 0, said.err
    assert said.out == "receipts.csv: 6 receipts with 18 lines, 1,251.05 paid or to pay.\n"


def test_the_same_file_is_not_taken_twice(started):
    started("receipt", "load", str(SAMPLES / "receipts.csv"))

    said = started("receipt", "load", str(SAMPLES / "receipts.csv"))

    assert said.code == 1
    assert "receipt R-102 already" in said.err
    assert len(json.loads(started("receipt", "list", "--json").out)) == 6


def four_hundred(path, bad_line):
    """A file of 400 receipts of one line, one of them with a unit that is none."""
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        file.write("receipt,day,supplier,material,quantity,unit,unit_price\n")
        for line in range(2, 402):
            unit = "shets" if line == bad_line else "ft"
            writer.writerow([f"R-{line}", "2025-05-05", "Copper Vale Lumber", "EDGE78", 50, unit,
                             "0.22"])  # fmt: skip


def test_of_four_hundred_receipts_with_one_bad_line_none_is_posted(started, tmp_path):
    four_hundred(tmp_path / "many.csv", bad_line=237)

    said = started("receipt", "load", "many.csv")

    assert said.code == 1
    assert said.err.startswith("One thing is wrong")
    assert "many.csv line 237, column unit: “shets”" in said.err
    assert json.loads(started("receipt", "list", "--json").out) == []


@pytest.mark.slow
def test_four_hundred_good_receipts_are_one_entry(started, tmp_path):
    four_hundred(tmp_path / "many.csv", bad_line=0)

    said = started("receipt", "load", "many.csv")

    assert said.out == "many.csv: 400 receipts with 400 lines, 4,400.00 paid or to pay.\n"


BAD = """\
receipt,day,supplier,material,item,category,quantity,unit,unit_price,net,tax,goes_to,total
R-1,2025-05-05,Copper Vale Lumber,PLY99,,,2,sheet,72.00,,resale,J-2507,
R-2,2025-06-05,Copper Vale Lumber,PLY12,,,2,sheet,72.00,,resale,J-2507,
R-3,2025-05-05,Copper Vale Lumber,PLY12,,,2,sheet,72.00,145.00,resale,J-2507,
R-4,2025-05-05,Copper Vale Lumber,PLY12,,,2,sheet,72.00,,resale,J-9999,
R-5,2025-05-05,Copper Vale Lumber,PLY12,,,2,sheet,72.00,,resale,J-2507,150.00
R-6,2025-05-05,Copper Vale Lumber,,strainers,,1,pack,9.00,,use,stock,
R-7,2025-05-05,Copper Vale Lumber,PIN14,,,1,box,5.50,,resale,stock,
R-8,2025-05-05,Copper Vale Lumber,PLY12,,,0,sheet,72.00,,resale,stock,
R-9,2025-05-05,Copper Vale Lumber,PLY12,,,2,sheet,72.3456789,,sometimes,stock,
"""

TOLD = [
    "bad.csv line 2: No material is called “PLY99”.",
    "bad.csv line 3, column day: “2025-06-05”",
    "bad.csv line 4: 2 at 72.00 come to 144.00,",
    "bad.csv line 5: No job is called “J-9999”.",
    "bad.csv line 6: The lines come to 144.00,",
    "bad.csv line 7: Goods without a material's code",
    "bad.csv line 8: PIN14 is stocked by the each",
    "bad.csv line 9: Birch ply 1/2 4x8, A face: the quantity must be more than zero.",
    "bad.csv line 10, column unit_price: “72.3456789”",
    "bad.csv line 10, column tax: No tax is called “sometimes”.",
]


def test_every_bad_line_of_a_file_is_told_with_its_place(started, tmp_path):
    (tmp_path / "bad.csv").write_text(BAD, encoding="utf-8")

    said = started("receipt", "load", "bad.csv")

    told = said.err.splitlines()
    assert told[0].startswith("10 things are wrong")
    for line, start in zip(told[1:], TOLD, strict=True):
        assert line.strip().startswith(start)


def test_one_line_is_typed_and_told(started):
    said = started("receipt", "add", "EDGE58", "1", "15.50", "--from", "Copper Vale Lumber",
                  "--to", "bed", "--tax-kind", "resale", "--on", "2025-05-13")  # fmt: skip

    assert said.code == 0, said.err
    assert said.out.startswith(
        "R-101  Copper Vale Lumber, 2025-05-13\n"
        "item    quantity    net  freight   tax  landed  to    \n"
        "EDGE58    1 roll  15.50     0.00  0.00   15.50  J-2507\n"
        "Document total 15.50.\n"
    )
    assert "until 2029-04-15" in said.out


def test_the_last_supplier_and_how_they_are_taxed_stand_in(started):
    started("receipt", "add", "EDGE58", "1", "15.50", "--from", "Plainmoor Shop Supply",
           "--tax-kind", "use")  # fmt: skip

    started("receipt", "add", "GLUE", "2", "7.50")

    facts = json.loads(started("receipt", "show", "R-102", "--json").out)
    assert facts["supplier"] == "Plainmoor Shop Supply"
    assert (facts["lines"][0]["use_tax"], facts["lines"][0]["landed"]) == ("0.90", "15.90")


def test_freight_and_tax_go_with_the_goods(started):
    started("receipt", "add", "PULL8", "2", "13.50", "--from", "Harrow Street Hardware",
           "--freight", "5.00", "--tax", "1.62", "--total", "33.62")  # fmt: skip

    facts = json.loads(started("receipt", "show", "R-101", "--json").out)
    assert [facts["lines"][0][name] for name in ("freight", "tax_paid", "landed")] == [
        "5.00", "1.62", "33.62"]  # fmt: skip


@pytest.mark.parametrize(
    ("settings", "said", "advice", "price", "landed"),
    [
        (["material_tax=0 %"], True, True, "10.00", "10.70"),
        (["material_tax=7 %"], False, False, "10.70", "10.70"),
        (["list_prices=with_tax"], False, False, "10.70", "10.70"),
        (["tax_standing=vat", "tax_rate=7 %"], True, False, "10.00", "10.70"),
    ],
)
def test_tax_that_is_in_no_price_is_said_once_a_receipt(
    started, settings, said, advice, price, landed
):
    """Two lines of 10.00 at 7 %: 0.70 each, 1.40 said once for both."""
    assert started("shop", "set", *settings).code == 0
    words = ("receipt", "add", "GLUE", "1", "10.00", "--and", "DISC5 1 at 10.00", "--from", "Reed")
    told = " ".join(started(*words, "--tax", "1.40", "--tax-kind", "paid").done().err.split())
    line = "tax of 1.40 is a cost of these goods alone, and not in the prices noted"
    assert (told.count(line), "set material_tax=RATE" in told) == (said, advice)
    shown = started("material", "show", "GLUE", "--json").facts()
    receipt = started("receipt", "show", "R-101", "--json").facts()["lines"][0]
    assert (shown["prices"][-1][1], receipt["landed"]) == (price, landed)
    untaxed = started(*words, "--tax", "0").done().err
    assert "is a cost of these goods alone" not in " ".join(untaxed.split())


def test_tax_that_is_in_no_price_is_all_that_the_goods_bear(started):
    """12.25 of 195.00 with freight: 5.25 and 7.00 stand on the goods, so 12.25 is said."""
    words = ("receipt", "add", "GLUE", "10", "7.50", "--and", "DISC5 20 at 5.00", "--from", "Reed")
    more = ("--freight", "20", "--tax", "12.25", "--tax-kind", "paid")
    told = started(*words, *more).done()
    assert "tax of 12.25 is a cost of these goods alone" in " ".join(told.err.split())


def test_a_receipt_without_tax_is_asked_about_where_purchases_have_it(started):
    words = ("receipt", "add", "GLUE", "2", "7.50", "--from", "Plainmoor Shop Supply")
    assert "no tax is on it" not in started(*words).err
    assert started("shop", "set", "material_tax=6 %").code == 0
    said = " ".join(started(*words).err.split())
    assert "R-102: no tax is on it" in said
    assert "--tax AMOUNT" in said
    for answer in (("--tax", "0"), ("--tax", "0.90"), ("--tax-kind", "none")):
        assert "no tax is on it" not in started(*words, *answer).err
    facts = json.loads(started("receipt", "show", "R-103", "--json").out)
    assert (facts["lines"][0]["tax_paid"], facts["lines"][0]["landed"]) == ("0.00", "15.00")


@pytest.mark.parametrize(("standing", "kind"), [("vat", "recoverable"), ("sales_tax", "paid")])
def test_goods_said_to_bear_tax_are_asked_about_where_no_amount_is_said(started, standing, kind):
    rate = ["tax_rate=19 %"] if standing == "vat" else []
    assert started("shop", "set", f"tax_standing={standing}", *rate).code == 0
    words = ("receipt", "add", "GLUE", "2", "7.50", "--from", "Plainmoor Shop Supply")
    for kinds in (("--tax-kind", kind), ("--and", f"GLUE 1 at 7.00 tax {kind}")):
        assert "no tax is on it" in " ".join(started(*words, *kinds).err.split())
    for answer in (("--tax", "0"), ("--tax", "2.85")):
        assert "no tax is on it" not in started(*words, "--tax-kind", kind, *answer).err
    for other in ("resale", "use", "none"):
        assert "no tax is on it" not in started(*words, "--tax-kind", other).err


def test_goods_without_a_code_say_what_they_are(started):
    unknown = started("receipt", "add", "sanding cord", "1", "9.00", "--from", "Plainmoor")
    known = started("receipt", "add", "tape", "1", "9.00", "--from", "Plainmoor",
                   "--category", "supply")  # fmt: skip

    assert unknown.code == 1
    assert "--category supply" in unknown.err
    assert known.out.splitlines()[2].startswith("tape ")  # words of its own, no material


def test_goods_in_kind_and_on_loan_are_no_spend(started):
    given = started("receipt", "add", "PLY34", "12", "96.00", "--from", "Brightfell Panels",
                   "--in-kind", "retail", "--evidence", "price page of 2025-04-14")  # fmt: skip
    lent = started("receipt", "add", "spray turbine", "1", "800.00", "--from", "Pellworth Coatings",
                  "--borrowed", "--category", "tool")  # fmt: skip

    assert (given.code, lent.code) == (0, 0), given.err + lent.err
    facts = json.loads(started("month", "2025-05", "--json").out)
    assert (facts["in_kind"], facts["spend"]["landed"]) == ("1152.00", "0.00")
    assert facts["stock"]["full"]["closing"] == "1152.00"
    assert ": 1 spray turbine" in started("stock", "list").out


def test_panels_without_a_statement_are_noted(started):
    said = started("receipt", "add", "PLY12", "2", "72.00", "--from", "Copper Vale Lumber")

    assert "Note: R-101: PLY12" in said.err
    assert "2028-05-31" in said.err.replace("\n", " ")


def test_a_credit_note_names_its_lot(started):
    started("receipt", "add", "PLY12", "2", "72.00", "--from", "Copper Vale Lumber")

    started("receipt", "add", "PLY12", "1", "72.00", "--credit-of", "1")

    facts = json.loads(started("month", "2025-05", "--json").out)
    assert facts["spend"]["net"] == "72.00"
    assert facts["stock"]["full"]["to_supplier"] == "72.00"


def test_a_receipt_is_taken_back_with_a_reason(started):
    started("receipt", "load", str(SAMPLES / "receipts.csv"))

    silent = started("receipt", "reverse", "R-105")
    said = started("receipt", "reverse", "R-105", "--why", "entered twice")

    assert (silent.code, said.code) == (1, 0)
    assert "--why" in silent.err
    assert "R-105 is taken back" in said.out
    assert json.loads(started("month", "2025-05", "--json").out)["spend"]["net"] == "1231.28"


def test_a_name_of_markup_and_formula_characters_is_shown_as_it_stands(started):
    name = '=cmd() [bold]"x"'
    said = started("receipt", "add", "EDGE58", "1", "15.50", "--from", name)

    assert said.code == 0
    assert f"R-101  {name}, 2025-05-31" in said.out


@pytest.mark.parametrize("column", ["credit_of", "lot"])
def test_a_file_credits_by_receipt_or_material(stocked, tmp_path, column):
    rows = (f"day,supplier,kind,material,quantity,unit_price,tax_paid,{column}",
            "2025-05-20,Harrow Street Hardware,credit,BOLT,2,1.40,0.17,R-106",
            "2025-05-20,Windlass Bed Fittings,credit note,LEGS,0,5.00,,LEGS")  # fmt: skip
    file = tmp_path / "credits.csv"
    file.write_text("\n".join(rows) + "\n", "utf-8")

    assert "2 lines, -7.97 paid" in stocked("receipt", "load", str(file)).out
    (issued,) = json.loads(stocked("month", "2025-05", "--json").out)["issued"]
    assert issued["full"] == "1210.34"  # 1,218.31 less 2.97 and 5.00
