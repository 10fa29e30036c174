"""The pictures say everything the saw needs, and no name can break them."""

import re
from xml.etree import ElementTree

import pytest

from ledger.cutting import CutPart, Layout, Problem, Stock, solve
from ledger.cutting.drawing import bare_svg, sheet_svg
from ledger.cutting.insets import framed_sizes, pieces_of, strips
from ledger.cutting.layout import LaidSheet, Placement
from ledger.cutting.lettering import RADIUS, Words
from ledger.cutting.problem import show_mm
from ledger.cutting.sequence import cut_list
from ledger.cutting.sketch import sketch
from ledger.measures.values import replace

MM = 1_000_000
WILD = "A <b>&\"'</b> [red]x[/red] \x00\x1b[2J \u202eabc 🪵 =cmd()"


def plan(*pieces: CutPart) -> tuple[Problem, Layout]:
    """Lay pieces on sheets of 2440 by 1220 mm with 5 mm of trim and 3 mm of kerf."""
    problem = Problem("PLY", pieces, (Stock("new", 2440 * MM, 1220 * MM, 5 * MM, 1),), 3 * MM)
    return problem, solve(problem)


SHELF = CutPart("B", "Shelf", 800 * MM, 300 * MM, 2, banded=("L1",))
SIDE = CutPart("A", "Side", 2000 * MM, 400 * MM, 2, banded=("L1", "W2"), marks=("A-L", "A-R"))


def svg(problem: Problem, layout: Layout, number: int = 1) -> ElementTree.Element:
    """Draw a sheet and read the picture back."""
    return ElementTree.fromstring(sheet_svg(problem, layout, number))


def texts(picture: ElementTree.Element) -> list[str]:
    """Give everything that is written in a picture."""
    return [node.text or "" for node in picture.iter() if node.tag.endswith("}text")]


def test_every_part_shows_its_own_id_name_and_size() -> None:
    said = texts(svg(*plan(SIDE, SHELF)))

    assert {"A-L", "A-R", "B", "Side", "Shelf", "2000 mm × 400 mm", "800 mm × 300 mm"} <= set(said)


def test_sizes_are_written_in_the_readers_own_words() -> None:
    problem, layout = plan(SHELF)
    drawn = sheet_svg(problem, layout, 1, show=lambda nm: f"{nm // MM} Schritt")

    assert "800 Schritt × 300 Schritt" in drawn
    assert "Kerf 3 Schritt, trim 5 Schritt each edge." in drawn


def test_the_cuts_are_numbered_in_the_order_of_the_saw() -> None:
    problem, layout = plan(SIDE, SHELF)
    marks = [node.attrib for node in svg(problem, layout).iter() if "data-cut" in node.attrib]

    assert {(int(mark["data-cut"]), mark["data-tool"]) for mark in marks} == {
        (cut.number, cut.tool.replace(" ", "_")) for cut in cut_list(problem, layout).cuts
    }


def test_no_letter_at_the_saw_is_smaller_than_thirteen_points() -> None:
    picture = svg(*plan(SIDE, SHELF, CutPart("S", "Sliver", 40 * MM, 15 * MM, 3)))
    sizes = [
        float(node.attrib["font-size"]) for node in picture.iter() if "font-size" in node.attrib
    ]

    assert picture.attrib["width"].endswith("pt")
    assert min(sizes) >= 13


def test_each_piece_on_its_way_has_its_size_in_a_frame_that_covers_nothing() -> None:
    problem, layout = plan(SIDE, SHELF)
    cuts = cut_list(problem, layout).of_sheet(1)
    said = texts(svg(problem, layout))
    ways = {
        f"{piece.label}: {show_mm(piece.length)} × {show_mm(piece.width)}"
        for piece in pieces_of(cuts)
    }
    assert len(ways & set(said)) >= 1
    covered = [Words("", (0, 0, 10_000, 10_000))]
    held = layout.sheets[0]
    assert not list(framed_sizes(cuts, held, lambda _: (0, 0, 900, 900), covered, [], show_mm))


def test_a_strip_of_parts_too_small_to_read_is_drawn_again_to_one_larger_scale() -> None:
    pieces = (replace(SIDE, quantity=1, marks=()), CutPart("S", "Sliver", 235 * MM, 38 * MM, 8))
    problem = Problem("PLY", pieces, (Stock("new", 2440 * MM, 430 * MM, cost=1),), 3 * MM)
    slivers = [Placement(2003 * MM, 41 * MM * row, 235 * MM, 38 * MM, "S", "S") for row in range(8)]
    side = Placement(0, 0, 2000 * MM, 400 * MM, "A", "A")
    sheet = LaidSheet("PLY", "new", 2440 * MM, 430 * MM, 0, 1, "", (side, *slivers))
    layout = Layout("PLY", (sheet,), 3 * MM, 1, proven=True, least_cost=1)
    scale = 690 / sheet.length_nm
    (strip,) = strips(cut_list(problem, layout).of_sheet(1), sheet, slivers, scale, 690)

    assert [part.part for part in strip.sheet.placements] == ["S"] * 8
    assert scale * strip.factor * 38 * MM >= 2 * RADIUS
    assert scale * strip.factor * max(strip.sheet.length_nm, strip.sheet.width_nm) <= 690
    said = texts(svg(problem, layout))
    assert f"{strip.label} again, {strip.factor:.1f} times as large" in said
    assert [said.count(words) for words in ("S", "S  235 mm × 38 mm")] == [8, 8]


def test_the_page_lists_the_cuts_of_its_sheet_with_boxes_and_running_positions() -> None:
    said = texts(svg(*plan(SIDE, SHELF)))

    assert any(line.endswith("track saw → trim near long edge of 1") for line in said)
    assert any("miter, stop 800 mm → 2 × B (800 mm × 300 mm)" in line for line in said)
    assert {"near edge", "far edge", "left edge", "right edge", "grain"} <= set(said)
    assert "1A, running from the near edge: 400 mm · 803 mm · 1106 mm" in said


def test_equal_cuts_near_together_have_the_first_and_the_last_number() -> None:
    block = CutPart("B", "Block", 30 * MM, 200 * MM, 40)
    problem, layout = plan(block)
    marks = [n.attrib["data-cut"] for n in svg(problem, layout).iter() if "data-cut" in n.attrib]

    assert len(marks) < len(cut_list(problem, layout).cuts)


def test_banded_edges_are_thick_lines() -> None:
    thick = [node for node in svg(*plan(SIDE, SHELF)).iter() if node.tag.endswith("}line")]

    # one line belongs to the hatch; A has two banded edges on each of two copies, B one
    assert len(thick) - 1 == 2 * 2 + 1 * 2


def test_a_turned_part_carries_its_banded_edge_along() -> None:
    turned = CutPart("T", "Top", 1100 * MM, 2300 * MM, banded=("L1",), may_turn=True)
    picture = svg(*plan(turned))

    (edge,) = [node for node in picture.iter() if node.tag.endswith("}line")][1:]
    assert edge.get("x1") == edge.get("x2")
    assert any("turned" in said for said in texts(picture))


def test_leftovers_are_hatched_and_usable_ones_are_to_be_kept() -> None:
    problem, layout = plan(SHELF)
    picture = svg(problem, layout)

    hatched = [node for node in picture.iter() if node.get("fill") == "url(#hatch)"]
    assert len(hatched) == len(layout.sheets[0].leftovers)
    assert "keep" in texts(picture)


def test_the_grain_is_shown() -> None:
    assert "grain" in texts(svg(*plan(SHELF)))


@pytest.mark.parametrize(("length", "width", "ids"), [(90, 40, 3), (40, 15, 0)])
def test_a_part_too_small_for_words_is_explained_below(length: int, width: int, ids: int) -> None:
    # Its id stands in it where it can be read at the saw.
    said = texts(svg(*plan(CutPart("S9", "Glue block", length * MM, width * MM, 3))))

    assert said.count("S9") == ids
    assert any(f"S9 Glue block, {length} mm × {width} mm (3 times)" in line for line in said)


@pytest.mark.parametrize("name", [WILD, "x" * 10_000, "", "שלום", "]]>", "\ud800"], ids=range(6))
def test_no_name_breaks_the_picture_or_the_terminal(name: str) -> None:
    problem, layout = plan(CutPart("A1", name, 800 * MM, 300 * MM, 1, marks=(name or "A1",)))

    assert any("A1" in said or name[:3] in said for said in texts(svg(problem, layout))) or name
    for ascii_only in (False, True):
        lines = sketch(problem, layout.sheets[0], 1, ascii_only=ascii_only)
        assert all(line.isprintable() and len(line) <= 80 for line in lines)


def test_a_sketch_fits_eighty_columns_and_shows_every_part() -> None:
    problem, layout = plan(SIDE, SHELF)
    text = "\n".join(sketch(problem, layout.sheets[0], 1))

    assert all(len(line) <= 80 for line in text.splitlines())
    assert all(text.count(word) == 1 for word in ("A-L", "A-R"))
    kept = [rest for rest in layout.sheets[0].leftovers if rest.usable]
    assert kept
    assert all(f"{show_mm(r.length_nm)} x {show_mm(r.width_nm)}" in text for r in kept)
    assert len(re.findall(r"\bB\b", text)) == 2


def test_a_plain_sketch_is_plain_ascii() -> None:
    problem, layout = plan(SIDE, SHELF)
    text = "\n".join(sketch(problem, layout.sheets[0], 1, ascii_only=True, columns=60))

    assert text.isascii()
    assert max(map(len, text.splitlines())) <= 60


def test_parts_too_small_to_be_named_in_a_sketch_are_listed_below_it() -> None:
    problem, layout = plan(CutPart("S9", "Glue block", 40 * MM, 15 * MM, 3))

    assert "  S9 Glue block, 40 mm x 15 mm (3 times)" in sketch(problem, layout.sheets[0], 1)


def test_a_sheet_without_a_material_is_named_by_what_it_is() -> None:
    problem = Problem("", (SHELF,), (Stock("new", 2440 * MM, 1220 * MM, 5 * MM, 1),), 3 * MM)
    layout = solve(problem)

    assert sketch(problem, layout.sheets[0], 1)[0] == "Sheet 1: new, 2440 mm x 1220 mm, grain ↔"
    assert "Sheet 1 of 1: new sheet, 2440 mm × 1220 mm" in sheet_svg(problem, layout, 1)


def test_a_long_name_is_cut_short_in_a_sketch_and_its_size_is_not() -> None:
    long = "Glue block behind the lower back rail of the cabinet, glued and not screwed"
    problem, layout = plan(CutPart("S9", long, 40 * MM, 15 * MM, 3))
    below = sketch(problem, layout.sheets[0], 1)[-1]

    assert len(below) <= 80
    assert below.startswith("  S9 Glue block behind")
    assert below.endswith("..., 40 mm x 15 mm (3 times)")


def test_a_name_that_only_says_the_id_again_is_not_written() -> None:
    problem, layout = plan(
        CutPart("D", "D", 800 * MM, 300 * MM), CutPart("S", "S", 40 * MM, 15 * MM)
    )

    said = texts(svg(problem, layout))
    assert said.count("D") == 1
    assert "S, 40 mm × 15 mm" in said
    assert sketch(problem, layout.sheets[0], 1)[-1] == "  S, 40 mm x 15 mm"


def test_a_bare_drawing_is_the_sheet_alone_to_true_scale() -> None:
    problem, layout = plan(SIDE, SHELF)
    bare = bare_svg(problem, layout, 1, units_per_mm=0.25)
    picture = ElementTree.fromstring(bare.svg)
    parts = [node.attrib for node in picture.iter() if "data-part" in node.attrib]

    assert picture.attrib["viewBox"] == "0 0 610.00 305.00"
    assert picture.attrib["data-units-per-mm"] == "0.25"
    assert picture.attrib["font-family"].startswith("Source Sans Pro")
    assert sorted((part["data-part"], part["width"], part["height"]) for part in parts) == [
        ("A-L", "500.0", "100.0"), ("A-R", "500.0", "100.0"),
        ("B", "200.0", "75.0"), ("B", "200.0", "75.0"),
    ]  # fmt: skip
    assert not any("Kerf" in said or "banded" in said for said in texts(picture))


def test_bare_drawings_on_one_page_share_no_id_and_say_what_found_no_room() -> None:
    problem, layout = plan(replace(SIDE, quantity=8, marks=()), SHELF)
    drawings = [
        bare_svg(problem, layout, number, units_per_mm=0.05)
        for number in range(1, len(layout.sheets) + 1)
    ]
    ids = [name for one in drawings for name in re.findall(r'\bid="([^"]+)"', one.svg)]

    assert len(drawings) > 1
    assert len(ids) == len(set(ids)) >= 2 * len(drawings)
    assert all(f"url(#PLY-{number}-hatch)" in one.svg for number, one in enumerate(drawings, 1))
    assert "B Shelf, 800 mm × 300 mm" in " ".join(said for one in drawings for said in one.beside)
