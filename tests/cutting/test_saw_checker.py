"""Every list of cuts passes a checker from outside, and what is wrong in one never does.

Sample workshop: the bed's plies are invented for this project.
"""

import importlib.util
import random
from collections.abc import Callable
from copy import deepcopy
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, seed, settings
from hypothesis import strategies as st

from ledger.cutting import CutPart, Problem, Stock, solve
from ledger.cutting.record import layout_to_dict
from ledger.cutting.tools import INCH, INCH_TOOLS
from ledger.measures.values import replace

type Json = dict[str, Any]

_SPEC = importlib.util.spec_from_file_location(
    "saw_checker", Path(__file__).with_name("saw_checker.py")
)
assert _SPEC is not None
assert _SPEC.loader is not None
checker = importlib.util.module_from_spec(_SPEC)
_SPEC.loader.exec_module(checker)

PLIES: dict[str, tuple[tuple[tuple[str, int, str, str], ...], int]] = {
    "PLY34": (
        (
            ("A1", 2, "88", "33/2"), ("A2", 1, "1019/16", "33/2"), ("A3", 1, "1019/16", "6"),
            ("A4", 1, "1019/16", "30"), ("A5", 1, "1019/16", "6"), ("A6", 1, "1019/16", "7/2"),
            ("B1", 2, "1319/16", "19/4"), ("B2", 2, "61", "19/4"), ("B3", 9, "61", "9/4"),
            ("B4", 8, "37/4", "3"), ("B5", 16, "37/4", "3/2"), ("C1", 4, "88", "12"),
            ("C2", 6, "265/16", "47/4"), ("C3", 6, "263/16", "23/2"), ("C5", 2, "265/16", "7/2"),
        ),
        12_414,
    ),
    "PLY12": ((("B6", 2, "1319/16", "507/16"),), 8_096),
    "PLY14": ((("B7", 2, "487/8", "647/16"), ("C4", 2, "169/2", "69/4")), 3_778),
}  # fmt: skip


def asked(pieces: list[CutPart], grams: int = 12_414, **more: Any) -> Problem:
    """Parts on sheets of 48 by 96 in, trim 1/4 in, kerf 1/8 in."""
    stock = Stock("new", 96 * INCH, 48 * INCH, INCH // 4, 9600)
    return Problem("PLY", tuple(pieces), (stock,), INCH // 8, grams_per_m2=grams, **more)


def part(name: str, count: int, length: str, width: str, **more: Any) -> CutPart:
    """One row of a parts list in inches."""
    sides = (int(Fraction(side) * INCH) for side in (length, width))
    return CutPart(name, name, *sides, count, **more)


def told(problem: Problem) -> tuple[Json, Json]:
    """The layout of a problem as JSON, and its list of cuts."""
    plan = layout_to_dict([(problem, solve(problem))], with_cuts=True)
    return plan, plan["cut_lists"][0]


@pytest.mark.parametrize("ply", PLIES)
def test_the_cuts_of_the_bed_are_right(ply: str) -> None:
    rows, grams = PLIES[ply]
    plan, cuts = told(asked([part(*row) for row in rows], grams))

    assert checker.faults(plan, cuts) == []
    assert cuts["no_tool"] == []


MIXED = [
    part("A", 2, "60", "20"), part("B", 3, "30", "11"), part("C", 4, "9", "3"),
    part("E", 1, "40", "7/2"),
    part("D", 1, "24", "16", later=True, extra_length_nm=INCH // 2, extra_width_nm=INCH // 2),
]  # fmt: skip


def test_parts_cut_later_a_rack_piece_and_weightless_sheets_are_right() -> None:
    rack = Stock("rack", 50 * INCH, 20 * INCH, INCH // 4, 1, 1, "R-1", ("near", "right"))
    mixed = asked(MIXED)
    problems = [
        mixed,
        replace(mixed, stocks=(*mixed.stocks, rack)),
        replace(mixed, grams_per_m2=0),
        replace(mixed, tools=replace(INCH_TOOLS, rail_cut=60 * INCH, sled_capacity=24 * INCH)),
    ]
    for problem in problems:
        plan, cuts = told(problem)
        assert checker.faults(plan, cuts) == []
    racks = [stock for stock in told(problems[1])[1]["stock"] if stock["source"] == "rack"]
    assert racks[0]["edges"] == {"left": "cut", "right": "factory", "near": "factory", "far": "cut"}


@st.composite
def jobs(draw: st.DrawFn) -> Problem:
    """Make up a job of a shop: cabinet parts, strips and blocks, some free to turn, some later."""
    pieces = []
    for number in range(draw(st.integers(1, 6))):
        later = draw(st.integers(0, 5)) == 0
        pieces.append(
            CutPart(
                f"P{number}", f"P{number}", draw(st.integers(16, 1500)) * INCH // 16,
                draw(st.integers(16, 700)) * INCH // 16, draw(st.integers(1, 4)),
                may_turn=draw(st.booleans()), later=later,
                extra_length_nm=INCH // 2 if later else 0,
                extra_width_nm=INCH // 2 if later else 0,
            )
        )  # fmt: skip
    tools = replace(
        INCH_TOOLS, crosscut_capacity=draw(st.sampled_from([8, 12])) * INCH,
        rail_cut=draw(st.sampled_from([50, 100])) * INCH,
        sled_capacity=draw(st.sampled_from([0, 24])) * INCH,
    )  # fmt: skip
    grams = draw(st.sampled_from([0, 3_800, 12_414]))
    return asked(pieces, grams, rip_first=draw(st.booleans()), tools=tools)


@seed(20250827)
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(jobs())
def test_random_jobs_are_right_and_never_unsafe_at_the_fence(problem: Problem) -> None:
    plan, cuts = told(problem)

    assert checker.faults(plan, cuts) == []
    for cut in cuts["cuts"]:
        if cut["tool"] == "table_saw":
            assert checker.nm(cut["run_mm"]) >= max(12 * INCH, checker.nm(cut["across_mm"]))
            assert not cut["too_heavy"]


def _other(values: list[str], now: str, chance: random.Random) -> str:
    return chance.choice([value for value in values if value != now])


def _shift(row: Json, name: str, mm: str, chance: random.Random) -> None:
    sign = chance.choice([1, -1])
    row[name] = str(float(Fraction(row[name]) + sign * Fraction(mm)))


def _size(cuts: Json, cut: Json, chance: random.Random) -> None:
    name = chance.choice(["length_mm", "width_mm"])
    _shift(chance.choice([cut, *cut["out"]]), name, "0.79375", chance)


def _drop(cuts: Json, cut: Json, chance: random.Random) -> None:
    cuts["cuts"].remove(cut)


def _setting(cuts: Json, cut: Json, chance: random.Random) -> None:
    _shift(cut, "setting_mm", "1.5875", chance)


def _exchange(cuts: Json, cut: Json, chance: random.Random) -> None:
    rows = cuts["cuts"]
    one, two = rows.index(cut), chance.choice([n for n in range(len(rows)) if rows[n] is not cut])
    rows[one], rows[two] = rows[two], rows[one]


def _tool(cuts: Json, cut: Json, chance: random.Random) -> None:
    cut["tool"] = _other(["guide_rail", "table_saw", "miter_saw", "none"], cut["tool"], chance)


def _marks(cuts: Json, cut: Json, chance: random.Random) -> None:
    rows = [row for one in cuts["cuts"] for row in one["out"] if row["mark"]]
    one = chance.choice(rows)
    two = chance.choice([row for row in rows if row["mark"] != one["mark"]])
    one["mark"], two["mark"] = two["mark"], one["mark"]


def _lost(cuts: Json, cut: Json, chance: random.Random) -> None:
    _shift(cut, "lost_mm", "0.79375", chance)


def _edge(cuts: Json, cut: Json, chance: random.Random) -> None:
    edges = chance.choice(cuts["stock"])["edges"]
    edge = chance.choice(["near", "left"])
    edges[edge] = "cut" if edges[edge] == "factory" else "factory"


def _kind(cuts: Json, cut: Json, chance: random.Random) -> None:
    row = chance.choice(cut["out"])
    row["is"] = _other(["part", "piece", "offcut", "waste"], row["is"], chance)


def _count(cuts: Json, cut: Json, chance: random.Random) -> None:
    cuts["counts"][chance.choice(list(cuts["counts"]))] += chance.choice([1, -1])


def _group(cuts: Json, cut: Json, chance: random.Random) -> None:
    cut["setting_group"] += chance.choice([1, -1])


def _heavy(cuts: Json, cut: Json, chance: random.Random) -> None:
    cut["too_heavy"] = not cut["too_heavy"]


def _weight(cuts: Json, cut: Json, chance: random.Random) -> None:
    cut["weight_kg"] = str(float(Fraction(cut["weight_kg"]) + Fraction("0.2")))


type Fault = Callable[[Json, Json, random.Random], None]
FAULTS: tuple[Fault, ...] = (
    _size, _drop, _setting, _exchange, _tool, _marks, _lost, _edge, _kind, _count, _group, _heavy,
    _weight,
)  # fmt: skip


def test_each_of_a_thousand_planted_faults_is_found() -> None:
    chance = random.Random(20250827)
    plan, cuts = told(asked(MIXED))
    missed = []
    for number in range(1000):
        fault = FAULTS[number % len(FAULTS)]
        spoiled = deepcopy(cuts)
        able = [cut for cut in spoiled["cuts"] if fault is not _setting or not cut["trim"]]
        fault(spoiled, chance.choice(able), chance)
        if not checker.faults(plan, spoiled):
            missed.append((number, fault.__name__))
    assert missed == []
