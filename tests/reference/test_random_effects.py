"""Partial pooling and the moving level against published data of statistics."""

from math import log

import pytest

from ledger.labor.effects import Effects, Spreads, effects_of
from ledger.labor.level import CENTER, filtered
from ledger.labor.observations import Observation, OperationPart, PastWork, Reading

NOTHING = 1e-12
"""A variance so small that what it belongs to stays 0."""

# Source: Dyestuff, Davies and Goldsmith, Statistical Methods in Research and Production, 1972; Box
# and Tiao, Bayesian Inference in Statistical Analysis, 1973; also in R's package lme4.
DYESTUFF = {
    "A": (1545, 1440, 1440, 1520, 1580), "B": (1540, 1555, 1490, 1560, 1495),
    "C": (1595, 1550, 1605, 1510, 1560), "D": (1445, 1440, 1595, 1465, 1545),
    "E": (1595, 1630, 1515, 1635, 1625), "F": (1520, 1455, 1450, 1480, 1445),
}  # fmt: skip

# Source: 13 trials of the BCG vaccine, Colditz et al., JAMA 271, 1994, as in R's package metafor
# (dat.bcg): ill and not ill of the vaccinated, ill and not ill of the controls.
BCG = (
    (4, 119, 11, 128), (6, 300, 29, 274), (3, 228, 11, 209), (62, 13536, 248, 12619),
    (33, 5036, 47, 5761), (180, 1361, 372, 1079), (8, 2537, 10, 619), (505, 87886, 499, 87892),
    (29, 7470, 45, 7232), (17, 1699, 65, 1600), (186, 50448, 141, 27197), (5, 2493, 3, 2338),
    (27, 16886, 29, 17825),
)  # fmt: skip


def observed(name: str, value: float, hours: float = 1e9) -> PastWork:
    """One value of an operation, around 0; few hours make it less certain."""
    part = OperationPart(name, "all", 1.0)
    row = Observation(name, hours, hours, (Reading(CENTER + value, (part,)),))
    return PastWork(name, (row,))


def effect(found: Effects, name: str) -> float:
    """The effect of an operation."""
    return found.mean[found.index["operation", name]]


def test_effects_are_shrunk_as_the_published_mixed_model_of_dyestuff_shrinks_them():
    mean = 1527.5
    jobs = [observed(name, value - mean) for name, row in DYESTUFF.items() for value in row]
    found = effects_of(jobs, Spreads(noise=2451.25, own=1764.05, group=NOTHING, job=NOTHING))

    # lme4's conditional modes with REML variances 1764.05 and 2451.25.
    published = (-17.607, 0.391, 28.562, -23.085, 56.733, -44.995)
    assert [effect(found, name) for name in DYESTUFF] == pytest.approx(published, abs=1e-3)
    # Shrunk by 5·1764.05 ÷ (5·1764.05 + 2451.25) = 0.782527.
    assert effect(found, "A") == pytest.approx(0.782527 * (1505 - mean), abs=1e-4)


def test_trials_are_shrunk_as_a_random_effects_meta_analysis_shrinks_them():
    """τ² and mean by DerSimonian and Laird (1986), as metafor prints them."""
    ratios = [log(a / (a + b) * (c + d) / c) for a, b, c, d in BCG]
    doubts = [1 / a - 1 / (a + b) + 1 / c - 1 / (c + d) for a, b, c, d in BCG]
    fixed = sum(y / v for y, v in zip(ratios, doubts, strict=True)) / sum(1 / v for v in doubts)
    assert fixed == pytest.approx(-0.4303, abs=5e-5)
    between, mean = 0.308760, -0.714117
    weights = [1 / (between + doubt) for doubt in doubts]
    pooled = sum(w * y for w, y in zip(weights, ratios, strict=True)) / sum(weights)
    assert pooled == pytest.approx(-0.7141, abs=5e-5)

    jobs = [
        observed(str(number), ratio - mean, hours=0.07 / doubt**0.5)
        for number, (ratio, doubt) in enumerate(zip(ratios, doubts, strict=True))
    ]
    found = effects_of(jobs, Spreads(noise=NOTHING, own=between, group=NOTHING, job=NOTHING))

    assert mean + effect(found, "0") == pytest.approx(-0.799391, abs=1e-5)
    assert mean + effect(found, "3") == pytest.approx(-1.397277, abs=1e-5)


def test_the_level_of_the_nile_is_filtered_as_published():
    """Source: Durbin and Koopman, Time Series Analysis by State Space Methods, 2nd ed., §2.2.5."""
    nile = {"mean": 0.0, "variance": 1e7, "spread": 15099.0, "step": 1469.1, "freedom": 1e9}
    flow = [(1120.0, 0.0), (1160.0, 0.0), (963.0, 0.0)]
    found = [filtered(flow[: years + 1], **nile)[0].mean for years in range(3)]
    steady, _ = filtered(flow * 60, **nile)

    assert found == pytest.approx([1118.3115, 1140.1084, 1072.3160], abs=1e-4)
    assert steady.variance == pytest.approx(5501.2579, abs=1e-4)
    assert steady.gains[-1] == pytest.approx(0.267048, abs=1e-6)
