"""No number of a cut covers another one, however narrow the pieces are."""

import random
import re
from collections.abc import Iterator
from itertools import combinations
from math import hypot
from xml.etree import ElementTree

import pytest

from ledger.cutting import CutPart, Problem, Stock
from ledger.cutting.drawing import sheet_svg
from ledger.cutting.layout import LaidSheet, Layout, Placement
from ledger.cutting.lettering import APART, RADIUS, Words, fitted, free_spot, label

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
        layout = Layout("", (sheet,), KERF * MM, 1, proven=True, least_cost=1)
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


@pytest.mark.parametrize(
    ("length", "width", "size"),
    # “A1” over “Side rail”, nine letters of 0.7: 3.78 sizes wide and 2.125 high, with 12 and 6
    # around them. In one row eleven letters and two blanks are 7.8 wide, 1.25 high.
    [
        (300, 90, 34),
        (120, 48.5, 20),
        (87.6, 90, 20),
        (168, 31, 20),
        (168, 29.75, 19),
        (60, 40, None),
    ],
)
def test_letters_are_as_large_as_both_sides_let_them(length, width, size):
    words = label(0, 0, length, width, ["A1", "Side rail"])
    sizes = re.findall('font-size="([0-9.]+)"', words.drawn if words else "")
    assert (float(sizes[0]) if sizes else None) == size


def test_words_that_stand_upright_take_their_room_upright():
    # Two letters of 34 points are 40.8 long and 42.5 high, around the middle of 41 by 220.
    words = label(10, 20, 62, 400, ["A1"])
    assert words
    assert words.box == pytest.approx((20.6, 198.75, 61.4, 241.25))
    # Nine letters over two lines upright: 34 points again, 128.52 long and 72.25 high.
    turned = label(10, 20, 80, 400, ["A1", "Side rail"])
    assert turned
    assert turned.box == pytest.approx((13.875, 155.74, 86.125, 284.26))


@pytest.mark.parametrize(
    ("length", "width", "is_drawn"),
    [(15.6, 9.1, True), (15.5, 9.1, False), (15.6, 9.0, False)],
)
def test_a_short_sign_is_written_where_letters_of_thirteen_points_fit(length, width, is_drawn):
    # Two letters of 13 points are 15.6 wide, and want 9.1 of height.
    words = fitted(100, 200, length, width, "S9")
    assert (words is not None) is is_drawn
    if words:
        assert words.box == pytest.approx((100, 198.05, 115.6, 211.05))


@pytest.mark.parametrize(
    ("spot", "is_near"),
    [((10, 50), True), ((-0.9, 50), True), ((-1.1, 50), False), ((110.9, 50), True),
     ((111.1, 50), False), ((50, 29.1), True), ((50, 28.9), False), ((50, 70.9), True),
     ((50, 71.1), False)],
)  # fmt: skip
def test_words_are_covered_by_a_number_within_its_radius(spot, is_near):
    assert Words("", (10, 40, 100, 60)).near(spot) is is_near


def test_numbers_go_along_the_line_in_steps_and_then_around_its_beginning():
    assert free_spot((10, 20), (100, 20), [], []) == (10, 20)
    # The first number takes 26 around it: the next step of 6 that is clear is the fifth.
    assert free_spot((10, 20), (100, 20), [(10, 20)], []) == pytest.approx((40, 20))
    assert free_spot((10, 20), (10, 200), [(10, 20)], []) == pytest.approx((10, 50))
    # Its very end is tried too: 64 is 26 away from the second one.
    assert free_spot((10, 20), (64, 20), [(10, 20), (38, 20)], []) == pytest.approx((64, 20))
    # A line of 20 has no room beside it, so that it stands around: to the right, 26 away.
    assert free_spot((10, 20), (30, 20), [(10, 20)], []) == pytest.approx((10 + APART, 20))
    ring = [(10, 20), (36, 20)]
    x, y = free_spot((10, 20), (30, 20), ring, [])
    assert (x < 36 + RADIUS, y < 20) == (True, True)
