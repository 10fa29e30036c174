"""Materials are found by what other programs call them."""

from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.book.tables.materials import Material
from ledger.measures.length import Length
from ledger.measures.quantity import Quantity
from ledger.stock.matching import match_material


def material(code, name, mm, kind="sheet"):
    return Material(
        deed=1, code=code, name=name, kind=kind, unit="sheet", pack=Quantity.of(1),
        thickness=Length.of(mm, "mm"),
    )  # fmt: skip


BOOK = [
    material("PLY34", "Birch plywood 3/4", 18),
    material("PLY12", "Birch plywood 1/2", 12),
    material("MDF34", "MDF 3/4", 19),
    material("MAP44", "Hard maple 4/4", 25, "lumber"),
    material("SCREW", "Birch plywood screws", 5, "fastener"),
]


@pytest.mark.parametrize(
    ("text", "mm", "code", "is_sure"),
    [
        ("mdf34", None, "MDF34", True),
        ("ply", 19, "PLY34", True),
        ("birch ply", 12, "PLY12", True),
        ("birch ply", None, "PLY12", False),
        ("maple", 19, "MAP44", True),
        ("", 12, "PLY12", False),
        ("zebra", 18, "MDF34", False),
    ],
)
def test_the_likeliest_material_comes_first(text, mm, code, is_sure):
    match = match_material(text, Length.of(mm, "mm") if mm else None, BOOK)
    assert (match.materials[0].code, match.is_sure) == (code, is_sure)
    assert "SCREW" not in [one.code for one in match.materials]


@pytest.mark.parametrize(("inches", "code"), [("1/2", "OAK44"), ("3/4", "OAK44"), ("1", "OAK54")])
def test_the_thinnest_board_that_dresses_to_a_thickness_comes_first(inches, code):
    boards = [
        material(name, f"White oak {name}", mm, "lumber")
        for name, mm in (("OAK124", "76.2"), ("OAK84", "50.8"), ("OAK54", "31.75"),
                         ("OAK44", "25.4"))
    ]  # fmt: skip
    match = match_material("White oak", Length(int(Fraction(inches) * 25_400_000)), boards)
    assert match.materials[0].code == code


@pytest.mark.parametrize(("mm", "is_sure"), [("13.3", True), ("10.7", True), ("13.301", False)])
def test_a_nominal_thickness_lies_as_far_as_1_3_mm_from_the_measured_one(mm, is_sure):
    match = match_material("birch", Length.of(Decimal(mm), "mm"), BOOK[:2])
    assert ((match.materials[0].code, match.is_sure) == ("PLY12", True)) == is_sure


def test_where_only_one_is_as_thick_it_needs_no_name():
    sheets = [one for one in BOOK if one.kind == "sheet"]
    assert match_material("", Length.of(12, "mm"), sheets).is_sure
