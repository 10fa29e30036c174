"""The forecast of hours: worked values to six digits, and what holds for every history."""

import random
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from math import isfinite, log

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import t

from ledger.labor.effects import Spreads, effects_of
from ledger.labor.forecast import Forecast, student_under
from ledger.labor.hours_range import typical_lines
from ledger.labor.level import CENTER, filtered, levels
from ledger.labor.observations import (
    ELSEWHERE,
    FIRST_TIME,
    FORGOTTEN,
    NOT_COUNTED,
    NOT_DONE,
    NOT_LOGGED,
    TOTAL_ALONE,
    Lesson,
    Planned,
    at_level,
    past_work,
    unbelieved,
)
from ledger.labor.record import replay
from ledger.measures.values import replace

POINTS = (0.50, 0.80, 0.95)
DAY = date(2025, 1, 10)


def lesson(operation="A", estimate="8.00", hours=12.0, job="J-1", group="g", **more):
    facts = {"job": job, "day": DAY, "operation": operation, "group": group}
    facts |= {"estimate": Decimal(estimate), "minutes": round(hours * 60)}
    return Lesson(**facts | more)


def points(forecast, lines, *, has_rework=False):
    spread = forecast.hours(lines, has_rework=has_rework)
    return [spread.point(share) for share in POINTS]


def effects(found):
    return {name or kind: found.mean[at] for (kind, name), at in found.index.items()}


# The values of these first tests were worked out apart from this code.


def test_without_a_job_one_line_has_the_published_points():
    found = points(Forecast(()), [Planned("A", "g", 10.0)])

    assert found == pytest.approx([11.423894, 16.035439, 23.278002], abs=1e-6)


def test_without_a_job_two_groups_balance_each_other_and_rework_comes_on_top():
    lines = [Planned("A", "g", 10.0), Planned("B", "h", 5.0)]

    assert points(Forecast(()), lines) == pytest.approx([17.515157, 23.243734, 31.781462], abs=1e-6)
    assert points(Forecast(()), lines, has_rework=True) == pytest.approx(
        [18.026185, 23.975922, 32.860953], abs=1e-6
    )


def test_one_line_of_one_job_is_shared_by_operation_group_and_job():
    found = effects_of(past_work([lesson()]), Spreads())

    # T = .04 + .01 + .09 + 0.0484766; each takes its part of ln 1.5 − 0.133122.
    assert effects(found)["A"] == pytest.approx(0.057799, abs=1e-6)
    assert effects(found)["g"] == pytest.approx(0.014450, abs=1e-6)
    assert found.job_levels[0] == pytest.approx(0.130047, abs=1e-6)


def test_two_lines_of_one_job_part_what_is_theirs_and_what_the_job_did():
    jobs = past_work([lesson(), lesson("B", "4.00", 4.4)])
    found = effects_of(jobs, Spreads())
    forecast = Forecast(jobs, effects=found)

    assert effects(found)["A"] == pytest.approx(0.086322, abs=1e-6)
    assert effects(found)["B"] == pytest.approx(-0.053759, abs=1e-6)
    assert effects(found)["g"] == pytest.approx(0.008141, abs=1e-6)
    assert found.job_levels[0] == pytest.approx(0.073266, abs=1e-6)
    assert points(forecast, [Planned("A", "g", 8.0), Planned("B", "g", 4.0)]) == pytest.approx(
        [15.378326, 19.377875, 25.090910], abs=1e-6
    )


def total(hours, *counted, job="J-1"):
    """A job whose hours are known in all, with lines that have an estimate only."""
    lines = [lesson(code, estimate, 0.0, job, left_out=TOTAL_ALONE) for code, estimate in counted]
    return [*lines, lesson("", "0.00", hours, job, "", left_out=TOTAL_ALONE)]


def test_a_total_with_counts_moves_the_level_as_one_line_and_no_operation():
    jobs = past_work(total(15.0, ("A", "10.00")))
    forecast = Forecast(jobs, {"J-1": 0.0})

    # ln(15 ÷ 10) of variance 0.098449, as the range of such a line before any job.
    held = levels([(log(1.5), 0.098449)])
    assert forecast.level == pytest.approx(sum(one.weight * one.mean for one in held), abs=1e-9)
    assert forecast.level > CENTER
    assert effects(forecast.effects).keys() == {"first", "helper"}
    assert forecast.rework_mean == Forecast(()).rework_mean


def test_a_total_leaves_operations_and_their_spread_as_other_jobs_taught_them():
    apart = [
        lesson("AB"[at % 2], hours=6.0 + at, job=f"J-{1 + at // 2}") for at in range(12)
    ]  # more lines than the effects and levels that they are spent on
    before = [
        replace(one, day=DAY - timedelta(days=9))
        for one in total(40.0, ("A", "8.00"), ("B", "8.00"), job="J-0")
    ]
    jobs = past_work([*apart, *before])

    taught, alone = effects_of(jobs), effects_of(past_work(apart))
    assert [job.job for job in jobs] == [f"J-{at}" for at in range(7)]
    assert effects(taught) == pytest.approx(effects(alone), abs=1e-12)
    assert taught.spreads == alone.spreads


def test_rework_is_in_a_total_that_does_not_tell_it_apart():
    jobs = past_work(total(15.0, ("A", "10.00")))

    assert Forecast(jobs).level < Forecast(jobs, {"J-1": 0.0}).level


def test_a_total_without_counts_or_far_from_them_teaches_nothing():
    assert past_work(total(15.0)) == ()
    far = total(90.0, ("A", "10.00"))
    assert past_work(far) == ()
    assert [one.words for one in unbelieved(far)] == ["J-1 in all, 90.00 h against 10.00 h"]


def test_hours_of_a_pooled_group_that_nobody_believes_are_named():
    group = [
        lesson("A", "0.30", 30.0, split=True), lesson("B", "0.30", 30.0, split=True), lesson("C"),
    ]  # fmt: skip
    rows = [replace(one, group="h") if one.operation == "C" else one for one in group]

    found = [one.words for one in unbelieved(rows)]
    assert found == ["J-1 A, 30.00 h against 0.30 h", "J-1 B, 30.00 h against 0.30 h"]
    lumped = [lesson("A", "0.30", 2.0), lesson("B", "0.30", 0.0, left_out=NOT_LOGGED)]
    assert unbelieved(lumped) == ()  # 2.00 h against 0.60 h can be
    beyond = [lesson("", "0.00", 8.0, group="h", left_out=NOT_COUNTED),
              lesson("B", "0.30", 0.0, group="h", left_out=NOT_LOGGED)]  # fmt: skip
    assert [one.group for one in unbelieved(beyond)] == ["h"]


def test_work_that_stands_alone_is_told_from_where_the_shop_stands():
    (job,) = at_level(past_work([lesson("A", "8.00", 12.0)]), level=0.3, center=0.05)
    ((row,),) = [[one.log for one in row.readings] for row in job.rows]

    # log of 12 ÷ 8, less the shop's level, and the usual center put back
    assert row == pytest.approx(0.405465108 - 0.3 + 0.05)


def test_repairs_stand_behind_repairs_and_leave_the_rest_published():
    alone = past_work([lesson("RPR", "8.00", 10.0, group="RPR")])
    shop = Forecast((), None, effects_of(alone, Spreads()), alone)
    repair, other = Planned("RPR", "assembly", 10.0), Planned("ASM", "assembly", 10.0)

    # noise .22² + (.07 ÷ 8)² = .048477 and job .09, beside operation and group .05:
    # (.048477 + .09) ÷ (.048477 + .09 + .05) = .734715 of the weight is where it was before
    assert shop.behind([repair]) == (1, pytest.approx(0.734715, abs=1e-6))
    assert shop.behind([repair, other]) == (1, pytest.approx((0.734715 + 1) / 2, abs=1e-6))
    assert shop.behind([repair, other._replace(hours=10.1)]) == (0, 1.0)
    assert shop.behind([other]) == (0, 1.0)


def test_a_job_is_replayed_with_its_work_and_its_noted_rework():
    past = [lesson(job="J-1"), lesson(job="J-2", hours=8 + 7 / 60), lesson("B", "0.00", 4, "J-3")]
    (one,) = replay(past, {"J-1": 9.0, "J-2": 1.25}, ["J-2", "J-3"])

    # 8 h 7 min and 1.25 h, to a hundredth; of J-3 nothing was planned
    assert (one.job, one.hours, one.past_jobs) == ("J-2", Decimal("9.37"), 1)
    assert one.typical < one.safe < one.bad


def test_one_step_of_the_level():
    found, _ = filtered([(0.05, 0.004)], mean=CENTER, variance=0.0324, spread=0.07**2, step=0.0)

    assert found.gains[0] == pytest.approx(0.784504, abs=1e-6)
    assert found.mean == pytest.approx(0.067912, abs=1e-6)
    assert found.variance == pytest.approx(0.006982, abs=1e-6)


def edging(banded, trimmed, **more):
    """Three jobs that banded and trimmed edges, so many hours on each."""
    days = [DAY + timedelta(days=number) for number in range(3)]
    reason = "" if trimmed else NOT_LOGGED
    return [
        line
        for number, day in enumerate(days)
        for line in (
            lesson("EBA", "1.69", banded, f"J-{number}", day=day),
            lesson("EBT", "1.22", trimmed, f"J-{number}", day=day, **{"left_out": reason} | more),
        )
    ]


EDGING = [Planned("EBA", "g", 1.69), Planned("EBT", "g", 1.22)]


def test_hours_that_stand_on_a_neighbor_do_not_bias_what_both_take_together():
    booked = Forecast(past_work(edging(4.0, 0.0)))
    apart = Forecast(past_work(edging(2.2, 1.8)))

    assert points(booked, EDGING)[0] == pytest.approx(4.14, abs=0.005)
    assert points(apart, EDGING)[0] == pytest.approx(3.91, abs=0.005)
    assert all(0.5 < row.on_neighbor < 1 for job in booked.effects.seen for row in job)


def test_the_answer_at_close_out_settles_where_the_hours_stand():
    on_band = Forecast(past_work(edging(4.0, 0.0, left_out=ELSEWHERE, onto="EBA")))
    not_done = Forecast(past_work(edging(4.0, 0.0, left_out=NOT_DONE)))

    assert points(on_band, EDGING)[0] < points(Forecast(past_work(edging(4.0, 0.0))), EDGING)[0]
    alone = Forecast(past_work([one for one in edging(4.0, 0.0) if one.operation == "EBA"]))
    assert points(not_done, EDGING) == points(alone, EDGING)
    forgotten = Forecast(past_work(edging(4.0, 0.0, left_out=FORGOTTEN)))
    assert points(forgotten, EDGING) == points(alone, EDGING)


def test_hours_without_a_count_raise_the_shop_and_no_operation():
    plain = [lesson(hours=8.0), lesson("B", "4.00", 4.0)]
    more = [*plain, lesson("C", "0.00", 3.0, left_out=NOT_COUNTED)]
    without, with_more = Forecast(past_work(plain)), Forecast(past_work(more))

    assert effects(with_more.effects) == effects(without.effects)
    assert points(with_more, EDGING)[0] > points(without, EDGING)[0] * 1.05


def test_one_typing_error_moves_nothing():
    plain = [lesson(hours=8.0, job=f"J-{n}", day=DAY + timedelta(n)) for n in range(3)]
    wrong = lesson("B", "0.30", 60.0)

    assert not wrong.is_believed
    assert points(Forecast(past_work([*plain, wrong])), EDGING) == points(
        Forecast(past_work(plain)), EDGING
    )


def test_first_of_its_kind_teaches_what_a_first_takes_and_hardly_the_operation():
    kind = [lesson(hours=14.0, left_out=FIRST_TIME)]
    found = effects(effects_of(past_work(kind)))
    usual = effects(effects_of(past_work([lesson(hours=14.0)])))

    assert log(1.4) < found["first"] + 0.05
    assert abs(found["A"]) < usual["A"] / 2


def test_a_job_far_off_widens_the_range_and_more_jobs_close_it():
    def at(*ratios):
        rows = [
            lesson(operation, "4.00", 4.0 * ratio, f"J-{n}", day=DAY + timedelta(n))
            for n, ratio in enumerate(ratios)
            for operation in "ABCDE"
        ]
        p50, p80, _ = points(Forecast(past_work(rows)), [Planned(o, "g", 4.0) for o in "ABCDE"])
        return p50 / 20, p80 / p50

    steady, surprised = at(1.2, 1.2, 1.2, 1.2), at(1.2, 1.2, 1.2, 1.2, 2.4)
    assert surprised[1] > steady[1] * 1.05
    assert at(1.2)[1] > at(*[1.2] * 4)[1] > at(*[1.2] * 10)[1]
    assert at(*[1.2] * 10)[0] == pytest.approx(1.2, abs=0.01)


def test_a_shop_that_gets_faster_is_followed():
    rows = [
        lesson(o, "4.00", 4.8 * 0.97**n, f"J-{n:02}", day=DAY + timedelta(n))
        for n in range(20)
        for o in "ABCDE"
    ]
    typical = points(Forecast(past_work(rows)), [Planned(o, "g", 4.0) for o in "ABCDE"])[0]

    assert typical / 20 == pytest.approx(1.2 * 0.97**20, rel=0.08)  # all jobs alike: 0.90


# Source: scipy.stats.t, an independent implementation.
@pytest.mark.parametrize("value", [-20.0, -1.5, 0.0, 0.3, 0.888890, 1.859548, 40.0])
def test_student_t_with_eight_degrees_agrees_with_an_independent_library(value):
    assert student_under(value) == pytest.approx(t.cdf(value, 8), abs=1e-12)


AMOUNTS = st.sampled_from([0.0, 1e-6, 0.25, 1.0, 7.5, 1e4, 1e5])
LINES = st.tuples(
    st.sampled_from(["J-1", "J-2", "J-3", "J-4"]), st.sampled_from("ABCDEF"),
    AMOUNTS, AMOUNTS, st.sampled_from(["", FIRST_TIME, NOT_DONE, FORGOTTEN]), st.booleans(),
)  # fmt: skip


@given(st.lists(LINES, max_size=30, unique_by=lambda one: one[:2]), st.randoms())
@settings(max_examples=150)
def test_any_history_gives_finite_points_in_order_whatever_the_order_of_its_lines(lines, dice):
    lessons = [
        Lesson(
            job, DAY, code, "gh"["ABCDEF".index(code) % 2], Decimal(str(estimate)),
            round(hours * 60), split, reason, helper=Fraction(1, 3),
        )
        for job, code, estimate, hours, reason, split in lines
    ]  # fmt: skip
    planned = [Planned(code, "gh"["ABCDEF".index(code) % 2], 2.5, 0.5) for code in "ABF"]
    rework = {"J-1": 1e5, "J-2": 0.0}
    found = points(Forecast(past_work(lessons), rework), planned, has_rework=True)

    assert all(isfinite(point) and point > 0 for point in found)
    assert found[0] < found[1] < found[2]
    dice.shuffle(lessons)
    assert points(Forecast(past_work(lessons), rework), planned, has_rework=True) == found


@given(st.lists(st.decimals(min_value="0.01", max_value="40.00", places=2), min_size=1, max_size=9))
def test_the_lines_add_up_to_the_typical_point_of_their_work(hours):
    forecast = Forecast(past_work([lesson(), lesson("O1", "4.00", 4.4)]))
    lines = [Planned(f"O{at}", "g", float(one)) for at, one in enumerate(hours)]
    typical = forecast.hours(lines, has_rework=False).point(0.5)

    assert sum(typical_lines(forecast, lines)) == pytest.approx(
        Decimal(typical), abs=Decimal("0.0051")
    )


def test_the_range_closes_over_many_shops_as_jobs_come_in():
    dice = random.Random(7)
    widths = {}
    for count in (0, 1, 3, 10):
        found = []
        for _ in range(20):
            own = {code: dice.gauss(0.12, 0.22) for code in "ABCDEFGH"}
            rows = [
                lesson(code, "3.00", 3 * 2.718 ** (bias + dice.gauss(0, 0.2)), f"J-{n:02}",
                       day=DAY + timedelta(n))
                for n in range(count) for code, bias in own.items()
            ]  # fmt: skip
            half, safe, _ = points(
                Forecast(past_work(rows)), [Planned(code, "g", 3.0) for code in own]
            )
            found.append(safe / half)
        widths[count] = sum(found) / len(found)
    assert widths[0] > widths[1] > widths[3] > widths[10] > 1.03
