"""The cost sheet workbook: seven sheets, every line with its basis, sums that are the program's."""

from decimal import Decimal

import pytest
from openpyxl import load_workbook

from ledger.jobs.pricing import range_of
from ledger.measures.values import replace
from ledger.workbooks.paper import SIDES
from ledger.workbooks.writers.cost_sheet import INSIDE, write_cost_sheet


@pytest.fixture(scope="module")
def workbook(bed_book, bed_sheet, tmp_path_factory):
    path = tmp_path_factory.mktemp("out") / "cost.xlsx"
    shop = "Quillhaven Workshop"
    return load_workbook(write_cost_sheet(bed_sheet, range_of(bed_book, bed_sheet), path, shop))


def rows_of(sheet):
    return [[cell.value for cell in row] for row in sheet.iter_rows(min_row=4)]


def found(sheet, name):
    """The row that begins with a name."""
    return next(row for row in rows_of(sheet) if row[0] == name)


def test_it_has_its_seven_sheets(workbook):
    assert workbook.sheetnames == [
        "Summary", "Materials", "Hardware", "Hours", "Price", "Forgotten costs", "Cautions",
    ]  # fmt: skip


def test_it_says_that_it_is_for_the_shop_alone(workbook):
    assert INSIDE in workbook["Summary"]["A2"].value


def test_every_material_and_hour_says_its_basis(workbook):
    for name in ("Materials", "Hardware", "Hours"):
        lines = [row for row in rows_of(workbook[name]) if row[1]]
        assert lines
        assert all(row[9] for row in lines), name


def test_its_sums_are_those_of_the_price(workbook):
    assert found(workbook["Materials"], "Total")[6] == 1229.6
    assert found(workbook["Hardware"], "Total")[6] == 523.26
    assert found(workbook["Hours"], "Total")[4:7] == [65.79, 59.29, 6.5]
    assert found(workbook["Price"], "Total")[2] == 6968.93
    assert found(workbook["Price"], "Price")[2] == 6980
    assert found(workbook["Summary"], "Firm price")[1] == 6980


def test_it_tells_the_range_of_hours_cost_and_price_and_the_jobs_behind_it(workbook):
    rows = rows_of(workbook["Summary"])
    (safe,) = [row for row in rows if str(row[0]).startswith("safe")]
    (behind,) = [row[0] for row in rows if "past jobs behind this" in str(row[0])]

    assert (safe[1], safe[2], safe[5]) == (99.84, 8141.25, 9100)
    assert behind.startswith("0 past jobs behind this.")


def test_marked_up_lines_add_up_to_the_build_up(workbook):
    lines = [row for row in rows_of(workbook["Materials"]) if row[1]]

    assert sum(Decimal(str(row[8])) for row in lines) == Decimal("1475.52")


def test_every_line_of_the_forgotten_costs_is_there_and_open_ones_say_so(workbook, bed_sheet):
    lines = rows_of(workbook["Forgotten costs"])

    assert [row[0] for row in lines] == [item.item for item in bed_sheet.forgotten]
    assert found(workbook["Forgotten costs"], "parking")[2] == "not answered yet"


def test_every_caution_is_there_and_marked_where_the_client_reads_it(workbook, bed_sheet):
    lines = rows_of(workbook["Cautions"])

    assert [row[1] for row in lines] == [str(caution) for caution in bed_sheet.cautions]
    assert found(workbook["Cautions"], "wall fixing")[2] == "yes"


def points_across(sheet):
    """What the columns take, and what the narrower of letter and A4 has room for."""
    columns = sum(column.width for column in sheet.column_dimensions.values())
    across = 11 if sheet.page_setup.orientation == "landscape" else 8.27
    return columns * 11 * 0.5562, (across - 2 * SIDES) * 72


def test_headings_stay_in_sight_and_pages_are_one_wide_at_their_true_size(workbook):
    for sheet in workbook.worksheets:
        assert sheet.page_setup.scale == 100
        taken, room = points_across(sheet)
        assert taken <= room, sheet.title
        assert min(cell.font.sz for row in sheet.iter_rows() for cell in row) >= 9
        assert "Quillhaven Workshop" in sheet.oddFooter.left.text
        if sheet.title != "Summary":
            assert sheet.freeze_panes == "A4"


def test_price_and_hours_have_a_chart(workbook):
    assert [len(workbook[name]._charts) for name in ("Hours", "Price")] == [1, 1]


def test_the_summary_fits_its_first_page(workbook):
    page = workbook["Summary"]
    heights = [page.row_dimensions[row].height or 15 for row in range(1, page.max_row + 1)]
    assert sum(heights) / 72 < 11 - 2 * 0.7


def test_a_job_without_hardware_and_hours_has_no_sheets_of_them(bed_book, bed_sheet, tmp_path):
    lines = tuple(line for line in bed_sheet.lines if line.group != "hardware")
    few = replace(bed_sheet, lines=lines, hours=(), cautions=())
    path = write_cost_sheet(few, range_of(bed_book, bed_sheet), tmp_path / "few.xlsx")

    assert load_workbook(path).sheetnames == ["Summary", "Materials", "Price", "Forgotten costs"]


def test_its_notes_say_nothing_to_type_at_the_terminal_and_its_texts_stand_off_each_other(
    bed_book, bed_sheet, tmp_path
):
    told = replace(bed_sheet, warnings=("No joint is set. Set one: benchledger shop set x=dowel",))
    path = write_cost_sheet(told, range_of(bed_book, bed_sheet), tmp_path / "cost.xlsx")
    written = load_workbook(path)
    cells = [cell for sheet in written for row in sheet.iter_rows() for cell in row if cell.value]

    assert "To look at: No joint is set." in [cell.value for cell in cells]
    assert not [cell.value for cell in cells if "benchledger" in str(cell.value)]
    for name in ("Forgotten costs", "Cautions"):
        assert [cell.alignment.indent for cell in written[name][4]][:3] == [0, 1, 1], name
