"""What the shop's own hours teach: ratios with an hour of prior, and what is left out of them."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.labor.learning import (
    History,
    Learned,
    by_ratio,
    factors,
    learned_ratio,
    predict,
)
from ledger.labor.observations import Lesson
from ledger.measures.rounding import half_up


def lesson(estimate="2.00", minutes=150, **more):
    facts = {"job": "J-1", "day": date(2025, 1, 10), "operation": "SND", "group": "finish"}
    return Lesson(**facts | {"estimate": Decimal(estimate), "minutes": minutes} | more)


def test_without_hours_the_ratio_is_one_and_says_that_no_job_stands_behind_it():
    assert learned_ratio([]) == Learned(Fraction(1), None, 0, Decimal("0.00"), 0)


def test_one_hour_of_prior_keeps_a_single_job_from_rewriting_a_standard():
    learned = learned_ratio([lesson()])

    assert learned.raw == Fraction(5, 4)
    assert learned.ratio == Fraction(7, 6)  # (2.5 + 1) ÷ (2 + 1)
    assert learned.jobs == 1


def test_what_is_left_out_teaches_nothing_and_is_not_predicted():
    rework = lesson(minutes=900, left_out="first of its kind")
    history = History([lesson(), rework, lesson(job="J-2", left_out="first of its kind")])

    assert history.learned("SND") == learned_ratio([lesson()])
    assert [residual.job for residual in history.residuals()] == ["J-1"]


def test_a_mark_sets_aside_what_was_done_before_it_for_that_operation_only():
    early, late = lesson(), lesson(job="J-2", day=date(2025, 3, 1), minutes=120)
    other = lesson(operation="SPR")

    history = History([early, late, other], {"SND": date(2025, 3, 1)})

    assert history.learned("SND") == learned_ratio([late])
    assert history.learned("SPR").jobs == 1
    assert history.lessons[0].left_out == "before the mark of 2025-03-01"


def test_minutes_split_from_a_group_teach_the_group_alone():
    split = lesson(split=True, minutes=240)
    history = History([split, lesson(job="J-2")])

    assert history.learned("SND").jobs == 1
    assert history.learned("finish") == learned_ratio([split])


def test_a_group_stands_in_only_for_operations_without_hours_of_their_own():
    history = History([lesson(split=True, minutes=240), lesson(job="J-2")])

    assert history.ratio("SND", "finish") == Fraction(7, 6)
    assert history.ratio("SPR", "finish") == Fraction(5, 3)  # (4 + 1) ÷ (2 + 1)
    assert history.ratio("RIP", "cutting") is None


def test_a_past_job_is_predicted_from_the_others_alone():
    history = History([lesson(minutes=150), lesson(job="J-2", minutes=90)])

    first, second = history.residuals()

    assert (first.predicted, first.minutes) == (Decimal("1.67"), 150)  # 2.00 × 2.5 ÷ 3
    assert (second.predicted, second.minutes) == (Decimal("2.33"), 90)  # 2.00 × 3.5 ÷ 3


@pytest.mark.parametrize(("ratio", "hours"), [(None, "4.67"), (Fraction(24, 18), "6.23")])
def test_hours_without_a_ratio_stay_as_they_are(ratio, hours):
    assert by_ratio(Decimal("4.67"), ratio) == Decimal(hours)


def test_with_no_history_the_eighty_percent_point_stands_a_fifth_above():
    range_ = predict(Decimal("100.00"), [])

    assert (range_.p50, range_.p80) == (Decimal("100.00"), Decimal("120.00"))
    assert range_.jobs == 0


def test_one_job_far_off_widens_the_range_instead_of_closing_it():
    off = [replace(History([lesson(minutes=360)]).residuals()[0])]

    assert factors(off)[2] / factors(off)[0] > factors([])[2] / factors([])[0]


@given(st.lists(st.integers(min_value=10, max_value=600), min_size=1, max_size=12))
def test_the_ratio_lies_between_one_and_the_raw_ratio(minutes):
    learned = learned_ratio([lesson(minutes=m, job=f"J-{n}") for n, m in enumerate(minutes)])

    assert min(1, learned.raw) <= learned.ratio <= max(1, learned.raw)
    assert learned.jobs == len(minutes)


@given(st.lists(st.integers(min_value=30, max_value=400), max_size=8))
def test_the_points_of_a_range_stand_in_order(minutes):
    rows = [lesson(minutes=m, job=f"J-{n}") for n, m in enumerate(minutes)]
    range_ = predict(Decimal("65.79"), History(rows).residuals())

    assert range_.p50 <= range_.p80 <= range_.p95


# The invented workshop's five jobs: raw ratio, ratio with an hour of prior.
RATIOS = {
    "DES": "1.33 1.31", "MTG": "1.18 1.16", "ADM": "1.27 1.25", "PUP": "1.21 1.19",
    "SHT": "1.09 1.08", "RIP": "0.98 0.98", "XW": "1.13 1.10", "XN": "0.88 0.91",
    "RAB": "1.20 1.12", "MIL": "1.10 1.07", "EBA": "1.26 1.20", "EBT": "1.38 1.27",
    "SOL": "1.08 1.07", "PKT": "0.88 0.92", "DWL": "1.04 1.03", "PIN": "0.87 0.92",
    "MIT": "1.85 1.49", "ASM": "1.14 1.12", "DRW": "1.26 1.20", "HWS": "0.99 0.99",
    "SND": "1.26 1.24", "SBC": "1.18 1.15", "SPR": "0.92 0.93", "SPS": "1.20 1.19",
    "PAK": "0.90 0.93", "DLV": "1.13 1.12", "INS": "1.06 1.06",
}  # fmt: skip


@pytest.mark.parametrize("code", RATIOS)
def test_the_five_past_jobs_teach_their_ratios(lessons, code):
    learned = History(lessons).learned(code)

    assert f"{half_up(learned.raw, 2)} {half_up(learned.ratio, 2)}" == RATIOS[code]


def test_the_five_past_jobs_were_underestimated_by_16_percent_in_all(lessons):
    learned = learned_ratio(lessons)

    assert half_up(learned.raw, 2) == Decimal("1.16")


def test_the_range_from_the_five_past_jobs(lessons):
    points = factors(History(lessons).residuals())

    assert [f"{point:.3f}" for point in points] == ["1.024", "1.107", "1.207"]
