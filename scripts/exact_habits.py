"""What nobody can beat on invented shops of the usual kind: two readers who know their laws.

The first learns the shop's habits from the same past jobs, by the exact posterior with the true
spreads; the second knows the habits themselves. What errors are left to them are the jobs' own.
"""

from collections.abc import Sequence
from math import exp, log

import numpy as np
from invented_shops import OPERATIONS, USUAL, BuiltJob

AT = {code: at for at, code in enumerate(OPERATIONS)}
SHOP = len(AT)
"""The column of the shop's own habit, behind those of its operations."""


def error_of_exact(past: Sequence[BuiltJob], job: BuiltJob) -> float:
    """|log(actual ÷ typical)| of the posterior of log(actual ÷ estimate) = shop + own + job + line.

    The total's typical point is that of the log-normal with the mean and variance of the sum.
    """
    precision = np.diag([1 / USUAL.own**2] * SHOP + [1 / USUAL.shop**2])
    right = np.zeros(SHOP + 1)
    right[SHOP] = USUAL.bias / USUAL.shop**2
    for one in past:
        columns, estimates = _lines(one)
        minutes = np.array([float(line.minutes) for line in one.lessons])
        inverse = np.linalg.inv(_noise(len(estimates)))
        precision += columns.T @ inverse @ columns
        right += columns.T @ inverse @ np.log(minutes / 60 / estimates)
    covariance = np.linalg.inv(precision)
    columns, estimates = _lines(job)
    spread = columns @ covariance @ columns.T + _noise(len(estimates))
    means = estimates * np.exp(columns @ covariance @ right + np.diag(spread) / 2)
    second = float((np.outer(means, means) * np.exp(spread)).sum())
    whole = float(means.sum())
    return abs(log(job.hours / (whole * exp(-log(second / whole**2) / 2))))


def error_of_known(job: BuiltJob) -> float:
    """|log(actual ÷ foretold)| of somebody who knows all the shop's habits."""
    return abs(log(job.hours / job.known))


def _lines(job: BuiltJob) -> tuple[np.ndarray, np.ndarray]:
    """The columns of a job's lines, a row each, and their hours by the standard."""
    columns = np.zeros((len(job.lessons), SHOP + 1))
    columns[:, SHOP] = 1
    for row, line in enumerate(job.lessons):
        columns[row, AT[line.operation]] = 1
    return columns, np.array([float(line.estimate) for line in job.lessons])


def _noise(lines: int) -> np.ndarray:
    return np.eye(lines) * USUAL.line**2 + USUAL.job**2
