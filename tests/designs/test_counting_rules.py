"""Rules of thumb count what a maker would, and grow with the piece."""

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from ledger.designs.built import BuiltCoat
from ledger.designs.counting_rules import abrasive_discs, coated, dowels, pocket_holes, scuffed
from ledger.measures.area import Area
from ledger.measures.length import Length

FOOT = Length.of(1, "ft") * Length.of(1, "ft")
LENGTHS = st.integers(1, 5_000_000_000).map(Length)


@given(LENGTHS, LENGTHS)
def test_a_longer_joint_never_has_fewer_holes_or_dowels(one: Length, two: Length) -> None:
    short, long = sorted((one, two))
    assert 2 <= pocket_holes(short) <= pocket_holes(long)
    assert 2 <= dowels(short) <= dowels(long)


@given(LENGTHS)
def test_pocket_holes_stand_at_most_seven_inches_apart(length: Length) -> None:
    gaps = pocket_holes(length) - 1
    between = max(Fraction(0), length.inches - 3)  # the first and last are 1-1/2 in from the ends
    assert between / gaps <= 7


def test_raw_wood_takes_two_grits_and_each_gap_between_coats_one_scuff() -> None:
    raw, none = 276 * FOOT, Area(0)
    assert abrasive_discs(raw, none, 2 * raw) == Fraction("22.08") + Fraction("13.8")
    assert abrasive_discs(100 * FOOT, none, none) == 8
    assert abrasive_discs(none, 100 * FOOT, none) == 16


def test_a_wiped_coat_is_scuffed_only_where_it_builds_a_film() -> None:
    oil = [BuiltCoat("OIL", 3, "wipe")]
    assert coated(10 * FOOT, oil, "wipe") == 30 * FOOT
    assert scuffed(10 * FOOT, oil) == Area(0)
    assert scuffed(10 * FOOT, oil, films={"OIL"}) == 20 * FOOT


def test_brushed_coats_do_not_go_through_the_gun() -> None:
    finish = [BuiltCoat("SEAL", 1, "brush"), BuiltCoat("SATIN", 2, "spray")]
    assert coated(10 * FOOT, finish, "spray") == 20 * FOOT
    assert scuffed(10 * FOOT, finish) == 20 * FOOT
    assert coated(10 * FOOT, [], "spray") == scuffed(10 * FOOT, []) == Area(0)
