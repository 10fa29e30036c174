"""What a record of past estimates says, and how little a few jobs can tell."""

import pytest

from ledger.labor.record import at_most, record_words, too_few

# Computed: the largest count whose tail at 80 % is 5 % or less, with that tail.
RARE = {
    5: (1, 0.0067), 8: (3, 0.0104), 10: (5, 0.0328), 12: (6, 0.0194), 20: (12, 0.0321),
    40: (27, 0.0432),
}  # fmt: skip


@pytest.mark.parametrize("jobs", RARE)
def test_the_count_from_which_a_record_speaks_against_the_safe_point(jobs):
    count, tail = RARE[jobs]
    assert too_few(jobs) == count
    assert at_most(count, jobs, 0.8) == pytest.approx(tail, abs=5e-5)
    assert "too narrow" in " ".join(record_words(count, jobs))
    assert "too narrow" not in " ".join(record_words(count + 1, jobs))


@pytest.mark.parametrize(
    ("under", "jobs", "is_wide"),
    [(20, 20, True), (19, 20, False), (37, 40, True), (36, 40, False)],
)
def test_a_record_that_is_too_good_says_that_the_range_is_too_wide(under, jobs, is_wide):
    assert ("too wide" in " ".join(record_words(under, jobs))) is is_wide


@pytest.mark.parametrize(("jobs", "power"), [(10, 37), (20, 58), (40, 87)])
def test_a_record_says_how_little_it_can_tell(jobs, power):
    said = " ".join(record_words(round(jobs * 0.8), jobs))
    assert f"{power} shops of 100" in said


def test_few_jobs_are_only_counted():
    assert record_words(0, 0) == []
    assert len(record_words(1, 4)) == 1


def test_a_record_gives_the_shares_it_goes_with():
    """8 of 10: 44.4 to 97.5 in 100, the exact limits at 95 % (Clopper and Pearson, 1934).

    Solved apart from the program from the two binomial tails of 2.5 %.
    """
    assert "anything from 44 to 97 in 100" in " ".join(record_words(8, 10))


@pytest.mark.parametrize(
    ("under", "jobs", "shops"),
    [(1, 5, "1"), (2, 8, "fewer than 1"), (0, 40, "fewer than 1")],  # 0.67, 0.12 and 1.1e-26 %
)
def test_a_chance_below_half_a_shop_in_100_is_no_zero(under, jobs, shops):
    assert f"would happen in {shops} shops of 100" in " ".join(record_words(under, jobs))
