"""Receipts of several lines: with --and, asked for with --ask, and from the template."""

import json
from datetime import date

import openpyxl
import pytest

MATERIALS = """\
code,name,kind,unit,pack,price,price_day
DISC,Sanding disc 5 in,abrasive,each,50,0.45,2025-04-01
OIL,Hardwax oil,finish,each,1,42.00,2025-04-01
"""


@pytest.fixture
def dollars(shop, tmp_path):
    """An inch and dollar book with a solid-wood table at hand."""
    assert shop("new", "--shop", "Workshop").code == 0
    (tmp_path / "list.csv").write_text(MATERIALS)
    for words in (["material", "load", "list.csv"], ["job", "new", "Walnut table"]):
        said = shop(*words)
        assert said.code == 0, said.err
    return shop


@pytest.fixture
def euros(shop):
    """An empty metric euro book."""
    said = shop("new", "--shop", "Werkstatt", "--currency", "EUR", "--units", "mm", "--tax", "vat")
    assert said.code == 0
    return shop


def shown(shop, number):
    """The receipt of a number, its lines by item."""
    facts = json.loads(shop("receipt", "show", number, "--json").out)
    return facts, {line["item"]: line for line in facts["lines"]}


def test_several_lines_are_one_receipt_and_the_tax_falls_on_those_that_are_taxed(dollars):
    said = dollars(
        "receipt", "add", "OIL", "2", "42.00", "--from", "Store", "--to", "table",
        "--and", "rags 1 pack at 4.00 as supply to shop",
        "--and", "wood screws 8 x 1-1/4 2 box at 6.40 as fastener less 0.80 tax resale",
        "--tax", "5.28", "--total", "105.28", "--document", "till 9",
    )  # fmt: skip
    assert said.code == 0, said.err
    facts, lines = shown(dollars, "R-101")
    assert (facts["document"], facts["total"]) == ("till 9", "105.28")
    screws = lines["wood screws 8 x 1-1/4"]
    assert (screws["quantity"], screws["unit"], screws["net"]) == ("2", "box", "12.00")
    assert screws["tax_paid"] == "0.00"
    assert sum(float(line["tax_paid"]) for line in lines.values()) == pytest.approx(5.28)
    places = [row.split()[-1] for row in said.out.splitlines()[2:5]]
    assert places == ["J-2501", "shop", "J-2501"]


def test_a_further_line_is_read_by_the_decimal_mark_of_the_book(euros):
    said = euros(
        "receipt", "add", "Eiche", "1.200", "0,50", "--category", "lumber", "--from", "Sägewerk",
        "--and", "Leim 2 at 1.200,50 as adhesive tax 456,19", "--total", "3.457,19",
    )  # fmt: skip
    assert said.code == 0, said.err
    facts, lines = shown(euros, "R-101")
    assert facts["total"] == "3457.19"
    assert (lines["Eiche"]["net"], lines["Leim"]["net"]) == ("600.00", "2401.00")
    assert (lines["Eiche"]["tax_paid"], lines["Leim"]["tax_paid"]) == ("0.00", "456.19")


@pytest.mark.parametrize(
    ("words", "reason"),
    [
        (["--and", "glue two at 7.50"], "is not a line; write the item"),
        (["--and", "GLUE 2 at 7.50 in kind"], "a receipt of their own: --in-kind METHOD"),
        (["--and", "glue 2 at 7.50 as adhesive", "--total", "99.00"], "42.00 apart"),
        (["--and", "glue 2 at 7.50 as adhesive tax 1.00", "--tax", "2"], "Say the tax once"),
        (["--and", "glue 2 at 7.50"], "No material is called “glue”"),
    ],
)
def test_a_further_line_that_is_wrong_posts_nothing(dollars, words, reason):
    said = dollars("receipt", "add", "OIL", "1", "42.00", "--from", "Store", *words)
    assert said.code == 1
    assert reason in " ".join(said.err.split())
    assert json.loads(dollars("receipt", "list", "--json").out) == []


def test_a_credit_note_may_have_several_lines_too(dollars):
    dollars("receipt", "add", "OIL", "3", "42.00", "--from", "Store",
            "--and", "DISC 50 at 0.45")  # fmt: skip
    said = dollars("receipt", "add", "OIL", "1", "42.00", "--and", "DISC 10 at 0.45",
                   "--credit-of", "R-101", "--total", "46.50")  # fmt: skip
    assert said.code == 0, said.err
    facts, lines = shown(dollars, "R-102")
    assert (facts["kind"], facts["supplier"], facts["total"]) == ("credit", "Store", "-46.50")
    assert lines["Sanding disc 5 in"]["quantity"] == "-10"


ANSWERS = ["Store", "5/12/2025", "1,229.00", "6.00", "5.00", "glue 2 at 9.00",
           "glue 2 at 9.00 as adhesive to shop", "rags 1 at 2000 as supply", "OIL 3 at 400.00",
           "back", "OIL 2 at 600.00 to table"]  # fmt: skip


def test_lines_are_asked_for_until_they_meet_the_total(dollars):
    said = dollars("receipt", "add", "--ask", keys="\n".join(ANSWERS) + "\n", on="2025-05-13")
    assert said.code == 0, said.err
    told = " ".join(said.err.split())
    assert "Line 1, 1,218.00 still open" in told
    assert "No material is called “glue”" in told
    assert "it is 800.00 more" in told
    assert "5/12/2025 is May 12, 2025" in told
    facts, lines = shown(dollars, "R-101")
    assert (facts["day"], facts["total"]) == ("2025-05-12", "1229.00")
    assert list(lines) == ["glue", "Hardwax oil"]
    assert sum(float(line["landed"]) for line in lines.values()) == pytest.approx(1229)


def test_answers_that_end_too_early_post_nothing_and_say_what_is_open(dollars):
    for count in (1, 2, 5, 8):
        said = dollars("receipt", "add", "--ask", keys="\n".join(ANSWERS[:count]) + "\n",
                       on="2025-05-13")  # fmt: skip
        assert said.code == 1
        assert "Nothing was posted" in said.err
    assert "1,200.00 is still open" in said.err
    assert json.loads(dollars("receipt", "list", "--json").out) == []


def test_a_first_line_may_be_typed_and_the_rest_asked_for(dollars):
    said = dollars("receipt", "add", "OIL", "1", "42.00", "--from", "Store", "--total", "50",
                   "--ask", keys="back\nOIL 1 at 40 to table\nrags 2 at 5 as supply\n")  # fmt: skip
    assert said.code == 0, said.err
    _, lines = shown(dollars, "R-101")
    assert [line["net"] for line in lines.values()] == ["40.00", "10.00"]


def test_without_a_line_and_without_being_asked_it_says_how(dollars):
    said = dollars("receipt", "add", "OIL", "2")
    assert said.code == 2
    assert "--ask" in said.err


@pytest.mark.parametrize("ending", ["xlsx", "csv"])
@pytest.mark.parametrize("kind", ["dollars", "euros"])
def test_the_examples_of_the_template_load_as_they_stand(request, tmp_path, ending, kind):
    shop = request.getfixturevalue(kind)
    assert shop("receipt", "template", f"r.{ending}").code == 0
    said = shop("receipt", "load", f"r.{ending}")
    assert said.code == 0, said.err
    assert "2 receipts with 4 lines, 224.00" in said.out
    _, lines = shown(shop, "R-102")
    assert lines["sanding discs"]["freight"] == "5.00"


def test_the_template_is_a_table_of_dates_and_numbers_with_the_readers_headings(dollars, tmp_path):
    dollars("receipt", "template", "r.xlsx")
    sheet = openpyxl.load_workbook(tmp_path / "r.xlsx")["receipts"]
    first = {sheet.cell(1, n).value: sheet.cell(2, n) for n in range(1, sheet.max_column + 1)}
    assert first["day"].value.date() == date(2025, 4, 25)
    assert first["day"].is_date
    assert first["total"].value == 200
    assert sheet["A150"].number_format == first["day"].number_format


def test_a_template_of_another_ending_is_refused(dollars):
    said = dollars("receipt", "template", "r.ods")
    assert (said.code, said.out) == (1, "")
    assert "should end in .xlsx" in said.err


def test_what_the_shop_uses_up_is_warned_about_under_a_resale_certificate(dollars):
    said = dollars("receipt", "add", "DISC", "50", "0.45", "--from", "Store", "--tax-kind",
                   "resale", "--and", "OIL 1 at 42", "--and", "gloves 1 at 9 as safety",
                   "--and", "tape 1 at 9 as supply tax use")  # fmt: skip
    assert said.code == 0, said.err
    notes = [line for line in " ".join(said.err.split()).split("Note: ") if "resale" in line]
    assert len(notes) == 2
    assert notes[0].startswith("R-101: Sanding disc 5 in is marked as bought for resale")
    assert "gloves" in notes[1]
    assert all("adviser and local law decide" in note for note in notes)


def test_a_file_warns_of_it_too(dollars, tmp_path):
    (tmp_path / "r.csv").write_text(
        "day,supplier,material,quantity,unit_price,tax\n2025-04-24,Store,DISC,50,0.45,resale\n"
        ",,OIL,1,42,resale\n"
    )
    said = dollars("receipt", "load", "r.csv")
    assert said.code == 0, said.err
    assert said.err.count("marked as bought for resale") == 1


def test_a_document_of_a_file_keeps_its_words_and_notes_the_price_that_was_paid(dollars, tmp_path):
    (tmp_path / "till.csv").write_text(
        "day,supplier,document,paid_by,material,quantity,net,document_discount,total\n"
        "2025-04-14,Store,till 9,card,OIL,2,84.00,4.00,90.00\n"
        ",,,,DISC,20,10.00,,\n"
    )
    said = dollars("receipt", "load", "till.csv")
    assert said.code == 0, said.err
    facts, lines = shown(dollars, "R-101")
    assert (facts["document"], facts["paid_by"]) == ("till 9", "card")
    assert [line["net"] for line in lines.values()] == ["80.43", "9.57"]
    told = dollars("material", "show", "OIL", "--json")
    assert json.loads(told.out)["price"] == "40.215"  # 80.43 ÷ 2


def test_a_discount_of_the_document_is_spread_over_its_lines_by_value(dollars):
    lines = ("receipt", "add", "OIL", "2", "50.00", "--and", "DISC 4 at 25.00 less 10.00",
             "--from", "Store")  # fmt: skip
    dollars(*lines, "--discount", "5 %", "--total", "180.50")
    dollars(*lines, "--discount", "19.00", "--total", "171.00")
    shares = json.loads(dollars("receipt", "show", "R-101", "--json").out)["lines"]
    amounts = json.loads(dollars("receipt", "show", "R-102", "--json").out)["lines"]

    assert [line["net"] for line in shares] == ["95.00", "85.50"]
    assert [line["net"] for line in amounts] == ["90.00", "81.00"]


def test_a_share_off_a_single_line_is_off_its_price(dollars):
    dollars("receipt", "add", "OIL", "2", "50.00", "--from", "Store", "--discount", "5%")
    assert (
        json.loads(dollars("receipt", "show", "R-101", "--json").out)["lines"][0]["net"] == "95.00"
    )


@pytest.mark.parametrize(
    "words",
    [
        ("2", "50.00", "--discount", "10 %"),
        ("2", "50.00", "--discount", "10.00"),
        ("2", "50.00", "--and", "DISC 100 at 0.50", "--discount", "10 %"),
    ],
)
def test_the_price_list_gets_the_price_that_was_paid_however_the_discount_is_typed(dollars, words):
    said = dollars("receipt", "add", "OIL", *words, "--from", "Store", "--tax", "0")
    assert said.code == 0, said.err

    assert json.loads(dollars("material", "show", "OIL", "--json").out)["price"] == "45.00"
    spoken = " ".join(said.err.split())
    assert "OIL: 45.00 each is noted in the price list, its discount taken off." in spoken
    assert "benchledger material price OIL 50.00 --before-tax" in spoken

    again = dollars("receipt", "add", "OIL", *words, "--from", "Other", "--tax", "0")
    assert "discount" not in again.err  # it stood so before


def test_what_is_off_a_line_is_off_its_price_beside_the_discount_of_the_document(dollars):
    dollars(
        "receipt", "add", "OIL", "2", "50.00", "--and", "DISC 100 at 0.50 less 10.00",
        "--from", "Store", "--discount", "10 %",
    )  # fmt: skip
    # (50.00 − 10.00 − 4.00) ÷ 100
    assert json.loads(dollars("material", "show", "DISC", "--json").out)["price"] == "0.36"


def test_the_usual_price_is_set_again_after_a_discount_for_once(euros, tmp_path):
    (tmp_path / "list.csv").write_text(MATERIALS)
    euros("material", "load", "list.csv")
    said = euros("receipt", "add", "OIL", "2", "50,00", "--from", "Laden", "--discount", "20 %",
                 "--tax", "15,20")  # fmt: skip
    assert json.loads(euros("material", "show", "OIL", "--json").out)["price"] == "40.00"
    assert "benchledger material price OIL 50,00 --before-tax" in " ".join(said.err.split())

    assert euros("material", "price", "OIL", "50,00", "--before-tax").code == 0
    assert json.loads(euros("material", "show", "OIL", "--json").out)["price"] == "50.00"


def test_a_file_knows_a_material_by_its_exact_code_and_taxes_all_lines_of_a_taxed_document(
    euros, tmp_path
):
    (tmp_path / "list.csv").write_text(
        "code,name,kind,unit,price\nMDF18,MDF 18,supply,each,38.40\n"
    )
    (tmp_path / "r.csv").write_text(
        "Date,Supplier,Product,Category,Qty,Price each,document_tax\n"
        "2025-04-24,Store,MDF18,supply,5,40,46\n,,wax,supply,1,30,\n"
    )
    euros("material", "load", "list.csv")

    assert euros("receipt", "load", "r.csv").code == 0
    facts, lines = shown(euros, "R-101")

    assert facts["lines"][0]["material"] == "MDF18"
    assert [lines["wax"]["material"], lines["wax"]["tax_paid"]] == [None, "6.00"]


def test_the_tax_of_a_document_is_not_taken_for_that_of_its_first_line(euros, tmp_path):
    (tmp_path / "r.csv").write_text(
        "Date,Supplier,Product,Category,Qty,Price each,VAT\n"
        "2025-04-24,Store,glue,supply,5,10,46\n,,wax,supply,6,30,\n"
    )
    refused = euros("receipt", "load", "r.csv")
    assert refused.code == 1
    assert "document_tax" in refused.err
