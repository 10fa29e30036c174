"""What differs from operation to operation: effects by partial pooling of past jobs. Pure.

    log(actual ÷ estimate) = m + level of the job + Σ weight × operation + group
                               + first time + helper × share + noise

All effects are normal around what stands below; the posterior is exact, by one Cholesky factor of
the effects with the jobs' levels eliminated one by one, so that its size does not grow with the
jobs. An operation with few hours stays near its group and the shop, one with many near its own
ratio (shrinkage: best linear unbiased prediction of a random effect). After a first solution the
spread of lines and of operations is estimated once, odd lines are trusted less (Student's t with
four degrees), doubtful readings are weighed, and it is solved again.
"""

from collections.abc import Mapping, Sequence
from math import exp, log, pi, sqrt
from operator import mul

from msgspec import Struct, field

from ledger.labor.level import CENTER
from ledger.labor.observations import Observation, OperationPart, PastWork
from ledger.measures.values import replace

NOISE = 0.22**2
OWN = 0.20**2
"""Of a line around its operation, and of an operation around its group, before any job."""
GROUP = 0.10**2
JOB = 0.30**2
FIRST = (log(1.4), 0.15**2)
"""The first of a kind takes 30 to 50 % longer (*common practice, no source*)."""
HELPER = 0.30**2
HALF_LIFE = 24
"""Jobs after which a line counts half (*common practice, no source*: 18 to 24 months)."""
ROUNDED = 0.07
"""Hours: the spread of a time that was rounded to a quarter hour, 0.25 ÷ √12."""
NEIGHBOR = 0.6
"""How likely, before looking, the hours of a line without any stand on a neighbor."""

FIRST_KEY, HELPER_KEY = ("first", ""), ("helper", "")

type Column = tuple[str, str]
type Columns = Sequence[tuple[int, float]]


class Spreads(Struct, frozen=True):
    """Variances of logarithms: the noise of a line, and the effects of operation, group and job."""

    noise: float = NOISE
    own: float = OWN
    group: float = GROUP
    job: float = JOB


class Seen(Struct, frozen=True):
    """A row with one reading: its logarithm, its columns, what it may be off by, its trust."""

    row: Observation
    log: float
    parts: tuple[OperationPart, ...]
    columns: tuple[tuple[int, float], ...]
    doubt: float = 0.0
    trust: float = 1.0
    on_neighbor: float | None = None

    def variance(self, noise: float) -> float:
        """The variance of its logarithm around its effects."""
        longer = 1 + 1.5 * self.row.first
        return line_variance(noise, self.parts, self.row.estimate) * longer + self.doubt


class Effects(Struct, frozen=True):
    """The posterior: an effect a column, their covariance, the spreads they were solved with."""

    index: Mapping[Column, int]
    mean: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    spreads: Spreads
    seen: tuple[tuple[Seen, ...], ...] = field(default=())
    job_levels: tuple[float, ...] = ()

    def value(self, columns: Columns) -> float:
        """The logarithm of actual ÷ estimated hours that the effects add up to."""
        return sum(self.mean[at] * weight for at, weight in columns)

    def columns(
        self, parts: Sequence[OperationPart], helper: float = 0.0, first: float = 0.0
    ) -> tuple[tuple[int, float], ...]:
        """The columns of a line or row; what was never logged has none."""
        return _columns(self.index, parts, helper, first)


def line_variance(noise: float, parts: Sequence[OperationPart], estimate: float) -> float:
    """Noise of a line, and the rounding of its time, which tells little of a tenth of an hour."""
    rounding = (ROUNDED / estimate) ** 2 if estimate > ROUNDED else 1.0
    return noise * sum(part.weight**2 for part in parts) + rounding


def effects_of(jobs: Sequence[PastWork], spreads: Spreads | None = None) -> Effects:
    """Best linear prediction of the effects from past jobs, by given `spreads` or those re-read."""
    index = _index(jobs)
    seen = [[_at_first(row, index) for row in job.rows] for job in jobs]
    solved = _solve(index, seen, spreads or Spreads())
    if spreads is not None or not any(seen):
        return solved
    read = [[_read(one, solved, job) for one in rows] for job, rows in enumerate(seen)]
    scale, own = _spread_of(read, solved)
    noise = solved.spreads.noise * scale
    trusted = [
        [
            replace(one, trust=min(1.0, 5 / (4 + _surprise(one, solved, job) / scale)))
            for one in rows
        ]
        for job, rows in enumerate(read)
    ]
    return _solve(index, trusted, replace(solved.spreads, noise=noise, own=own))


def _index(jobs: Sequence[PastWork]) -> dict[Column, int]:
    operations, groups = set(), set()
    for job in jobs:
        for row in job.rows:
            for part in row.readings[0].parts:
                operations.add(("operation", part.operation))
                groups.add(("group", part.group))
    ordered = [*sorted(operations), *sorted(groups), FIRST_KEY, HELPER_KEY]
    return {key: at for at, key in enumerate(ordered)}


def _columns(
    index: Mapping[Column, int], parts: Sequence[OperationPart], helper: float, first: float
) -> tuple[tuple[int, float], ...]:
    cells: dict[int, float] = {}
    for part in parts:
        for key in (("operation", part.operation), ("group", part.group)):
            if key in index:
                cells[index[key]] = cells.get(index[key], 0.0) + part.weight
    for key, share in ((FIRST_KEY, first), (HELPER_KEY, helper)):
        if share:
            cells[index[key]] = share
    return tuple(sorted(cells.items()))


def _at_first(row: Observation, index: Mapping[Column, int]) -> Seen:
    """A row before anything is known: of two readings the middle, and half their distance."""
    one, other = row.readings[0], row.readings[-1]
    columns = _columns(index, one.parts, row.helper, row.first)
    middle = (one.log + other.log) / 2
    return Seen(row, middle, one.parts, columns, doubt=(one.log - other.log) ** 2 / 4)


def _read(one: Seen, solved: Effects, job: int) -> Seen:
    """A doubtful row read by the odds of its readings, given the other lines of its job."""
    row = one.row
    if len(row.readings) == 1:
        return one
    level = solved.job_levels[job]
    spreads = solved.spreads
    odds = []
    for reading, prior in zip(row.readings, (NEIGHBOR, 1 - NEIGHBOR), strict=True):
        columns = solved.columns(reading.parts, row.helper, row.first)
        off = reading.log - CENTER - level - solved.value(columns)
        squares = sum(part.weight**2 for part in reading.parts)
        variance = line_variance(spreads.noise, reading.parts, row.estimate)
        variance += spreads.own * squares + spreads.group
        odds.append(log(prior) - off * off / variance / 2 - log(2 * pi * variance) / 2)
    chance = 1 / (1 + exp(min(700.0, odds[1] - odds[0])))
    first, second = row.readings
    likelier = first if chance >= 0.5 else second
    return replace(
        one,
        log=chance * first.log + (1 - chance) * second.log,
        parts=likelier.parts,
        columns=solved.columns(likelier.parts, row.helper, row.first),
        doubt=chance * (1 - chance) * (first.log - second.log) ** 2,
        on_neighbor=chance,
    )


def _by_age(one: Seen) -> float:
    return exp(-log(2.0) * one.row.age / HALF_LIFE)


def _precision(one: Seen, noise: float) -> float:
    return _by_age(one) * one.trust / one.variance(noise)


def _surprise(one: Seen, solved: Effects, job: int) -> float:
    off = one.log - CENTER - solved.job_levels[job] - solved.value(one.columns)
    return off * off / one.variance(solved.spreads.noise)


def _spread_of(read: Sequence[Sequence[Seen]], solved: Effects) -> tuple[float, float]:
    """How much noisier than supposed the lines are, and the spread of operations."""
    own = solved.spreads.own
    operations = [at for (kind, _), at in solved.index.items() if kind == "operation"]
    variances = [solved.covariance[at][at] for at in operations]
    freedom = sum(map(bool, read)) + sum(1 - variance / own for variance in variances)
    squares = weights = 0.0
    for job, rows in enumerate(read):
        for one in rows:
            age = _by_age(one)
            squares += age * min(_surprise(one, solved, job), 6.25) / 0.978
            weights += age
    scale = (30 + squares) / (30 + max(1.0, weights - freedom))
    moved = sum(solved.mean[at] ** 2 for at in operations) + sum(variances)
    operation = (10 * OWN + moved) / (10 + len(operations))
    return min(9.0, max(0.2, scale)), min(0.6**2, max(0.05**2, operation))


def _solve(
    index: Mapping[Column, int], seen: Sequence[Sequence[Seen]], spreads: Spreads
) -> Effects:
    """The posterior of the effects, the jobs' levels eliminated one after the other."""
    priors = {"operation": (0.0, spreads.own), "group": (0.0, spreads.group)}
    priors |= {"first": FIRST, "helper": (0.0, HELPER)}
    size = len(index)
    matrix = [[0.0] * size for _ in range(size)]
    right = [0.0] * size
    for (kind, _), at in index.items():
        center, variance = priors[kind]
        matrix[at][at] = 1 / variance
        right[at] = center / variance
    sums = [_add_job(rows, spreads, matrix, right) for rows in seen]
    inverse = _inverse_of_root(_cholesky(matrix))
    covariance = _covariance(inverse)
    mean = tuple(sum(map(mul, row, right)) for row in covariance)
    levels = tuple(
        (total - sum(mean[at] * weight for at, weight in columns.items())) / whole
        for columns, total, whole in sums
    )
    return Effects(index, mean, covariance, spreads, tuple(map(tuple, seen)), levels)


def _add_job(
    rows: Sequence[Seen], spreads: Spreads, matrix: list[list[float]], right: list[float]
) -> tuple[dict[int, float], float, float]:
    """Add a job's rows to the normal equations without its level; give the level's own sums."""
    columns: dict[int, float] = {}
    total, whole = 0.0, 1 / spreads.job
    for one in rows:
        weight = _precision(one, spreads.noise)
        off = one.log - CENTER
        whole += weight
        total += weight * off
        for i, x in one.columns:
            columns[i] = columns.get(i, 0.0) + weight * x
            right[i] += weight * x * off
            for j, z in one.columns:
                if j <= i:
                    matrix[i][j] += weight * x * z
    for i, x in columns.items():
        right[i] -= x * total / whole
        for j, z in columns.items():
            if j <= i:
                matrix[i][j] -= x * z / whole
    return columns, total, whole


def _cholesky(matrix: Sequence[Sequence[float]]) -> list[list[float]]:
    """The lower triangle L with L·Lᵀ = the matrix, of which only the lower triangle is read."""
    lower: list[list[float]] = []
    for i, line in enumerate(matrix):
        row: list[float] = []
        for j in range(i):
            other = lower[j]
            row.append((line[j] - sum(map(mul, row, other))) / other[j])
        row.append(sqrt(line[i] - sum(x * x for x in row)))
        lower.append(row)
    return lower


def _inverse_of_root(lower: Sequence[Sequence[float]]) -> list[list[float]]:
    """The columns of a lower triangle's inverse, each from its diagonal down."""
    size = len(lower)
    inverse = []
    for j in range(size):
        column = [1 / lower[j][j]]
        for row in lower[j + 1 :]:
            at = j + len(column)
            column.append(-sum(map(mul, row[j:at], column)) / row[at])
        inverse.append(column)
    return inverse


def _covariance(inverse: Sequence[Sequence[float]]) -> tuple[tuple[float, ...], ...]:
    """The inverse of L·Lᵀ from the columns of the inverse of L; symmetric to the bit."""
    size = len(inverse)
    full = [[0.0] * size for _ in range(size)]
    for i, column in enumerate(inverse):
        for j in range(i + 1):
            full[i][j] = full[j][i] = sum(map(mul, column, inverse[j][i - j :]))
    return tuple(map(tuple, full))
