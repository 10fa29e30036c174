"""Steps, plan lines and corrections of a design: filled in, held against its parts, kept whole."""

from datetime import date
from pathlib import Path

import pytest

from ledger.book import Book
from ledger.designs.build import build, flaws_of
from ledger.designs.example import example
from ledger.designs.model import Correction, Design, Joint, PlanLine, Step
from ledger.designs.store import design_of, find_version, save_design, to_json
from ledger.errors import NotAllowed
from ledger.measures.values import replace
from ledger.workbooks.readers.design import read_design
from ledger.workbooks.writers.design_template import write_design

CASE = replace(
    example("inch"),
    plan=(PlanLine("size", "{width} W"), PlanLine("tool", "saw"), PlanLine("tool", "drill")),
    steps=(
        Step(2, "Fit the shelves.", ("A3",)),
        Step(1, "Cut the sides to {height - 1/64 in}.", ("a1", "A2"), "sides.jpg"),
    ),
)
FIXED = replace(
    CASE,
    corrections=(
        Correction("1", "Too long by {ply}.", "Cut {inside}.", "width > 30 in; ply < 3/4 in",
                   ("A2",), (1,)),
    ),
)  # fmt: skip


def told(**changed: object) -> list[str]:
    return [
        f"{flaw.table} {flaw.row} {flaw.column}: {flaw.sentence}"
        for flaw in flaws_of(replace(CASE, **changed))  # type: ignore[arg-type]
    ]


def test_words_are_filled_in_as_they_can_be_measured_in_either_unit() -> None:
    inch, mm = (build(CASE, units=units).guide for units in ("inch", "mm"))

    assert [step.words for step in inch.steps] == [
        "Cut the sides to 72 in (1828.5 mm).", "Fit the shelves.",
    ]  # fmt: skip
    assert mm.steps[0].words == "Cut the sides to 1828.5 mm (72 in)."
    assert inch.steps[0].parts == ("A1", "A2")
    assert (inch.lines["size"], inch.lines["tool"]) == (("36 in W",), ("saw", "drill"))


def test_a_step_of_which_the_piece_has_no_part_is_not_for_it() -> None:
    steps = build(CASE, {"shelves": "0"}).guide.steps

    assert [(step.number, step.applies, step.parts) for step in steps] == [
        (1, True, ("A1", "A2")), (2, False, ()),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"steps": (Step(1, "Cut.", ("A9",)),)}, "steps 0 parts: No part is called “A9”"),
        ({"steps": (Step(1, "To {breadth}."),)}, "steps 0 words: No parameter is called “breadth”"),
        ({"steps": (Step(1, "a"), Step(1, "b"))}, "steps 1 number: Step 1 stands twice"),
        ({"plan": (PlanLine("time", "a"), PlanLine("time", "b"))}, "plan 1 name: “time” stands"),
        ({"plan": (PlanLine("leave out", "FELT"),)}, "plan 0 words: No material is called “FELT”"),
        (
            {"joints": (Joint("A1-A2", "tenon", "", "4", sizes="size=1 in"),)},
            "joints 0 sizes: No size of a joint is called “size”",
        ),
        ({"corrections": (Correction("one", "a", "b"),)}, "corrections 0 versions: “one” names no"),
        ({"corrections": (Correction("1", "a", "b", "width"),)}, "sizes: “width” is no condition"),
        ({"corrections": (Correction("1", "a", "b", "width > 3"),)}, "sizes: “width” is a length"),
        ({"corrections": (Correction("1", "a", "b", steps=(7,)),)}, "steps: No step is called “7”"),
    ],
)
def test_what_a_plan_cannot_mean_is_told_at_its_cell(
    changed: dict[str, object], words: str
) -> None:
    assert words in "\n".join(told(**changed))


@pytest.mark.parametrize(("width", "touches"), [("30 in", False), ("31 in", True)])
def test_a_correction_says_whether_it_is_of_these_sizes(width: str, touches: bool) -> None:
    [row] = build(FIXED, {"width": width}).guide.corrections

    assert (row.versions, row.parts, row.steps, row.touches) == ((1,), ("A2",), (1,), touches)
    assert row.wrong == "Too long by 23/32 in (18.5 mm)."
    assert row.sizes == "width over 30 in (762 mm), ply under 3/4 in (19 mm)"


def test_all_of_it_comes_back_from_a_workbook(tmp_path: Path) -> None:
    write_design(FIXED, tmp_path / "case.xlsx", "Shop", date(2025, 4, 25))

    steps = (FIXED.steps[0], replace(FIXED.steps[1], parts=("a1", "A2")))
    assert read_design(tmp_path / "case.xlsx", "inch") == replace(FIXED, steps=steps)


def test_a_design_without_a_plan_stays_the_text_it_was(book: Book) -> None:
    plain: Design = example("inch")
    assert "steps" not in to_json(plain)
    save_design(book, plain)
    assert save_design(book, CASE, "with steps").schema_number == 6
    assert design_of(find_version(book, "bookcase", 1)) == plain
    assert design_of(find_version(book, "bookcase")) == CASE


def test_corrections_are_of_older_versions_and_say_what_is_put_right(book: Book) -> None:
    with pytest.raises(NotAllowed, match="becomes version 1: only"):
        save_design(book, FIXED)
    save_design(book, CASE)
    assert save_design(book, FIXED).errata == "Cut {inside}."
    assert find_version(book, "bookcase").version == 2
