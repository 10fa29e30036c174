"""Invented workshops for the bench of learning: laws from which their hours are drawn.

The first kind: a bias of the shop, one for every operation around it, noise of every job and line,
all normal on the logarithm of the hours. The second kind has another structure: set-up and unit
times are wrong each for themselves, so that a ratio depends on the size; groups go together; the
first three jobs are slow; noise has heavy tails and is larger on small lines; times are rounded to
a tenth or a quarter hour; some groups are noted on one line; the shop wanders slowly.
"""

import random
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from itertools import groupby
from math import exp, log
from typing import NamedTuple

from ledger.labor.estimate import standard_hours
from ledger.labor.observations import NOT_LOGGED, Lesson
from ledger.labor.standards import starting_standards

SHAPES = 60
FIRST_DAY = date(2020, 1, 6)

# Operation: how often a job has it (of ten), and the smallest and largest count (invented).
COUNTS = {
    "DES": (10, 8, 22), "MTG": (10, 1, 3), "ADM": (10, 1, 1), "PUP": (10, 1, 2),
    "SHT": (10, 2, 12), "RIP": (10, 6, 36), "XW": (9, 2, 22), "XN": (10, 12, 90),
    "RAB": (6, 6, 30), "MIL": (5, 2, 8), "EBA": (8, 8, 130), "EBT": (8, 8, 130),
    "SOL": (5, 8, 30), "PKT": (8, 10, 110), "DWL": (5, 8, 40), "PIN": (4, 30, 200),
    "MIT": (1, 2, 6), "ASM": (10, 10, 55), "DRW": (4, 1, 4), "HWB": (1, 1, 1),
    "HWS": (9, 2, 16), "SND": (10, 40, 290), "SBC": (10, 80, 580), "SPR": (10, 120, 870),
    "SPS": (10, 2, 4), "PAK": (10, 1, 18), "DLV": (10, 1, 4), "INS": (4, 3, 12),
}  # fmt: skip
OPERATIONS = {row.code: row for row in starting_standards() if row.code in COUNTS}


class Done(NamedTuple):
    """One operation of an invented job: its hours by the standard, and what of them is set-up."""

    code: str
    group: str
    estimate: Decimal
    setup: float


class BuiltJob(NamedTuple):
    """A job as the book has it, what it really took, and its hours of rework.

    `known` are the hours that somebody would foretell who knew all the shop's habits.
    """

    lessons: list[Lesson]
    hours: float
    rework: float
    known: float


@dataclass(frozen=True)
class Law:
    """The laws of one kind of shop; spreads are of logarithms.

    In a shop of the second kind the first `slow_jobs` jobs take 12 % longer than all later ones.
    """

    bias: float = 0.12
    shop: float = 0.10
    own: float = 0.25
    job: float = 0.08
    line: float = 0.20
    drift: float = 0.0
    has_step: bool = False
    lumped: float = 0.0
    lost: float = 0.0
    outlier: float = 0.0
    rework: float = 0.0
    is_second_kind: bool = False
    slow_jobs: int = 3


USUAL = Law()
GOOD = replace(USUAL, bias=0.0, shop=0.0)
OPTIMIST = replace(USUAL, bias=0.30, shop=0.15)
SECOND = Law(bias=0.15, shop=0.15, own=0.20, line=0.16, lumped=0.15, lost=0.01, rework=0.024,
             is_second_kind=True)  # fmt: skip
STEADY_SECOND = replace(SECOND, slow_jobs=0)
STRESS = {
    "drift": replace(USUAL, drift=-0.015),
    "step": replace(USUAL, has_step=True),
    "lumped": replace(USUAL, lumped=0.30),
    "lost": replace(USUAL, lost=0.06),
    "outlier": replace(USUAL, outlier=0.08),
    "noisy": replace(USUAL, job=0.16, line=0.40),
    "rework": replace(USUAL, rework=0.024),
}


def shapes(dice: random.Random) -> list[list[Done]]:
    """Invented jobs, by the starting standards."""
    return [_shape(dice, dice.random()) for _ in range(SHAPES)]


def _shape(dice: random.Random, size: float) -> list[Done]:
    lines = []
    for code, (often, low, high) in COUNTS.items():
        if dice.randrange(10) >= often:
            continue
        count = Fraction(round(low + (high - low) * size * dice.uniform(0.6, 1.0)))
        row = OPERATIONS[code]
        hours = standard_hours(row, count).estimate
        if hours:
            lines.append(Done(code, row.group, hours, float(row.setup) / 60 / float(hours)))
    return lines


class Workshop:
    """One invented workshop: the same habits in all its jobs."""

    def __init__(self, dice: random.Random, law: Law) -> None:
        self.dice, self.law = dice, law
        self.bias = dice.gauss(law.bias, law.shop)
        groups = {row.group: dice.gauss(0, 0.18) for row in OPERATIONS.values()}
        self.own = {
            code: dice.gauss(0, law.own) + (groups[row.group] if law.is_second_kind else 0)
            for code, row in OPERATIONS.items()
        }
        self.setup = {code: dice.gauss(0, 0.25) for code in OPERATIONS}
        self.step = (dice.randrange(2, 18), dice.choice((-0.3, 0.2)))
        self.rounding = dice.choice((0.10, 0.25))

    def build(self, number: int, shape: list[Done]) -> BuiltJob:
        """A job as it was really built, and as it was noted."""
        law, dice = self.law, self.dice
        level = self.bias + dice.gauss(0, law.job) + law.drift * number
        if law.has_step and number >= self.step[0]:
            level += self.step[1]
        if law.outlier and dice.random() < law.outlier:
            level += log(1.6)
        if law.is_second_kind:
            self.bias += dice.gauss(0, 0.015)
            level += 0.12 if number < law.slow_jobs else 0.0
        took = {line.code: self._hours(line, level) for line in shape}
        work = sum(took.values())
        rework = work * self._reworked() if law.rework else 0.0
        noise = exp(law.line**2 / 2 + self.bias)
        known = sum(float(line.estimate) * exp(self.own[line.code]) * noise for line in shape)
        return BuiltJob(self._noted(number, shape, took), work, rework, known)

    def _hours(self, line: Done, level: float) -> float:
        noise = self.dice.gauss(0, self.law.line)
        hours = float(line.estimate)
        if not self.law.is_second_kind:
            return hours * exp(level + self.own[line.code] + noise)
        noise *= 1 + 0.5 / (0.5 + hours)
        if self.dice.random() < 0.05:
            noise *= 2.5
        wrong = line.setup * exp(self.setup[line.code]) + 1 - line.setup
        return hours * wrong * exp(level + self.own[line.code] + noise)

    def _reworked(self) -> float:
        """The share of a job's work that is done again: nothing mostly, now and then much."""
        return self.dice.expovariate(1 / (self.law.rework * 2.5)) * (self.dice.random() < 0.4)

    def _noted(self, number: int, shape: list[Done], took: dict[str, float]) -> list[Lesson]:
        noted = dict(took)
        for code in took:
            if self.dice.random() < self.law.lost:
                noted[code] = 0.0
        for _, lines in groupby(shape, lambda line: line.group):
            codes = [line.code for line in lines]
            if len(codes) > 1 and self.dice.random() < self.law.lumped:
                most = max(codes, key=lambda code: took[code])
                whole = sum(noted[code] for code in codes)
                noted |= {code: whole if code == most else 0.0 for code in codes}
        day = FIRST_DAY + timedelta(weeks=3 * number)
        return [
            Lesson(f"J-{number:03}", day, line.code, line.group, line.estimate,
                   self._minutes(noted[line.code]),
                   left_out="" if self._minutes(noted[line.code]) else NOT_LOGGED)
            for line in shape
        ]  # fmt: skip

    def _minutes(self, hours: float) -> int:
        if not hours:
            return 0
        if self.law.is_second_kind:
            return max(1, round(hours / self.rounding)) * round(self.rounding * 60)
        return max(1, round(hours * 60))


def jobs_of(law: Law, dice: random.Random, pool: list[list[Done]], count: int) -> list[BuiltJob]:
    """The jobs of one invented workshop, oldest first."""
    shop = Workshop(dice, law)
    return [shop.build(number, dice.choice(pool)) for number in range(count)]


def mixed(dice: random.Random) -> Law:
    """A good, a usual or an optimist's shop, each as likely."""
    return dice.choice((GOOD, USUAL, OPTIMIST))


type Choose = Callable[[random.Random], Law]


def always(law: Law) -> Choose:
    """Shops of one law."""
    return lambda _: law
