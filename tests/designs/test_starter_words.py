"""Words of starter designs: which material serves them, which starter a description means."""

from fractions import Fraction

import pytest

from ledger.designs.build import build
from ledger.designs.expanding import in_millimeters
from ledger.designs.kinds import place_sizes, starter_for
from ledger.designs.model import Design, Parameter
from ledger.designs.words import OfferedMaterial, choose, made_own, material_words
from ledger.errors import BadValue
from ledger.measures.length import Length
from ledger.measures.sizes import read_sizes
from ledger.measures.values import replace
from ledger.workbooks.readers.design import STARTERS, SUB_ASSEMBLIES, names_of, sub_assembly
from ledger.workbooks.readers.starters import starter

LIST = (
    ("EDGE58", "Edge tape 5/8", "edging", None),
    ("EDGE78", "Edge tape 7/8", "edging", None),
    ("MDF34", "MDF 3/4", "sheet", "0.75"),
    ("OAKPLY", "White oak ply 3/4", "sheet", "0.71875"),
    ("PLY14", "Birch ply 1/4", "sheet", "0.21875"),
    ("PLY34", "Birch ply 3/4", "sheet", "0.71875"),
    ("SATIN", "Satin topcoat", "finish", None),
    ("STAIN", "Satin stain", "finish", None),
    ("SCREW", "Deck screws", "fastener", None),
)
OFFERED = [
    OfferedMaterial(code, name, kind, Length.of(Fraction(thick), "in") if thick else None)
    for code, name, kind, thick in LIST
]
CASE = Design(
    "case",
    "Case",
    "inch",
    parameters=(
        Parameter("width", "36 in", "12 in", "192 in"),
        Parameter("height", "72 in", "16 in", "95 in"),
        Parameter("depth", "12 in", "8 in", "24 in"),
        Parameter("shelves", "4", "0", "8"),
        Parameter("thin_ply_t", "1/4 in"),
    ),
)


def taken(*words: str, wish: str = "") -> dict[str, str]:
    """The code that was taken for each word."""
    chosen, _ = choose(words, OFFERED, wish)
    return {one.word: one.material.code for one in chosen}


def test_kind_thickness_and_words_choose_the_material() -> None:
    assert taken("ply", "thin ply", "edging", "clear finish") == {
        "ply": "OAKPLY", "thin ply": "PLY14", "edging": "EDGE78", "clear finish": "SATIN",
    }  # fmt: skip


def test_a_word_of_the_piece_comes_first_and_what_else_fits_is_told() -> None:
    (one,), _ = choose(["ply"], OFFERED, "birch bookcase")
    assert (one.material.code, one.others) == ("PLY34", ("MDF34", "OAKPLY"))


@pytest.mark.parametrize(
    "word, wish, code, others",
    [
        ("pull", "", "WIRE", ("BAR",)),
        ("hardwood", "", "CHERRY", ("OAK", "POP")),
        ("hardwood", "oak table", "OAK", ("POP", "CHERRY")),
        (
            "frame lumber",
            "",
            "POP",
            ("OAK", "CHERRY"),
        ),  # none of its own has a word that is asked for
    ],
)
def test_the_shops_own_comes_before_what_stands_at_a_starting_price(
    word: str, wish: str, code: str, others: tuple[str, ...]
) -> None:
    offered = [
        OfferedMaterial("BAR", "Bar pull", "hardware", None, is_own=False),
        OfferedMaterial("OAK", "White oak 4/4", "lumber", Length.of(1, "in"), is_own=False),
        OfferedMaterial("POP", "Poplar 4/4", "lumber", Length.of(1, "in"), is_own=False),
        OfferedMaterial("WIRE", "Wire pull", "hardware", None),
        OfferedMaterial("CHERRY", "Cherry 4/4", "lumber", Length.of(1, "in")),
    ]
    (chosen,), _ = choose([word], offered, wish)
    assert (chosen.material.code, chosen.others) == (code, others)


def test_a_word_that_nothing_serves_is_missing() -> None:
    assert choose(["hinge", "screws", "ply"], OFFERED)[1] == ["hinge", "screws"]


def test_the_thickness_of_what_was_chosen_fills_its_parameter() -> None:
    chosen, _ = choose(["thin ply"], OFFERED)
    values = {row.name: row.value for row in made_own(CASE, chosen).parameters}
    assert values["thin_ply_t"] == "7/32 in"


def test_a_plan_of_a_starter_leaves_out_what_is_the_shops_own() -> None:
    supplies = [
        OfferedMaterial("WRAP", "Blankets and wrap", "supply", None),
        OfferedMaterial("RAGS", "Rags and gloves", "supply", None),
        OfferedMaterial("PVA", "Wood glue", "adhesive", None),
    ]
    bed = starter("bed", "inch")
    chosen, _ = choose(["glue", "rags", "wrap"], supplies)

    plan = made_own(bed, chosen).plan
    assert [(line.name, line.words) for line in plan] == [
        ("leave out", "RAGS"), ("leave out", "WRAP"),
    ]  # fmt: skip


def test_every_word_of_what_comes_with_the_program_is_known_and_all_of_it_is_built() -> None:
    shipped = [starter(name, "inch") for name in names_of(STARTERS)]
    shipped += [sub_assembly(name)[0] for name in names_of(SUB_ASSEMBLIES)]
    for design in shipped:
        assert design.materials <= material_words().keys(), design.name
        assert build(design).parts


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("oak bookcase", "bookcase"),
        ("small wall shelf", "wall-shelf"),
        ("kitchen cabinet", "base-cabinet"),
        ("hanging cabinet", "wall-cabinet"),
        ("bedside cabinet", "side-table"),
        ("fold-down bed cabinet", "bed"),
        ("tv stand", "console"),
        ("vanity", "base-cabinet"),
        ("toy chest", ""),
        ("pulpit", ""),
        ("round dining table", ""),
    ],
)
def test_the_longest_phrase_names_the_starter(words: str, name: str) -> None:
    assert starter_for(frozenset(words.split())) == name


@pytest.mark.parametrize(
    ("phrase", "values"),
    [
        ("8 ft by 7 ft by 12 in", {"width": "96 in", "height": "84 in", "depth": "12 in"}),
        ("12 x 96 x 84", {"depth": "12 in", "width": "96 in", "height": "84 in"}),
        ("84 high x 40 wide", {"width": "40 in", "height": "84 in"}),
        ("48 x 60, 5 shelves", {"width": "48 in", "height": "60 in", "shelves": "5"}),
        ("610 mm wide", {"width": "610 mm"}),
        ("4 ft long", {"width": "48 in"}),
    ],
)
def test_sizes_go_where_they_are_said_or_where_the_limits_allow(phrase, values) -> None:
    assert place_sizes(CASE, read_sizes(phrase, "inch")).values == values


def test_the_overall_sizes_that_are_not_said_are_named() -> None:
    assert place_sizes(CASE, read_sizes("40 wide", "inch")).usual == ("height", "depth")


def test_a_size_that_the_design_has_no_side_for_is_refused() -> None:
    with pytest.raises(BadValue, match="Case has no diameter to set"):
        place_sizes(CASE, read_sizes("5 foot round", "inch"))


def test_a_design_in_millimeters_has_round_sizes_within_its_own_limits() -> None:
    metric = in_millimeters(replace(CASE, parameters=CASE.parameters[:1]))
    assert metric.parameters[0] == Parameter("width", "910 mm", "300 mm", "4880 mm")


def test_what_is_sold_by_the_pair_serves_only_what_is_counted_in_pairs() -> None:
    """Eight hinges are not eight pairs of them."""
    pairs = [
        OfferedMaterial("BUTT", "Butt hinges", "hardware", None, unit="pair"),
        OfferedMaterial("SLIDE", "Drawer slides", "hardware", None, unit="pair"),
    ]
    chosen, missing = choose(["hinge", "slides"], pairs)

    assert ([one.material.code for one in chosen], missing) == (["SLIDE"], ["hinge"])
