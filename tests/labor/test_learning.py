"""What the shop's own hours teach: ratios with an hour of prior, and what is left out of them."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.labor.effects import Seen
from ledger.labor.learning import History, Learned, learned_ratio
from ledger.labor.observations import Lesson, Observation, OperationPart
from ledger.measures.rounding import half_up


def lesson(estimate="2.00", minutes=150, **more):
    facts = {"job": "J-1", "day": date(2025, 1, 10), "operation": "SND", "group": "finish"}
    return Lesson(**facts | {"estimate": Decimal(estimate), "minutes": minutes} | more)


def test_without_hours_there_is_no_ratio_and_it_says_that_no_job_stands_behind_it():
    assert learned_ratio([]) == Learned(None, 0, Decimal("0.00"), 0)


def test_the_raw_ratio_is_what_was_taken_of_what_was_estimated():
    learned = learned_ratio([lesson()])

    assert (learned.raw, learned.jobs) == (Fraction(5, 4), 1)


def test_hours_that_stand_on_another_line_are_held_against_both_estimates():
    here = lesson("0.34", 30, operation="EBA", group="edging")
    there = lesson("0.21", 0, operation="EBT", group="edging", left_out="on another line",
                   onto="EBA")  # fmt: skip
    elsewhere = lesson("0.50", 30, operation="EBA", group="edging", job="J-2")
    past = History([here, there, elsewhere])

    assert past.learned("EBA").raw == Fraction(1) / Fraction("1.05")  # 0.50 + 0.50 h of 1.05
    assert past.learned("EBT").jobs == 0


def test_a_single_job_does_not_rewrite_a_standard():
    others = [lesson(operation=code, minutes=120) for code in ("SPR", "SBC", "SPS", "RIP")]
    past = History([*others, lesson(minutes=240)])  # twice the standard of 2 h, on one job

    assert Fraction(12, 10) < past.used_ratio("SND", "finish") < Fraction(17, 10)


def test_what_is_left_out_is_no_ratio_of_its_operation():
    first = lesson(minutes=900, left_out="first of its kind")
    history = History([lesson(), first, lesson(job="J-2", left_out="first of its kind")])

    assert history.learned("SND") == learned_ratio([lesson()])


def test_what_cannot_be_is_not_believed_and_says_so():
    wrong = lesson("0.30", 60 * 60)
    history = History([lesson(), wrong])

    assert history.learned("SND").jobs == 1
    assert [one.left_out for one in history.lessons] == ["", "not believed"]


def test_a_mark_sets_aside_what_was_done_before_it_for_that_operation_only():
    early, late = lesson(), lesson(job="J-2", day=date(2025, 3, 1), minutes=120)
    other = lesson(operation="SPR")

    history = History([early, late, other], {"SND": date(2025, 3, 1)})

    assert history.learned("SND") == learned_ratio([late])
    assert history.learned("SPR").jobs == 1
    assert history.lessons[0].left_out == "before the mark of 2025-03-01"


def test_minutes_split_from_a_group_are_no_ratio_but_move_its_operations():
    split = [lesson(split=True, minutes=240), lesson(operation="SPR", split=True, minutes=240)]
    history = History(split)

    assert history.learned("SND").jobs == 0
    assert history.used_ratio("SND", "finish") > Fraction(14, 10)


def test_a_mark_forgets_for_its_operation_what_a_group_taught_before_it():
    early = lesson(minutes=400)
    marked = History([early, lesson("4.00", 240, operation="RIP", group="cutting")],
                     {"SND": date(2025, 3, 1)})  # fmt: skip
    unmarked = History([early, lesson("4.00", 240, operation="RIP", group="cutting")])

    assert marked.used_ratio("SND", "finish") < unmarked.used_ratio("SND", "finish")


@given(st.lists(st.integers(min_value=60, max_value=480), min_size=1, max_size=12))
def test_the_ratio_that_counts_lies_between_the_published_and_the_raw(minutes):
    history = History([lesson(minutes=m, job=f"J-{n:02}") for n, m in enumerate(minutes)])
    ratios = [Fraction(m, 120) for m in minutes]
    used = history.used_ratio("SND", "finish")

    assert min(Fraction(1), *ratios) <= used <= max(Fraction(3, 2), *ratios) * Fraction(12, 10)
    assert history.learned("SND").jobs == len(minutes)


# The invented workshop's five jobs: the raw ratio, and what counts.
RATIOS = {
    "DES": "1.33 1.31", "MTG": "1.18 1.17", "ADM": "1.27 1.26", "PUP": "1.21 1.21",
    "SHT": "1.09 1.10", "RIP": "0.98 1.01", "XW": "1.13 1.12", "XN": "0.88 0.93",
    "RAB": "1.20 1.16", "MIL": "1.10 1.10", "EBA": "1.26 1.27", "EBT": "1.38 1.36",
    "SOL": "1.08 1.11", "PKT": "0.88 0.95", "DWL": "1.04 1.04", "PIN": "0.87 0.96",
    "MIT": "1.85 1.35", "ASM": "1.14 1.15", "DRW": "1.26 1.20", "HWS": "0.99 1.00",
    "SND": "1.26 1.25", "SBC": "1.18 1.18", "SPR": "0.92 0.96", "SPS": "1.20 1.19",
    "PAK": "0.90 0.96", "DLV": "1.13 1.14", "INS": "1.06 1.13",
}  # fmt: skip


@pytest.mark.parametrize("code", RATIOS)
def test_the_five_past_jobs_teach_their_ratios(lessons, code):
    past = History(lessons)
    group = next(one.group for one in lessons if one.operation == code)
    raw, used = past.learned(code).raw, past.used_ratio(code, group)

    assert f"{half_up(raw, 2)} {half_up(used, 2)}" == RATIOS[code]


def test_the_five_past_jobs_were_underestimated_by_16_percent_in_all(lessons):
    assert half_up(learned_ratio(lessons).raw, 2) == Decimal("1.16")


def test_only_hours_that_may_stand_on_a_neighbor_are_doubted():
    sanding, shaping = lesson(), lesson(operation="SHP", minutes=0, job="J-2", left_out="no hours")
    past = History([sanding, shaping, lesson(operation="SBC", job="J-2")])

    assert past.doubtful("SND") == []
    assert [one.row.job for one in past.doubtful("SBC")] == ["J-2"]


def test_the_first_of_its_kind_teaches_with_less_weight_than_the_next_ones():
    rows = [Observation("J-1", 1e6, 1e6, (), first=share) for share in (0.0, 0.5, 1.0)]
    part = OperationPart("SND", "finish", 1.0)

    # The noise of a line, 2.5 times of one that was wholly new
    spread = [Seen(row, 0.0, (part,), ()).variance(0.04) for row in rows]
    assert [round(one, 9) for one in spread] == [0.04, 0.07, 0.1]
