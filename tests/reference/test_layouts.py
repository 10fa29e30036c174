"""Layouts against published instances, against rectpack, and of the sample workshop's bed.

Sources:
- Berkey and Wang: J. O. Berkey and P. Y. Wang, Two-dimensional finite bin-packing algorithms,
  J. Oper. Res. Soc. 38, 1987, classes 1 to 6: the sizes.
- Martello and Vigo: S. Martello and D. Vigo, Exact solution of the two-dimensional finite bin
  packing problem, Management Science 44, 1998, classes 7 to 10: the sizes.
- PackingSolver: the best known numbers of sheets listed with that data in the public repository
  fontanf/packingsolver, November 2026: three-stage patterns, last stage trimmed, the first cuts
  along the length; ours may cut first either way, so it may be better, never worse.
- Sample workshop: the fold-down bed of the sample data, invented for this project; its sheets
  were counted by hand.
"""

import random
from fractions import Fraction
from functools import cache

import pytest
import rectpack

from ledger.cutting import CutPart, Layout, Problem, Stock, check_layout, solve

INCH = 25_400_000

# Berkey and Wang, class 1, 20 parts, first instance, sheet 10 by 10.
CLASS_1 = [
    (5, 9), (4, 2), (10, 6), (5, 7), (6, 3), (10, 7), (1, 5), (3, 5), (6, 9), (2, 4), (6, 7),
    (7, 2), (8, 3), (4, 10), (4, 5), (10, 3), (8, 3), (7, 8), (8, 3), (8, 7),
]  # fmt: skip

# Berkey and Wang, class 3, 20 parts, first instance, sheet 40 by 40.
CLASS_3 = [
    (18, 30), (13, 5), (33, 19), (17, 22), (18, 9), (34, 24), (1, 16), (9, 15), (19, 31), (4, 11),
    (19, 23), (24, 4), (27, 9), (13, 33), (13, 15), (34, 9), (27, 10), (22, 28), (26, 11), (25, 25),
]  # fmt: skip

# Berkey and Wang, class 5, 20 parts, second instance, sheet 100 by 100.
CLASS_5 = [
    (18, 16), (51, 72), (95, 12), (7, 24), (75, 32), (21, 91), (1, 89), (4, 48), (52, 25), (1, 9),
    (40, 20), (90, 16), (7, 85), (81, 48), (33, 62), (19, 16), (28, 32), (82, 65), (37, 4),
    (81, 71),
]  # fmt: skip

# Martello and Vigo, class 9, 20 parts, first instance, sheet 100 by 100.
CLASS_9 = [
    (56, 75), (97, 77), (62, 73), (98, 84), (71, 50), (76, 93), (83, 55), (83, 55), (97, 88),
    (67, 71), (64, 99), (80, 89), (85, 87), (70, 60), (57, 53), (89, 85), (84, 98), (85, 61),
    (62, 70), (10, 42),
]  # fmt: skip

# Berkey and Wang; Martello and Vigo; best known of PackingSolver: grain kept, free to turn.
PUBLISHED = {
    "class 1": (CLASS_1, 10, 8, 7),
    "class 3": (CLASS_3, 40, 6, 5),
    "class 5": (CLASS_5, 100, 5, 4),
    "class 9": (CLASS_9, 100, 19, 19),
}

# Sample workshop: id, copies, length and width in inches.
PLY34 = (
    ("A1", 2, "88", "33/2"), ("A2", 1, "1019/16", "33/2"), ("A3", 1, "1019/16", "6"),
    ("A4", 1, "1019/16", "30"), ("A5", 1, "1019/16", "6"), ("A6", 1, "1019/16", "7/2"),
    ("B1", 2, "1319/16", "19/4"), ("B2", 2, "61", "19/4"), ("B3", 9, "61", "9/4"),
    ("B4", 8, "37/4", "3"), ("B5", 16, "37/4", "3/2"), ("C1", 4, "88", "12"),
    ("C2", 6, "265/16", "47/4"), ("C3", 6, "263/16", "23/2"), ("C5", 2, "265/16", "7/2"),
)  # fmt: skip
PLY12 = (("B6", 2, "1319/16", "507/16"),)
PLY14 = (("B7", 2, "487/8", "647/16"), ("C4", 2, "169/2", "69/4"))


def published(sizes: list[tuple[int, int]], side: int, may_turn: bool) -> Problem:
    """Put a published instance: whole units, no kerf, no trim, every part once."""
    pieces = tuple(
        CutPart(f"P{number}", "", length, width, 1, may_turn)
        for number, (length, width) in enumerate(sizes)
    )
    return Problem("", pieces, (Stock("new", side, side, 0, 1),), 0)


type Rows = tuple[tuple[str, int, str, str], ...]


@cache
def bed(rows: Rows) -> Layout:
    """Lay the parts of one material as `laid` does, once for all tests."""
    return laid(rows)


def laid(rows: Rows) -> Layout:
    """Lay the parts of one material on sheets of 48 by 96 in, kerf 1/8 in, trim 1/4 in."""
    pieces = tuple(
        CutPart(id, id, int(Fraction(length) * INCH), int(Fraction(width) * INCH), copies)
        for id, copies, length, width in rows
    )
    stock = Stock("new", 96 * INCH, 48 * INCH, INCH // 4, 9600)
    return solve(Problem("PLY", pieces, (stock,), INCH // 8))


@pytest.mark.parametrize("name", PUBLISHED)
@pytest.mark.parametrize("may_turn", [False, True], ids=["grain", "turning"])
def test_published_instances_take_no_more_sheets_than_the_best_known(
    name: str, may_turn: bool
) -> None:
    sizes, side, kept, turning = PUBLISHED[name]
    problem = published(sizes, side, may_turn)
    layout = solve(problem)

    check_layout(problem, layout)
    area = sum(length * width for length, width in sizes)
    assert -(-area // side**2) <= layout.fewest_possible
    assert layout.fewest_possible <= len(layout.sheets) <= (turning if may_turn else kept)


def test_the_bed_takes_five_sheets_of_three_quarter_ply_and_no_plan_takes_fewer_than_four() -> None:
    # Sample workshop: five were found; area and bound prove only that four are not too many.
    layout = bed(PLY34)

    assert len(layout.sheets) == 5
    assert layout.fewest_possible >= 4
    assert layout.proven == (layout.fewest_possible == 5)
    assert round(layout.sheet_yield * 100) == 72


def test_the_bed_takes_two_sheets_of_half_inch_ply_proven() -> None:
    # Sample workshop: two face panels too large to share a sheet.
    layout = bed(PLY12)

    assert (len(layout.sheets), layout.proven) == (2, True)
    assert round(layout.sheet_yield * 100) == 57


def test_the_bed_takes_three_sheets_of_quarter_inch_ply_proven() -> None:
    # Sample workshop: two decks of half a sheet each, two tower backs.
    layout = bed(PLY14)

    assert (len(layout.sheets), layout.proven) == (3, True)
    assert round(layout.sheet_yield * 100) == 57


def rectpack_best(problem: Problem) -> int:
    """Give the fewest sheets of rectpack's guillotine variants, parts and sheet grown by kerf."""
    kerf, stock, unit = problem.kerf_nm, problem.stocks[0], 1_000_000
    names = [name for name in dir(rectpack) if name.startswith("Guillotine")]
    found = []
    for name in names:
        packer = rectpack.newPacker(
            pack_algo=getattr(rectpack, name), sort_algo=rectpack.SORT_AREA, rotation=False
        )
        packer.add_bin(
            (stock.usable_length_nm + kerf) // unit,
            (stock.usable_width_nm + kerf) // unit,
            count=float("inf"),
        )
        for piece in problem.pieces:
            for _ in range(piece.quantity):
                packer.add_rect((piece.length_nm + kerf) // unit, (piece.width_nm + kerf) // unit)
        packer.pack()
        found.append(len(packer))
    return min(found)


@pytest.mark.parametrize("seed", range(8))
def test_rectpack_is_never_better_on_small_jobs(seed: int) -> None:
    # Source of the comparison: rectpack 0.2.2, its guillotine variants by area, on made-up jobs.
    chance = random.Random(seed)
    pieces = tuple(
        CutPart(
            f"P{number}", "", chance.randint(100, 1500) * 1_000_000,
            chance.randint(50, 800) * 1_000_000, chance.randint(1, 4),
        )
        for number in range(10)
    )  # fmt: skip
    stock = Stock("new", 2440_000_000, 1220_000_000, 6_000_000, 1)
    problem = Problem("PLY", pieces, (stock,), 3_000_000)

    assert len(solve(problem).sheets) <= rectpack_best(problem)


def test_the_same_question_gives_the_same_plan_twice() -> None:
    # Sample workshop; the rows turned round must change nothing either.
    assert laid(PLY34[::-1]) == bed(PLY34)
