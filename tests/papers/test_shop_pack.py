"""The shop pack on paper: sheets to true scale, cuts in their order, every list whole, no price."""

import re
import shutil
from collections import Counter
from datetime import date

import pypdfium2.raw as pdfium
import pytest

from ledger.book import Book
from ledger.cutting.record import layout_to_dict
from ledger.jobs.jobs import find_job
from ledger.measures.length import Length
from ledger.measures.values import replace
from ledger.papers.engine import print_paper
from ledger.papers.sheet_pages import SCALES, scales_of
from ledger.papers.shop_pack import shop_pack_paper
from ledger.verbs.cutting import of_job, pack_of

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def bed(tmp_path_factory, bed_file):
    """The sample bed's pack, and its layout as `layout --json` writes it."""
    path = tmp_path_factory.mktemp("book") / "shop.sqlite"
    shutil.copyfile(bed_file, path)
    with Book(path, date(2025, 4, 25)) as book:
        laid = of_job(book, find_job(book, "J-2507"))
        return pack_of(book, laid), layout_to_dict(laid.sheets)


@pytest.fixture(scope="module")
def paper(bed):
    return shop_pack_paper(bed[0], "Quillhaven Workshop", "letter")


@pytest.fixture
def printed(read_back, paper):
    return read_back(paper)


def pages_with(printed, words):
    """The numbers and texts of the pages whose head has some words."""
    return [(at, page) for at, page in enumerate(printed.pages) if words in page]


def rectangles(page):
    """Left, foot, width and height of what is outlined on a page, without its line."""
    for drawn in page.get_objects(max_depth=15):
        if drawn.type == pdfium.FPDF_PAGEOBJ_PATH:
            width = pdfium.c_float()
            pdfium.FPDFPageObj_GetStrokeWidth(drawn, width)
            left, foot, right, top = drawn.get_bounds()
            line = width.value
            yield left + line, foot + line, right - left - 2 * line, top - foot - 2 * line


def test_every_sheet_is_drawn_to_the_scale_that_its_page_says(printed, bed):
    of_sheet = iter(bed[1]["sheets"])
    seen = 0
    for material, plan in bed[0].made.plans.items():
        for number in range(1, len(plan.layout.sheets) + 1):
            sheet = next(of_sheet)
            head = f"{material} · Sheet {number} of {len(plan.layout.sheets)}"
            at, text = pages_with(printed, head)[0]
            scale = int(re.search(r"Scale 1 : (\d+)", text)[1])
            points = 72 / 25.4 / scale
            drawn = list(rectangles(printed.document[at]))
            long, wide = (float(sheet[side]) * points for side in ("length_mm", "width_mm"))
            outline = next(
                box for box in drawn if abs(box[2] - long) < 0.72 and abs(box[3] - wide) < 0.72
            )
            for part in sheet["placements"]:
                expected = (
                    outline[0] + float(part["x_mm"]) * points,
                    outline[1] + float(part["y_mm"]) * points,
                    float(part["length_mm"]) * points,
                    float(part["width_mm"]) * points,
                )
                near = [max(map(abs, map(float.__sub__, box, expected))) for box in drawn]
                assert min(near) < 0.5, (head, part["mark"])
            seen += 1
    assert seen == len(bed[1]["sheets"]) == 10


@pytest.mark.parametrize(("size", "scale"), [("letter", 10), ("A4", 10)])
def test_the_largest_usual_scale_is_taken_that_fits(size, scale, bed):
    _, _, laid = next(bed[0].sheets())

    assert scales_of(laid, size)[0] == scale
    assert set(scales_of(laid, size)) >= {one for one in SCALES if one >= scale}


def test_every_id_can_be_read_in_its_drawing_or_below_it(printed, bed):
    at = dict.fromkeys(range(len(printed.pages)))
    for plan, number, laid in bed[0].sheets():
        head = f"{plan.problem.material} · Sheet {number} of {len(plan.layout.sheets)}"
        pages = pages_with(printed, head)
        text = " ".join(" ".join(page for _, page in pages).split())
        counted = Counter(placed.mark for placed in laid.placements)
        for mark in counted:
            assert re.search(rf"\b{mark}\b", text), (head, mark)
        for page, _ in pages:
            at[page] = min(letter.size for letter in printed.letters(page))
    assert min(size for size in at.values() if size) >= 7.95


def test_every_page_says_what_it_belongs_to(printed, bed):
    sheet = bed[0].sheet
    for number, page in enumerate(printed.pages, start=1):
        assert page.startswith(f"{sheet.job} {sheet.title}"), number
        assert f"Page {number} of {len(printed.pages)}" in page
        assert "April 25, 2025" in page
        assert "All sizes in inches" in page
    digest = bed[0].made.plans["PLY34"].layout.digest[:6]
    for _, page in pages_with(printed, "PLY34 · Sheet"):
        assert f"plan {digest}" in page
        assert "Kerf 1/8, trim 1/4" in page


def test_break_down_comes_first_then_a_page_for_each_station(printed):
    assert "Break down, sheet by sheet" in printed.pages[0]
    assert "PLY14: Longer than the saw's reach, cut with support: C4." in printed.text
    stations = (re.findall(r"PLY34: (\w+ saw)$", page, re.MULTILINE) for page in printed.pages)
    names = dict.fromkeys(found[0] for found in stations if found)  # a long one goes on overleaf
    assert list(names) == ["Track saw", "Table saw", "Miter saw"]


def table(paper, look):
    """The rows of a table of the paper, in cells."""
    for section in paper.texts["sections"]:
        for block in section["blocks"]:
            if block["kind"] == "table" and block["look"] == look:
                for row in block["rows"]:
                    if row["look"] == "":
                        yield [cell.replace("\u200b", "") for cell in row["cells"]]


def test_the_stations_yield_every_sheet_part_once(paper, bed):
    counted = Counter()
    for *_, off, rest in table(paper, "cuts"):
        for words in (off, rest):
            if part := re.match(r"(?:(\d+) × )?([A-C]\d+)(?:-[LR]\d)? \(", words):
                counted[part[2]] += int(part[1] or 1)
    laid = {piece.id for plan in bed[0].made.plans.values() for piece in plan.problem.pieces}
    assert counted == {part.id: part.quantity for part in bed[0].parts.values() if part.id in laid}


def test_a_setting_that_stays_is_called_the_same(paper):
    before = None
    for _, _, setting, how, *_ in table(paper, "cuts"):
        if how.startswith("same"):
            assert setting == before
        before = setting


def test_the_lists_hold_all_that_the_job_has(paper, bed):
    pack, made = bed[0], bed[0].made.build
    parts = Counter()
    for _, count, mark, *_ in table(paper, "parts"):
        parts[mark.split("-")[0]] += int(count)
    assert parts == {part.id: part.quantity for part in made.parts}
    assert [row[1] for row in table(paper, "others")] == [
        line.item for line in sorted(pack.other_lines(), key=lambda line: line.kind)
    ]
    bands = list(table(paper, "bands"))
    assert sum(int(row[4]) for row in bands) == 29
    assert sum(float(row[7]) for row in bands if row[1] == "B6") == 38.1  # 38.0 by the inch
    assert [row[0] for row in table(paper, "hours")] == [
        line.operation for line in pack.sheet.hours
    ]
    assert [row[2] for row in table(paper, "cautions")] == [
        caution.words for caution in pack.sheet.cautions
    ]


def test_a_part_of_solid_wood_says_its_rough_size(bed):
    pack = bed[0]
    cap = next(part for part in pack.made.build.parts if part.id == "B9")
    glued = replace(cap, id="B10", width=Length.of(6, "in"), strips=2)
    over = replace(cap, id="B11", oversize=Length.of(2, "in"))
    build = replace(pack.made.build, parts=(*pack.made.build.parts, glued, over))
    notes = replace(pack, made=replace(pack.made, build=build)).part_rows()

    # 61 × 23/32 in: an inch longer and a quarter wider, each strip for itself, or as it is said
    assert [row.note.partition(",")[0] for row in notes if row.sheet is None] == [
        "rough 83-7/16 × 31/32 in", "rough 62 × 31/32 in",
        "2 strips of rough 62 × 3-1/4 in", "rough 63 × 2-23/32 in",
    ]  # fmt: skip


def test_heads_of_a_list_stand_on_each_of_its_pages(printed):
    pages = [page for _, page in pages_with(printed, "Parts list")]
    assert len(pages) > 1
    assert all("Thick Banded Note" in page for page in pages)


@pytest.mark.parametrize("rows", range(30, 33))
def test_no_name_of_a_material_ends_a_page(rows, paper, read_back):
    lists = next(
        block for page in paper.texts["sections"] for block in page["blocks"]
        if block.get("look") == "parts"
    )  # fmt: skip
    group, part = lists["rows"][:2]
    long = {**lists, "rows": [group, *[part] * rows, {**group, "cells": ["OTHER wood"]}, part]}
    pages = [{**paper.texts["sections"][-1], "blocks": [long]}]
    for page in read_back(replace(paper, texts={**paper.texts, "sections": pages})).pages:
        body = [line for line in page.splitlines() if line.strip() and "Page " not in line]
        assert body[-1].strip() != "OTHER wood"


def test_no_page_tells_a_price_a_rate_or_the_client(printed, bed):
    money = {
        f"{line.full.minor / 100:.2f}" for line in bed[0].sheet.lines if line.full.minor > 2000
    }
    assert len(money) > 5
    for words in ("D. Marrow", "73.00", "67.71", *money):
        assert words not in printed.text, words


@pytest.mark.parametrize("size", ["letter", "A4"])
def test_all_stands_inside_the_margins(size, bed, read_back, inside_margins):
    printed = read_back(shop_pack_paper(bed[0], "Quillhaven Workshop", size))

    assert not inside_margins(printed)[:5]


@pytest.mark.parametrize("size", ["letter", "A4"])
def test_the_longest_words_stay_in_their_columns(size, begun, tmp_path, read_back, inside_margins):
    long = "C" * 24
    (tmp_path / "nasty.csv").write_text(
        "id,part,qty,length,width,material,banded,edging\n"
        f"A,{'A side that goes on ' * 6},2,40,11,PLY34,all,EDGE78\n"
        f"{long},Slat,30,20,1,PLY34,,\nR,Rail,7,40,2,OAK44,,\n",
        encoding="utf-8",
    )
    begun(
        ["new", "--shop", "W" * 60],
        ["shop", "set", "overhead_year=22000", "pay_year=56000"],
        ["material", "load", "--starting"],
        ["job", "new", "Bed " * 40, "--parts", "nasty.csv"],
    )
    with Book(tmp_path / "shop.sqlite", date(2025, 4, 25)) as book:
        pack = pack_of(book, of_job(book, find_job(book, "J-2501")))
    printed = read_back(shop_pack_paper(pack, "W" * 60, size))

    assert not inside_margins(printed)[:5]
    listed = [page for page in printed.pages if "Thick Banded Note" in page]
    assert "\n".join([long[:8]] * 3) in "\n".join(listed)


def test_it_is_the_same_on_every_run(paper):
    assert print_paper(paper).sha256 == print_paper(paper).sha256


def test_a_work_order_has_lists_alone_on_one_page(begun, pdf_text, tmp_path):
    shop = begun(
        ["new", "--shop", "Quillhaven Workshop"],
        ["shop", "set", "overhead_year=22000", "pay_year=56000"],
        ["job", "new", "Chair repair", "--work", "repair 3h, protect 1"],
        ["job", "line", "chair", "repair", "1h30", "--note", "seat rail"],
    )
    said = shop("job", "pack", "chair", "--pdf", "pack.pdf")

    assert (said.code, said.err.count("100 %")) == (0, 1), said.err
    text = pdf_text(tmp_path / "pack.pdf")
    assert "Hours are person-hours" in text
    assert "RPR: seat rail" in text
    assert "Page 1 of 1" in " ".join(text.split())
    assert "Break down" not in text


def test_the_second_round_begins_on_a_page_of_its_own(begun, tmp_path):
    rows = "A,Side,2,30,14,PLY34,\nD,Door,2,29,15,PLY34,yes\n"
    (tmp_path / "case.csv").write_text(f"id,part,qty,length,width,material,later\n{rows}", "utf-8")
    begun(
        ["new", "--shop", "Quillhaven Workshop"],
        ["shop", "set", "overhead_year=22000", "pay_year=56000"],
        ["material", "load", "--starting"],
        ["job", "new", "Wall case", "--parts", "case.csv"],
    )
    with Book(tmp_path / "shop.sqlite", date(2025, 4, 25)) as book:
        pack = pack_of(book, of_job(book, find_job(book, "J-2501")))
    sections = shop_pack_paper(pack, "", "letter").texts["sections"]
    heads = [section["heading"] for section in sections]
    blocks = [block.get("name") for section in sections for block in section["blocks"]]

    assert sum("Second round" in head for head in heads) == 1
    assert any("Second round" in (name or "") for name in blocks)
