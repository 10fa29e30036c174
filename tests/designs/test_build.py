"""A design is worked out whole: sizes, counts and supplies, or every flaw of it at once."""

from fractions import Fraction

import pytest

from ledger.designs.build import build, flaws_of
from ledger.designs.example import example
from ledger.designs.model import Coat, Count, Design, DesignFact, Joint, Need, Parameter, Part
from ledger.errors import BadValue, NotFound
from ledger.measures.length import Length
from ledger.measures.values import replace

CASE = example("inch")


def case(**changes: object) -> Design:
    """The bookcase with something changed."""
    return replace(CASE, **changes)  # type: ignore[arg-type]


def flawed(**changes: object) -> list[str]:
    """What is told of the bookcase with something changed."""
    found = flaws_of(case(**changes))
    return [f"{f.table} {f.row} {f.column}: {f.sentence}" for f in found]


def part(**changes: str | int | tuple[str, ...]) -> Part:
    """A shelf with something changed."""
    return replace(CASE.parts[2], **changes)  # type: ignore[arg-type]


def test_sizes_follow_the_parameters() -> None:
    built = build(CASE, {"width": "40 in", "ply": "18 mm"})

    shelf = built.parts[2]
    assert shelf.length == Length.of(40, "in") - 2 * Length.of(18, "mm")
    assert shelf.width == Length.of(12, "in")
    assert shelf.quantity == 4
    assert built.parameters["inside"] == "~38-19/32 in"


def test_a_bare_number_set_for_a_length_takes_the_units_of_the_design() -> None:
    assert build(CASE, {"width": "40"}).parts[2].length.inches == 40 - Fraction(23, 16)
    assert build(example("mm"), {"width": "1000"}).parts[2].length.mm == 1000 - 36


def test_counts_follow_from_the_lists() -> None:
    counts = build(CASE, {}).counts

    assert counts["part_lines"].quantity == 3
    assert counts["joints"].quantity == 12
    assert counts["pocket_holes"].quantity == 36  # three along each joint of 12 in
    assert counts["sessions"].quantity == 3
    feet = 2 * 72 + 6 * (36 - Fraction(23, 16))
    assert counts["band"].quantity == feet / 12
    assert counts["band"].unit == "ft" and not counts["band"].entered
    assert counts["sand"].quantity == 2 * feet / 12
    assert counts["scuff"].quantity == 4 * feet / 12
    assert counts["spray"].quantity == 6 * feet / 12
    assert "dowels" not in counts


def test_a_count_that_the_design_fixes_wins_over_the_derived_one() -> None:
    fixed = Count("pocket_holes", "40", "drilled by hand")
    count = build(case(counts=(fixed,)), {}).counts["pocket_holes"]

    assert (count.quantity, count.basis, count.entered, count.fixed) == (
        40,
        "drilled by hand",
        True,
        True,
    )


def test_a_count_given_as_a_length_is_measured_and_told_in_the_units_of_the_book() -> None:
    groove = case(counts=(Count("rabbet", "4 * height"),))

    assert build(groove, {}).counts["rabbet"].quantity == 24
    metric = build(groove, {}, "mm").counts["rabbet"]
    assert metric.quantity == 4 * 72 * Fraction(254, 10_000)
    assert (metric.unit, metric.entered, metric.basis) == ("m", False, "4 * height")


def test_needs_may_name_figures_of_the_parts_list() -> None:
    needs = (Need("PSCREW", "pocket_holes"), Need("DISC", "ceil(discs)"), Need("FOOT", "0 * coats"))
    built = build(case(needs=needs), {})

    assert [(need.material, need.quantity.decimal) for need in built.needs] == [
        ("PSCREW", 36),
        ("DISC", 8),
    ]
    assert built.needs[0].basis == "pocket_holes by the design"


def test_a_line_whose_formula_comes_to_no_pieces_is_left_out() -> None:
    built = build(CASE, {"shelves": "0"})

    assert [line.id for line in built.parts] == ["A1", "A2"]
    assert built.counts["part_lines"].quantity == 2


def test_coats_with_an_area_of_their_own_are_counted_apart() -> None:
    finish = (Coat("SEAL", 1, "brush"), Coat("SATIN", 2), Coat("GLOSS", 2, area="2 * 3 sq ft"))
    built = build(case(finish=finish), {})
    area = built.finish_area.square_feet

    assert built.counts["scuff"].quantity == 2 * area + 6
    assert built.counts["spray"].quantity == 2 * area + 12
    assert built.counts["sessions"].quantity == 4


def test_facts_are_worked_out_in_their_braces() -> None:
    assert build(CASE, {"width": "40"}).facts == {"overall size": "40 in W × 72 in H × 12 in D"}
    assert build(CASE, {}, "mm").facts == {"overall size": "914.4 mm W × 1828.8 mm H × 304.8 mm D"}


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({"width": "5 ft"}, "width is 60 in; it must be at most 48 in (outside)."),
        ({"width": "11"}, "width is 11 in; it must be at least 12 in (outside)."),
        ({"shelves": "40"}, "shelves is 40; it must be at most 10 (between bottom and top)."),
        ({"inside": "3 ft"}, "inside is worked out (width - 2*ply); it cannot be set."),
        ({"width": "2*ply"}, "width takes a plain value such as 36 in, not “2*ply”."),
        ({"shelves": "4 in"}, "shelves is a number, but “4 in” is a length."),
        ({"shelves": "3.5"}, "“shelves” comes to 3.5; write a whole number of pieces."),
        ({"width": "many"}, "width takes a plain value"),
        ({"width": "1,234"}, "“1,234” may be 1234 or 1.234"),
    ],
)
def test_a_value_that_cannot_be_built_is_refused(values: dict[str, str], said: str) -> None:
    with pytest.raises(BadValue) as caught:
        build(CASE, values)
    assert said in str(caught.value)


def test_a_value_for_an_unknown_parameter_is_refused_with_the_nearest() -> None:
    with pytest.raises(NotFound, match="Nearest: width"):
        build(CASE, {"widht": "3 ft"})


@pytest.mark.parametrize(
    ("part_", "said"),
    [
        (part(length="0"), "parts 0 length: “0” comes to 0 in; a size is more than zero."),
        (part(width="depth - 13 in"), "parts 0 width: “depth - 13 in” comes to -1 in;"),
        (part(length="9 * 12 m"), "parts 0 length: “9 * 12 m” is longer than 100 m"),
        (part(length="-3"), "parts 0 length: “-3” is negative"),
        (part(length="shelves"), "“shelves” is a number, not a length; give it a unit."),
        (part(length="ply * ply"), "“ply * ply” is an area, not a length."),
        (part(quantity="0"), "parts 0 quantity: There are no pieces of it; leave the line out"),
        (part(quantity="1 - 3"), "parts 0 quantity: “1 - 3” comes to -2"),
        (part(quantity="100000"), "write a whole number of pieces"),
        (part(quantity="2 in"), "“2 in” is a length, not a number."),
        (part(thickness="0 mm"), "parts 0 thickness: “0 mm” comes to 0 in"),
        (part(oversize="ply - 1 in"), "parts 0 oversize: “ply - 1 in” comes to"),
        (
            part(grain="across"),
            "parts 0 grain: No grain is called “across”. There is: any, length.",
        ),
        (part(banded=("L3",)), "parts 0 banded: No banded is called “L3”. Nearest:"),
        (part(edging=""), "parts 0 edging: The part has banded edges; say which edging"),
        (part(faces=3), "parts 0 faces: A part has 0, 1 or 2 finished faces, not 3."),
        (part(material=""), "parts 0 material: Say which material the part is cut from"),
        (part(id=""), "parts 0 id: A part has a short mark such as A1."),
        (part(length="witdh"), "parts 0 length: No parameter is called “witdh”. Nearest: width"),
        (part(length="pocket_holes * 1 in"), "comes from the parts list; needs, counts and facts"),
    ],
)
def test_a_part_that_cannot_be_cut_is_told_with_its_cell(part_: Part, said: str) -> None:
    told = flawed(parts=(part_,))
    assert any(said in line for line in told), told


def test_names_that_stand_twice_are_told() -> None:
    twice = CASE.parts[2]
    told = flawed(
        parts=(*CASE.parts, replace(twice, id="a1")),
        joints=(*CASE.joints, *CASE.joints),
        counts=(*CASE.counts, *CASE.counts),
        parameters=(*CASE.parameters, CASE.parameters[0]),
    )
    assert told == [
        "parameters 6 name: width stands twice; a parameter has one line.",
        "parts 3 id: “a1” stands twice; each id has one line.",
        "joints 1 id: “A1-A2-A3” stands twice; each id has one line.",
        "counts 2 driver: “pieces” stands twice; each driver has one line.",
        "counts 3 driver: “jobs” stands twice; each driver has one line.",
    ]


def test_parameters_that_need_one_another_are_told_once_as_a_circle() -> None:
    circle = (Parameter("a", "b + 1 in"), Parameter("b", "c"), Parameter("c", "a"))
    told = flawed(
        parameters=circle, parts=(part(quantity="1", length="a", width="3", thickness=""),)
    )

    assert told[0] == (
        "parameters 2 value: a → b → c → a: these parameters go round in a circle;"
        " give one a value."
    )
    assert not any(line.startswith("parts") for line in told)
    assert flawed(parameters=(Parameter("a", "a"),))[0].startswith("parameters 0 value: a → a:")


def test_a_long_row_of_parameters_is_worked_out_without_end_of_breath() -> None:
    row = [Parameter(f"p{n}", f"p{n + 1} + 1/16 in") for n in range(3000)]
    shelf = part(quantity="1", length="p0", width="1", thickness="")
    design = Design("x", "X", "inch", (*row, Parameter("p3000", "1 in")), (shelf,))

    assert build(design, {}).parts[0].length.inches == 1 + Fraction(3000, 16)


def test_a_parameter_needs_a_name_of_its_own() -> None:
    told = flawed(parameters=(*CASE.parameters, Parameter("in", "1"), Parameter("Two words", "1"),
                              Parameter("discs", "1")))  # fmt: skip
    assert "in means something else" in told[0]
    assert "“Two words” is no name" in told[1]
    assert "discs means something else" in told[2]


def test_limits_must_be_of_the_parameters_own_kind() -> None:
    assert "“4” is a number" in flawed(
        parameters=(*CASE.parameters, Parameter("gap", "ply", minimum="2 * 2"))
    )[0].replace("2 * 2", "4")


def test_other_tables_tell_their_flaws() -> None:
    told = flawed(
        joints=(Joint("j", "glue", "depth", "1"),),
        counts=(Count("pockets", "1"), Count("pins", "0 - 1")),
        finish=(Coat("SATIN", 0), Coat("SATIN", 1, "roll", "STAIN"), Coat("S", 1, area="3 in")),
        needs=(Need("PSCREW", "depth"),),
        facts=(DesignFact("size", "{widht} W"),),
        tags=frozenset({"haunted"}),
    )
    assert told == [
        "joints 0 kind: No kind is called “glue”.",
        "finish 0 coats: A finish has 1 to 20 coats, not 0.",
        "finish 1 method: No method is called “roll”. There is: brush, spray, wipe.",
        "finish 1 tint: A tint has both a material and a share of the finish, such as 5 %.",
        "finish 2 area: “3 in” is a length, not an area.",
        "tags 0 tag: No tag is called “haunted”. Nearest: painted.",
        "needs 0 quantity: “depth” is a length, not a number.",
        "counts 0 driver: No driver is called “pockets”. Nearest: pocket_holes, dovetails.",
        "counts 1 quantity: “0 - 1” comes to less than zero.",
        "facts 0 words: No parameter is called “widht”. Nearest: width, height.",
    ]


def test_a_design_without_parts_is_told() -> None:
    assert flawed(parts=(), needs=()) == ["parts 0 id: A design has at least one part."]


def test_a_refused_build_tells_every_flaw_by_the_name_of_its_row() -> None:
    broken = case(parts=(part(length="0", width="oops"),), counts=(Count("pins", "x"),))
    with pytest.raises(BadValue) as caught:
        build(broken, {})
    assert str(caught.value).splitlines() == [
        "parts, A3, length: “0” comes to 0 in; a size is more than zero.",
        "parts, A3, width: No parameter is called “oops”."
        " There is: depth, height, inside, ply, shelves, width.",
        "counts, pins, quantity: No parameter is called “x”.",
    ]


def test_a_parameter_without_its_unit_is_told_at_its_cell_and_once() -> None:
    values = {"depth": "12"}
    bare = tuple(replace(row, value=values.get(row.name, row.value)) for row in CASE.parameters)
    spoiled = flawed(parameters=bare, parts=tuple(
        replace(row, width=f"depth - {mark}/8 in") for mark, row in enumerate(CASE.parts, start=1)
    ))  # fmt: skip

    assert [line for line in spoiled if "depth" in line] == [
        "parameters "
        f"{[row.name for row in bare].index('depth')} value: “depth” has no unit in"
        " “depth - 1/8 in”: give it one, such as 1/8 in or 3 mm."
    ]
