"""A plain cut list of a drawing program becomes a design: materials found, sizes fixed."""

import json

import pytest

PRICES = """code,name,kind,unit,length,width,thickness,price
MPX18,Birch ply 18 BB,sheet,sheet,2500,1250,18,98.40
MDF19,MDF 19 white,sheet,sheet,2800,2070,19,74.00
HDF3,HDF back panel 3,sheet,sheet,2800,2070,3,21.00
TAPE,Birch tape 22,edging,m,,,,0.95
"""
CUTS = """Wardrobe model,,,,,,
Part Name,Copies,Thickness(mm),Width(mm),Length(mm),Material Type,Edges
Side,2,18,580,2200.5,Birch plywood,one long
Shelf,4,18,22-1/2 in,962,Birch plywood,
Door,2,19,496,2190,MDF,all round
Back,1,3,990,2190,hardboard,
"""


@pytest.fixture(autouse=True)
def book(shop, tmp_path):
    assert shop("new", "--shop", "Werkstatt", "--currency", "EUR").code == 0
    (tmp_path / "prices.csv").write_text(PRICES)
    (tmp_path / "ward_robe.csv").write_text(CUTS)
    assert shop("material", "load", "prices.csv").code == 0


def test_a_name_that_no_material_answers_to_is_refused_at_its_cell(shop):
    said = shop("design", "load", "ward_robe.csv")
    assert said.code == 1
    assert "ward_robe.csv line 6, column Material Type: “hardboard 3 mm” may be HDF3" in said.err
    assert '--material "hardboard 3 mm=HDF3"' in said.err
    assert json.loads(shop("design", "list", "--json").out) == []


def test_a_cut_list_is_a_design_of_fixed_sizes_with_its_open_items(shop):
    said = shop("design", "load", "ward_robe.csv", "--material", "hardboard=HDF3")
    assert said.code == 0, said.err
    told = " ".join(said.err.split())
    assert "Birch plywood 18 mm: taken as MPX18 (Birch ply 18 BB)." in told
    assert "The list says no grain: every part keeps its length along the grain." in told
    assert "Banded edges: taken as TAPE" in told
    assert "no price has yet: joints, faces and coats of finish, hardware and supplies" in told
    made = json.loads(shop("design", "show", "ward-robe", "--json").out)
    parts = [
        (p["id"], p["quantity"], p["length_mm"], p["width_mm"], p["material"], p["banded"])
        for p in made["parts"]
    ]
    assert parts == [
        ("P1", 2, "2200.5", "580", "MPX18", ["L1"]),
        ("P2", 4, "962", "571.5", "MPX18", []),
        ("P3", 2, "2190", "496", "MDF19", ["L1", "L2", "W1", "W2"]),
        ("P4", 1, "2190", "990", "HDF3", []),
    ]


def test_the_name_of_a_material_is_asked_once_at_a_terminal(shop, monkeypatch):
    monkeypatch.setattr("ledger.cli.cut_list.can_ask", lambda: True)
    said = shop("design", "load", "ward_robe.csv", keys="OAK\nHDF3\n")
    assert said.code == 0, said.err
    assert "“OAK”" in said.err
    monkeypatch.setattr("ledger.cli.cut_list.can_ask", lambda: False)
    again = shop("design", "load", "ward_robe.csv")
    assert (again.code, "is in the book already" in again.out) == (0, True)


def test_bare_numbers_of_the_other_unit_are_asked_about(shop, tmp_path):
    (tmp_path / "small.csv").write_text("Qty,L,W,T,Material\n2,30,11-1/4,18 mm,birch\n")
    said = shop("design", "load", "small.csv")
    assert (said.code, "if they are inch, say so: --units inch" in said.err) == (1, True)
    assert shop("design", "load", "small.csv", "--units", "inch").code == 0
    made = json.loads(shop("design", "show", "small", "--json").out)
    assert made["parts"][0]["length_mm"] == "762"


def test_ids_that_stand_twice_get_a_number(shop, tmp_path):
    (tmp_path / "twice.csv").write_text(
        "No,Qty,L,W,T,Material\n1,1,300,200,18,birch\n1,1,300,200,18,birch\n"
    )
    said = shop("design", "load", "twice.csv")
    assert (said.code, "got a number: 1-2" in said.err) == (0, True)


def test_a_plan_names_the_sizes_that_it_takes(shop, tmp_path):
    """Two sides of 2800 × 700 fit one sheet of 3000 × 1500 and none of 2500 × 1250."""
    sheets = "BIR,Birch,sheet,sheet,{},18,{}\n"
    (tmp_path / "two.csv").write_text(
        PRICES.splitlines()[0] + "\n" + sheets.format("2500,1250", 98)
        + sheets.format("3000,1500", 120)
    )  # fmt: skip
    (tmp_path / "tall.csv").write_text(
        "Part,Qty,Length,Width,T,Material\nSide,2,2800,700,18,BIR\nShelf,6,900,400,18,BIR\n"
    )
    assert shop("material", "load", "two.csv").code == 0
    assert shop("design", "load", "tall.csv").code == 0
    shop("job", "new", "Tall", "--design", "tall", "--client", "Kern")
    shop("shop", "set", "overhead_year=20000", "pay_year=50000")
    said = " ".join(shop("price", "Tall").out.split())
    assert "Sheets: 2 BIR, 1 sheet 3000x1500 among them" in said


def test_a_design_says_what_its_parts_weigh_together(shop, tmp_path):
    """2 × 1.0 × 0.5 m × 18 mm at 680 kg/m³ are 12.24 kg."""
    (tmp_path / "heavy.csv").write_text(
        "code,name,kind,unit,length,width,thickness,density,density source,price\n"
        "PLY18,Ply,sheet,sheet,2500,1250,18,680,the maker,98\n"
    )
    (tmp_path / "box.csv").write_text("Qty,L,W,T,Material\n2,1000,500,18,PLY18\n")
    shop("material", "load", "heavy.csv")
    shop("design", "load", "box.csv")
    assert "about 12 kg" in shop("design", "show", "box").out
    assert json.loads(shop("design", "show", "box", "--json").out)["weight_kg"] == "12.2"
