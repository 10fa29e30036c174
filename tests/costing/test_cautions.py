"""Cautions chosen by what a piece contains; none of them ever gives leave."""

import re
from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.book.tables.materials import Material
from ledger.costing.cautions import cautions_for, is_bed, under_bunk_rule, under_stability_rule
from ledger.costing.weights import LOAD_CONSTANT, heaviest_part, help_for, show_weight, weigh
from ledger.designs.build import build
from ledger.designs.built import BuiltCoat
from ledger.designs.model import TAGS, CarriedPiece, Design, Parameter, Part
from ledger.errors import BadValue
from ledger.measures.length import Length
from ledger.measures.quantity import Quantity
from ledger.measures.rounding import half_up
from ledger.measures.values import replace

NEVER = re.compile(
    r"\bcompl(y|ies|iant)\b|\bsafe (load|limit|weight)|\bsafely (hold|carr|support)"
    r"|\b(can|will|may) (hold|carry|bear|support)\b|\brated (for|to) \d|\brating of\b"
    r"|\bworking load\b|\bpull-?out\b|\bload of \d",
    re.IGNORECASE,
)
PLY = Material(
    code="PLY34", name="Birch ply 3/4", kind="sheet", unit="sheet", pack=Quantity.of(1),
    length=Length.of(96, "in"), width=Length.of(48, "in"),
    thickness=Length.of(Fraction(3, 4), "in"), density=Decimal(600),
    density_source="weighed in the shop", composite=True,
)  # fmt: skip
OAK = Material(
    code="OAK44", name="Northern red oak 4/4", kind="lumber", unit="bd ft", pack=Quantity.of(1),
    thickness=Length.of(1, "in"),
)  # fmt: skip
FOAM = Material(code="FOAM", name="Foam", kind="supply", unit="each", pack=Quantity.of(1))
KNOWN = {"PLY34": PLY, "OAK44": OAK, "FOAM": FOAM}


def piece(*parts, tags=(), carried=(), **parameters):
    """A design of a few parts, worked out."""
    named = tuple(Parameter(name, value) for name, value in parameters.items())
    table = tuple(CarriedPiece(name, count) for name, count in carried)
    design = Design(
        "piece", "Piece", "inch", named, tuple(parts), tags=frozenset(tags), carried=table
    )
    return build(design, {}, "inch")


def part(name="A1", quantity=1, length="24", width="12", material="PLY34", carried=""):
    return Part(name, f"Part {name}", str(quantity), length, width, material, carried=carried)


def about(made):
    return [caution.about for caution in cautions_for(made, KNOWN, "inch")]


@pytest.mark.parametrize(
    ("tag", "cautions"),
    [
        ("wall_fixed", {"wall fixing"}),
        ("springs", {"springs", "charging the springs"}),
        ("spraying", {"spraying"}),
        ("oil_finish", {"oily rags"}),
        ("high_blade", {"high blade"}),
        ("children", {"children"}),
        ("bunk", {"bunk or loft bed"}),
        ("free_standing", {"tipping"}),
        ("electrical", {"electrical"}),
        ("heavy", {"moving weight"}),
        ("long", {"moving weight"}),
    ],
)
def test_what_a_piece_contains_brings_its_cautions(tag, cautions):
    plain = piece(part(material="FOAM"))
    made = piece(part(material="FOAM"), tags=[tag])

    assert cautions <= set(about(made))
    assert not (cautions - {"moving weight"}) & set(about(plain))


@pytest.mark.parametrize(("method", "has_rags"), [("brush", 1), ("wipe", 1), ("spray", 0)])
def test_oil_that_is_put_on_by_hand_leaves_oily_rags(method, has_rags):
    oil = Material(code="OIL", name="Hard oil", kind="finish", unit="L", pack=Quantity.of(1))
    made = replace(piece(part(material="FOAM")), finish=(BuiltCoat("OIL", 2, method),))
    told = [one.about for one in cautions_for(made, KNOWN | {"OIL": oil}, "inch")]

    assert told.count("oily rags") == has_rags


def test_composite_panels_are_seen_in_the_materials_too():
    assert "panels of composite wood" in about(piece(part()))


def test_the_shops_own_cautions_do_not_go_to_the_client():
    made = piece(part(), tags=TAGS)
    client = {c.about for c in cautions_for(made, KNOWN, "inch") if c.for_client}

    assert client == {"wall fixing", "springs", "tipping", "bunk or loft bed", "children",
                      "electrical"}  # fmt: skip


def test_law_and_licensed_trades_are_named_as_the_authority():
    said = " ".join(str(c) for c in cautions_for(piece(part(), tags=TAGS), KNOWN, "inch"))

    for authority in (
        "local building code",
        "local fire code",
        "licensed electrician",
        "local electrical code",
        "16 CFR 1261",
        "16 CFR 1213",
        "40 CFR 770",
    ):
        assert authority in said


def test_outside_the_us_no_rule_of_the_us_is_named_and_springs_need_no_mattress():
    sizes = {"underside": "40", "overall_height": "80", "enclosed_volume_cuft": "4"}
    made = piece(part(), tags=TAGS, **sizes)
    said = " ".join(str(c) for c in cautions_for(made, KNOWN, "inch", in_us=False))

    for words in ("CFR", "US", "drywall", "mattress", "27 in"):
        assert words not in said
    assert "EN 747" in said
    assert "never into plasterboard" in said


def test_the_springs_of_a_bed_are_told_with_its_mattress():
    made = piece(part(), tags=TAGS, mattress_width="60")
    said = {c.about: c.words for c in cautions_for(made, KNOWN, "inch")}

    assert "this bed with this mattress" in said["springs"]
    assert "measured mattress" in said["charging the springs"]


@pytest.mark.parametrize("size", ["10", "24", "90"])
@pytest.mark.parametrize("quantity", [1, 4, 40])
def test_no_safe_load_rating_or_leave_is_ever_said(size, quantity):
    panel, board = part("A1", quantity, size, "40"), part("B1", 3, "96", "9", "OAK44")
    sizes = {"underside": "40", "overall_height": "80", "enclosed_volume_cuft": "4"}
    made = piece(panel, board, tags=TAGS, **sizes)

    for caution in cautions_for(made, KNOWN, "inch"):
        assert not NEVER.search(caution.words), caution.words


@pytest.mark.parametrize(
    "leave", ["complies with the code", "safe load 200 lb", "the anchor can hold 90 lb",
              "rated for 150 lb", "a rating of 5"],
)  # fmt: skip
def test_a_sentence_that_gives_leave_would_be_found(leave):
    assert NEVER.search(leave)


def test_a_weight_is_volume_times_density_and_names_its_source():
    (weight,) = weigh(piece(part(length="96", width="48")), KNOWN)

    # 96 × 48 × 3/4 in = 3,456 cu in = 0.0566336931840 m³; × 600 kg/m³
    assert weight.kilograms == Fraction("0.056633693184") * 600
    assert weight.sources == ("weighed in the shop",)
    assert show_weight(weight, "inch") == "about 75 lb (estimate)"
    assert show_weight(weight, "mm") == "about 34 kg (estimate)"


def test_what_is_carried_by_itself_is_weighed_by_itself():
    """Four sides of two towers and one back: ids say nothing, the names of the design do."""
    side, back = part("A1", 4, carried="tower"), part("B1", 2, "40", "24", carried="back")
    made = piece(side, part("A2", 2, "12", "12", carried="tower"), back, carried=[("tower", "2")])
    alone = {
        name: weigh(piece(one), KNOWN)[0].kilograms
        for name, one in {"side": part(), "top": part("A2", 1, "12", "12"), "back": back}.items()
    }

    tower, whole_back = weigh(made, KNOWN)

    assert (tower.piece, tower.pieces, whole_back.piece, whole_back.pieces) == (
        "tower", 2, "back", 1,
    )  # fmt: skip
    assert tower.kilograms == 2 * alone["side"] + alone["top"]
    assert whole_back.kilograms == alone["back"]


def test_without_names_all_parts_are_weighed_together_and_that_is_said():
    heavy = part("A1", 2, "96", "48"), part("B1", 2, "96", "48")
    (weight,) = weigh(piece(*heavy), KNOWN)
    said = " ".join(str(caution) for caution in cautions_for(piece(*heavy), KNOWN, "inch"))

    assert half_up(weight.pounds, 0) == 300  # four whole sheets of 74.9 lb
    assert "All parts together (" in said


def test_parts_in_no_named_piece_stand_together_beside_the_named_ones():
    made = piece(part("A1", 1, "96", "48", carried="case"), part("B1", 1, "96", "48"))
    words = " ".join(str(caution) for caution in cautions_for(made, KNOWN, "inch"))

    assert [weight.piece for weight in weigh(made, KNOWN)] == ["case", ""]
    assert "Case: about 75 lb" in words
    assert "in no named piece, together: about 75 lb" in words


def test_a_carried_piece_that_no_part_is_in_is_a_flaw():
    with pytest.raises(BadValue, match="carried in “towr”"):
        piece(part(carried="tower"), carried=[("towr", "2")])


def test_two_alike_pieces_count_twice_for_the_stability_rule():
    sizes = {"overall_height": "30", "enclosed_volume_cuft": "4"}
    side = part("A1", 1, "48", "48", carried="case")  # 37 lb in all, 19 lb each of two
    made = piece(side, tags=["free_standing"], carried=[("case", "2")], **sizes)

    assert about(made).count("tipping") == 2


def test_what_cannot_be_weighed_is_said_and_not_made_up():
    made = piece(part(), part("A2", material="FOAM"))
    (weight,) = weigh(made, KNOWN)

    assert weight.lacking == ("FOAM",)
    assert show_weight(weight, "inch").startswith("at least")
    words = " ".join(str(caution) for caution in cautions_for(made, KNOWN, "inch"))
    assert "No density is known for FOAM" in words


def test_a_piece_of_which_nothing_can_be_weighed_has_no_weight():
    made = piece(part("A1", 1, "96", material="FOAM"))
    words = " ".join(str(caution) for caution in cautions_for(made, KNOWN, "inch"))

    assert "weight not known, 96 in long" in words
    assert "0 lb" not in words


def test_the_heaviest_single_part_is_one_of_its_line():
    heavy = heaviest_part(piece(part("A1", 9), part("B1", 1, "48", "40")), KNOWN)

    assert heavy.piece == "Part B1"


@pytest.mark.parametrize(
    ("kilograms", "length", "called"),
    [(10, 30, ""), (23, 84, ""), (24, 30, "help"), (10, 85, "help"), (34, 30, "help"),
     (35, 30, "lift"), (400, 30, "lift")],
)  # fmt: skip
def test_help_is_called_for_by_weight_or_length_and_a_lift_where_help_is_not_enough(
    kilograms, length, called
):
    assert help_for(Fraction(kilograms), Length.of(length, "in")) == called


def test_no_caution_ever_counts_people_for_a_weight():
    made = piece(part("A1", 12, "96", "48"))
    words = [str(caution) for caution in cautions_for(made, KNOWN, "inch")]

    assert any("More people are not the answer" in said for said in words)
    assert not any(re.search(r"\b\d+ (people|persons)", said) for said in words)
    assert LOAD_CONSTANT == 23


@pytest.mark.parametrize(
    ("height", "pounds", "volume", "attached", "within"),
    [("27", 30, "3.2", False, True), ("26.9", 30, "3.2", False, False),
     ("27", 29, "3.2", False, False), ("27", 30, "3.1", False, False),
     ("80", 200, "20", True, False)],
)  # fmt: skip
def test_the_stability_rule_reaches_from_all_three_limits_on(
    height, pounds, volume, attached, within
):
    tall = Length.of(Fraction(height), "in")

    assert (
        under_stability_rule(tall, Fraction(pounds), Fraction(volume), attached=attached) is within
    )


def test_a_tall_free_standing_piece_within_that_rule_says_so():
    sizes = {"overall_height": "72", "enclosed_volume_cuft": "12"}
    made = piece(part("A1", 4, "72", "24"), tags=["free_standing"], **sizes)
    low = piece(
        part("A1", 4, "72", "24"),
        tags=["free_standing"],
        overall_height="20",
        enclosed_volume_cuft="12",
    )

    assert about(made).count("tipping") == 2
    assert about(low).count("tipping") == 1


def test_the_bunk_rule_begins_over_thirty_inches():
    assert not under_bunk_rule(Length.of(30, "in"))
    assert under_bunk_rule(Length.of(Fraction(961, 32), "in"))


def test_a_bed_is_known_by_its_mattress():
    assert is_bed(["gap", "mattress_width"])
    assert not is_bed(["gap", "width"])


def test_where_a_weight_comes_from_is_said_only_of_a_weight():
    light = [one.words for one in cautions_for(piece(part()), KNOWN, "inch")]
    assert not any("estimated from densities" in words for words in light)
    long = cautions_for(piece(part(length="96", width="48", quantity=9)), KNOWN, "inch")
    assert any("estimated from densities" in one.words for one in long)
