"""`stock` as it is typed: on hand, issues, returns, scrap, counts, the rack."""

import json
import re
from pathlib import Path

import pytest

SAMPLES = Path(__file__).parents[2] / "sample_data"
TODAY = "2025-05-31"


def on_hand(stocked, code):
    rows = json.loads(stocked("stock", "list", code, "--json").out)
    return [row["quantity"] for row in rows]


def test_an_issue_says_what_went_and_what_is_left(stocked):
    said = stocked("stock", "issue", "bed", "EDGE78", "88", "--on", "2025-05-20")

    assert said.out == "EDGE78: 88 ft issued to J-2507, 19.36; 162 ft left.\n"


def test_a_quantity_in_another_unit_is_turned_into_stock(stocked):
    said = stocked("stock", "issue", "bed", "EDGE78", "24", "in")

    assert said.out == "EDGE78: 2 ft issued to J-2507, 0.44; 248 ft left.\n"


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("bed", "EDGE78", "1000"), "On hand: 250 ft of EDGE78; 1000 cannot be taken out of it."),
        (("bed", "DISC5", "1", "--lot", "1"), "Lot 1 is EDGE78, not DISC5."),
        (("bed", "EDGE78", "1", "--on", "2025-06-05"), "lies after today"),
        (("bed", "EDGE87", "1"), "Nearest: EDGE78"),
        (("bookcase", "EDGE78", "1"), "No job is called “bookcase”."),
        (("bed", "EDGE78"), "Write the job, the material and how much"),
        (("bed", "EDGE78", "-1"), "negative"),
        (("bed", "EDGE78", "1,234"), "1234 cannot be taken"),
        (("bed", "EDGE78", "0"), "more than zero"),
    ],
)
def test_what_cannot_be_issued_is_refused_in_a_sentence(stocked, words, sentence):
    said = stocked("stock", "issue", *[word for word in words if word != "-1"],
                  *(["--", "-1"] if "-1" in words else []))  # fmt: skip

    assert said.code == 1
    assert sentence in said.err.replace("\n", " ")


def test_whole_things_are_issued_in_whole_numbers(stocked):
    said = stocked("stock", "issue", "bed", "PLY34", "0.5")
    assert said.code == 1
    assert "PLY34 goes by the sheet: 0.5" in said.err.replace("\n", " ")


def test_more_than_the_estimate_is_said(stocked, tmp_path):
    (tmp_path / "parts.csv").write_text("id,qty,length,width,material\nA,1,24,12,PLY34\n")
    job = ("Shelf", "--parts", "parts.csv")
    assert stocked("job", "new", *job).code == 0
    stocked("layout", "shelf")
    assert "estimate" not in stocked("stock", "issue", "shelf", "PLY34", "1").err
    stocked("material", "price", "PLY34", "104.50")  # its layout was made at another price
    said = stocked("stock", "issue", "shelf", "PLY34", "1")
    assert "PLY34: 1 sheet more than the estimate's 1 sheet." in said.err
    said = stocked("stock", "issue", "shelf", "EDGE78", "10")
    assert "EDGE78: 10 ft that" in said.err


def test_goods_without_a_code_are_issued_by_their_lot(stocked):
    film = next(row["lot"] for row in json.loads(stocked("stock", "list", "film", "--json").out))

    said = stocked("stock", "issue", "bed", "0.333333", "--lot", str(film))

    assert said.out == "masking film: 0.333333 roll issued to J-2507, 6.36; 0 rolls left.\n"


def test_what_comes_back_is_worth_what_it_was_issued_at(stocked):
    stocked("stock", "issue", "bed", "EDGE78", "88")

    said = stocked("stock", "return", "bed", "EDGE78", "12")

    assert said.out == "EDGE78: 12 ft back from J-2507, 2.64; 174 ft left.\n"


def test_scrap_needs_a_reason(stocked):
    silent = stocked("stock", "scrap", "PLY34", "1")
    said = stocked("stock", "scrap", "PLY34", "1", "--damaged", "--why", "corner crushed")

    assert (silent.code, said.code) == (1, 0)
    worth = "96.00 (of it cash 0.00)"
    assert said.out == f"PLY34: 1 sheet taken out as damaged, {worth}; 11 sheets left.\n"


def test_own_use_notes_the_use_tax_that_falls_due(stocked):
    stocked("receipt", "add", "PLY12", "1", "72.00", "--tax-kind", "resale")

    said = stocked("stock", "own-use", "PLY12", "1")

    assert "taken for own use, 72.00" in said.out
    assert "Use tax of 4.32" in said.err


def test_goods_are_sent_back(stocked):
    assert "1 bottle sent back, 7.50" in stocked("stock", "send-back", "GLUE", "1").out


def test_a_count_tells_more_less_and_the_same(stocked):
    silent = stocked("stock", "count", "DISC5", "116")
    less = stocked("stock", "count", "DISC5", "116", "--why", "not written down")
    same = stocked("stock", "count", "DISC5", "116")
    more = stocked("stock", "count", "DISC5", "118", "--why", "behind the bench")

    assert silent.code == 1
    assert "says 120, you counted 116" in silent.err
    assert less.out == "DISC5: 4 discs found missing, 2.60; 116 discs left.\n"
    assert same.out == "DISC5: 116, as the book says.\n"
    assert more.out == "DISC5: 2 discs found more, 1.30; 118 discs left.\n"


def test_a_count_sheet_is_taken_whole_or_not_at_all(stocked, tmp_path):
    sheet = tmp_path / "count.csv"
    sheet.write_text("material,counted,reason\nDISC5,116,lost\nGLUE,2,\n", encoding="utf-8")
    refused = stocked("stock", "count", "count.csv")
    kept = on_hand(stocked, "DISC5")
    sheet.write_text("material,counted,reason\nDISC5,116,lost\nGLUE,2,used\n", encoding="utf-8")

    taken = stocked("stock", "count", "count.csv")

    assert (refused.code, kept) == (1, ["120"])
    assert taken.code == 0, taken.err
    assert on_hand(stocked, "DISC5") == ["116"]


def test_a_count_sheet_that_names_a_material_twice_is_refused(stocked, tmp_path):
    twice = "material,counted\nDISC5,116\nDISC5,120\nDISC9,1\n"
    (tmp_path / "count.csv").write_text(twice, encoding="utf-8")

    said = stocked("stock", "count", "count.csv")

    assert "line 3, column material: DISC5" in said.err
    assert "line 4, column material: No material" in said.err


def test_opening_stock_with_faults_is_not_taken(stocked, tmp_path):
    rows = "material,quantity,unit_cost,full,cash\nGLUE,0,7.50,,\nDISC5,5,,,\nWRAP,1,,18.00,20.00\n"
    (tmp_path / "open.csv").write_text(rows, encoding="utf-8")

    said = stocked("stock", "open", "open.csv")

    assert "line 2, column quantity: " in said.err
    assert "line 3, column unit_cost: " in said.err
    assert "line 4, column cash: " in said.err


def test_the_rack_takes_leftovers_and_shows_them(stocked):
    kept = stocked("stock", "keep", "bed", "PLY12", "95-1/2x15-11/16", "95-1/2 x 15-11/16", "10x10")

    rack = json.loads(stocked("stock", "offcuts", "PLY12", "--json").out)
    assert re.search(r"PLY12: 2 pieces .*23\.41 back to J-2507", kept.out)
    assert "1 below the threshold" in kept.err
    assert [(p["length_mm"], p["width_mm"], p["full"]) for p in rack] == [
        ("2425.7", "398.4625", "11.71"), ("2425.7", "398.4625", "11.70")]  # fmt: skip
    assert "PLY12     95-1/2  15-11/16  11.71" in stocked("stock", "offcuts").out


def test_a_piece_of_the_rack_goes_to_the_job_that_takes_it(stocked):
    stocked("stock", "keep", "bed", "PLY12", "95-1/2x15-11/16")
    (piece,) = json.loads(stocked("stock", "offcuts", "--json").out)
    stocked("job", "new", "Bookcase", "--number", "J-2508")

    said = stocked("stock", "issue", "bookcase", "1", "--lot", str(piece["lot"]))

    assert said.out.startswith("PLY12 offcut 95-1/2 x 15-11/16: 1 issued to J-2508, 11.70; 0 left")


def test_an_offcut_is_issued_by_the_words_that_the_list_shows(stocked):
    stocked("stock", "keep", "bed", "PLY12", "95-1/2x15-11/16")
    (piece,) = json.loads(stocked("stock", "offcuts", "--json").out)
    stocked("job", "new", "Bookcase", "--number", "J-2508")

    refused = stocked("stock", "issue", "J-2508", "PLY12 offcut 95-1/2 x 15-11/16", "1")
    assert (refused.code, "PLY12 1 --lot" in refused.err) == (1, True)
    for words in ("PLY12 offcut", "PLY12 offcuts"):
        said = stocked("stock", "issue", "J-2508", words, "1", "--lot", str(piece["lot"]))
        assert said.out.startswith("PLY12 offcut 95-1/2 x 15-11/16: 1 issued to J-2508")
        stocked("undo")


def test_stock_is_worth_what_stood_there_on_the_day(stocked):
    stocked("stock", "issue", "bed", "EDGE78", "88", "--on", "2025-05-20")

    before = json.loads(stocked("stock", "value", "--on", "2025-05-19", "--json").out)
    after = json.loads(stocked("stock", "value", "--on", "2025-05-20", "--json").out)

    assert (before["full"], after["full"]) == ("1441.54", "1422.18")
    assert (before["cash"], after["cash"]) == ("289.54", "270.18")


def test_stock_fits_the_width_of_a_page(stocked):
    for words in (("stock", "list"), ("stock", "list", "--lots"), ("stock", "value")):
        said = stocked(*words)
        assert max(map(len, said.out.splitlines())) <= 80, words


def test_an_undone_issue_is_on_hand_again(stocked):
    stocked("stock", "issue", "bed", "EDGE78", "88")

    undone = stocked("undo", "--why", "wrong job")

    assert undone.code == 0, undone.err
    assert on_hand(stocked, "EDGE78") == ["250"]


def test_goods_go_back_from_a_job_and_wait_for_their_credit(stocked):
    sent = stocked("stock", "send-back", "PULL8", "1", "--job", "bed", "--why", "bent")
    assert "PULL8: 1 sent back" in sent.out
    assert "no credit note yet: 1 PULL8 of lot" in stocked("stock", "list", "PULL8").out
    (lot,) = json.loads(stocked("stock", "list", "PULL8", "--all", "--json").out)
    assert (lot["quantity"], lot["receipt"], lot["sent_back_not_credited"]) == ("0", "R-106", "1")

    stocked("receipt", "add", "PULL8", "1", "13.50", "--tax", "0.81", "--credit-of", "R-106")

    (lot,) = json.loads(stocked("stock", "list", "PULL8", "--all", "--json").out)
    assert lot["sent_back_not_credited"] == "0"
    assert json.loads(stocked("stock", "list", "PULL8", "--json").out) == []
    assert str(lot["lot"]) in stocked("stock", "list", "PULL8", "--all").out
    shown = json.loads(stocked("receipt", "show", "R-106", "--json").out)
    assert [line["lot"] for line in shown["lines"] if line["material"] == "PULL8"] == [lot["lot"]]
    assert "no credit note yet" not in stocked("stock", "list").out
    last = json.loads(stocked("receipt", "list", "--json").out)[-1]
    assert (last["supplier"], last["kind"], last["total"]) == (
        "Harrow Street Hardware", "credit", "-14.31")  # fmt: skip


def test_money_comes_back_without_goods(stocked):
    noted = stocked("receipt", "add", "PIVOT", "0", "19.00", "--credit-of", "R-102")
    assert noted.code == 0, noted.err
    last = json.loads(stocked("receipt", "list", "--json").out)[-1]
    assert last["total"] == "-19.00"
    refused = stocked("receipt", "add", "PIVOT", "0", "0", "--credit-of", "R-102")
    assert "gives back goods or money" in refused.err
    (issued,) = json.loads(stocked("month", "2025-05", "--json").out)["issued"]
    assert issued["full"] == "1199.31"  # 1,218.31 that the job got, less the 19.00


def test_goods_sent_back_stand_on_today_until_they_are_credited(stocked):
    stocked("stock", "send-back", "PULL8", "1", "--job", "bed", "--why", "bent")
    assert "PULL8" in stocked("today").out
    (waiting,) = json.loads(stocked("today", "--json").out)["awaited_credits"]
    assert (waiting["item"], waiting["quantity"], waiting["since"]) == ("PULL8", "1", "2025-05-31")

    stocked("receipt", "add", "PULL8", "1", "13.50", "--tax", "0.81", "--credit-of", "R-106",
            "--document", "CN-3")  # fmt: skip

    assert json.loads(stocked("today", "--json").out)["awaited_credits"] == []
    by_document = json.loads(stocked("receipt", "show", "cn-3", "--json").out)
    assert by_document["document"] == "CN-3"


def test_a_document_number_that_two_suppliers_gave_is_told_apart(stocked):
    for supplier in ("Harrow Street", "Brightfell Panels"):
        stocked("receipt", "add", "GLUE", "1", "7.50", "--from", supplier, "--document", "77")

    said = stocked("receipt", "show", "77")

    assert said.code == 1
    assert said.err.count("R-1") == 2
