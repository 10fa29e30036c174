"""`benchledger layout`: a job's plan or a parts list's, in words, as JSON, as drawings."""

import re
import sqlite3
from contextlib import closing
from decimal import Decimal
from pathlib import Path
from xml.etree import ElementTree

import pytest

from ledger.cutting.check import check_layout
from ledger.cutting.problem import METHOD, CutPart, Problem, Stock
from ledger.cutting.record import layouts_from_dict

SAMPLES = Path(__file__).parents[2] / "sample_data"

TOLD = """id,qty,length,width,grain,part
S,4,30 in,11-1/4 in,length,Side
T,2,2 ft,10 in,any,Tray
"""
BARE = "id,qty,length,width,grain\nS,4,30,11-1/4,length\n"


@pytest.fixture
def parts(tmp_path):
    """Parts lists: with units, and with bare numbers."""
    (tmp_path / "told.csv").write_text(TOLD, encoding="utf-8")
    (tmp_path / "bare.csv").write_text(BARE, encoding="utf-8")


@pytest.fixture
def quick(shop, parts):
    """Type `layout --parts` with a list that says its units."""

    def type_in(*words, file="told.csv", sheet="48x96in"):
        return shop("layout", "--parts", file, "--sheet", sheet, *words)

    return type_in


def test_a_parts_list_needs_no_book(quick):
    said = quick()
    assert said.code == 0
    assert "No weight of these" in said.err
    assert said.out.splitlines()[0] == "Parts: 1 sheet (the fewest possible), 40 % used"
    assert "30 x 11-1/4" in said.out
    assert all(len(line) <= 80 for line in said.out.splitlines())


def test_the_json_has_the_keys_that_others_read(quick):
    told = quick("--json").facts()
    assert {"sheets", "totals", "cuts", "kerf_mm"} <= told.keys()
    sheet, total = told["sheets"][0], told["totals"][0]
    assert {"material", "source", "length_mm", "width_mm", "trim_mm", "placements",
            "leftovers"} <= sheet.keys()  # fmt: skip
    assert (sheet["source"], sheet["length_mm"], sheet["width_mm"], sheet["trim_mm"]) == (
        "new", "2438.4", "1219.2", "6.35",
    )  # fmt: skip
    assert sheet["placements"][0].keys() >= {"part", "x_mm", "y_mm", "length_mm", "width_mm",
                                             "turned"}  # fmt: skip
    assert sheet["leftovers"][0].keys() >= {"x_mm", "y_mm", "length_mm", "width_mm", "usable"}
    assert {"material", "sheets", "fewest_possible", "proven", "cost", "yield"} <= total.keys()
    assert {"strips", "wide_crosscuts", "narrow_crosscuts"} <= told["cuts"].keys()
    assert (told["kerf_mm"], total["sheets"], total["fewest_possible"], total["proven"]) == (
        "3.175", 1, 1, True,
    )  # fmt: skip
    assert total["cost"] is None, "a parts list has no prices"


def test_the_plan_told_as_json_passes_the_check_of_a_layout(quick):
    inch = 25_400_000
    pieces = (
        CutPart("S", "Side", 30 * inch, 45 * inch // 4, 4),
        CutPart("T", "Tray", 24 * inch, 10 * inch, 2, may_turn=True),
    )
    sheet = Stock("new", 96 * inch, 48 * inch, inch // 4, cost=0)
    problem = Problem("", pieces, (sheet,), inch // 8)
    told = quick("--json").facts()
    check_layout(problem, layouts_from_dict(told, digits=None)[0])


def test_the_grain_runs_along_the_longer_side_unless_told(quick):
    for size in ("48x96in", "96 x 48 in", "4x8ft", '48"×96"', "4 ft x 96 in"):
        sheet = quick("--json", sheet=size).facts()["sheets"][0]
        assert (sheet["length_mm"], sheet["width_mm"]) == ("2438.4", "1219.2"), size
    sheet = quick("--json", "--grain", "short").facts()["sheets"][0]
    assert (sheet["length_mm"], sheet["width_mm"]) == ("1219.2", "2438.4")


def test_without_a_book_a_bare_number_needs_units(quick):
    said = quick(file="bare.csv")
    assert said.code == 1
    assert "write 30 in or 30 mm" in said.err
    assert quick("--json", "--units", "inch", file="bare.csv").facts()["totals"][0]["sheets"] == 1
    said = quick("--trim", "1/4")
    assert (said.code, said.err) == (1, "--trim: “1/4” has no unit; write 1/4 in or 1/4 mm.\n")
    said = quick(sheet="48x96")
    assert "“48” has no unit" in said.err


def test_kerf_and_trim_that_say_their_unit_need_no_more(quick):
    told = quick("--json", "--kerf", "3.2mm", "--trim", "0 in").facts()
    assert (told["kerf_mm"], told["sheets"][0]["trim_mm"]) == ("3.2", "0")


def test_with_a_book_the_shops_saw_and_units_are_meant(shop, quick):
    shop("new", "--shop", "Quillhaven Workshop")
    shop("shop", "set", "kerf=2.2 mm", "trim=1/2 in")
    told = quick("--json", file="bare.csv", sheet="48x96").facts()
    assert (told["kerf_mm"], told["sheets"][0]["trim_mm"]) == ("2.2", "12.7")
    told = quick("--json", "--kerf", "1/8", file="bare.csv").facts()
    assert told["kerf_mm"] == "3.175"


def test_every_material_has_its_own_plan_and_drawing(shop, tmp_path):
    rows = "id,qty,length,width,material\nA,1,20 in,10 in,PLY/A\nB,1,20 in,10 in,PLY-A\n"
    (tmp_path / "two.csv").write_text(rows, encoding="utf-8")
    said = shop("layout", "--parts", "two.csv", "--sheet", "48x96in", "--svg", "drawn")
    assert said.code == 0
    assert "In all: 6 break-down cuts, 0 strips" in said.out
    assert sorted(path.name for path in (tmp_path / "drawn").iterdir()) == [
        "PLY-A-01.svg", "PLY-A-2-01.svg",
    ]  # fmt: skip
    for path in (tmp_path / "drawn").iterdir():
        assert ElementTree.parse(path).getroot().tag == "{http://www.w3.org/2000/svg}svg"


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (["--sheet", "48x96x3in"], 1, "is not a sheet size; write for example 48x96in"),
        (["--sheet", "48in"], 1, "is not a sheet size"),
        (["--sheet", "0x96in"], 1, "“0in” is zero"),
        (["--sheet", "20x20in"], 1, "S Side (30 in × 11-1/4 in) is larger than any sheet"),
        (["--sheet", "48x96in", "--kerf", "12in"], 1, "kerf"),
        (["--sheet", "48x96in", "--trim", "30in"], 1, "trim"),
        (["--sheet", "48x96in", "--units", "cubit"], 1, "--units is inch or mm"),
        (["--sheet", "48x96in", "--grain", "up"], 1, "--grain is long or short"),
        ([], 2, "--sheet 48x96in"),
        (["--sheet", "48x96in", "--pdf", "pack.pdf"], 2, "a shop pack needs a job"),
        (["bed", "--sheet", "48x96in"], 2, "not both"),
    ],
)
def test_what_makes_no_sense_is_refused_with_a_sentence(shop, parts, words, code, said):
    told = shop("layout", "--parts", "told.csv", *words)
    assert told.code == code
    assert said in " ".join(told.err.split())


def test_a_jobs_sheets_come_from_its_price_list(shop):
    told = shop("layout", "bed", "--kerf", "1/8in")
    assert told.code == 2
    assert "go with --parts" in " ".join(told.err.split())


def test_a_drawing_that_cannot_be_written_is_refused_with_its_place(quick, tmp_path):
    told = quick("--svg", "told.csv/drawn")
    assert (told.code, "cannot be written" in told.err) == (1, True)


@pytest.fixture
def shelf(begun, tmp_path):
    """The sample shop with a job made of a parts list."""
    rows = (
        "id,part,qty,length,width,material,banded,edging,handed\n"
        "A,Side,2,72 in,11 in,PLY34,one long,EDGE78,yes\nB,Shelf,9,30 in,11 in,PLY34,,,\n"
    )
    (tmp_path / "shelf.csv").write_text(rows, encoding="utf-8")
    return begun(
        ["new", "--shop", "Quillhaven Workshop"],
        ["shop", "load", str(SAMPLES / "shop.csv")],
        ["material", "load", str(SAMPLES / "materials.csv")],
        ["job", "new", "Shelf for the hall", "--parts", "shelf.csv"],
    )


def test_a_job_is_laid_out_from_the_price_list_and_priced_from_that_plan(shelf):
    told = shelf("layout", "shelf", "--json").facts()
    total = told["totals"][0]
    assert (total["material"], total["sheets"], total["cost"]) == ("PLY34", 2, "192.00")
    assert {place["mark"] for sheet in told["sheets"] for place in sheet["placements"]} == {
        "A-L1", "A-R1", "B",
    }  # fmt: skip
    price = shelf("price", "shelf", "--json").facts()
    assert price["layout"][0]["sheets"] == 2
    counts = {line["operation"]: Decimal(line["driver"]) for line in price["operations"]}
    assert counts["RIP"] == told["cuts"]["strips"]
    assert shelf("layout", "--json").facts() == told, "the last job, the same plan"


def test_the_cuts_are_counted_alike_on_paper_in_the_terminal_in_json_and_in_the_hours(
    shelf, tmp_path, pdf_text
):
    rows = (
        "id,part,qty,length,width,material\n"
        "A,Side,4,72 in,11 in,PLY34\nB,Shelf,9,30 in,11 in,PLY34\nE,Block,14,9-1/4 in,3 in,PLY34\n"
        "C,Back,2,60 in,30 in,PLY12\nD,Drawer side,12,20 in,5 in,PLY12\n"
    )
    (tmp_path / "both.csv").write_text(rows, encoding="utf-8")
    shelf("job", "new", "Both woods", "--parts", "both.csv")
    said = shelf("layout", "both", "--pdf", "pack.pdf")
    plan = shelf("layout", "both", "--json").facts()
    price = shelf("price", "both", "--json").facts()
    paper = pdf_text(tmp_path / "pack.pdf")
    spoken = " ".join(said.out.split()).split("In all: ")[1]
    cuts = plan["cuts"]

    names = {"RIP": "strips", "XW": "wide_crosscuts", "XN": "narrow_crosscuts"}
    by_list = {
        name: sum(one["counts"][name] for one in plan["cut_lists"]) for name in names.values()
    }
    in_hours = {
        names[line["operation"]]: Decimal(line["driver"])
        for line in price["operations"]
        if line["operation"] in names
    }
    on_paper = {
        name: int(re.search(rf"\b{code} [A-Z][^0-9]*\) (\d+) ", paper)[1])
        for code, name in names.items()
    }
    in_terminal = re.search(r"(\d+) strips?, .* (\d+) wide and (\d+) narrow", spoken)
    of_json = {name: cuts[name] for name in names.values()}
    assert of_json == by_list == in_hours == on_paper
    assert of_json == dict(zip(names.values(), map(int, in_terminal.groups()), strict=True))
    assert all(of_json.values())
    made = [cut for one in plan["cut_lists"] for cut in one["cuts"]]
    assert len(made) == sum(of_json.values()) + cuts["breakdown"]
    assert str(cuts["breakdown"]) == spoken.split()[0]
    ticked = re.findall(r"☐ (\d+)(?:–(\d+))?(?: ×\d+)? ", paper)
    assert len(ticked) > 10
    assert max(int(last or first) for first, last in ticked) == max(
        len(one["cuts"]) for one in plan["cut_lists"]
    )


def test_parts_beyond_the_saws_reach_are_named(shelf):
    shelf("shop", "set", "saw_reach=70 in")
    said = " ".join(shelf("layout", "shelf").err.split())
    assert "cut with support: A-L1, A-R1." in said


def test_harder_keeps_its_plan_for_the_price(shelf):
    first = shelf("layout", "shelf", "--json").facts()
    harder = shelf("layout", "shelf", "--harder", "--json").facts()
    assert Decimal(harder["totals"][0]["cost"]) <= Decimal(first["totals"][0]["cost"])
    assert shelf("layout", "shelf", "--json").facts() == harder


def test_of_a_drawing_that_cannot_be_written_nothing_is_left_in_the_book(shelf, tmp_path):
    said = shelf("layout", "shelf", "--svg", "shelf.csv/drawn")
    assert (said.code, "cannot be written" in said.err) == (1, True)
    with closing(sqlite3.connect(tmp_path / "shop.sqlite")) as book:
        assert book.execute("SELECT count(*) FROM layout").fetchone() == (0,)
        assert shelf("layout", "shelf", "--svg", "drawn").code == 0
        assert book.execute("SELECT count(*) FROM layout").fetchone() == (1,)


def test_a_job_is_drawn_with_its_number_and_written_as_a_shop_pack(shelf, tmp_path):
    said = shelf("layout", "shelf", "--svg", "drawn", "--pdf", "pack.pdf")
    assert said.code == 0
    assert "Shop pack: pack.pdf. Print it at 100 %" in said.err
    assert (tmp_path / "pack.pdf").is_file()
    drawn = (tmp_path / "drawn" / "PLY34-01.svg").read_text(encoding="utf-8")
    assert "J-2501: Sheet 1 of 2: PLY34, new sheet, 96 × 48 × 23/32" in drawn
    assert "2025-04-25.  All sizes in inches." in drawn


def test_a_list_without_units_is_told_how_to_say_them_for_all_its_sizes(quick):
    said = quick(file="bare.csv")
    assert "add --units inch or --units mm" in said.err
    assert "--units" not in quick(file="none.csv").err


def test_solid_parts_are_drawn_on_their_rough_boards(shelf, tmp_path):
    rows = "id,part,qty,length,width,material,thickness\nR,Rail,3,40 in,2 in,BIRCH44,3/4 in\n"
    (tmp_path / "rails.csv").write_text(rows, encoding="utf-8")
    assert shelf("job", "new", "Rails", "--parts", "rails.csv").code == 0
    said = shelf("layout", "rails", "--svg", "drawn", "--xlsx", "pack.xlsx")
    assert said.code == 0, said.err
    lines = said.out.splitlines()
    assert lines[0] == "No sheets: solid wood only."
    assert lines[1].startswith("BIRCH44: 2 rough boards, 6.00 board feet bought for ")
    assert lines[2].startswith("Board 1: BIRCH44, rough, 96 x 4-1/2")
    assert sum(line.count("41 x 2-1/4") for line in lines) == 3
    drawn = (tmp_path / "drawn" / "BIRCH44-01.svg").read_text(encoding="utf-8")
    assert "Board 1 of 2: BIRCH44, rough board, 96 × 4-1/2" in drawn


def test_a_part_cut_later_is_laid_as_a_blank_and_listed_in_a_second_round(begun, tmp_path):
    rows = (
        "id,part,qty,length,width,material,later\n"
        "A,Side,2,30 in,14 in,PLY34,\nD,Door,2,29 in,15 in,PLY34,yes\n"
    )
    (tmp_path / "case.csv").write_text(rows, encoding="utf-8")
    shop = begun(
        ["new", "--shop", "Quillhaven Workshop"],
        ["material", "load", str(SAMPLES / "materials.csv")],
        ["job", "new", "Wall case", "--parts", "case.csv"],
    )
    told = shop("layout", "wall", "--json").facts()
    doors = [p for sheet in told["sheets"] for p in sheet["placements"] if p["part"] == "D"]
    assert {(p["length_mm"], p["width_mm"]) for p in doors} == {("749.3", "393.7")}
    later = [cut for cut in told["cut_lists"][0]["cuts"] if cut["round"] == 2]
    ends = [row for cut in later for row in cut["out"] if row["is"] == "part"]
    assert {(row["mark"], row["length_mm"], row["width_mm"]) for row in ends} == {
        ("D", "736.6", "381")
    }
    assert len(later) == 4
    assert "Second round" in shop("layout", "wall").out


def test_a_plan_laid_anew_for_other_tools_says_so(shelf):
    assert "laid out anew" not in shelf("layout", "shelf").err
    shelf("shop", "set", "crosscut_capacity=8 in")
    assert "PLY34 is laid out anew" in " ".join(shelf("layout", "shelf").err.split())
    assert "laid out anew" not in shelf("layout", "shelf").err


def test_a_plan_that_only_the_program_lays_otherwise_says_that(shelf, monkeypatch):
    digest = Problem.digest
    monkeypatch.setattr(Problem, "digest", lambda self, solver, method=METHOD - 1: digest(
        self, solver, method))  # fmt: skip
    shelf("shop", "set", "crosscut_capacity=9 in")
    shelf("layout", "shelf")
    monkeypatch.setattr(Problem, "digest", digest)
    told = " ".join(shelf("layout", "shelf").err.split())
    assert "PLY34 is laid out anew" in told


def test_lumber_by_the_board_foot_says_what_to_buy(shelf, tmp_path):
    lumber = (
        "code,name,kind,unit,length,width,thickness,whole,price\n"
        "ELM44,Elm 4/4,lumber,bd ft,96 in,6 in,1 in,no,9\n"
    )
    (tmp_path / "elm.csv").write_text(lumber, encoding="utf-8")
    assert shelf("material", "load", "elm.csv").code == 0
    rows = "id,part,qty,length,width,material,thickness\nR,Rail,3,40 in,2 in,ELM44,3/4 in\n"
    (tmp_path / "elms.csv").write_text(rows, encoding="utf-8")
    assert shelf("job", "new", "Elms", "--parts", "elms.csv").code == 0
    shown = shelf("layout", "elms")
    assert shown.code == 0, shown.err
    lines = shown.out.splitlines()
    assert lines[0] == "No sheets: solid wood only."
    assert re.fullmatch(r"ELM44: [0-9.]+ bd ft to buy", lines[1])


def test_a_sheet_whose_grain_runs_across_is_laid_that_way(begun, tmp_path, pdf_text):
    (tmp_path / "ply.csv").write_text(
        "code,name,kind,unit,price,length,width,thickness,grain\n"
        "CROSS,Walnut ply,sheet,sheet,120,96,48,3/4,width\n"
        "MDF,Board,sheet,sheet,40,96,48,3/4,none\n",
        encoding="utf-8",
    )
    (tmp_path / "case.csv").write_text(
        "id,part,qty,length,width,material\nA,Side,5,40,20,CROSS\nB,Back,1,60,40,MDF\n", "utf-8"
    )
    (tmp_path / "long.csv").write_text("id,qty,length,width,material\nA,1,90,20,CROSS\n", "utf-8")
    shop = begun(
        ["new", "--shop", "Quillhaven Workshop"],
        ["shop", "set", "overhead_year=22000", "pay_year=56000"],
        ["material", "load", "ply.csv"],
        ["job", "new", "Case", "--parts", "case.csv"],
        ["job", "new", "Long", "--parts", "long.csv"],
    )
    sheets = shop("layout", "case", "--json", "--pdf", "case.pdf").facts()["sheets"]
    sides = [place for place in sheets[0]["placements"] if not place["turned"]]

    assert (sheets[0]["length_mm"], sheets[0]["width_mm"]) == ("1219.2", "2438.4")
    assert [(place["length_mm"], place["width_mm"]) for place in sides][:4] == [("1016", "508")] * 4
    assert (sheets[-1]["material"], sheets[-1]["length_mm"]) == ("MDF", "2438.4")
    assert pdf_text(tmp_path / "case.pdf").count("no grain") == 1
    refused = shop("layout", "long")
    assert (refused.code, "across the grain" in refused.err) == (1, True)


def test_a_sheet_that_may_be_cut_either_way_has_no_grain(begun, tmp_path, pdf_text):
    columns = "code,name,kind,unit,length,width,grain,price"
    sheets = "MDF,MDF 3/4,sheet,sheet,97,49,any,46\nPLY,Plywood,sheet,sheet,96,48,length,90\n"
    (tmp_path / "prices.csv").write_text(f"{columns}\n{sheets}")
    rows = "B1,1,40,90,any,MDF\nB2,1,40,90,any,PLY\n"
    (tmp_path / "boxes.csv").write_text(f"id,qty,length,width,grain,material\n{rows}")
    shop = begun(
        ["new", "--shop", "Alder Gap", "--overhead", "14400", "--pay", "45000"],
        ["material", "load", "prices.csv"],
        ["job", "new", "Boxes", "--parts", "boxes.csv"],
    )
    said = shop("layout", "boxes", "--pdf", "pack.pdf")
    assert said.code == 0, said.err
    heads = [line for line in said.out.splitlines() if line.startswith("Sheet 1:")]

    assert sorted(line.rpartition(", ")[2] for line in heads) == ["grain ↔", "no grain"]
    assert pdf_text(tmp_path / "pack.pdf").count("laid across the grain") == 1  # the plywood
