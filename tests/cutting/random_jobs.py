"""Jobs of a small shop made up by chance, from a seed: parts, sheets, the rack, and the saws."""

import random
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from ledger.cutting.problem import ALL_EDGES, CutPart, Problem, Stock
from ledger.cutting.tools import INCH, INCH_TOOLS, Tools
from ledger.measures.values import replace

SIXTEENTH = INCH // 16
MM = 1_000_000

type Json = dict[str, Any]


def random_jobs(count: int, seed: int) -> Iterator[Problem]:
    """Give so many jobs, each of 2 to 16 parts in inches or millimeters."""
    chance = random.Random(seed)
    for number in range(count):
        yield _job(chance, f"JOB-{number}")


def _job(chance: random.Random, name: str) -> Problem:
    metric = chance.random() < 0.4
    step = MM if metric else SIXTEENTH
    length, width = chance.choice(
        [(2500, 1250), (2440, 1220), (2800, 2070)] if metric else [(96 * 16, 48 * 16)]
    )
    trim, kerf = (10, 3) if metric else (4, 2)
    stocks = [Stock("new", length * step, width * step, trim * step, 9600)]
    for piece in range(chance.choice([0, 0, 1, 2])):
        factory = tuple(edge for edge in ALL_EDGES if chance.random() < 0.4)
        sides = (chance.randrange(length // 4, length), chance.randrange(width // 4, width))
        stocks.append(
            Stock("rack", sides[0] * step, sides[1] * step, trim * step, chance.randrange(3000), 1,
                  f"lot {piece}", factory)
        )  # fmt: skip
    pieces = [_part(chance, row, length - 2 * trim, width - 2 * trim, step)
              for row in range(chance.randint(2, 4))]  # fmt: skip
    return Problem(
        name, tuple(pieces), tuple(stocks), kerf * step, rip_first=chance.random() < 0.2,
        tools=_tools(chance), grams_per_m2=chance.choice([0, 3_778, 8_096, 12_414]),
    )  # fmt: skip


def _part(chance: random.Random, row: int, length: int, width: int, step: int) -> CutPart:
    part = CutPart(
        f"P{row}", f"Part {row}", _side(chance, length) * step, _side(chance, width) * step,
        chance.choice([1, 1, 2, 4]), may_turn=chance.random() < 0.3,
    )  # fmt: skip
    over = 12 * step
    room = part.length_nm + over <= length * step and part.width_nm + over <= width * step
    if room and chance.random() < 0.1:
        return replace(part, extra_length_nm=over, extra_width_nm=over, later=True)
    return part


def _side(chance: random.Random, most: int) -> int:
    """Give a side: small parts as often as large ones."""
    return chance.randint(most // 40, chance.choice([most // 8, most // 3, most]))


def _tools(chance: random.Random) -> Tools:
    return replace(
        INCH_TOOLS,
        crosscut_capacity=chance.choice([8, 12]) * INCH,
        rip_capacity=chance.choice([24, 30, 52]) * INCH,
        rail_cut=chance.choice([100, 118]) * INCH,
        sled_capacity=chance.choice([0, 0, 24]) * INCH,
        fence_ratio=chance.choice([Fraction(1), Fraction(1), Fraction(2, 3)]),
    )


def unsafe_at_the_fence(cuts: Json) -> list[int]:
    """Give the cuts at the fence that no rule allows, by number, from the list's JSON alone."""
    tools, found = cuts["tools"], []
    for cut in cuts["cuts"]:
        run, across, setting = (
            Fraction(cut[name]) for name in ("run_mm", "across_mm", "setting_mm")
        )
        short = run < Fraction(tools["fence_edge_mm"])
        short = short or run < across * Fraction(tools["fence_ratio"])
        wide = setting > Fraction(tools["rip_capacity_mm"])
        heavy = cut["too_heavy"] or Fraction(cut["weight_kg"] or 0) > Fraction(
            tools["carry_alone_kg"]
        )
        if cut["tool"] == "table_saw" and (short or wide or heavy):
            found.append(cut["number"])
    return found
