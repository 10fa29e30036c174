"""The paper keeps text as text, prints in order, and is saved whole or not at all."""

import os
import stat
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook

from ledger.errors import NotAllowed
from ledger.measures.money import currency
from ledger.workbooks import paper

DAY = date(2025, 4, 25)


@pytest.fixture
def book() -> Workbook:
    return paper.new_workbook("Cost sheet", "Quillhaven Workshop", DAY)


def test_a_workbook_says_what_it_is_and_of_whom(book: Workbook, tmp_path: Path) -> None:
    paper.add_sheet(book, "Summary", [10])
    saved = load_workbook(paper.save(book, tmp_path / "b.xlsx"))
    facts = saved.properties
    assert (facts.title, facts.creator) == ("Cost sheet", "Quillhaven Workshop")
    assert facts.created is not None and facts.created.date() == DAY


def test_numbers_days_and_texts_keep_their_kind(book: Workbook, tmp_path: Path) -> None:
    sheet = paper.add_sheet(book, "Lines", [10, 10])
    money = paper.money_format(currency("USD"))
    paper.put(sheet, 1, 1, Decimal("-6980.00"), paper.FIGURE, money)
    paper.put(sheet, 2, 1, DAY)
    paper.put(sheet, 3, 1, "007")
    paper.put(sheet, 4, 1, None)
    paper.put_row(sheet, 5, ["total", 36, Decimal("0.5")], paper.TOTAL, ("General", "0", "0.00"))
    cells = load_workbook(paper.save(book, tmp_path / "b.xlsx"))["Lines"]

    assert (cells["A1"].value, cells["A1"].number_format) == (-6980, "#,##0.00")
    assert cells["A2"].is_date and cells["A2"].number_format == "yyyy-mm-dd"
    assert (cells["A3"].value, cells["A3"].data_type) == ("007", "s")
    assert cells["A4"].value is None
    assert cells["B5"].alignment.horizontal == "right" and cells["A5"].font.bold
    assert cells["C5"].number_format == "0.00"


def test_money_formats_follow_the_currencys_digits() -> None:
    assert [paper.money_format(currency(code)) for code in ("USD", "JPY", "KWD")] == [
        "#,##0.00", "#,##0", "#,##0.000",
    ]  # fmt: skip
    assert paper.price_format(currency("USD")) == "#,##0.00####"
    assert paper.price_format(currency("JPY")) == "#,##0.####"


def test_a_sheet_prints_one_page_wide_with_its_headings_on_every_page(
    book: Workbook, tmp_path: Path
) -> None:
    paper.add_sheet(book, "Hours & more", [8, 40], landscape=True, headings=3)
    sheet = load_workbook(paper.save(book, tmp_path / "b.xlsx", letter=False)).worksheets[0]

    assert sheet.freeze_panes == "A4"
    assert sheet.print_title_rows == "$3:$3"
    assert (sheet.page_setup.orientation, sheet.page_setup.paperSize) == ("landscape", 9)
    assert sheet.page_setup.scale == 100
    assert not (sheet.sheet_properties.pageSetUpPr and sheet.sheet_properties.pageSetUpPr.fitToPage)
    assert "Hours && more" in sheet.oddFooter.left.text
    assert sheet.oddFooter.right.text == "Page &P of &N"
    assert sheet.column_dimensions["B"].width == 40


def test_unseen_characters_are_shown_as_such(book: Workbook, tmp_path: Path) -> None:
    sheet = paper.add_sheet(book, "a\x07b", [10])
    paper.put(sheet, 1, 1, "bell\x07 and\x00 more")
    saved = load_workbook(paper.save(book, tmp_path / "b.xlsx")).worksheets[0]
    assert saved["A1"].value == "bell� and� more"
    assert saved.title == "a-b"


def test_a_chart_of_bars_is_kept(book: Workbook, tmp_path: Path) -> None:
    sheet = paper.add_sheet(book, "Chart", [10, 10])
    for row, (name, value) in enumerate([("hours", 65), ("material", 25)], 1):
        paper.put_row(sheet, row, [name, value])
    paper.add_bars(sheet, "Where the price goes", (1, 2), 2, "D2")
    saved = load_workbook(paper.save(book, tmp_path / "b.xlsx")).worksheets[0]
    assert len(saved._charts) == 1  # type: ignore[attr-defined]


def test_a_file_is_readable_by_its_owner_alone_where_it_is_private(
    book: Workbook, tmp_path: Path
) -> None:
    paper.add_sheet(book, "S", [10])
    path = paper.save(book, tmp_path / "quote.xlsx", private=True)
    if os.name == "posix":
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert [file.name for file in tmp_path.iterdir()] == ["quote.xlsx"]


def test_saving_over_a_file_replaces_it_whole(book: Workbook, tmp_path: Path) -> None:
    path = tmp_path / "b.xlsx"
    path.write_text("old")
    paper.add_sheet(book, "S", [10])
    paper.save(book, path)
    assert load_workbook(path).sheetnames == ["S"]


def test_a_save_that_fails_leaves_the_old_file_and_nothing_beside_it(
    book: Workbook, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "b.xlsx"
    path.write_text("old")
    paper.add_sheet(book, "S", [10])

    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(NotAllowed, match=r"cannot be written \(No space left on device\)"):
        paper.save(book, path)
    assert path.read_text() == "old"
    assert [file.name for file in tmp_path.iterdir()] == ["b.xlsx"]


@pytest.mark.parametrize("name", ["quote.csv", "quote", "nowhere/quote.xlsx", "folder.xlsx"])
def test_a_place_that_cannot_be_is_refused(book: Workbook, tmp_path: Path, name: str) -> None:
    (tmp_path / "folder.xlsx").mkdir()
    paper.add_sheet(book, "S", [10])
    with pytest.raises(NotAllowed):
        paper.save(book, tmp_path / name)


def test_two_workbooks_of_the_same_values_have_equal_cells(tmp_path: Path) -> None:
    def made(name: str) -> list[object]:
        book = paper.new_workbook("Q", "S", DAY)
        sheet = paper.add_sheet(book, "S", [10])
        paper.put_row(sheet, 1, ["=1", 2, Decimal("0.10"), DAY])
        saved = load_workbook(paper.save(book, tmp_path / name)).worksheets[0]
        return [(c.value, c.data_type, c.number_format) for row in saved.iter_rows() for c in row]

    assert made("a.xlsx") == made("b.xlsx")


def test_a_text_stands_off_what_is_beside_it(book: Workbook) -> None:
    sheet = paper.add_sheet(book, "Lines", [10, 10, 10, 10])
    paper.put_row(sheet, 1, ["sheets", 5, "laid out", "proven"])
    assert [cell.alignment.indent for cell in sheet[1]] == [0, 0, 1, 1]
