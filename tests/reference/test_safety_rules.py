"""The sizes from which a published safety rule is to be read; never that something meets it.

Sources: CPSC, guidance on clothing storage units, 16 CFR 1261 (free-standing, at least 27 in high,
30 lb, 3.2 cu ft inside; what is fixed to the building is outside); 16 CFR 1213 and 1513 (bunk beds:
a foundation whose underside is more than 30 in above the floor).
"""

from decimal import Decimal
from fractions import Fraction
from math import ceil

import pytest

from ledger.book.tables.materials import Material
from ledger.costing.cautions import cautions_for
from ledger.designs.build import build
from ledger.designs.model import Design, Parameter, Part
from ledger.measures.length import Length
from ledger.measures.quantity import Quantity

INCH_CUBED = Fraction("16.387064")
"""Milliliters in a cubic inch, exactly."""

TO_READ = "is to be read."


def told(pounds=Fraction(30), tags=(), **sizes):
    """What is said of a piece of one panel that weighs so much, and of those sizes."""
    # 1,000 cubic inches of it; grams a milliliter, the last digit rounded up
    per_milliliter = pounds * Fraction("453.59237") / (1000 * INCH_CUBED)
    density = Decimal(ceil(per_milliliter * 10**12)) / 10**9
    panel = Material(
        code="PANEL", name="Panel", kind="sheet", unit="sheet", pack=Quantity.of(1),
        length=Length.of(96, "in"), width=Length.of(48, "in"), thickness=Length.of(1, "in"),
        density=density, density_source="weighed",
    )  # fmt: skip
    part = Part("A1", "Side", "1", "40", "25", "PANEL")
    named = tuple(Parameter(name, value) for name, value in sizes.items())
    made = build(Design("p", "Piece", "inch", named, (part,), tags=frozenset(tags)), {}, "inch")
    return [caution.words for caution in cautions_for(made, {"PANEL": panel}, "inch")]


STORAGE = {"overall_height": "27", "enclosed_volume_cuft": "3.2"}


@pytest.mark.parametrize(
    ("change", "is_told"),
    [
        ({}, True),
        ({"pounds": Fraction("29.99")}, False),
        ({"overall_height": "26-31/32"}, False),
        ({"enclosed_volume_cuft": "3.19"}, False),
        ({"tags": ("free_standing", "wall_fixed")}, False),
        ({"tags": ()}, False),
    ],
)
def test_clothing_storage_is_told_of_its_rule_at_exactly_its_three_limits(change, is_told):
    """Source: CPSC, guidance on 16 CFR 1261: 27 in, 30 lb and 3.2 cu ft are all “at least”."""
    said = told(**{"tags": ("free_standing",), **STORAGE, **change})
    assert any("1261" in words and words.endswith(TO_READ) for words in said) is is_told


@pytest.mark.parametrize(("underside", "is_told"), [("30", False), ("30-1/32", True)])
def test_a_bed_is_told_of_the_bunk_rule_above_thirty_inches(underside, is_told):
    """Source: 16 CFR 1213 and 1513: over 30 in (760 mm) from the floor."""
    assert any("those rules are to be read" in words for words in told(underside=underside)) is (
        is_told
    )
