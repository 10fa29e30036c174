"""A design written as a workbook and read again is the same design."""

from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl import load_workbook

from ledger.designs.example import example
from ledger.designs.model import Coat, DesignFact, Need, Parameter
from ledger.errors import NotAllowed
from ledger.measures.values import replace
from ledger.workbooks.readers.design import read_design
from ledger.workbooks.readers.starters import starter
from ledger.workbooks.writers.design_template import write_design

BED = Path(__file__).parents[2] / "sample_data" / "bed"
DAY = date(2025, 4, 25)


@pytest.mark.parametrize("units", ["inch", "mm"])
def test_the_example_is_read_back_as_it_was_written(tmp_path: Path, units: str) -> None:
    design = example(units)
    path = write_design(design, tmp_path / "bookcase.xlsx", "Quillhaven Workshop", DAY)
    assert read_design(path, "inch") == design


def test_the_example_in_millimeters_names_no_inch_or_foot() -> None:
    told = [
        text
        for parameter in example("mm").parameters
        for text in (parameter.value, parameter.minimum, parameter.maximum)
    ]
    assert not [text for text in told if text.endswith((" in", " ft"))]
    assert "300 mm" in told


def test_the_bed_is_read_back_as_it_was_written(tmp_path: Path) -> None:
    bed = read_design(BED, "inch")
    path = write_design(bed, tmp_path / "bed.xlsx", "Quillhaven Workshop", DAY)
    assert read_design(path, "mm") == bed


WORDS = st.text(
    st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Zs", "Zl", "Zp", "Cn"]),
    min_size=1,
    max_size=12,
)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=15)
@given(WORDS, WORDS, WORDS, st.fractions(0, 1, max_denominator=999), st.integers(1, 20))
def test_any_words_and_shares_come_back(
    tmp_path: Path, title: str, note: str, words: str, share: Fraction, coats: int
) -> None:
    case = example("inch")
    design = replace(
        case,
        title=title,
        note=note,
        parts=tuple(replace(part, name=words, note=note) for part in case.parts),
        parameters=(*case.parameters, Parameter("extra", "3/4", "1/2", "1-1/2", words)),
        finish=(Coat("SATIN", coats, "brush", "STAIN" if share else "", share),),
        needs=(Need("SCREW", "4", words),),
        facts=(DesignFact(words, note.replace("{", "").replace("}", "") or "-"),),
    )
    path = write_design(design, tmp_path / "design.xlsx", title, DAY)
    assert read_design(path, "inch") == design


def test_cells_are_text_so_that_no_spreadsheet_makes_a_day_of_them(tmp_path: Path) -> None:
    path = write_design(example("inch"), tmp_path / "b.xlsx", "Q", DAY)
    parts = load_workbook(path)["parts"]
    assert {cell.data_type for row in parts.iter_rows() for cell in row if cell.value} == {"s"}
    assert parts["D2"].number_format == "@"
    assert parts.column_dimensions["D"].number_format == "@"
    assert parts.freeze_panes == "A2"


def test_words_that_a_column_knows_are_offered(tmp_path: Path) -> None:
    path = write_design(example("inch"), tmp_path / "b.xlsx", "Q", DAY)
    offers = load_workbook(path)["parts"].data_validations.dataValidation
    assert '"length,any"' in [offer.formula1 for offer in offers]


def test_the_notes_explain_every_table_and_are_not_read(tmp_path: Path) -> None:
    path = write_design(example("inch"), tmp_path / "b.xlsx", "Q", DAY)
    book = load_workbook(path)
    said = {str(row[0].value).casefold() for row in book["notes"].iter_rows()}
    assert {name for name in book.sheetnames if name not in {"design", "finish", "notes"}} <= said


def test_a_place_that_cannot_be_written_is_refused(tmp_path: Path) -> None:
    with pytest.raises(NotAllowed, match="should end in"):
        write_design(example("inch"), tmp_path / "b.csv", "Q", DAY)


def test_sub_assemblies_and_closing_sums_are_read_back_as_they_were_written(tmp_path: Path) -> None:
    design = replace(starter("bookcase", "mm"), note="mine")
    path = write_design(design, tmp_path / "mine.xlsx", "Quillhaven Workshop", DAY)
    assert read_design(path, "inch") == design
