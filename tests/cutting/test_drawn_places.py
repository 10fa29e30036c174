"""Where everything stands in a drawing: a sheet cut by hand, each place worked out by hand.

The sheet is 1380 by 690 mm, so that a millimeter is half a point: x is 45 + mm / 2 from the left
edge, y is 425 - mm / 2 up from the near one. Trim takes 10 mm at each edge, the blade 4 mm.
"""

from xml.etree import ElementTree

import pytest

from ledger.cutting import CutPart, Layout, Problem, Stock
from ledger.cutting.drawing import PageHead, bare_svg, sheet_svg
from ledger.cutting.layout import LaidSheet, Leftover, Placement
from ledger.cutting.lines import cut_lines, line_words, stations
from ledger.cutting.marks import cut_mark, thick_edge
from ledger.cutting.problem import show_mm
from ledger.cutting.sequence import cut_list
from ledger.cutting.sketch import sketch
from ledger.measures.values import replace

MM = 1_000_000

type Numbers = tuple[float, ...]


def placed(x: int, y: int, length: int, width: int, name: str) -> Placement:
    return Placement(x * MM, y * MM, length * MM, width * MM, name, name)


PROBLEM = Problem(
    "PLY",
    (
        CutPart("A", "Side", 900 * MM, 300 * MM, 1, banded=("L1", "W2")),
        CutPart("B", "Shelf", 400 * MM, 200 * MM, 2, banded=("L2", "W1")),
        CutPart("C", "Block", 30 * MM, 20 * MM, 1),
    ),
    (Stock("new", 1380 * MM, 690 * MM, 10 * MM, 1),),
    4 * MM,
)
SHEET = LaidSheet(
    "PLY", "new", 1380 * MM, 690 * MM, 10 * MM, 1, "",
    (placed(10, 10, 900, 300, "A"), placed(10, 314, 400, 200, "B"),
     placed(414, 314, 400, 200, "B"), placed(914, 10, 30, 20, "C")),
    (Leftover(10 * MM, 518 * MM, 1360 * MM, 162 * MM, usable=True),
     Leftover(818 * MM, 314 * MM, 552 * MM, 200 * MM, usable=False)),
)  # fmt: skip
LAYOUT = Layout("PLY", (SHEET,), 4 * MM, 1, proven=True, least_cost=1)


@pytest.fixture(scope="module")
def page() -> ElementTree.Element:
    head = PageHead(title="J-1", notes=("Day.",), thickness="18 mm")
    return ElementTree.fromstring(sheet_svg(PROBLEM, LAYOUT, 1, head=head))


@pytest.fixture(scope="module")
def bare() -> ElementTree.Element:
    drawn = bare_svg(PROBLEM, LAYOUT, 1, units_per_mm=0.5, pad=14)
    assert (drawn.length, drawn.width) == (690, 345)
    return ElementTree.fromstring(drawn.svg)


def named(picture: ElementTree.Element, tag: str, **marks: str) -> list[ElementTree.Element]:
    """The nodes of a kind with such attributes, in the order they are drawn."""
    wanted = {name.replace("_", "-"): value for name, value in marks.items()}
    return [
        node for node in picture.iter()
        if node.tag.endswith("}" + tag) and wanted.items() <= node.attrib.items()
    ]  # fmt: skip


def numbers(node: ElementTree.Element, *names: str) -> Numbers:
    return tuple(float(node.attrib[name]) for name in names)


def box(node: ElementTree.Element) -> Numbers:
    return numbers(node, "x", "y", "width", "height")


def texts(picture: ElementTree.Element) -> dict[str, Numbers]:
    """Each text with the place of its foot and the size of its letters."""
    return {
        node.text or "": numbers(node, "x", "y", "font-size") for node in named(picture, "text")
    }


def shapes(picture: ElementTree.Element) -> dict[int, tuple[Numbers, str]]:
    """Each cut's number with the middle of its shape and the tool that it stands for."""
    found = {}
    for group in (node for node in picture.iter() if "data-cut" in node.attrib):
        (digits,) = named(group, "text")
        x, foot = numbers(digits, "x", "y")
        assert digits.text == group.attrib["data-cut"]
        assert (digits.attrib["text-anchor"], digits.attrib["font-size"]) == ("middle", "13.0")
        found[int(group.attrib["data-cut"])] = ((x, foot - 4.5), group.attrib["data-tool"])
    return found


def test_parts_leftovers_and_the_trimmed_edge_stand_where_they_are_cut(page, bare):
    places = {
        "A": [(50, 270, 450, 150)],
        "B": [(50, 168, 200, 100), (252, 168, 200, 100)],
        "C": [(502, 410, 15, 10)],
    }
    for name, boxes in places.items():
        assert [box(n) for n in named(page, "rect", data_part=name)][: len(boxes)] == boxes
        moved = [(x - 45, y - 80, long, wide) for x, y, long, wide in boxes]
        assert [box(n) for n in named(bare, "rect", data_part=name)] == moved
    hatched = [(box(n), n.get("stroke-width")) for n in named(page, "rect", fill="url(#hatch)")]
    assert hatched == [((50, 85, 680, 81), "1.4"), ((454, 168, 276, 100), "0.7")]
    trimmed = named(page, "rect", stroke_dasharray="6 4")[0]
    sheet = named(page, "rect", stroke_width="2.5")[0]
    assert (box(sheet), box(trimmed)) == ((45, 80, 690, 345), (50, 85, 680, 335))
    assert bare.get("viewBox") == "-14 -14 718.00 373.00"


def test_words_stand_in_the_middle_of_their_part_as_large_as_they_fit(page):
    said = texts(page)

    # A's middle is 275, 345: three lines of 34, 23.8 and 23.8 points, a quarter more from foot to
    # foot, are 102 high, and begin 51 above it. B is held by its width: (200 - 12) / 6.3 points.
    assert said["A"] == (275, 328, 34)
    assert said["Side"] == (275, 360.3, 23.8)
    assert said["900 mm × 300 mm"] == (275, 390.1, 23.8)
    assert said["keep"] == (390, 123.4, 34)
    assert said["1360 mm × 162 mm"] == (390, 155.7, 23.8)
    assert said["552 mm × 200 mm"] == (592, 229, 29.3)
    shelves = [numbers(n, "x", "y") for n in named(page, "text") if n.text == "Shelf"]
    assert shelves == [(150, 231.4), (352, 231.4)]
    plates = [box(n) for n in named(page, "rect", fill="white") if set(n.keys()) == PLATE]
    assert plates == [(271.8, 89.4, 236.5, 72.2), (456, 199.7, 272, 36.7)]


PLATE = {"x", "y", "width", "height", "fill"}


def test_banded_edges_are_thick_just_inside_their_own_sides(page):
    lines = [numbers(n, "x1", "y1", "x2", "y2") for n in named(page, "line", stroke_width="5.0")]

    assert lines[:2] == [(53, 417, 497, 417), (497, 273, 497, 417)]
    assert lines[2:4] == [(53, 171, 247, 171), (53, 171, 53, 265)]
    assert len(lines) == 6


@pytest.mark.parametrize("is_bare", [False, True])
def test_each_cut_is_numbered_on_the_line_of_its_blade(is_bare, page, bare):
    left, top, picture = (0, 0, bare) if is_bare else (45, 80, page)
    found = shapes(picture)

    # The middle of the blade: 2 mm beyond 310, 514; 910, 944, 410, 814 and, of the block, 30.
    ups = {3: 312, 4: 516, 7: 32}
    alongs = {5: 912, 6: 946, 8: 412, 9: 816}
    for number, at in ups.items():
        if number != 7:  # its line of 30 mm is full of the others, so that it stands beside it
            assert found[number][0][1] == top + 345 - at / 2
            assert left + 5 <= found[number][0][0] <= left + 685
    for number, at in alongs.items():
        assert found[number][0][0] == left + at / 2
    low, high = {5: (10, 310), 6: (10, 310), 8: (314, 514), 9: (314, 514)}, top + 345
    for number, (near, far) in low.items():
        assert high - far / 2 <= found[number][0][1] <= high - near / 2
    assert {number: tool for number, (_, tool) in found.items()} == {
        1: "guide_rail", 2: "guide_rail", 3: "guide_rail", 4: "table_saw",
        5: "miter_saw", 6: "miter_saw", 7: "miter_saw", 8: "miter_saw", 9: "miter_saw",
    }  # fmt: skip


def test_trim_is_a_bar_along_its_edge_with_its_number_beside_it(page):
    bars = [box(n) for n in named(page, "rect") if "fill" not in n.attrib]

    assert bars == [(45, 420, 690, 5), (45, 80, 5, 345)]
    found = shapes(page)
    assert (found[1][0], found[2][0]) == ((713, 414), (56, 102))


def test_shapes_are_drawn_around_their_number(page):
    drawn = {n.get("data-cut"): n for n in page.iter() if "data-cut" in n.attrib}

    (circle,) = named(drawn["4"], "circle")
    (square,) = named(drawn["3"], "polygon")
    (triangle,) = named(drawn["5"], "polygon")
    assert numbers(circle, "cx", "cy", "r") == (519, 167, 11)
    assert square.get("points") == "502.0,258.0 524.0,258.0 524.0,280.0 502.0,280.0"
    assert triangle.get("points") == "501.0,378.5 516.4,404.9 485.6,404.9"


def test_the_head_and_the_four_edges_are_named_around_the_sheet(page):
    said = texts(page)

    assert said["J-1: Sheet 1 of 1: PLY, new sheet, 1380 mm × 690 mm × 18 mm"] == (45, 24, 18)
    # 1380 mm on 690 points of 0.352778 mm each are 1 to 5.67
    assert said["Kerf 4 mm, trim 10 mm each edge.  Day.  Scale 1 : 5.7."] == (45, 44, 13)
    assert (said["far edge"], said["near edge"]) == ((390, 62, 13), (390, 443, 13))
    assert (said["left edge"], said["right edge"]) == ((15, 252.5, 13), (773, 252.5, 13))
    spins = [n.get("transform") for n in named(page, "g") if "rotate" in n.get("transform", "")]
    assert spins == ["rotate(-90 15.0 252.5)", "rotate(-90 773.0 252.5)"]
    (arrow,) = named(page, "path")
    assert (arrow.attrib["d"].split(" h")[0], said["grain"]) == ("M575.0 58.0", (695, 63, 13))


def test_legend_and_list_follow_below_line_by_line_and_end_with_the_page(page):
    said = texts(page)
    legend = [said[words] for words in said if "running from" in words or "Thick" in words]

    assert legend == [(45, 461, 13), (45, 495, 13), (45, 512, 13), (45, 529, 13)]
    assert said["C Block, 30 mm × 20 mm"] == (45, 478, 13)
    ticks = [box(n) for n in named(page, "rect", width="10", height="10")]
    left = [(45, y, 10, 10) for y in (547, 564, 581, 598)]
    assert ticks == left + [(398, y, 10, 10) for y in (547, 564, 581, 598)]
    assert said["4  fence 200 mm → 1B (1370 mm × 200 mm); leaves an"] == (60, 608, 13)
    assert said["offcut 1360 mm × 162 mm keep"] == (60, 625, 13)
    assert said["5  miter, stop 900 mm → A (900 mm × 300 mm)"] == (413, 557, 13)
    # The strip of the block, 30 by 300 mm, is drawn again below: 390 points high, 26 a block.
    assert said["1A2 again, 2.6 times as large"] == (45, 659, 13)
    (again,) = [n for n in named(page, "g") if "translate" in n.get("transform", "")]
    assert again.get("transform") == "translate(45 667.0)"
    assert box(named(again, "rect", data_part="C")[0]) == (0, 364, 39, 26)
    assert page.get("viewBox") == "0 0 780 1074"


def test_a_narrow_board_is_drawn_wider_and_its_parts_with_it():
    parts = (placed(0, 0, 900, 60, "A"),)
    board = LaidSheet("OAK", "new", 1380 * MM, 110 * MM, 0, 1, "", parts)
    layout = Layout("OAK", (board,), 4 * MM, 1, proven=True, least_cost=1)
    problem = replace(PROBLEM, material="OAK")
    drawn = bare_svg(problem, layout, 1, units_per_mm=0.5, name="board")

    # Half a point a millimeter along it; across it 110 points for 110 mm.
    assert (drawn.length, drawn.width) == (690, 110)
    (part,) = named(ElementTree.fromstring(drawn.svg), "rect", data_part="A")
    assert box(part) == (0, 50, 450, 60)
    assert "The board is drawn wider than it is." in drawn.legend
    wide = bare_svg(problem, layout, 1, units_per_mm=2, name="board")
    assert (wide.length, wide.width) == (2760, 220)
    assert "The board is drawn wider than it is." not in wide.legend


def test_a_sketch_has_everything_in_its_column_and_row():
    # 59 columns for 1380 mm, 14 rows for 690: 910 mm are 38.9 columns, 314 mm 6.4 rows from below.
    drawn = """\
Sheet 1: PLY, new, 1380 mm x 690 mm, grain <->
+----------------------------------------------------------+
|...........................keep...........................|
|.....................1360 mm x 162 mm.....................|
+----------------------------------------------------------+
+-----------------+----------------+-----------------------+
|        B        |       B        |.......................|
| 400 mm x 200 mm |400 mm x 200 mm |.......................|
|                 |                |.......................|
+-----------------+----------------+---+-------------------+
|                                      |                   |
|                  A                   |                   |
|           900 mm x 300 mm            |                   |
|                                      |                   |
|                                      ++                  |
+--------------------------------------++------------------+
  C Block, 30 mm x 20 mm"""
    assert sketch(PROBLEM, SHEET, 1, columns=60, ascii_only=True) == drawn.splitlines()
    narrow = sketch(PROBLEM, SHEET, 1, columns=40)
    assert narrow[2:4] == ["│░░░░░░░░keep 1360 mm x 162 mm░░░░░░░░░│",
                           "┼───────────┼──────────┼───────────────┼"]  # fmt: skip
    assert narrow[-2:] == ["  B Shelf, 400 mm x 200 mm (2 times)", "  C Block, 30 mm x 20 mm"]


@pytest.mark.parametrize(
    ("side", "ends"),
    [("left", (2, 2, 2, 98)), ("right", (6, 2, 6, 98)), ("top", (2, 2, 6, 2)),
     ("bottom", (2, 98, 6, 98))],
)  # fmt: skip
def test_the_thick_edge_of_a_thin_part_stands_a_quarter_within_it(side, ends):
    # Of a part of 8 by 100 points, and turned the same: a quarter of 8 is 2, and the line is 4.
    drawn = ElementTree.fromstring(thick_edge(0, 0, 8, 100, side))
    assert numbers(drawn, "x1", "y1", "x2", "y2", "stroke-width") == (*ends, 4)
    low = ElementTree.fromstring(thick_edge(10, 20, 100, 10, side))
    assert numbers(low, "stroke-width") == (5,)
    assert min(numbers(low, "x1", "x2")) >= 12.5
    assert min(numbers(low, "y1", "y2")) >= 22.5


@pytest.mark.parametrize(
    ("tool", "points"),
    [
        ("sled", "100.0,185.7 114.3,200.0 100.0,214.3 85.7,200.0"),
        ("miter saw", "100.0,183.5 115.4,209.9 84.6,209.9"),
        ("none", "89.0,189.0 111.0,189.0 111.0,211.0 89.0,211.0"),
    ],
)
def test_each_tool_has_a_shape_of_its_own(tool, points):
    drawn = ElementTree.fromstring(cut_mark(tool, 100, 200, 7))
    shape, digits = drawn
    assert shape.get("points") == points
    assert (digits.text, numbers(digits, "x", "y")) == ("7", (100, 204.5))
    assert (drawn.get("fill"), shape.get("fill")) == (
        ("white", "black") if tool == "none" else (None, "white")
    )


@pytest.mark.parametrize(
    ("second", "rests", "line"),
    [
        ((10, 214), [(414, 10, 956, 200), (414, 214, 956, 200), (10, 418, 1360, 262)],
         "5–6 1A, 1B miter, stop 400 mm → 2 × B (400 mm × 200 mm);"
         " leaves 2 × offcut 956 mm × 200 mm keep"),
        ((414, 10), [(818, 10, 552, 200), (10, 214, 1360, 466)],
         "4–5 1A miter, stop 400 mm → 2 × B (400 mm × 200 mm);"
         " leaves an offcut 552 mm × 200 mm keep"),
    ],
)  # fmt: skip
def test_equal_cuts_in_one_strip_leave_one_piece_and_in_two_strips_two(second, rests, line):
    parts = (placed(10, 10, 400, 200, "B"), placed(*second, 400, 200, "B"))
    left = tuple(Leftover(*(mm * MM for mm in sizes), usable=True) for sizes in rests)
    layout = replace(LAYOUT, sheets=(replace(SHEET, placements=parts, leftovers=left),))
    last = cut_lines(cut_list(PROBLEM, layout).cuts)[-1]

    assert f"{last.numbers} {last.of} {line_words(last, show_mm)}" == line


def test_equal_strips_are_named_from_the_first_to_the_last():
    ups = (10, 164, 318, 472)
    parts = tuple(placed(10, y, 400, 150, "B") for y in ups)
    kept = [Leftover(414 * MM, y * MM, 956 * MM, 150 * MM, usable=True) for y in ups]
    rest = Leftover(10 * MM, 626 * MM, 1360 * MM, 54 * MM, usable=False)
    sheet = replace(SHEET, placements=parts, leftovers=(*kept, rest))
    problem = replace(PROBLEM, pieces=(CutPart("B", "Shelf", 400 * MM, 150 * MM, 4),))
    lines = cut_lines(cut_list(problem, replace(LAYOUT, sheets=(sheet,))).cuts)

    said = [f"{line.numbers} {line_words(line, show_mm)}" for line in lines]
    assert said[3] == "4–6 fence 150 mm, push stick → 1B to 1D (1370 mm × 150 mm each)"


def test_the_work_goes_from_the_whole_sheet_to_one_tool_after_another():
    found = [(one.name, one.is_breakdown, [cut.number for cut in one.cuts])
             for one in stations(cut_list(PROBLEM, LAYOUT).cuts)]  # fmt: skip
    assert found == [
        ("Break down, sheet by sheet", True, [1, 2, 3]),
        ("Table saw", False, [4]),
        ("Miter saw", False, [5, 6, 7, 8, 9]),
    ]
