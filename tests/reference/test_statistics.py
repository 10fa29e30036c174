"""Student-t and the normal belief against published values and an independent library."""

import pytest
from scipy.stats import t

from ledger.labor.statistics import NOTHING, Belief, learn, student_t

# Source: OpenStax, Introductory Statistics 2e, §8.2, first worked sample.
HOURS = [8.6, 9.4, 7.9, 6.8, 8.3, 7.3, 9.2, 9.6, 8.7, 11.4, 10.3, 5.4, 8.1, 5.5, 6.9]
# Source: OpenStax, Introductory Statistics 2e, §8.2, second worked sample.
MERCURY = [79, 145, 147, 160, 116, 100, 159, 151, 156, 126]
MERCURY += [137, 83, 156, 94, 121, 144, 123, 114, 139, 99]


def mean_interval(sample, share):
    """The interval of the mean, from the belief that starts from nothing."""
    belief = learn(NOTHING, sample)
    reach = student_t((1 + share) / 2, belief.freedom) * (belief.variance / belief.weight) ** 0.5
    return belief.center - reach, belief.center + reach


def test_the_sample_of_fifteen_has_its_published_mean_spread_and_interval():
    belief = learn(NOTHING, HOURS)

    assert belief.center == pytest.approx(8.226667, abs=5e-7)
    assert belief.variance**0.5 == pytest.approx(1.672238, abs=5e-7)
    assert mean_interval(HOURS, 0.95) == pytest.approx((7.3006, 9.1527), abs=5e-5)


def test_the_sample_of_twenty_has_its_published_mean_spread_and_interval():
    belief = learn(NOTHING, MERCURY)

    assert belief.center == pytest.approx(127.45)
    assert belief.variance**0.5 == pytest.approx(25.9645, abs=5e-5)
    assert mean_interval(MERCURY, 0.90) == pytest.approx((117.41, 137.49), abs=5e-3)


@pytest.mark.parametrize(
    ("sample", "share", "low", "high"),
    [(HOURS, 0.95, 4.522448, 11.930885), (MERCURY, 0.90, 81.445219, 173.454781)],
    ids=["fifteen", "twenty"],
)
def test_the_next_value_lies_in_the_predictive_interval(sample, share, low, high):
    # m ± t·s·√(1 + 1/n), computed from the published samples.
    belief = learn(NOTHING, sample)

    assert belief.point((1 - share) / 2) == pytest.approx(low, abs=1e-6)
    assert belief.point((1 + share) / 2) == pytest.approx(high, abs=1e-6)


def test_the_next_value_of_the_sample_of_fifteen_stays_under_its_eighty_percent_point():
    assert learn(NOTHING, HOURS).point(0.80) == pytest.approx(9.725867, abs=1e-6)


# Source of the update: Gelman et al., Bayesian Data Analysis, 3rd ed., §3.3 (from memory); the case
# is worked by hand: prior 20 h, weight 1, freedom 2, variance 16; builds of 22, 26 and 30 h.
PRIOR = Belief(center=20.0, weight=1.0, freedom=2, variance=16.0)


def test_three_builds_move_the_prior_as_worked_by_hand():
    belief = learn(PRIOR, [22.0, 26.0, 30.0])

    assert (belief.weight, belief.freedom) == (4, 5)
    assert belief.center == pytest.approx(24.5)
    assert belief.variance * belief.freedom == pytest.approx(91)
    assert belief.point(0.5) == pytest.approx(24.5)
    assert belief.point(0.8) == pytest.approx(28.885944, abs=1e-6)
    assert belief.point(0.05) == pytest.approx(14.888832, abs=1e-6)
    assert belief.point(0.95) == pytest.approx(34.111168, abs=1e-6)


def test_no_build_leaves_the_prior():
    assert learn(PRIOR, []) is PRIOR


def test_one_build_far_off_widens_the_range():
    one = learn(PRIOR, [40.0])

    assert one.point(0.95) - one.point(0.05) > PRIOR.point(0.95) - PRIOR.point(0.05)


# Source: the t table of OpenStax, Introductory Statistics 2e, and any other: .975, .95, .80.
TABLE = {
    1: (12.7062, 6.3138, 1.376382),
    2: (4.3027, 2.9200, 1.060660),
    3: (3.1824, 2.3534, 0.978472),
    5: (2.5706, 2.0150, 0.919544),
    10: (2.2281, 1.8125, 0.879058),
    14: (2.1448, 1.7613, 0.868055),
    30: (2.0423, 1.6973, 0.853767),
}


@pytest.mark.parametrize("freedom", TABLE)
def test_the_printed_table_of_t_is_met(freedom):
    points = [student_t(share, freedom) for share in (0.975, 0.95, 0.80)]

    assert points == pytest.approx(TABLE[freedom], abs=5e-5)


# Source: scipy.stats.t, an independent implementation.
@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 7, 20, 45, 101, 1000])
def test_the_quantiles_agree_with_an_independent_library(freedom):
    for share in (0.01, 0.2, 0.5, 0.6, 0.8, 0.9, 0.95, 0.975, 0.995):
        assert student_t(share, freedom) == pytest.approx(t.ppf(share, freedom), rel=1e-9, abs=1e-9)


# Common practice, no source: a probability lies between 0 and 1.
@pytest.mark.parametrize(("share", "freedom"), [(0, 3), (1, 3), (0.8, 0), (1.2, 3)])
def test_what_is_no_point_of_t_is_refused(share, freedom):
    with pytest.raises(ValueError, match="no such point"):
        student_t(share, freedom)
