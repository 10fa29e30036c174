"""Price lists as dealers write them: what they leave unsaid is taken from their words, and told."""

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from ledger.errors import BadFile
from ledger.measures.day import DateReader
from ledger.measures.length import Length
from ledger.measures.money import currency
from ledger.measures.quantity import Quantity
from ledger.stock.materials import MaterialRow
from ledger.workbooks.readers.materials import read_materials

YARD = """Harborline Panels - trade price list,,,,
valid from March,,,,
,,,,
Item No,Description,Sheet Size,U/M,Your Price
Hardwood plywood,,,,
HP-1,"Birch 3/4 in, A1",60 x 60,SHEET,"$118.40"
HP-2,"Walnut plywood 1/2 in",4x8,EA,$164.00
Lumber,,,,
LU-1,Hard maple 4/4 FAS,,,$9.85/bf
"""
GERMAN = """Artikel;Name;Format (mm);Thick (mm);Price €/m²
1001;Birch BB;2500 x 1250;18;31,50
1002;MDF;2.800 x 2.070;19;1.012,80
"""
SHOP = """Product,Category,Length (mm),Width (mm),Thick (mm),Unit cost
Oak edge banding 22 mm,Edging,,,,0.95
Cabinet screw 4x40,Fasteners,,,,0.04
Birch ply,Sheet goods,2440,1220,18,"1,045.50"
"""


def read(
    folder: Path, content: str, code: str = "USD", units: str = "inch"
) -> tuple[dict[str, MaterialRow], list[str]]:
    """The rows of a list by their codes, and what is told of them."""
    path, notes = folder / "list.csv", list[str]()
    path.write_text(content, encoding="utf-8-sig")
    named = {"artikel": "code"}
    dates = DateReader(date(2025, 5, 2))
    rows = read_materials(path, currency(code), units, dates, named, notes)
    return {row.code: row for row in rows}, notes


def sizes(row: MaterialRow) -> list[str]:
    """Length, width and thickness in millimeters."""
    return [f"{one.mm:f}" if one else "" for one in (row.length, row.width, row.thickness)]


def test_titles_sections_sizes_and_units_are_read_of_a_yards_list(tmp_path: Path) -> None:
    rows, notes = read(tmp_path, YARD)
    kinds = {code: (row.kind, row.unit, row.price) for code, row in rows.items()}
    assert kinds == {
        "HP-1": ("sheet", "sheet", Decimal("118.40")),
        "HP-2": ("sheet", "sheet", Decimal("164.00")),
        "LU-1": ("lumber", "bd ft", Decimal("9.85")),
    }
    assert sizes(rows["HP-1"]) == ["1524", "1524", "19.05"]
    assert (rows["HP-2"].length, rows["HP-2"].width) == (Length.of(8, "ft"), Length.of(4, "ft"))
    assert "Rows taken for titles: Hardwood plywood, Lumber." in notes
    assert "Taken for sheet by its words: HP-1, HP-2." in notes
    assert "Sheet sizes read from size or name: HP-1, HP-2." in notes


def test_a_sheet_priced_by_its_area_is_priced_by_the_sheet(tmp_path: Path) -> None:
    """31.50 × 2.5 × 1.25 = 98.4375; 1012.80 × 2.8 × 2.07 = 5870.1888."""
    rows, notes = read(tmp_path, GERMAN, "EUR", "mm")
    assert [row.price for row in rows.values()] == [Decimal("98.4375"), Decimal("5870.1888")]
    assert sizes(rows["1002"]) == ["2800", "2070", "19"]
    assert "Priced by m², kept by the sheet: 1001, 1002." in notes


def test_a_price_of_another_currency_is_refused_at_its_heading(tmp_path: Path) -> None:
    with pytest.raises(BadFile, match="is in EUR; prices here are in USD"):
        read(tmp_path, GERMAN)


def test_a_list_without_codes_gets_some_of_its_names(tmp_path: Path) -> None:
    rows, notes = read(tmp_path, SHOP)
    assert list(rows) == ["OAK-EDGE-BANDI-22", "CABIN-SCREW-4X40", "BIRCH-PLY"]
    assert [row.kind for row in rows.values()] == ["edging", "fastener", "sheet"]
    assert [row.unit for row in rows.values()] == ["ft", "each", "sheet"]
    assert sizes(rows["BIRCH-PLY"]) == ["2440", "1220", "18"]
    assert rows["BIRCH-PLY"].price == Decimal("1045.50")
    assert notes[0].startswith("Codes made of the names: OAK-EDGE-BANDI-22, CABIN-SCREW-4X40")


def test_what_cannot_be_guessed_is_asked_for_at_its_row(tmp_path: Path) -> None:
    with pytest.raises(BadFile) as refused:
        read(tmp_path, "Product,Price\nZinc thing,3.00\nClear varnish,38.00\n")
    assert [str(fault).split(";")[0] for fault in refused.value.faults] == [
        "list.csv line 2, column Product: Its kind is not said",
        "list.csv line 3, column Product: Its unit is not said",
    ]


def test_two_sizes_of_one_sheet_are_one_material_with_two_sizes(tmp_path: Path) -> None:
    content = (
        "code,name,kind,unit,length,width,price\n"
        "PLY,Birch ply,sheet,sheet,96,48,96\nPLY,Birch ply,sheet,sheet,120,60,145\n"
    )
    rows, notes = read(tmp_path, content)
    assert {code: row.price for code, row in rows.items()} == {
        "PLY": Decimal(96),
        "PLY/5x10": Decimal(145),
    }
    assert notes == ["A further size of a sheet, which plans choose from: PLY/5x10."]
    with pytest.raises(BadFile, match="PLY stands twice"):
        read(tmp_path, content.replace("120,60", "96,48"))
    nameless, _ = read(tmp_path, content.replace("code,", "note,"))
    assert list(nameless) == ["BIRCH-PLY", "BIRCH-PLY/5x10"]


def test_a_box_of_screws_is_priced_by_the_screw_and_a_pack_that_looks_dear_is_told(
    tmp_path: Path,
) -> None:
    rows, notes = read(tmp_path, "name,unit,price\nWood screw 4 x 50,box of 200,7.40\n")
    (screw,) = rows.values()
    assert (screw.unit, screw.pack, str(screw.price)) == ("each", Quantity.of(200), "0.037")
    assert "box of 200" in " ".join(notes)

    rows, notes = read(
        tmp_path, "name,unit,pack,price\nWood screw,each,200,7.40\nNail,each,200,0.05\n"
    )
    assert [row.price for row in rows.values()] == [Decimal("7.40"), Decimal("0.05")]
    dear = [note for note in notes if "1480.00" in note]
    assert len(dear) == 1
    assert "NAIL" not in dear[0]
