"""No number of a cut covers another one, however narrow the pieces are."""

import random
from collections.abc import Iterator
from itertools import combinations
from math import hypot
from xml.etree import ElementTree

import pytest

from ledger.cutting import CutPart, Problem, Stock
from ledger.cutting.drawing import sheet_svg
from ledger.cutting.layout import LaidSheet, Layout, Placement
from ledger.cutting.lettering import APART, RADIUS, Words, free_spot, label

MM = 1_000_000
KERF = 3


def split(chance: random.Random, x: int, y: int, length: int, width: int) -> Iterator[Placement]:
    """Cut a rectangle of a sheet at random places until its parts are small, in millimeters."""
    along = chance.random() < length / (length + width)
    side = length if along else width
    if side < 60 or (length * width < 250_000 and chance.random() < 0.5):
        yield Placement(x * MM, y * MM, length * MM, width * MM, "P", "P")
        return
    at = chance.choice([15, side // 2, chance.randint(15, side - 20)])
    rest = side - at - KERF
    if along:
        yield from split(chance, x, y, at, width)
        yield from split(chance, x + at + KERF, y, rest, width)
    else:
        yield from split(chance, x, y, length, at)
        yield from split(chance, x, y + at + KERF, length, rest)


def pictures() -> Iterator[tuple[int, ElementTree.Element]]:
    """Draw sheets cut up at random: long strips, slivers and small pieces."""
    for seed in range(24):
        parts = tuple(sorted(split(random.Random(seed), 5, 5, 2430, 1210)))
        stock = Stock("new", 2440 * MM, 1220 * MM, 5 * MM, 1)
        problem = Problem("", (CutPart("P", "Part", MM, MM, len(parts)),), (stock,), KERF * MM)
        sheet = LaidSheet("", "new", 2440 * MM, 1220 * MM, 5 * MM, 1, "", parts)
        layout = Layout("", (sheet,), KERF * MM, 1, proven=True)
        yield len(parts), ElementTree.fromstring(sheet_svg(problem, layout, 1))


def test_cut_numbers_never_cover_one_another() -> None:
    drawn = 0
    for parts, picture in pictures():
        marks = [node for node in picture.iter() if "data-cut" in node.attrib]
        digits = [node for mark in marks for node in mark if node.tag.endswith("}text")]
        spots = [(float(node.get("x", "")), float(node.get("y", ""))) for node in digits]
        assert len(spots) >= parts - 1
        drawn += len(spots)
        for one, two in combinations(spots, 2):
            assert hypot(one[0] - two[0], one[1] - two[1]) >= 2 * RADIUS, (one, two)
    assert drawn > 500


def test_a_number_beside_its_line_points_to_it() -> None:
    crowd = [(10.0 + x, 10.0) for x in range(0, 120, 18)]
    x, y = free_spot((10.0, 10.0), (100.0, 10.0), crowd, ())

    assert abs(y - 10) >= 1
    assert all(hypot(x - a, y - b) >= APART for a, b in crowd)


@pytest.mark.parametrize("taken", [[], [(10.0, 10.0)]])
def test_a_number_keeps_clear_of_words_where_the_line_is_long_enough(
    taken: list[tuple[float, float]],
) -> None:
    words = label(5, 0, 100, 40, ("A1", "Side"))
    assert words is not None

    spot = free_spot((10.0, 20.0), (300.0, 20.0), taken, [words])
    assert not words.near(spot)
    assert spot[1] == 20.0


def test_a_number_covers_words_rather_than_another_number() -> None:
    words = Words("", (0.0, 0.0, 300.0, 40.0))

    assert free_spot((10.0, 20.0), (60.0, 20.0), [(10.0, 20.0)], [words])[0] >= 10 + APART


@pytest.mark.parametrize(("length", "width"), [(300.0, 90.0), (60.0, 400.0)])
def test_words_stand_within_their_rectangle_upright_too(length: float, width: float) -> None:
    words = label(10, 20, length, width, ["A1", "Tower side"])
    assert words
    left, top, right, bottom = words.box
    assert (left >= 10, top >= 20, right <= 10 + length, bottom <= 20 + width) == (True,) * 4
    assert (left + right, top + bottom) == pytest.approx((20 + length, 40 + width))
