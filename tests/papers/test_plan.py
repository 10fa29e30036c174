"""A plan to sell: two editions from one build, nothing from inside the shop, the same bytes."""

import re
import shutil
from fractions import Fraction
from pathlib import Path

import pypdfium2.raw as pdfium
import pytest
from PIL import Image

from ledger.errors import NotAllowed
from ledger.papers.pictures import MOST_BYTES, picture
from ledger.reports import plan_page
from tests.papers.conftest import ReadBack

SAMPLES = Path(__file__).parents[2] / "sample_data"
INSIDE = (
    "price", "rate", "supplier", "sponsor", "client", "cost", "markup", "margin", "wage", "hours",
    "lot", "receipt", "money",
)  # fmt: skip
"""Words that no field of a plan's page may be named by."""


@pytest.fixture
def plans(begun):
    """The shop of the story with its suppliers, a sponsor and a client, and both designs."""
    return begun(
        ["new", "--shop", "Quillhaven Workshop"],
        ["shop", "load", str(SAMPLES / "shop.csv")],
        ["material", "load", str(SAMPLES / "materials.csv")],
        ["material", "load", str(SAMPLES / "side_table_materials.csv")],
        ["sponsor", "add", "Brightfell Panels"],
        ["design", "load", str(SAMPLES / "bed")],
        ["design", "load", str(SAMPLES / "side_table")],
        ["job", "new", "Marrow fold-down bed", "--design", "bed", "--client", "D. Marrow"],
    )


@pytest.fixture(scope="module")
def printed() -> dict[tuple[str, ...], bytes]:
    """The plans of the shop as it stands in `plans`, by what was typed: each is printed once."""
    return {}


@pytest.fixture
def written(plans, printed, tmp_path):
    """A plan of the side table or the bed, read back: `written("--units", "mm", design="bed")`."""

    def read_back(*words: str, design: str = "side") -> ReadBack:
        folder = "bed" if design == "bed" else "side_table"
        line = ("design", "plan", design, "--pictures", str(SAMPLES / folder), *words)
        if line not in printed:
            result = plans(*line, "--pdf", "plan.pdf")
            assert result.code == 0, result.err
            printed[line] = (tmp_path / "plan.pdf").read_bytes()
        return ReadBack(printed[line])

    return read_back


def sizes(text: str, pattern: str) -> list[Fraction]:
    """The lengths of the parts' rows, in millimeters, in the order in which they stand."""
    found = []
    for row in re.findall(pattern, text):
        for side in row.split(" × "):
            whole, _, part = side.partition("-") if "/" in side else (side, "", "")
            if "/" in whole:
                whole, part = "0", whole
            value = Fraction(whole) + (Fraction(part) if part else 0)
            found.append(value)
    return found


INCH = r"(?<=\s)((?:\d+(?:-\d+/\d+)?|\d+/\d+)(?: × (?:\d+(?:-\d+/\d+)?|\d+/\d+)){2})(?=\s)"
MM = r"(?<=\s)(\d+(?:\.5)? × \d+(?:\.5)? × \d+(?:\.5)?)(?=\s)"


def steps_of(pdf: ReadBack) -> str:
    """The words of the steps; the versions behind them name no length."""
    return pdf.text[pdf.text.index("Steps 1 Cut") :]


def test_every_size_stands_in_both_units_within_the_rounding(written):
    pages = written("--units", "inch", design="bed").pages
    page = next(p for p in pages if p.startswith("Parts"))
    rows = re.findall(rf"{INCH}\s+{MM}", page)
    inch = [size for row in rows for size in sizes(f" {row[0]} ", INCH)]
    mm = [size for row in rows for size in sizes(f" {row[1]} ", MM)]

    bought = next(p for p in pages if "What to buy" in p)
    assert "Supplies" in bought and "Cutting" in bought, "whole, on one page"
    assert all(len(p.splitlines()) > 5 for p in pages), "no page of a few lines"
    assert len(rows) == 20
    half_steps = Fraction(254, 10) / 64 + Fraction(1, 4)
    assert all(abs(a * Fraction(254, 10) - b) <= half_steps for a, b in zip(inch, mm, strict=True))


def test_the_metric_edition_is_on_a4_with_millimeters_first(written):
    inch, mm = written(), written("--units", "mm")

    assert (round(inch.sizes()[0][0]), round(mm.sizes()[0][0])) == (612, 595)
    assert "24 in W × 20 in D × 22 in H\n609.5 mm W × 508 mm D × 559 mm H" in inch.pages[0]
    assert mm.pages[0].index("609.5 mm W") < mm.pages[0].index("24 in W")
    assert "R1 Side apron 2 16-1/2 × 4-1/2 × 3/4 419 × 114.5 × 19" in inch.text
    assert "R1 Side apron 2 419 × 114.5 × 19 16-1/2 × 4-1/2 × 3/4" in mm.text
    assert "15 in (381 mm) between the shoulders" in inch.text
    assert "381 mm (15 in) between the shoulders" in mm.text
    pairs = re.findall(r"([\d/-]+) in \(([\d.]+) mm\)", steps_of(inch))
    assert len(pairs) > 50
    assert [(a, b) for b, a in re.findall(r"([\d.]+) mm \(([\d/-]+) in\)", steps_of(mm))] == pairs
    half_steps = Fraction(254, 10) / 64 + Fraction(1, 4)
    for first, second in pairs:
        [value] = sizes(f" {first} ", r"([\d/-]+)")
        assert abs(value * Fraction(254, 10) - Fraction(second)) <= half_steps
    assert not re.search(r"\d in\b(?! \()", steps_of(inch))


def test_a_buyers_sizes_move_the_parts_and_the_words(written):
    text = written("--set", "width=30 in", "--set", "apron=5 in").text

    assert "R2 Back apron 1 26-1/2 × 5 × 3/4" in text
    assert "from 5-1/2 in (139.5 mm) below its top" in text
    assert "3/4 long, 1/4 thick, 4 wide, 3/4 from the upper edge" in text


def test_sizes_outside_the_designs_limits_are_refused(plans, tmp_path):
    result = plans("design", "plan", "side", "--set", "width=60 in", "--pdf", "plan.pdf")

    assert (result.code, (tmp_path / "plan.pdf").exists()) == (1, False)
    assert "width is 60 in; it must be at most 40 in" in result.err


@pytest.mark.parametrize("design", ["bed", "side"])
@pytest.mark.parametrize("units", ["inch", "mm"])
def test_nothing_from_inside_the_shop_is_in_it(written, design, units):
    text = written("--units", units, "--for-maker", design=design).text.casefold()
    barred = [
        "brightfell",
        "copper vale",
        "pellworth",
        "harrow street",
        "windlass",
        "marrow bed",
        "d. marrow",
        "markup",
        "overhead",
        "$",
        " usd ",
        "sponsor",
        "client",
        "96.00",
        "379",
    ]
    hours = [f"{number} h " for number in range(100)]

    assert [word for word in (*barred, *hours) if word in text] == []
    for code in ("PLY34", "WAL44", "DISC5", "BIRCH44"):
        assert code.casefold() not in text


def test_its_page_has_no_field_for_what_is_inside_the_shop():
    classes = [one for one in vars(plan_page).values() if hasattr(one, "__struct_fields__")]
    names = {name for one in classes for name in one.__struct_fields__}

    assert len(classes) >= 10
    assert [name for name in sorted(names) if any(word in name for word in INSIDE)] == []


def test_what_the_material_costs_is_printed_only_where_the_maker_wants_it(written):
    assert "came to about" not in written().text
    text = written("--with-cost").text
    match = re.search(r"The material came to about \$([\d.]+) before tax and freight", text)
    # Walnut 9 × 12 and 3 × 14, poplar 5 × 4.60, oil 28, buttons 1.80, screws 12 × 0.08 and
    # 10 × 0.07, glue 7.50, discs 3 × 0.65, wax 8 × 1.10, rags 9, knob 9.50; no wrap of the shop's
    assert match and match[1] == "241.21"


def test_a_buyer_reads_whole_boards_and_what_no_list_has(written):
    text = written().text
    bought = text[text.index("What to buy") : text.index("Cutting")]

    assert (
        "3 boards of 96 × 6 × 1 in (2438.5 × 152.5 × 25.5 mm), 12 bd ft (0.028 m³); the parts take"
        " 5.8 bd ft (0.014 m³) of it Or boards of other sizes: 9 bd ft (0.021 m³)"
    ) in bought
    assert "Sandpaper or a scraper" in bought
    assert "Wrap" not in bought
    assert "edging" not in text
    assert "track saw" not in text


def test_the_makers_hours_are_said_and_not_written(plans):
    result = plans("design", "plan", "side", "--pdf", "plan.pdf", "--for-maker",
                   "--pictures", str(SAMPLES / "side_table"))  # fmt: skip

    assert re.search(r"take your shop [\d.]+ h, or [\d.]+ h to be\s+safe", result.out)
    assert "material for about $241.21" in result.out


def test_the_same_version_sizes_and_program_make_the_same_bytes(plans, tmp_path):
    plan = ["design", "plan", "side", "--pdf", "plan.pdf", "--pictures", SAMPLES / "side_table"]
    assert plans(*map(str, plan)).code == 0
    first = (tmp_path / "plan.pdf").read_bytes()
    assert plans("material", "price", "WAL44", "19.00").code == 0

    assert plans(*map(str, plan), on="2025-12-01").code == 0
    assert (tmp_path / "plan.pdf").read_bytes() == first


def test_a_sheet_is_drawn_to_the_scale_that_is_printed(written):
    pdf = written("--units", "inch", design="bed")
    drawn = [(5, n) for n in range(1, 6)] + [(2, 1), (2, 2)] + [(3, n) for n in range(1, 4)]
    shown = re.findall(r", sheet (\d) of (\d)", pdf.text)
    assert [(int(of), int(one)) for one, of in shown] == drawn
    number = next(n for n, page in enumerate(pdf.pages) if "sheet 1 of 5" in page)
    assert "Scale 1:10" in pdf.pages[number]
    boxes = []
    for one in pdf.document[number].get_objects(max_depth=15):
        left, foot, right, top = one.get_bounds()
        boxes.append((right - left, top - foot))
    # 96 × 48 in at 1:10 is 691.2 × 345.6 pt, and the line around it is 2.5 pt wide
    assert any(abs(w - 693.7) < 3.5 and abs(h - 348.1) < 3.5 for w, h in boxes), boxes[:9]


@pytest.mark.parametrize(("design", "units"), [("bed", "inch"), ("bed", "mm"), ("side", "mm")])
def test_all_stands_inside_the_margins_with_the_version_in_each_footer(
    written, inside_margins, design, units
):
    pdf = written("--units", units, design=design)

    assert not inside_margins(pdf)[:3]
    assert all("Version 1, April 2025" in page for page in pdf.pages)


def test_a_design_without_steps_makes_no_plan(plans):
    assert plans("design", "template", "case.xlsx").code == 0
    assert plans("design", "load", "case.xlsx").code == 0
    refused = plans("design", "plan", "bookcase", "--pdf", "plan.pdf")

    assert refused.code == 1
    assert "has no steps to sell a plan of" in refused.err


def test_pictures_stand_on_the_cover_and_at_their_step(plans, tmp_path):
    shutil.copytree(SAMPLES / "side_table", tmp_path / "shown")
    steps = (tmp_path / "shown/steps.csv").read_text("utf-8").splitlines()
    steps[3] += "mortises.jpg"
    exif = Image.Exif()
    exif[0x010F] = "Camera maker"
    Image.new("RGB", (90, 60), "gray").save(tmp_path / "shown/mortises.jpg", exif=exif)
    (tmp_path / "shown/steps.csv").write_text("\n".join(steps), "utf-8")
    assert plans("design", "load", "shown", "--errata", "A picture.").code == 0
    result = plans("design", "plan", "side", "--pdf", "plan.pdf", "--pictures", "shown")
    assert result.code == 0, result.err
    pdf = ReadBack((tmp_path / "plan.pdf").read_bytes())
    assert b"Camera maker" in (tmp_path / "shown/mortises.jpg").read_bytes()
    assert b"Camera maker" not in (tmp_path / "plan.pdf").read_bytes()

    images = [
        number
        for number, page in enumerate(pdf.document)
        for one in page.get_objects(filter=[pdfium.FPDF_PAGEOBJ_IMAGE], max_depth=15)
    ]
    assert images == [0, next(n for n, page in enumerate(pdf.pages) if page.startswith("Steps"))]
    refused = plans("design", "plan", "side", "--pdf", "plan.pdf")
    assert "table.png is not there; name its folder: --pictures FOLDER" in refused.err


def test_a_picture_keeps_its_pixels_upright_and_nothing_else(tmp_path):
    exif = Image.Exif()
    exif[0x0112] = 6  # lies on its right side
    exif[0x010F] = "Camera maker"
    exif.get_ifd(0x8825)[2] = (44.0, 30.0, 0.0)  # a place on earth
    Image.effect_noise((900, 600), 90).convert("RGB").save(tmp_path / "a.jpg", exif=exif)
    content = picture(tmp_path / "a.jpg")
    (tmp_path / "b.jpg").write_bytes(content)

    with Image.open(tmp_path / "b.jpg") as kept:
        assert (kept.size, len(kept.getexif())) == ((600, 900), 0)
    assert b"Camera maker" in (tmp_path / "a.jpg").read_bytes()
    assert b"Camera maker" not in content and b"Exif" not in content


def test_a_large_picture_comes_under_two_megabytes(tmp_path):
    Image.effect_noise((2000, 1500), 120).save(tmp_path / "large.png")

    assert (tmp_path / "large.png").stat().st_size > MOST_BYTES
    assert len(picture(tmp_path / "large.png")) <= MOST_BYTES


def test_what_is_no_picture_is_refused(tmp_path):
    (tmp_path / "a.jpg").write_text("<svg/>")
    with pytest.raises(NotAllowed, match="is no picture that can be read"):
        picture(tmp_path / "a.jpg")
    with pytest.raises(NotAllowed, match="is not there"):
        picture(tmp_path / "b.jpg")
