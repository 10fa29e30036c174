"""Overall sizes, as people say them on the telephone."""

from fractions import Fraction

import pytest

from ledger.errors import BadValue
from ledger.measures.sizes import read_sizes

PHRASES = (
    ("bookcase 8 ft by 7 ft by 12 in", "in", "96 84 12"),
    ("bookcase 8'x7'x12\"", "in", "96 84 12"),
    ("8ft x 7ft x 12", "in", "96 84 12"),
    ("8' x 7' x 1'", "in", "96 84 12"),
    ("8 x 7 x 12 ft", "in", "96 84 144"),
    ("2.4 x 2.1 x 0.3 m", "in", "94.488 82.677 11.811"),
    ("2,4 x 2,1 x 0,3 m", "mm", "94.488 82.677 11.811"),
    ("2400x2100x300", "mm", "94.488 82.677 11.811"),
    ("2400 x 2100 x 300 mm", "in", "94.488 82.677 11.811"),
    ("240 by 210 by 30 cm", "in", "94.488 82.677 11.811"),
    ("96 84 12", "in", "96 84 12"),
    ("bookcase 96x84x12 oak", "in", "96 84 12"),
    ("8'6\" x 7'", "in", "102 84"),
    ("8 ft 6 in by 7 ft", "in", "102 84"),
    ('table 72" long', "in", "72"),
    ("5 foot round table", "in", "60"),
    ("30 in dia", "in", "30"),
    ("96W x 84H x 13D", "in", "96 84 13"),
    ("84 high x 96 wide x 13 deep", "in", "84 96 13"),
    ("63-11/16 x 30", "in", "63.6875 30"),
    ("63 11/16 x 30", "in", "63.6875 30"),
    ("24½ x 20", "in", "24.5 20"),
    ("bench 4 ft, 15 in, 18 in", "in", "48 15 18"),
    ("reglue 6 chairs", "in", ""),
    ("Desk, 2 drawers", "in", ""),
    ("bookcase with 5 shelves", "in", ""),
    ("bookcase 72x36x12, 5 shelves", "in", "72 36 12"),
    ("two nightstands 24 x 18 x 26", "in", "24 18 26"),
    ("king bed 76 x 80", "in", "76 80"),
    ("bowl 10 inch", "in", "10"),
    ("1.2m x 600", "mm", "47.244 23.622"),
    ("8 feet wide and 7 feet tall", "in", "96 84"),
    ("shelf 3/4 thick", "in", "0.75"),
    ("12 in x 8 ft", "in", "12 96"),
    ("8' × 7' × 12″", "in", "96 84 12"),
    ("8’ x 7’ x 12”", "in", "96 84 12"),
    ("2400 x 2100 x 300 in oak", "mm", "94.488 82.677 11.811"),
    ("96, 84, 12", "in", "96 84 12"),
    ("96,84,12", "in", "96 84 12"),
    ("width 96, height 84", "in", "96 84"),
    ("bookcase 96 84 12 5 shelves", "in", "96 84 12"),
    ("cabinet 36 x 30 x 24 in with 2 doors and 3 drawers", "in", "36 30 24"),
    ("8ft6 x 7ft", "in", "102 84"),
    ("bench 4 ft 15 in 18 in", "in", "48 15 18"),
    ("8'-6\" x 7'-0\"", "in", "102 84"),
    ("W96 H84 D12", "in", "96 84 12"),
    ("J-2501 desk 60 × 28 × 30", "in", "60 28 30"),
    ("2m40 x 2m10", "mm", "94.488 82.677"),
    ("table 6 ft x 3 ft, top 1 in thick", "in", "72 36"),
    ("case W 2438.4 mm x H 84 in", "in", "96 84"),
    ("table Ø1295.4 mm x 762 mm high", "in", "51 30"),
)
BARE = {
    "96 84 12", "bookcase 96x84x12 oak", "96W x 84H x 13D", "84 high x 96 wide x 13 deep",
    "63-11/16 x 30", "63 11/16 x 30", "24½ x 20", "bookcase 72x36x12, 5 shelves",
    "two nightstands 24 x 18 x 26", "king bed 76 x 80", "shelf 3/4 thick", "96, 84, 12", "96,84,12",
    "2400x2100x300", "2400 x 2100 x 300 in oak", "width 96, height 84",
    "W96 H84 D12", "J-2501 desk 60 × 28 × 30",
    "bookcase 96 84 12 5 shelves",
}  # fmt: skip
"""The phrases that say no unit; the others read alike in books of either unit."""


def inches(text: str, unit: str) -> list[str]:
    """The sizes in inches, to a thousandth."""
    read = read_sizes(text, "inch" if unit == "in" else "mm")
    return [f"{round(size.length.inches, 3):.5g}" for size in read.sizes]


@pytest.mark.parametrize(("text", "unit", "sizes"), PHRASES)
def test_a_phrase_is_read(text: str, unit: str, sizes: str) -> None:
    assert inches(text, unit) == [f"{float(size):.5g}" for size in sizes.split()]


@pytest.mark.parametrize(("text", "unit"), [row[:2] for row in PHRASES])
def test_only_bare_numbers_depend_on_the_unit_of_the_book(text: str, unit: str) -> None:
    own, other = ("inch", "mm") if unit == "in" else ("mm", "inch")
    here, there = (read_sizes(text, units).sizes for units in (own, other))
    growth = Fraction(254, 10) if text in BARE else Fraction(1)
    growth = 1 / growth if own == "inch" else growth
    assert [size.length * growth for size in here] == [size.length for size in there]


def test_what_was_read_is_repeated_with_its_sides_and_the_units_put_in() -> None:
    said = "84 high x 96 wide x 13 deep"
    assert read_sizes(said, "inch").repeated("inch") == "Read as 84 H × 96 W × 13 D in."
    assert read_sizes("8ft x 7ft x 12", "inch").repeated("inch") == (
        "Read as 96 × 84 × 12 in (the bare number after feet as inches)."
    )


@pytest.mark.parametrize(
    ("text", "units", "question"),
    [
        ("8 x 7 x 12 ft", "inch", "12 ft deep?"),
        ("2400x2100x300", "inch", "200 ft"),
        ("96x84x12", "mm", "96 mm"),
    ],
)
def test_sizes_that_nobody_builds_are_asked_back(text: str, units: str, question: str) -> None:
    assert question in read_sizes(text, units).question


def test_sizes_that_somebody_builds_are_not_asked_back() -> None:
    for text in ("8 ft x 7 ft x 7 ft", "8 x 4 x 2 ft", "10 ft wide 9 ft high 8 ft deep"):
        assert not read_sizes(text, "inch").question


@pytest.mark.parametrize(
    "text",
    [
        "bookcase 72",
        "bookcase 72-36-12",
        "72 x 36 x 12 x 4",
        "budget 5000 bookcase 72 x 36",
        "8 ft x 84 x 2 m",
        "1,200 x 600",
        "0 x 20",
    ],
)
def test_digits_that_are_not_read_are_refused_with_what_would_be_right(text: str) -> None:
    with pytest.raises(BadValue):
        read_sizes(text, "inch")


def test_counts_stand_beside_the_sizes() -> None:
    read = read_sizes("cabinet 36 x 30 x 24, 2 doors and 3 drawers", "inch")
    assert read.counts == ((2, "doors"), (3, "drawers"))
    assert read.words == "cabinet doors drawers"
