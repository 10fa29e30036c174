"""The record of estimates against published values of the binomial, and an independent library."""

import pytest
from scipy.stats import binom, binomtest

from ledger.labor.record import at_least, at_most, exact_interval


# Source: Clopper and Pearson, Biometrika 26, 1934; the values as a public calculator prints them.
@pytest.mark.parametrize(
    ("count", "jobs", "low", "high"), [(3, 20, 0.0321, 0.3789), (42, 100, 0.3220, 0.5229)]
)
def test_the_exact_interval_has_its_published_ends(count, jobs, low, high):
    assert exact_interval(count, jobs) == pytest.approx((low, high), abs=5e-5)


# Source: scipy.stats, an independent implementation.
@pytest.mark.parametrize("jobs", [1, 5, 9, 40])
def test_tails_and_intervals_agree_with_an_independent_library(jobs):
    for count in range(jobs + 1):
        assert at_most(count, jobs, 0.8) == pytest.approx(binom.cdf(count, jobs, 0.8), abs=1e-12)
        assert at_least(count, jobs, 0.8) == pytest.approx(
            binom.sf(count - 1, jobs, 0.8), abs=1e-12
        )
        ends = binomtest(count, jobs).proportion_ci(0.95, method="exact")
        assert exact_interval(count, jobs) == pytest.approx((ends.low, ends.high), abs=1e-9)
