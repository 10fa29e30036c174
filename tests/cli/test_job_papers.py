"""`job buying-list` and `job pack`: on the screen, as JSON, as a workbook."""

import re
from decimal import Decimal
from pathlib import Path

import pytest
from openpyxl import load_workbook

SAMPLES = Path(__file__).parents[2] / "sample_data"

PARTS = """id,part,qty,length,width,material,banded,edging,handed
A,Side,2,72 in,11 in,PLY34,one long,EDGE78,yes
B,Shelf,9,30 in,11 in,PLY34,,,
C,Back,2,70 in,31 in,PLY14,,,
"""


@pytest.fixture
def shelf(begun, tmp_path):
    """The sample shop with twelve sheets of Brightfell's, tape in stock, and a shelf to build."""
    (tmp_path / "shelf.csv").write_text(PARTS, encoding="utf-8")
    return begun(
        ["new", "--shop", "Quillhaven Workshop"],
        ["shop", "load", str(SAMPLES / "shop.csv")],
        ["material", "load", str(SAMPLES / "materials.csv")],
        ["receipt", "load", str(SAMPLES / "sponsor_receipts.csv")],
        ["stock", "open", str(SAMPLES / "opening_stock.csv")],
        ["job", "new", "Shelf for the hall", "--parts", "shelf.csv"],
    )


def test_the_list_says_what_to_buy_from_whom_and_what_is_covered(shelf):
    said = shelf("job", "buying-list", "shelf")
    assert (said.code, said.err) == (0, "")
    told = said.out
    assert "J-2501 Shelf for the hall (not won yet)" in told
    assert re.search(r"Copper Vale Lumber +need +buy +each +amount", told)
    assert re.search(r"PLY14 +Birch ply 1/4 4x8 +2 +2 sheets +41.00 +82.00", told)
    assert re.search(r"PLY34 .* sheet +2 from Brightfell Panels: all", told)
    assert re.search(r"EDGE78 .* ft +13 from stock: all", told)
    assert "To buy: 82.00 USD" in told
    assert all(len(line) <= 80 for line in told.splitlines())


def test_old_prices_are_marked_and_said(shelf):
    said = shelf("job", "buying-list", "shelf", on="2025-09-01")
    assert "PLY14*" in said.out
    assert "older than 90 days" in said.err
    assert "2025-04-14" in said.err


def test_the_json_carries_every_figure_as_text(shelf):
    told = shelf("job", "buying-list", "--json").facts()
    assert told["jobs"] == [
        {"job": "J-2501", "title": "Shelf for the hall", "won": False, "improvement": False}
    ]
    lines = {line["material"]: line for line in told["lines"]}
    assert lines["PLY34"]["from_sponsors"] == [{"name": "Brightfell Panels", "quantity": "2"}]
    ply = lines["PLY14"]
    assert (ply["need"], ply["short"], ply["buy"], ply["packs"]) == ("2", "2", "2", 2)
    assert (ply["price"], ply["price_day"], ply["stale"]) == ("41.00", "2025-04-14", False)
    assert told["suppliers"] == [{"name": "Copper Vale Lumber", "amount": "82.00"}]
    assert Decimal(told["total"]) == sum(Decimal(one["amount"]) for one in told["suppliers"])


def test_all_open_jobs_stand_on_one_list(shelf):
    shelf("job", "new", "Another shelf", "--parts", "shelf.csv")
    said = shelf("job", "buying-list")
    assert re.search(r"PLY14 +Birch ply 1/4 4x8 +J-2501, *(J-2502)? +4 +4 sheet", said.out)
    assert all(len(line) <= 80 for line in said.out.splitlines())
    assert len(shelf("job", "buying-list", "--json").facts()["jobs"]) == 2


def test_stock_that_is_promised_to_another_job_is_said_where_it_is_counted_on(begun):
    """Two sheets for two jobs of two sheets: two are to be bought, on no list of one job."""
    bench = begun(
        ["new", "--shop", "Quillhaven Workshop"],
        ["shop", "load", str(SAMPLES / "shop.csv")],
        ["material", "load", str(SAMPLES / "materials.csv")],
        ["receipt", "add", "PLY34", "2", "96", "--from", "Copper Vale Lumber", "--to", "stock",
         "--tax-kind", "resale"],
        ["job", "new", "Aye", "--work", "SND 40", "--use", "PLY34 2", "--client", "T. Okafor"],
        ["job", "new", "Bee", "--work", "SND 40", "--use", "PLY34 2", "--client", "R. Ortiz"],
    )  # fmt: skip
    assert not any(
        "promised" in note for note in bench("price", "bee", "--json").facts()["warnings"]
    )
    for words in ("draft", "send", "accept"):
        assert bench("quote", words, "aye").code == 0
    promised = "2 sheets of PLY34 in stock are promised to J-2501"
    (note,) = [
        one for one in bench("price", "bee", "--json").facts()["warnings"] if promised in one
    ]
    assert bench("job", "buying-list", "bee", "--json").facts()["promised"] == [note]
    for words in ("draft", "send", "accept"):
        assert bench("quote", words, "bee").code == 0
    told = "".join((bench("today").out, bench("today").err))
    assert "To buy for J-2502: PLY34 2 sheets" in told
    assert "job buying-list --won" in told
    assert bench("job", "buying-list", "--won", "--json").facts()["total"] == "192.00"
    assert promised in bench("job", "buying-list", "bee").err.replace("\n", " ")
    # sheets that a job took are its own: nothing is promised any more
    assert bench("stock", "issue", "bee", "--as-estimated").code == 0
    assert bench("job", "buying-list", "bee", "--json").facts()["promised"] == []


def test_only_won_jobs_on_request(shelf):
    assert "No job is open" in shelf("job", "buying-list", "--won").out


def test_nothing_to_buy_is_an_answer(shelf, tmp_path):
    (tmp_path / "box.csv").write_text("id,qty,length,width,material\nA,1,20,10,PLY34\n", "utf-8")
    shelf("job", "new", "Box", "--parts", "box.csv")
    said = shelf("job", "buying-list", "box")
    assert "Nothing is to be bought." in said.out


def test_a_job_without_a_design_is_refused_by_its_number(shelf):
    shelf("job", "new", "An idea")
    said = shelf("job", "buying-list", "idea")
    assert (said.code, "J-2502 has no design yet" in said.err) == (1, True)


def test_open_jobs_without_a_design_do_not_stop_the_list_of_the_others(shelf):
    shelf("job", "new", "An idea")
    said = shelf("job", "buying-list")
    assert said.code == 0
    assert "J-2502 An idea" in said.err
    assert "PLY14" in said.out


def test_the_pack_is_written_where_it_is_asked_for(shelf, tmp_path):
    said = shelf("job", "pack", "shelf", "--xlsx", "cuts.xlsx", "--pdf", "pack.pdf")
    assert (said.code, said.out) == (0, "J-2501 Shelf for the hall: shop pack written.\n")
    assert (tmp_path / "pack.pdf").read_bytes()[:4] == b"%PDF"
    rows = list(load_workbook(tmp_path / "cuts.xlsx").active.iter_rows(min_row=4, values_only=True))
    assert sum(row[2] for row in rows) == 13
    assert ("PLY34", "A-L1", "Side", "72", "one long") in [
        (row[0], row[3], row[4], row[5], row[8]) for row in rows
    ]


@pytest.mark.parametrize(
    ("words", "code", "sentence"),
    [
        (["shelf"], 2, "say what to write: --pdf FILE"),
        (["shelf", "--xlsx", "pack.pdf"], 1, "should end in .xlsx"),
        (["shelf", "--xlsx", "gone/pack.xlsx"], 1, "cannot be written"),
        (["wardrobe", "--xlsx", "pack.xlsx"], 1, "No job is called “wardrobe”"),
    ],
)
def test_a_pack_that_cannot_be_written_is_refused(shelf, words, code, sentence):
    said = shelf("job", "pack", *words)
    assert said.code == code
    assert sentence in said.err


def test_two_packs_of_one_job_hold_the_same_cells(shelf, tmp_path):
    from openpyxl import load_workbook

    told = []
    for name in ("one.xlsx", "two.xlsx"):
        shelf("job", "pack", "shelf", "--xlsx", name)
        book = load_workbook(tmp_path / name)
        told.append([[cell.value for row in sheet.iter_rows() for cell in row]
                     for sheet in book.worksheets])  # fmt: skip
    assert told[0] == told[1]
