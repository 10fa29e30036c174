"""`benchledger design`: a template to fill in, versions with errata, and a design worked out."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

SAMPLES = Path(__file__).parents[2] / "sample_data"
BED = str(SAMPLES / "bed")

type Shop = Callable[..., Any]


@pytest.fixture
def stocked(shop: Shop) -> Shop:
    """A shop whose book knows the sample materials."""
    assert shop("new", "shop.sqlite", "--shop", "Quillhaven Workshop").code == 0
    assert shop("material", "load", str(SAMPLES / "materials.csv")).code == 0
    return shop


def test_the_bed_is_loaded_once_and_told_when_it_is_the_same(stocked: Shop) -> None:
    said = stocked("design", "load", BED)
    assert said.code == 0
    assert said.out.startswith("fold-down-bed, ")
    assert said.out.splitlines()[0].endswith(": version 1.")
    again = stocked("design", "load", BED)
    assert again.out.startswith("fold-down-bed is in the book already")
    assert "version 1." in again.out


def test_a_template_is_loaded_changed_and_loaded_again(stocked: Shop, tmp_path: Path) -> None:
    from openpyxl import load_workbook

    assert stocked("design", "template", "bookcase.xlsx").code == 0
    assert stocked("design", "load", "bookcase.xlsx").code == 0
    book = load_workbook(tmp_path / "bookcase.xlsx")
    book["parameters"]["B2"] = "40 in"
    book.save(tmp_path / "wider.xlsx")

    refused = stocked("design", "load", "wider.xlsx")
    assert (refused.code, refused.out) == (1, "")
    assert "--errata TEXT" in refused.err
    taken = stocked("design", "load", "wider.xlsx", "--errata", "wider by 4 in")
    assert "version 2." in taken.out
    assert "version 1" in taken.err
    listed = stocked("design", "list")
    assert "wider by 4 in" in listed.out
    old = json.loads(stocked("design", "show", "bookcase", "--version", "1", "--json").out)
    assert old["parameters"]["width"] == "36 in"


def test_a_template_of_a_design_in_the_book_is_that_design(stocked: Shop) -> None:
    stocked("design", "load", BED)
    assert stocked("design", "template", "bed.xlsx", "--of", "bed").code == 0
    assert "already" in stocked("design", "load", "bed.xlsx").out
    refused = stocked("design", "template", "bed.xlsx")
    assert (refused.code, "bed.xlsx exists already" in refused.err) == (1, True)


def test_show_works_a_design_out_for_other_values(stocked: Shop) -> None:
    stocked("design", "load", BED)
    said = stocked("design", "show", "bed", "--set", "mattress_width=54", "--set",
                   "mattress_length=75 in")  # fmt: skip
    assert said.code == 0
    assert "57-11/16" in said.out
    assert "54 in × 75 in, at most 10 in thick" in said.out
    assert all(len(line) <= 80 for line in said.out.splitlines())

    facts = json.loads(stocked("design", "show", "bed", "--json").out)
    assert facts["parts"][0]["length_mm"] == "2235.2"
    assert facts["counts"]["pocket_holes"]["quantity"] == "106"
    assert facts["facts"]["overall size"] == "101-1/8 in W × 88 in H × 16-1/2 in D"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("show", "bunk"), "No design is called “bunk”."),
        (("show", "bed", "--set", "mattress_thickness=12"), "must be at most 10 in"),
        (("show", "bed", "--set", "matress_width=54"), "Nearest: mattress_width"),
        (("show", "bed", "--version", "3"), "No version of fold-down-bed is called “3”."),
        (("load", "nowhere.xlsx"), "nowhere.xlsx: There is no such file"),
        (("template", "bed.csv"), "bed.csv should end in .xlsx"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(
    stocked: Shop, words: tuple[str, ...], said: str
) -> None:
    stocked("design", "load", BED)
    refused = stocked("design", *words)
    assert (refused.code, refused.out) == (1, "")
    assert said in refused.err


def test_a_mistyped_value_is_a_mistyped_command(stocked: Shop) -> None:
    stocked("design", "load", BED)
    assert stocked("design", "show", "bed", "--set", "mattress_width").code == 2


def test_materials_that_are_not_in_the_price_list_are_told_with_their_cells(shop: Shop) -> None:
    assert shop("new", "shop.sqlite", "--shop", "Quillhaven Workshop").code == 0
    refused = shop("design", "load", BED)
    assert refused.code == 1
    assert "parts.csv line 2, column material: No material" in refused.err
    assert shop("design", "list").out == ""


def test_a_price_says_that_a_newer_version_of_its_design_is_in_the_book(
    stocked: Shop, tmp_path: Path
) -> None:
    from openpyxl import load_workbook

    note = "Priced by version 1; version 2 is in the book: benchledger job set J-2501 --design"
    assert stocked("shop", "set", "overhead_year=22000", "pay_year=56000").code == 0
    stocked("design", "load", BED)
    assert stocked("job", "new", "Bed", "--design", "bed").code == 0
    assert note not in " ".join(stocked("price", "bed").out.split())
    stocked("design", "template", "bed.xlsx", "--of", "bed")
    book = load_workbook(tmp_path / "bed.xlsx")
    cells = [cell for row in book["design"].iter_rows() for cell in row]
    (title,) = [cell for cell in cells if cell.value == "Fold-down bed with two shelf towers"]
    title.value = "Wall bed"
    book.save(tmp_path / "bed.xlsx")
    assert stocked("design", "load", "bed.xlsx", "--errata", "its title").code == 0
    assert note in " ".join(stocked("price", "bed").out.split())
    assert stocked("job", "set", "J-2501", "--design", "fold-down-bed").code == 0
    assert "is in the book" not in " ".join(stocked("price", "bed").out.split())
