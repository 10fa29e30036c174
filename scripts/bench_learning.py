"""How well the program learns: a thousand invented workshops, their hours drawn from known laws.

Each workshop has its own bias against the starting standards and, around it, one for every
operation; every line and every job adds its own noise. All are normal on the logarithm of the
hours:

    log(actual ÷ estimate) = b + bₖ + j + e
    b  ~ N(0.12, 0.10) a workshop      bₖ ~ N(0, 0.25) an operation
    j  ~ N(0, 0.08) a job              e  ~ N(0, 0.20) a line

After 0, 3, 5, 10 and 20 closed jobs the program's own code predicts the next one. Told are the mean
error of its 50 % point, |log(actual ÷ predicted)|, and how many actuals stayed under the 80 % and
95 % points. The residuals behind a range are those of each past job predicted without itself.

Reach: after 10 jobs at most half the error of none; under the 80 % point between 75 and 88 % of the
actuals from 3 jobs on. Same seed, same table.
"""

import random
import sys
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from math import exp, log
from statistics import mean
from typing import NamedTuple

from ledger.labor.estimate import estimate_line, total_hours
from ledger.labor.learning import History, by_ratio, predict
from ledger.labor.observations import Lesson
from ledger.labor.standards import starting_standards

SEED = 2025
WORKSHOPS = 1000
AFTER = (0, 3, 5, 10, 20)
SHAPES = 60
FIRST_DAY = date(2023, 1, 2)

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

type Shape = list[tuple[str, str, Decimal]]


class Guess(NamedTuple):
    """One prediction beside what the job took: the error, and whether the points held."""

    error: float
    under_80: bool
    under_95: bool


def shapes(dice: random.Random) -> list[Shape]:
    """Invented jobs: operation, group and hours by the starting standards."""
    operations = {row.code: row for row in starting_standards()}
    found = []
    for _ in range(SHAPES):
        size = dice.random()
        found.append(
            [
                (code, operations[code].group, estimate_line(operations[code], count).estimate)
                for code, (often, low, high) in COUNTS.items()
                if dice.randrange(10) < often
                and (count := Fraction(round(low + (high - low) * size * dice.uniform(0.6, 1.0))))
            ]
        )
    return found


class Workshop:
    """One invented workshop: the same biases in all its jobs."""

    def __init__(self, dice: random.Random) -> None:
        self.dice = dice
        own = dice.gauss(0.12, 0.10)
        self.bias = {code: own + dice.gauss(0.0, 0.25) for code in COUNTS}

    def build(self, number: int, shape: Shape) -> list[Lesson]:
        """A job as it was really built, to the minute."""
        job_noise = self.dice.gauss(0.0, 0.08)
        day = FIRST_DAY + timedelta(weeks=3 * number)
        return [
            Lesson(f"J-{number}", day, code, group, hours, self._minutes(code, hours, job_noise))
            for code, group, hours in shape
        ]

    def _minutes(self, code: str, hours: Decimal, job_noise: float) -> int:
        off = self.bias[code] + job_noise + self.dice.gauss(0.0, 0.20)
        return max(1, round(float(hours) * 60 * exp(off)))


def guess(history: History, job: list[Lesson]) -> Guess:
    """Predict a job from the history, and look at what it took."""
    predicted = total_hours(
        by_ratio(line.estimate, history.ratio(line.operation, line.group)) for line in job
    )
    points = predict(predicted, history.residuals())
    actual = Fraction(sum(line.minutes for line in job), 60)
    error = abs(log(actual / Fraction(points.p50)))
    return Guess(error, actual <= points.p80, actual <= points.p95)


def simulate(seed: int = SEED, workshops: int = WORKSHOPS) -> dict[int, list[Guess]]:
    """The guesses of all workshops after each number of jobs."""
    dice = random.Random(seed)
    pool = shapes(dice)
    found: dict[int, list[Guess]] = {count: [] for count in AFTER}
    for _ in range(workshops):
        workshop = Workshop(dice)
        jobs = [workshop.build(number, dice.choice(pool)) for number in range(max(AFTER) + 1)]
        for count in AFTER:
            past = [lesson for job in jobs[:count] for lesson in job]
            found[count].append(guess(History(past), jobs[-1]))
    return found


def main() -> int:
    """Run the simulation, print its table and say whether the reach is met."""
    found = simulate()
    none = mean(one.error for one in found[0])
    print(f"{WORKSHOPS} invented workshops, seed {SEED}")
    print("jobs   error   of none   under 80 % point   under 95 % point")
    shares = {}
    for count, guesses in found.items():
        error = mean(one.error for one in guesses)
        shares[count] = mean(one.under_80 for one in guesses)
        under_95 = mean(one.under_95 for one in guesses)
        print(f"{count:4} {error:7.1%} {error / none:9.2f} {shares[count]:18.1%} {under_95:18.1%}")
    half = mean(one.error for one in found[10]) <= none / 2
    held = all(0.75 <= shares[count] <= 0.88 for count in AFTER if count >= 3)
    print(f"error after 10 jobs at most half of none: {'met' if half else 'missed'}")
    print(f"80 % point holds for 75 to 88 % from 3 jobs on: {'met' if held else 'missed'}")
    return 0 if half and held else 1


if __name__ == "__main__":
    sys.exit(main())
