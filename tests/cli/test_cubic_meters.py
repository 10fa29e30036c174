"""Small quantities of solid wood in cubic meters: the same figure on screen, paper and workbook."""

import openpyxl
import pytest

LEGS = "id,part,qty,length,width,thickness,material\nL,Leg,4,620,28,28,BU35\n"
BEECH = (
    "code,name,kind,unit,price,supplier,length,width,thickness\n"
    "BU35,Beech 35 mm,lumber,m³,1150,H,2500,150,35\n"
)


@pytest.fixture
def legs(begun, tmp_path):
    """Four legs of beech: one rough board of 2500 × 150 × 35 mm, 0.013125 m³, is planned."""
    (tmp_path / "small.csv").write_text(LEGS)
    (tmp_path / "beech.csv").write_text(BEECH)
    return begun(
        ["new", "--shop", "Larkhollow Joinery", "--currency", "EUR", "--units", "mm",
         "--overhead", "14400", "--pay", "42000"],
        ["material", "load", "beech.csv"],
        ["job", "new", "Legs", "--parts", "small.csv"],
        ["receipt", "add", "BU35", "0.006", "1150", "--from", "H", "--to", "legs", "--tax", "1.31"],
    )  # fmt: skip


def rows_of(path, code):
    sheets = openpyxl.load_workbook(path).worksheets
    rows = [[cell.value for cell in row] for sheet in sheets for row in sheet.iter_rows()]
    return [row for row in rows if row[0] == code]


def test_close_out_shows_the_places_that_are_bought(legs, tmp_path):
    words = ["--price", "300", "--xlsx", "f.xlsx", "--unlogged", "LUM=forgotten"]
    done = legs("job", "close", "legs", *words)
    assert done.code == 0, done.err
    (row,) = rows_of(tmp_path / "f.xlsx", "BU35")
    # 6.90 ÷ 0.006 = 1150: with 0.01 it would be 690 a cubic meter
    assert row[2:8] == ["m³", 0.0131, 0.006, 0, 15.07, 6.9]


def test_cost_sheet_and_screen_show_net_wood_and_its_milling_alike(legs, tmp_path):
    (tmp_path / "more.csv").write_text(LEGS.replace(",4,", ",14,"))
    assert legs("job", "new", "Many", "--parts", "more.csv").code == 0
    screen = legs("price", "many", "--all", "--xlsx", "c.xlsx").out
    (wood,), (milling,) = (rows_of(tmp_path / "c.xlsx", code) for code in ("BU35", "MIL"))
    # 14 × 620 × 28 × 35 mm = 0.0085064 m³ net; each leg is milled oversize, 0.0109 m³ in all
    assert wood[2:4] == ["m³", 0.0085]
    assert milling[2:4] == ["m³", 0.0109]
    assert " 0.0109 " in next(line for line in screen.splitlines() if line.startswith("MIL"))
