"""Sub-assemblies are written out once under their own names; sizes that do not fit are told."""

import pytest

from ledger.book import Book
from ledger.designs.build import build
from ledger.designs.expanding import Expanded, expand
from ledger.designs.model import (
    ClosingSum,
    Count,
    Design,
    Joint,
    Need,
    Parameter,
    Part,
    SubAssembly,
)
from ledger.designs.store import design_of, find_version, save_design
from ledger.errors import BadValue, NotFound
from ledger.measures.values import replace

CASE = Design(
    name="case",
    title="Case",
    units="inch",
    parameters=(
        Parameter("width", "30 in", "9 in", "48 in"),
        Parameter("ply_t", "3/4 in"),
        Parameter("inside", "width - 2*ply_t"),
    ),
    parts=(
        Part("A1", "Side", "2", "12 in", "12 in", "ply", thickness="ply_t", note="{inside} apart"),
        Part("A2", "Top", "1", "inside", "12 in", "ply"),
    ),
    joints=(Joint("A1-A2", "pocket", "12 in", "2"),),
    needs=(Need("screws", "pocket_holes"), Need("feet", "4")),
    counts=(Count("rabbet", "2*width"),),
    checks=(ClosingSum("2*ply_t + inside", "=", "width", "sides and inside"),),
    tags=frozenset({"composite"}),
)
OUTER = Design(
    name="wall",
    title="Wall",
    units="inch",
    parameters=(Parameter("width", "64 in"), Parameter("bay", "width / 2")),
    parts=(Part("T1", "Top", "1", "case_inside", "13 in", "PLY34"),),
    needs=(Need("screws", "8"),),
    counts=(Count("rabbet", "1 ft"),),
)


def find(name: str) -> tuple[Design, str]:
    if name != "case":
        raise NotFound("sub-assembly", name, ["case"])
    return CASE, "2"


def wall(*blocks: SubAssembly, outer: Design = OUTER) -> Expanded:
    return expand(replace(outer, blocks=blocks), find)


def test_a_sub_assembly_stands_under_its_own_name_and_the_outer_design_uses_its_sizes() -> None:
    expanded = wall(SubAssembly("case", "case", "width=bay; ply=PLY34; times=2"))
    built = build(expanded.design)

    assert not expanded.flaws
    assert {part.id: (part.quantity, part.length.inches) for part in built.parts} == {
        "T1": (1, 30.5), "case-A1": (4, 12), "case-A2": (2, 30.5),
    }  # fmt: skip
    assert "30-1/2 in (774.5 mm) apart" in [part.note for part in built.parts]
    assert [joint.id for joint in built.joints] == ["case-A1-case-A2"]
    assert built.joints[0].quantity == 4
    assert built.tags == {"composite"}
    assert expanded.design.blocks[0].version == "2"


def test_counts_add_up_and_what_is_counted_over_all_stands_once() -> None:
    two = (SubAssembly("left", "case"), SubAssembly("right", "case", "width=20 in; times=3"))
    built = build(wall(*two, outer=replace(OUTER, parts=())).design)

    assert built.counts["rabbet"].quantity == 1 + 5 + 3 * 2 * 20 / 12
    assert [(need.material, need.quantity.decimal) for need in built.needs] == [
        ("screws", 8), ("screws", 24), ("feet", 4), ("feet", 12),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("block", "sentence"),
    [
        (SubAssembly("case", "crate"), "No sub-assembly is called “crate”. Nearest: case."),
        (SubAssembly("case", "case", "witdh=3 in"), "No parameter or material of case"),
        (SubAssembly("case", "case", "inside=3 in"), "inside of case is worked out"),
        (SubAssembly("case", "case", "3 in"), "fills in nothing"),
        (SubAssembly("a case", "case"), "is no name"),
    ],
)
def test_a_line_that_puts_nothing_in_says_why(block: SubAssembly, sentence: str) -> None:
    (flaw,) = wall(block, outer=replace(OUTER, parts=())).flaws
    assert sentence in flaw.sentence
    assert (flaw.table, flaw.row) == ("blocks", 0)


def test_sizes_that_do_not_close_say_which_sum_and_by_how_much() -> None:
    sums = (
        ClosingSum("inside + 1 in", "=", "width", "inside and a part"),
        ClosingSum("width", "<", "2*ply_t"),
    )
    with pytest.raises(BadValue) as told:
        build(replace(CASE, checks=(*CASE.checks, *sums)))
    assert str(told.value).splitlines() == [
        "inside and a part: inside + 1 in comes to 29-1/2 in; it must be width, 30 in: 1/2 in too"
        " little.",
        "width comes to 30 in; it must be less than 2*ply_t, 1-1/2 in: 28-1/2 in too much.",
    ]


def test_the_sum_of_a_sub_assembly_is_told_under_its_name() -> None:
    odd = replace(CASE, checks=(ClosingSum("width", ">", "50 in", "a wide case"),))
    design = expand(
        replace(OUTER, parts=(), blocks=(SubAssembly("case", "case"),)), lambda _: (odd, "1")
    ).design
    with pytest.raises(BadValue, match="case_width comes to 30 in"):
        build(design)


def test_a_design_that_stands_does_not_move_with_its_sub_assembly(book: Book) -> None:
    design = wall(SubAssembly("case", "case", "width=bay; ply=PLY34")).design
    save_design(book, design)
    kept = design_of(find_version(book, "wall"))

    assert kept == design
    assert expand(kept, lambda _: (CASE, "3")).design == design


def test_limits_of_a_sub_assembly_hold_for_what_is_filled_in() -> None:
    with pytest.raises(BadValue, match=r"case_width is 50 in; .* 48 in"):
        build(wall(SubAssembly("case", "case", "width=50 in")).design)


def test_a_book_in_millimeters_has_sub_assemblies_in_round_millimeters() -> None:
    outer = replace(OUTER, units="mm", parts=())
    design = wall(SubAssembly("case", "case"), outer=outer).design
    values = {row.name: row.value for row in design.parameters}
    assert (values["case_width"], values["case_ply_t"]) == ("760 mm", "19 mm")
