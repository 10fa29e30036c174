"""What a build takes of a sheet material, net of kerf and waste."""

from fractions import Fraction

from ledger.costing.taken import net_area
from ledger.designs.built import Build, BuiltPart
from ledger.measures.area import Area
from ledger.measures.length import Length


def part(name: str, material: str, quantity: int, cut: str = "") -> BuiltPart:
    foot = Length.of(12, "in")
    return BuiltPart(name, name, quantity, foot, foot, material, cut=cut)


def test_the_net_area_is_of_that_materials_own_parts_that_are_cut():
    parts = (part("A", "PLY12", 2), part("B", "PLY34", 3), part("C", "PLY34", 4, cut="bought"))
    build = Build("box", "Box", "inch", {}, parts, (), (), {}, (), (), Area(0))

    assert net_area(build, "PLY34").square_feet == Fraction(3)
    assert net_area(build, "PLY12").square_feet == Fraction(2)
    assert net_area(build, "WAL44") == Area(0)
