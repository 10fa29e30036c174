"""What a build takes: of a sheet material net of kerf and waste, of a finish by the can."""

from decimal import Decimal
from fractions import Fraction

from ledger.book.tables.materials import Material
from ledger.costing.taken import net_area
from ledger.costing.takeoff import Allowances, take_off
from ledger.designs.built import Build, BuiltBand, BuiltCoat, BuiltPart
from ledger.measures.area import Area
from ledger.measures.length import Length
from ledger.measures.quantity import Quantity

FOOT = Length.of(12, "in")


def part(name: str, material: str, quantity: int, cut: str = "") -> BuiltPart:
    return BuiltPart(name, name, quantity, FOOT, FOOT, material, cut=cut)


def test_the_net_area_is_of_that_materials_own_parts_that_are_cut():
    parts = (part("A", "PLY12", 2), part("B", "PLY34", 3), part("C", "PLY34", 4, cut="bought"))
    build = Build("box", "Box", "inch", {}, parts, (), (), {}, (), (), Area(0))

    assert net_area(build, "PLY34").square_feet == Fraction(3)
    assert net_area(build, "PLY12").square_feet == Fraction(2)
    assert net_area(build, "WAL44") == Area(0)


def test_a_can_that_is_begun_and_the_pail_of_its_tint_are_charged_whole():
    coat = BuiltCoat("SATIN", 2, "spray", "STAIN", Fraction(1, 20), area=FOOT * FOOT * 100)
    build = Build("box", "Box", "inch", {}, (), (), (), {}, (coat,), (), Area(0))
    satin = Material(code="SATIN", name="Satin", kind="finish", unit="gal", pack=Quantity.of(1),
                     coverage=Decimal(400), coverage_source="the can")  # fmt: skip
    stain = Material(code="STAIN", name="Stain", kind="finish", unit="quart", pack=Quantity.of(1))
    none = Fraction(0)
    known = {"SATIN": satin, "STAIN": stain}
    lines = take_off(build, {}, known, Allowances(none, none), Length(0))

    # 200 sq ft at 400 a gallon; a twentieth of the whole gallon that is mixed, 4 quarts to it
    assert [(line.material, line.net.decimal, line.charged.decimal) for line in lines] == [
        ("SATIN", Decimal("0.5"), 1), ("STAIN", Decimal("0.2"), 1),
    ]  # fmt: skip


def test_edging_that_is_listed_as_a_supply_is_charged_as_measured():
    band = BuiltBand("TRIM", FOOT * Fraction(21, 2), 2)
    build = Build("box", "Box", "inch", {}, (), (), (), {}, (), (band,), Area(0))
    trim = Material(code="TRIM", name="Trim", kind="supply", unit="ft", pack=Quantity.of(1))
    (line,) = take_off(build, {}, {"TRIM": trim}, Allowances(Fraction(0), Fraction(0)), Length(0))

    assert line.charged.decimal == Decimal("10.5")
