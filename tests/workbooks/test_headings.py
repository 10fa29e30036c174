"""Headings are known by what they mean, in any order, case and unit."""

from pathlib import Path

import pytest

from ledger.errors import BadFile
from ledger.workbooks.grid import Faults, one_sheet, rows_of
from ledger.workbooks.headings import Column, match
from ledger.workbooks.kinds import TEXT, size

CUTS = (
    Column("id"),
    Column("name"),
    Column("quantity", must=True),
    Column("length", must=True),
    Column("width", must=True),
    Column("thickness"),
    Column("material"),
    Column("price"),
)


def read(folder: Path, content: str, named: dict[str, str] | None = None) -> list[list[str]]:
    """Quantity, length and width in mm of each row; bare numbers are inches."""
    path = folder / "cuts.csv"
    path.write_text(content)
    faults = Faults(named)
    read = [
        [
            row.need("quantity", TEXT),
            *(f"{row.need(name, size('inch')).mm:f}" for name in ("length", "width")),
        ]
        for row in rows_of(one_sheet(path), CUTS, faults)
    ]
    faults.raise_if_any()
    return read


@pytest.mark.parametrize(
    ("heads", "columns"),
    [
        ("Part Name|Copies|Thickness(mm)|Width(mm)|Length(mm)|Material Type",
         "name quantity thickness width length material"),
        ("LENGTH|WIDTH|THICK|QTY|DESCRIPTION|STOCK",
         "length width thickness quantity name material"),
        ("Pos|Pieces|Designation|L [mm]|W [mm]|T [mm]|Board",
         "id quantity name length width thickness material"),
        ("No.|Part|No. of pieces|long|wide|thk", "id name quantity length width thickness"),
        ("Part|No.|Finished length, in|Finished width, in|$ each",
         "name quantity length width price"),
        ("Item|Count|Price €/m²|L|W", "name quantity price length width"),
        ("Component|Quan|Length in inches|Width in inches|Cost per sheet",
         "name quantity length width price"),
    ],
)  # fmt: skip
def test_a_heading_is_known_by_what_it_means(heads: str, columns: str) -> None:
    assert list(match(heads.split("|"), CUTS).columns.values()) == columns.split()


def test_the_unit_of_a_heading_holds_for_the_bare_numbers_below_it(tmp_path: Path) -> None:
    content = "Qty,Length (mm),W in cm\n2,622.5,30\n1,24-1/2 in,½\n"
    assert read(tmp_path, content) == [["2", "622.5", "300"], ["1", "622.3", "5"]]


def test_titles_above_the_headings_are_passed_over(tmp_path: Path) -> None:
    content = "Cut list\n\nMade 2025;;\nQty;Length;Width\n2;24,5;10\n"
    assert read(tmp_path, content) == [["2", "622.3", "254"]]


def test_a_heading_that_nobody_knows_is_told_with_the_likely_ones(tmp_path: Path) -> None:
    with pytest.raises(BadFile) as refused:
        read(tmp_path, "Qty,Lenght,Width,Brand\n2,24,10,x\n")
    assert refused.value.headings == {"Lenght": ("length",), "Brand": ()}
    assert "quantity" in refused.value.columns
    assert [str(fault) for fault in refused.value.faults] == [
        "cuts.csv line 1, column Lenght: No column is called “Lenght”. Nearest: length.",
        "cuts.csv line 1, column Brand: No column is called “Brand”.",
    ]


def test_a_heading_is_read_as_was_said_of_it(tmp_path: Path) -> None:
    named = {"stk": "qty", "Länge": "length", "brand": "-"}
    content = "Stk,Länge (mm),Width,Brand\n2,100,10,x\n"
    assert read(tmp_path, content, named) == [["2", "100", "254"]]


def test_a_word_of_two_columns_goes_to_the_one_that_must_be_there() -> None:
    assert match(["No.", "L", "W"], CUTS).columns == {0: "quantity", 1: "length", 2: "width"}
    assert match(["No.", "Pieces", "L", "W"], CUTS).columns[0] == "id"
