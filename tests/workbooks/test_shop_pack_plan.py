"""The plan in the cells: to scale, every part a block of its own, banded edges thick."""

import re
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook
from openpyxl.utils import get_column_letter

from ledger.cutting import CutPart, Problem, Stock, solve
from ledger.cutting.sequence import cut_list
from ledger.jobs.plans import MaterialLayout
from ledger.workbooks.writers.shop_pack_parts import Pack
from ledger.workbooks.writers.shop_pack_plan import FIRST_ROW, KERF, Axis, add_plans, fitted

INCH = 25_400_000
PIECES = (
    CutPart("S", "Side", 72 * INCH, 15 * INCH, 2, banded=("L1",), marks=("S-L1", "S-R1")),
    CutPart("H", "Shelf", 20 * INCH, 12 * INCH, 3, may_turn=True),
    CutPart("T", "=Tray", 9 * INCH, INCH, 4),
)


class Sheet:
    """What a plan's page asks of a cost sheet."""

    units, job, title, as_of = "inch", "J-2507", "Bed", date(2025, 4, 25)


class Material:
    """A material by its name."""

    name = "Birch ply 3/4"


@pytest.fixture(scope="module")
def plan():
    stock = Stock("new", 96 * INCH, 48 * INCH, INCH // 4, cost=9600, label="PLY34")
    problem = Problem("PLY34", PIECES, (stock,), INCH // 8)
    return MaterialLayout(problem, solve(problem))


@pytest.fixture(scope="module")
def page(plan, tmp_path_factory):
    """The plan's first page, saved and read again."""

    class Made:
        plans, materials = {"PLY34": plan}, {"PLY34": Material}

    workbook = Workbook()
    workbook.remove(workbook.active)
    add_plans(workbook, Pack(Sheet, Made))
    path = tmp_path_factory.mktemp("out") / "plan.xlsx"
    workbook.save(path)
    return load_workbook(path, rich_text=True)["PLY34 1"]


def dots(page, columns, rows):
    wide = sum(page.column_dimensions[get_column_letter(c)].width * 7 for c in columns)
    return wide, sum(page.row_dimensions[r].height / 0.75 for r in rows)


def block_of(page, mark):
    """Width and height in dots of the cells that hold a part."""
    for span in page.merged_cells.ranges:
        if str(page.cell(span.min_row, span.min_col).value or "").startswith(mark):
            columns = range(span.min_col, span.max_col + 1)
            return dots(page, columns, range(span.min_row, span.max_row + 1))
    raise AssertionError(f"{mark} is not drawn")


def test_parts_are_drawn_to_scale(page):
    columns = [c for c in range(2, page.max_column) if get_column_letter(c) in
               page.column_dimensions]  # fmt: skip
    rows = [r for r in range(FIRST_ROW, page.max_row) if page.row_dimensions[r].height]
    wide, _ = dots(page, columns, rows)
    scale = wide / 96
    for mark, length, width in (("S-L1", 72, 15), ("S-R1", 72, 15)):
        across, down = block_of(page, mark)
        assert abs(across - length * scale) <= 2 * KERF
        assert abs(down - width * scale) <= 2 * KERF


def test_every_part_of_the_sheet_is_named_on_it(page, plan):
    placed = [part.mark for part in plan.layout.sheets[0].placements]
    drawn = [str(cell.value) for row in page.iter_rows() for cell in row if cell.value]
    for mark in set(placed):
        assert sum(text.startswith(mark) for text in drawn) >= placed.count(mark), mark


def test_a_banded_edge_is_thick_and_the_others_are_not(page):
    for span in page.merged_cells.ranges:
        if str(page.cell(span.min_row, span.min_col).value or "").startswith("S-"):
            columns = range(span.min_col, span.max_col + 1)
            assert {page.cell(span.max_row, c).border.bottom.style for c in columns} == {"thick"}
            assert {page.cell(span.min_row, c).border.top.style for c in columns} == {"thin"}


def test_what_is_left_over_is_hatched_and_parts_are_white(page):
    hatched = {
        str(cell.value)
        for row in page.iter_rows()
        for cell in row
        if cell.fill.fill_type == "lightUp" and cell.value
    }
    assert any("keep" in text for text in hatched)
    assert not any(text.startswith(("S-", "H", "T")) for text in hatched)


def test_the_cuts_stand_in_order_below_the_drawing(page, plan):
    cuts = cut_list(plan.problem, plan.layout).of_sheet(1)
    texts = [str(cell.value) for row in page.iter_rows() for cell in row if cell.value]
    first = next(
        place
        for place, text in enumerate(texts)
        if text.startswith("Cuts, in the order of the list:")
    )
    said = " ".join(texts[first:]).replace("·", "")
    spans = re.findall(r"(?<=\s)(\d+)(?:–(\d+))? (?:track saw|fence|miter)", said)
    told = [number for one, two in spans for number in range(int(one), int(two or one) + 1)]
    assert told == [cut.number for cut in cuts]


def test_a_page_is_one_sheet_of_paper_lying_down(page):
    setup = page.page_setup
    assert (setup.orientation, setup.fitToWidth, setup.fitToHeight) == ("landscape", 1, 1)
    assert page.print_area


def test_a_name_that_looks_like_a_formula_stays_text(page):
    assert not [c for row in page.iter_rows() for c in row if c.data_type == "f"]
    assert any("=Tray" in str(c.value) for row in page.iter_rows() for c in row if c.value)


LINES = st.lists(st.integers(0, 2_438_400_000), min_size=1, max_size=40)


@given(LINES, st.integers(100, 1000))
def test_lines_keep_their_order_and_a_distance_that_can_be_seen(places, wide):
    axis = Axis([0, *places, 2_438_400_000], wide / 2_438_400_000)
    assert all(step >= KERF for step in axis.steps())
    assert len(axis.steps()) == len(axis.lines) - 1
    for place, line in enumerate(axis.lines):
        assert axis.at(line) == place


@given(LINES)
def test_a_line_is_moved_no_more_than_those_before_it_need(places):
    axis = Axis(places, 900 / 2_438_400_000)
    for place, (line, dot) in enumerate(zip(axis.lines, axis.dots, strict=True)):
        true = line * 900 / 2_438_400_000
        assert -1 <= dot - true <= place * KERF + 1


@given(st.integers(1, 900), st.integers(1, 460), st.text(min_size=1, max_size=40))
def test_what_is_written_into_a_block_fits_it(wide, high, name):
    written = fitted(wide, high, ("A1-L1", name, "63-11/16 × 16-1/2"))
    if written is None:
        assert min(wide, high) < 24 or wide * high < 2000
        return
    across = high if written.upright else wide
    assert "A1-L1" in written.lines[0]
    assert written.size * len(written.lines[0]) * 0.5 <= across * 0.75
    if written.whole:
        assert "63-11/16" in written.lines[-1]


def test_a_flat_block_is_written_in_one_row_and_a_tall_one_below_each_other():
    words = ("A5", "Lower back rail", "63-11/16 × 6")
    assert fitted(600, 50, words).lines == ("A5  Lower back rail  63-11/16 × 6",)
    assert fitted(600, 200, words).lines == words
    assert fitted(30, 300, words).upright
