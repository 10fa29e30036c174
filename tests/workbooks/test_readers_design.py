"""A design is read from a workbook or a folder of CSV, and every cell that is wrong is told."""

import shutil
from pathlib import Path

import pytest
from openpyxl import Workbook

from ledger.errors import BadFile
from ledger.workbooks.readers.design import read_design

BED = Path(__file__).parents[2] / "sample_data" / "bed"
DESIGN = "name,value\nname,box\ntitle,A box\nunits,inch\n"
PARTS = "id,qty,length,width,material,banded,edging\n"


def folder(tmp_path: Path, **tables: str) -> Path:
    """A folder of CSV files; design and one part are there unless said otherwise."""
    place = tmp_path / "box"
    place.mkdir()
    for name, text in ({"design": DESIGN, "parts": PARTS + "A,1,24,12,PLY,,\n"} | tables).items():
        if text:
            (place / f"{name}.csv").write_text(text, "utf-8")
    return place


def told(path: Path, codes: set[str] | None = None) -> list[str]:
    """What is told of a refused design."""
    with pytest.raises(BadFile) as caught:
        read_design(path, "inch", codes)
    return [str(fault) for fault in caught.value.faults]


def test_the_smallest_design_has_a_name_and_a_part(tmp_path: Path) -> None:
    design = read_design(folder(tmp_path), "mm")
    assert (design.name, design.title, design.units) == ("box", "A box", "inch")
    assert [part.id for part in design.parts] == ["A"]


def test_lengths_are_in_the_units_of_the_book_where_the_design_does_not_say(tmp_path: Path) -> None:
    place = folder(tmp_path, design="name,value\nname,box\n")
    assert read_design(place, "mm").units == "mm"


def test_a_workbook_and_a_folder_of_the_same_tables_are_the_same_design(tmp_path: Path) -> None:
    book = Workbook()
    book.remove(book.worksheets[0])
    for file in sorted(BED.glob("*.csv")):
        sheet = book.create_sheet(file.stem.title())
        for line in read_lines(file):
            sheet.append(line)
    book.create_sheet("Notes").append(["mine"])
    book.save(tmp_path / "bed.xlsx")
    assert read_design(tmp_path / "bed.xlsx", "inch") == read_design(BED, "inch")


def read_lines(file: Path) -> list[list[str]]:
    """The lines of a CSV file."""
    import csv

    with file.open(newline="", encoding="utf-8") as text:
        return list(csv.reader(text))


def test_edges_are_said_in_words_or_marks(tmp_path: Path) -> None:
    rows = ["one long", "Both Long", "all round", "L1 W2", "both short and one long", "-", ""]
    lines = "".join(f"P{n},1,24,12,PLY,{edge},T\n" for n, edge in enumerate(rows))
    design = read_design(folder(tmp_path, parts=PARTS + lines), "inch")
    assert [" ".join(part.banded) for part in design.parts] == [
        "L1", "L1 L2", "L1 L2 W1 W2", "L1 W2", "L1 W1 W2", "", "",
    ]  # fmt: skip


def test_every_flaw_of_a_design_is_told_at_its_cell(tmp_path: Path) -> None:
    place = folder(
        tmp_path,
        parameters="name,value,min,max\nw,b,1 in,\nb,w,,\ngap,1/2 in,1 in,\ngap,1,,\nin,2,,\n",
        parts=PARTS
        + "A,2,wide,0,PLY,L1,\nA,x,24,4-Mar,PLY,,\nB,1,24 + 2 in,12,,L5,T\nC,0,1,1,PLY,,\n",
        joints="id,kind,length,qty\nj,glue,3,1\n",
        counts="driver,qty\npinns,3\npins,-3\n",
        finish="material,coats,method\nSATIN,0,spray\nSATIN,2,rolled\n",
        tags="tag\nhaunted\n",
        facts="name,words\nsize,{wide}\n",
    )
    found = told(place)
    assert sorted(line.split(":")[0] for line in found) == sorted([
        "parameters.csv line 3, column value",  # the circle, told once
        "parameters.csv line 4, column value",  # below its minimum
        "parameters.csv line 5, column name",  # twice
        "parameters.csv line 6, column name",  # a unit
        "parts.csv line 2, column length",
        "parts.csv line 2, column width",
        "parts.csv line 2, column edging",
        "parts.csv line 3, column id",
        "parts.csv line 3, column qty",
        "parts.csv line 3, column width",
        "parts.csv line 4, column length",
        "parts.csv line 4, column material",
        "parts.csv line 4, column banded",
        "parts.csv line 5, column qty",
        "joints.csv line 2, column kind",
        "counts.csv line 2, column driver",
        "counts.csv line 3, column qty",
        "finish.csv line 2, column coats",
        "finish.csv line 3, column method",
        "tags.csv line 2, column tag",
        "facts.csv line 2, column words",
    ])  # fmt: skip


def test_a_workbook_names_sheet_and_cell(tmp_path: Path) -> None:
    book = Workbook()
    design, parts = book.worksheets[0], book.create_sheet("parts")
    design.title = "design"
    for line in (["name", "value"], ["name", "box"]):
        design.append(line)
    for row in (["id", "qty", "length", "width", "material"], ["A", 1, "24", 0, "PLY"]):
        parts.append(row)
    book.save(tmp_path / "box.xlsx")
    assert told(tmp_path / "box.xlsx") == [
        "box.xlsx, sheet parts, cell D2: “0” comes to 0 in; a size is more than zero."
    ]


def test_materials_that_the_price_list_does_not_have_are_told_with_the_nearest(
    tmp_path: Path,
) -> None:
    place = folder(
        tmp_path,
        parts=PARTS + "A,1,24,12,PLY43,one long,TAPE\n",
        needs="material,qty\nSCRWE,4\n",
        finish="material,coats,tint,tint share\nSATIN,3,STAIN,5 %\n",
    )
    assert told(place, {"PLY34", "TAPE", "SCREW", "SATIN"}) == [
        "parts.csv line 2, column material: No material is called “PLY43”. Nearest: PLY34.",
        "needs.csv line 2, column material: No material is called “SCRWE”. Nearest: SCREW.",
        "finish.csv line 2, column tint: No material is called “STAIN”. Nearest: SATIN.",
    ]
    assert read_design(place, "inch").materials >= {"PLY43", "SCRWE", "STAIN"}


@pytest.mark.parametrize(
    ("tables", "said"),
    [
        ({"parts": ""}, "box: The table parts is missing; a design has design and parts."),
        ({"design": ""}, "box: The table design is missing"),
        ({"parts": PARTS}, "parts.csv: A design has at least one part."),
        ({"parts": ""} | {"prats": PARTS}, "prats.csv: No table is called “prats”. Nearest: parts"),
        ({"design": "name,value\ntitle,A\n"}, "design.csv: The line with the design's name is"),
        ({"design": "name,value\nname,a\nnames,b\n"}, "is called “names”. Nearest: name."),
        ({"design": "name,value\nname,a\nname,b\n"}, "line 3, column name: name stands twice"),
        ({"design": "name,value\nname,a\nunits,feet\n"}, "No unit of a design is called “feet”"),
        (
            {"design": "name,value\nname,\n"},
            "design.csv line 2, column value: The value is missing",
        ),
        ({"parts": "id,qty,length,width\nA,1,2,3\n"}, "The column material is missing; there is:"),
        ({"parts": PARTS + "A,1,24,12\n"}, "column material: The material is missing"),
        ({"parts": PARTS + "A,1,,12,PLY,,\n"}, "column length: The length is missing; write"),
    ],
)
def test_tables_and_lines_that_are_missing_are_told(
    tmp_path: Path, tables: dict[str, str], said: str
) -> None:
    found = told(folder(tmp_path, **tables))
    assert [line for line in found if said in line], found


def test_an_empty_cell_is_told_once(tmp_path: Path) -> None:
    found = told(folder(tmp_path, parts=PARTS + "A,,,12,PLY,,\n"))
    assert [line.split(":")[0] for line in found] == [
        "parts.csv line 2, column qty",
        "parts.csv line 2, column length",
    ]


def test_a_formula_may_not_begin_with_an_equals_sign_and_runs_nothing(tmp_path: Path) -> None:
    found = told(folder(tmp_path, parts=PARTS + "A,1,=cmd(),\"__import__('os')\",PLY,,\n"))
    assert "“=” cannot be read" in found[0]
    assert "cannot be read; use" in found[1]


def test_names_in_any_writing_are_kept(tmp_path: Path) -> None:
    names = ["O'Brien", "שלום", "🪵 side", "[red] x", "=1+2"]
    lines = "".join(f"P{n},{name},1,24,12,PLY\n" for n, name in enumerate(names))
    place = folder(tmp_path, parts="id,name,qty,length,width,material\n" + lines)
    assert [part.name for part in read_design(place, "inch").parts] == names


def test_a_copy_of_the_sample_with_one_bad_cell_is_refused_whole(tmp_path: Path) -> None:
    copy = tmp_path / "bed"
    shutil.copytree(BED, copy)
    parts = (copy / "parts.csv").read_text("utf-8")
    (copy / "parts.csv").write_text(parts.replace("tray_width_out", "x").replace(
        "2,tray_length_out,4-3/4", "2,tray_lenght_out,4-3/4"), "utf-8")  # fmt: skip
    assert told(copy) == [
        "parts.csv line 8, column length: No parameter is called “tray_lenght_out”."
        " Nearest: tray_length_out, tray_length, tray_width_out."
    ]


BLOCKS = (
    "name,block,with\nbody,carcass,width=36 in; ply=PLY; thin ply=THIN; edging=TAPE; screws=SCR\n"
)


def test_a_sub_assembly_that_comes_with_the_program_is_written_out(tmp_path: Path) -> None:
    place = folder(tmp_path, parts="", blocks=BLOCKS)
    design = read_design(place, "inch", {"PLY", "THIN", "TAPE", "SCR"})
    assert [part.id for part in design.parts] == ["body-A1", "body-A2", "body-A3", "body-A4"]
    assert design.blocks[0].version.startswith("program ")


def test_what_is_wrong_in_a_sub_assembly_is_told_at_the_line_that_puts_it_in(
    tmp_path: Path,
) -> None:
    place = folder(tmp_path, parts="", blocks=BLOCKS.replace("36 in", "60 in"))
    assert told(place) == [
        "blocks.csv line 2, column with: body_width is 60 in; it must be at most 48 in (outside)."
    ]


def test_a_material_word_that_nothing_fills_is_told_with_how_to_fill_it(tmp_path: Path) -> None:
    place = folder(tmp_path, parts="", blocks=BLOCKS.replace("; screws=SCR", ""))
    (fault,) = told(place, {"PLY", "THIN", "TAPE"})
    assert "blocks.csv line 2" in fault
    assert "screws=CODE" in fault


def test_a_closing_sum_that_fails_is_told_at_its_line(tmp_path: Path) -> None:
    place = folder(tmp_path, checks="sum,must be,value\n2 in + 3 in,=,6 in\n")
    assert told(place) == [
        "checks.csv line 2, column sum: 2 in + 3 in comes to 5 in; it must be 6 in, 6 in: 1 in too"
        " little."
    ]


def test_an_unknown_name_is_told_at_its_first_cell_with_a_count(tmp_path: Path) -> None:
    lines = "".join(f"X{n},1,10 in,gapp,PLYX,,\n" for n in range(3))
    place = folder(tmp_path, parts=PARTS + lines)
    with pytest.raises(BadFile) as refused:
        read_design(place, "inch", {"PLY34"})
    said = [str(fault) for fault in refused.value.faults if "gapp" in str(fault)]
    assert len(said) == 1
    assert said[0].endswith("So also in 2 more cells.")
    assert len([fault for fault in refused.value.faults if "PLYX" in str(fault)]) == 1
