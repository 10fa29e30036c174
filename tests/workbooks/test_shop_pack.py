"""The shop pack: every part on its lists, no price on any page, hours with room to write."""

import re
import shutil
import stat
from collections import Counter
from datetime import date
from pathlib import Path

import pytest
from openpyxl import load_workbook

from ledger.book import Book
from ledger.jobs.assembling import assemble
from ledger.jobs.jobs import find_job
from ledger.jobs.pricing import price_job
from ledger.measures.length import Length
from ledger.measures.money import currency
from ledger.workbooks.writers.shop_pack import write_shop_pack
from ledger.workbooks.writers.shop_pack_parts import BOX

SAMPLES = Path(__file__).parents[2] / "sample_data"
DAY = date(2025, 4, 25)
USD = currency("USD")
pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def bed(tmp_path_factory, bed_file):
    """The sample bed: its cost sheet and what it is made of."""
    path = tmp_path_factory.mktemp("book") / "shop.sqlite"
    shutil.copyfile(bed_file, path)
    with Book(path, DAY) as book:
        job = find_job(book, "J-2507")
        return price_job(book, job), assemble(book, job)


@pytest.fixture(scope="module")
def path(bed, tmp_path_factory):
    out = tmp_path_factory.mktemp("out") / "pack.xlsx"
    reach, kerf = Length.of(84, "in"), Length.of("1/8", "in")
    return write_shop_pack(*bed, out, shop="Quillhaven Workshop", reach=reach, kerf=kerf)


@pytest.fixture(scope="module")
def pack(path):
    return load_workbook(path)


def texts(sheet):
    return [str(cell.value) for row in sheet.iter_rows() for cell in row if cell.value is not None]


def rows_of(sheet, first=BOX):
    """The rows that begin with a box to tick, without it."""
    return [[cell.value for cell in row[1:]] for row in sheet.iter_rows() if row[0].value == first]


def pieces(bed):
    """How many of each part the design has."""
    return {part.id: part.quantity for part in bed[1].build.parts}


def test_it_has_a_page_for_every_sheet_between_its_lists(pack, bed):
    plans = [
        f"{code} {number}"
        for code, plan in bed[1].plans.items()
        for number in range(1, len(plan.layout.sheets) + 1)
    ]
    assert len(plans) == 10
    assert pack.sheetnames == [
        "Overview", "Cut list", *plans, "BIRCH44 1", "Cut sequence", "Edging", "Hardware",
        "Operations", "Cautions", "Labels",
    ]  # fmt: skip


def test_the_cut_list_holds_every_part_as_often_as_the_design(pack, bed):
    counted = Counter()
    for count, mark, *_ in rows_of(pack["Cut list"]):
        counted[mark.split("-")[0]] += count
    assert counted == pieces(bed)


def test_the_left_and_the_right_of_a_pair_have_ids_of_their_own(pack):
    marks = {row[1] for row in rows_of(pack["Cut list"])}
    assert {"A1-L1", "A1-R1", "C1-L1", "C1-R1", "C1-L2", "C1-R2"} <= marks
    assert not {"A1", "C1"} & marks


def test_sizes_stand_in_the_books_fractions(pack):
    top = next(row for row in rows_of(pack["Cut list"]) if row[1] == "A2")
    assert top[2:7] == ["Cabinet top", "63-11/16", "16-1/2", "23/32", "one long"]


def test_solid_parts_stand_with_their_rough_size(pack):
    cap = next(row for row in rows_of(pack["Cut list"]) if row[1] == "B9")
    assert cap[0] == 2
    assert cap[7].startswith("rough 62 × 31/32 in, then dressed")


def test_solid_parts_are_drawn_on_their_rough_boards(pack):
    said = texts(pack["BIRCH44 1"])
    assert "BIRCH44 board 1 of 1   ·   J-2507 Marrow fold-down bed" in said
    assert any("rough board, 96 × 4-1/2 in." in text for text in said)
    assert sum(text.startswith("B8  Rim cap") for text in said) == 2
    assert sum(text.startswith("B9  Rim cap") for text in said) == 2


def test_the_cut_sequence_yields_every_sheet_part_once(pack, bed):
    counted = Counter()
    for *_, off, rest in rows_of(pack["Cut sequence"]):
        for words in (off, rest):
            if part := re.match(r"(?:(\d+) × )?([A-C]\d+)(?:-[LR]\d)? \(", words):
                counted[part[2]] += int(part[1] or 1)
    sheet_parts = {piece.id for plan in bed[1].plans.values() for piece in plan.problem.pieces}
    assert counted == {part: n for part, n in pieces(bed).items() if part in sheet_parts}


def test_left_and_right_parts_are_named_one_by_one_at_the_saw(pack):
    said = " ".join(texts(pack["Cut sequence"]))
    for mark in ("A1-L1", "A1-R1", "C1-L1", "C1-R1", "C1-L2", "C1-R2"):
        assert f"{mark} (" in said


def test_parts_beyond_the_saws_reach_are_named_before_the_cuts(pack):
    said = texts(pack["Cut sequence"])
    assert "PLY14: Longer than the saw's reach, cut with support: C4." in said
    assert next(text for text in said if "reach" in text).endswith(
        "cut with support: A1-L1, A1-R1, C1-L1, C1-L2, C1-R1, C1-R2."
    )


def test_the_cuts_are_numbered_without_a_gap_and_equal_settings_are_set_once(pack):
    expected, before = 1, ""
    for numbers, tool, set_to, same, *_ in rows_of(pack["Cut sequence"]):
        first, _, last = numbers.partition(" ×")[0].partition("–")
        if int(first) == 1:
            expected = 1
        assert int(first) == expected
        expected = int(last or first) + 1
        if same:
            assert (same == "same") == ((tool.partition(",")[0], set_to) == before)
        before = (tool.partition(",")[0], set_to)


def test_the_counts_on_the_overview_are_those_of_the_list(pack, bed):
    counts = bed[1].cuts
    overview = {row[0].value: row[1].value for row in pack["Overview"].iter_rows()}
    assert overview["Strips"] == counts.strips
    assert overview["Fence settings"] == counts.fence_settings
    tools = Counter()
    for numbers, tool, *_ in rows_of(pack["Cut sequence"]):
        first, _, last = numbers.partition(" ×")[0].partition("–")
        tools[tool.partition(",")[0]] += int(last or first) - int(first) + 1
    assert tools["table saw"] == counts.strips
    assert tools["track saw"] == counts.breakdown + counts.wide_crosscuts
    assert tools["miter saw"] + tools["no tool"] == counts.narrow_crosscuts


def test_the_edging_list_adds_up_to_what_the_design_bands(pack):
    rows = rows_of(pack["Edging"])
    assert sum(row[3] for row in rows) == 29
    assert round(sum(row[6] for row in rows if row[0] != "B6"), 0) == 76
    assert round(sum(row[6] for row in rows if row[0] == "B6"), 1) == 38.1  # 38.0 by the inch
    face = next(row for row in rows if row[0] == "B6")
    assert face[4:6] == ["82-7/16", "83-7/16"]
    assert any("take 84 ft" in text for text in texts(pack["Edging"]))


def test_the_hardware_list_holds_all_but_sheets_boards_and_edging(pack, bed):
    told = {row[0]: (row[2], row[3]) for row in rows_of(pack["Hardware"])}
    wanted = {
        line.item: (float(line.quantity.decimal), line.unit)
        for line in bed[0].lines
        if line.kind not in ("sheet", "lumber", "edging")
    }
    assert told == wanted
    assert {"PIVOT", "SATIN", "PSCREW"} <= told.keys()


def test_operations_have_their_estimate_and_room_for_the_actual_hours(pack, bed):
    sheet = pack["Operations"]
    heads = [cell.value for cell in sheet[3]]
    told = {
        row[0].value: row
        for row in sheet.iter_rows(min_row=4)
        if row[0].value in {line.operation for line in bed[0].hours}
    }
    assert len(told) == len(bed[0].hours)
    for line in bed[0].hours:
        row = told[line.operation]
        assert row[heads.index("Hours")].value == float(line.estimate)
        written = row[heads.index("Actual h")]
        assert written.value is None
        assert written.border.bottom.style


def test_every_caution_of_the_job_is_there(pack, bed):
    told = [row[1] for row in rows_of(pack["Cautions"])]
    assert told == [caution.words for caution in bed[0].cautions]


def test_every_single_part_has_a_label_that_says_which_way_round(pack, bed):
    said = texts(pack["Labels"])
    assert len(said) == 4 * sum(pieces(bed).values()) + sum("edge" in t or "banded" in t
                                                            for t in said)  # fmt: skip
    assert {"A1-L1   LEFT", "A1-R1   RIGHT", "C1-L2   LEFT"} <= set(said)
    at = said.index("A1-L1   LEFT")
    assert said.count("B5") == 16

    sheet = pack["Labels"]
    cell = next(c for row in sheet.iter_rows() for c in row if c.value == "A1-L1   LEFT")
    label = [sheet.cell(cell.row + line, cell.column).value for line in range(5)]
    assert at >= 0
    assert label[1:4] == ["Cabinet side  (1 of 2)", "88 × 16-1/2 × 23/32 in",
                          "front edge: the banded one"]  # fmt: skip
    assert re.fullmatch(r"J-2507 · PLY34 sheet \d", label[4])


def test_labels_are_never_cut_by_the_end_of_a_page(pack):
    sheet = pack["Labels"]
    breaks = [point.id for point in sheet.row_breaks.brk]
    assert breaks
    assert all(row % 48 == 0 for row in breaks), "eight labels of six rows a page"
    assert not sheet.sheet_properties.pageSetUpPr.fitToPage


def test_no_page_tells_a_price_a_rate_or_the_client(pack, bed):
    money = {f"{USD.decimal(line.full)}" for line in bed[0].lines if line.full.minor > 2000}
    for sheet in pack.worksheets:
        for text in texts(sheet):
            assert "D. Marrow" not in text
            assert not any(amount in text for amount in money), text
            assert "73.00" not in text and "67.71" not in text


def test_only_the_owner_can_read_it(path):
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_every_page_is_set_up_for_paper(pack):
    for sheet in pack.worksheets:
        assert sheet.page_setup.paperSize == 1
        assert sheet.page_setup.orientation in ("portrait", "landscape")
        assert sheet.oddFooter.center.text == "Page &P of &N"


def test_all_of_it_is_written_in_the_one_font_that_its_columns_are_measured_in(pack):
    names = {
        cell.font.name
        for sheet in pack.worksheets
        for row in sheet.iter_rows()
        for cell in row
        if cell.value is not None
    }
    assert names == {"Arial"}
    assert pack._named_styles["Normal"].font.name == "Arial"
