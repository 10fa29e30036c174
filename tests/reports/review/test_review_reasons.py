"""Why a job earned what it did: each reason by hand, their sums, and the close-out beside them."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.book.tables.answers import JobCost
from ledger.book.tables.ground import Job
from ledger.costing.afterwards import Done
from ledger.costing.sheet import OtherCost
from ledger.errors import Ambiguous
from ledger.jobs.cost_differences import CostDifference, PlannedCosts, cost_differences
from ledger.measures.money import Money, total
from ledger.measures.values import replace
from ledger.reports.closeout import above_plan_words, account_of, variance_lines
from ledger.reports.review import review
from ledger.reports.review_blocks import earned_block
from ledger.reports.review_blocks_more import blocks_of
from ledger.reports.review_blocks_result import result_block
from ledger.reports.review_jobs import best_and_worst, by_kind
from ledger.reports.review_json import find_row
from ledger.reports.review_read import QuotesOfBook, sent_quotes
from ledger.reports.review_reasons import (
    OTHER,
    UNBOOKED,
    hour_reasons,
    money_reasons,
    more_hours,
    planned_hour,
    shortened,
    unbooked_of,
    why_words,
)
from ledger.reports.review_time import weeks


def cents(amount):
    return Money(round(amount * 100))


@pytest.fixture
def year(planned_book):
    return review(planned_book, date(2025, 1, 1), date(2025, 12, 31))


@pytest.fixture
def close_out(planned_book):
    return account_of(planned_book, planned_book.last(Job, number="J-2501"))


def test_money_reasons_are_all_cost_lines_by_size(year):
    (job,) = year.jobs
    # 5 sheets at 86 with freight less the offcut at 21.50, for 4 at 80; Ines 2 h at 25;
    # 100 miles for 40 at 0.70; the card's fee; of two bottles at 7.50 nothing was taken
    assert money_reasons(job) == [
        ("change orders", cents(100)),
        ("material", cents(-88.50)),
        ("helper", cents(-50)),
        ("miles", cents(-42)),
        ("fees", cents(-14)),
        (UNBOOKED, cents(15)),
    ]
    # planned 1349 − 320 − 15 − 28; earned 1449 − 430 + 21.50 − 50 − 84
    assert (job.planned_earned, job.full) == (cents(986), cents(906.50))
    assert total(amount for _, amount in money_reasons(job)) == job.full - job.planned_earned
    assert planned_hour(job) == cents(83.07)  # ÷ 11.87 h


def test_hour_reasons_tie_with_the_close_outs_hours(year, close_out):
    (job,) = year.jobs
    assert hour_reasons(job) == [
        ("work", Decimal("4.00")),  # 12 and 2 of Ines for 10
        ("change orders", Decimal("1.50")),
        ("rework (measure)", Decimal("1.00")),
        ("planned hours never booked", Decimal("-1.87")),
    ]
    assert sum(hours for _, hours in hour_reasons(job)) == more_hours(job) == Decimal("4.63")
    worked = close_out.actual_hours - close_out.planned_hours
    named = dict(hour_reasons(job))
    assert named["work"] + named["planned hours never booked"] == worked
    assert (job.hours.planned, job.minutes) == (close_out.planned_hours, 990)


def test_what_is_never_booked_stands_apart_and_is_no_other(year):
    (job,) = year.jobs
    assert unbooked_of(year.jobs) == [("J-2501", cents(15), Decimal("1.87"))]
    assert [one for one in earned_block(year).remarks if "costs of 15.00 and 1.87 h" in one.words]
    assert "planned costs never booked +15.00" in why_words(job, year.currency.show)
    lines = (*job.costs.lines, CostDifference("use tax", Money(0), cents(3)))
    more = money_reasons(replace(job, costs=replace(job.costs, lines=lines)))
    # four are named; fees and use tax are the rest
    assert shortened(more, Money(0))[-2:] == [(OTHER, cents(-17)), (UNBOOKED, cents(15))]


def test_the_smaller_reasons_of_hours_add_up_to_one_other(year):
    (job,) = year.jobs
    causes = (("wood", 240), ("finish", 120), ("handing", 60), ("drawing", 30), ("measure", 18))
    slow = replace(job, hours=replace(job.hours, rework=causes))
    words = why_words(slow, year.currency.show)
    # of 1.5 of changes and 4, 2, 1, 0.5, 0.3 of rework four stand alone, with the work, -2.80
    assert "other +1.80" in words


def test_close_out_differences_are_the_whole_cost_above_the_plan(close_out):
    lines = dict(variance_lines(close_out))
    assert {name: amount for name, amount in lines.items() if amount} == {
        "material price": cents(20),  # 5 × (84 − 80)
        "material used": cents(80),  # a fifth sheet
        "offcuts back on the rack": cents(-21.50),
        "freight": cents(10),
        "your hours at break-even, rework and changes in them": cents(304.70),  # 4.50 h × 67.71
        "helper's hours": cents(50),
        "miles": cents(42),
        "fees": cents(14),
        "planned costs never booked": cents(-15),
        "your planned hours never booked": cents(-126.62),  # 1.87 h
    }
    done, sheet = close_out.afterwards.done, close_out.sheet
    hours = sheet.rates.break_even.times(Fraction(done.owner_minutes, 60))
    spent = done.material - done.credit + done.helper + done.other + done.use_tax + hours
    assert total(lines.values()) == spent - sheet.totals.full_cost


def test_what_shared_sheets_save_is_a_part_of_the_material_used(close_out):
    shared = replace(close_out, together=(("J-2502", cents(-30)),))
    lines, alone = dict(variance_lines(shared)), dict(variance_lines(close_out))
    assert lines["cut together with J-2502"] == cents(-30)
    assert lines["material used"] == alone["material used"] + cents(30)
    assert total(lines.values()) == total(alone.values())


def test_material_is_one_figure_in_review_and_close_out(year, close_out):
    lines = dict(variance_lines(close_out))
    material = ("material price", "material used", "offcuts back on the rack", "freight")
    assert -dict(money_reasons(year.jobs[0]))["material"] == total(lines[name] for name in material)
    (line,) = (line for line in year.jobs[0].costs.lines if line.name == "material")
    assert total(amount for _, amount in line.parts) == line.amount


def test_a_jobs_row_explains_each_reason(year):
    table, row = find_row(blocks_of(year), "best.J-2501")
    parts = {part.words: part.value for part in row.parts}
    assert table.heads == ("job", "an hour", "planned", "in figures")
    assert (parts["miles planned"], parts["miles as it came"]) == (cents(28), cents(70))
    assert parts["nothing booked: Hide glue"] == cents(15)
    assert parts["no hours booked: Sand raw"] == Decimal("1.37")


def test_points_are_priced_at_their_hours_and_held_against_work_and_rework(year):
    (row,) = find_row(blocks_of(year), "Q-2501-A")[0].rows
    price, priced, _, _, took, at_priced, at_typical, at_safe = row.cells
    # 12 + 2 + 1 of rework; the hour and a half of the change is not the quote's
    assert (price, priced, took) == (cents(1349), Decimal("11.87"), Decimal("15.00"))
    # 320 and 15 with 20 % markup, 28, 11.87 h at 73
    assert at_priced == cents(335 * 1.2 + 28 + 11.87 * 73) < at_typical < at_safe


def test_a_spoiled_part_is_told_and_is_no_second_loss(year):
    table, row = find_row(blocks_of(year), "a side (rework of C1)")
    assert (table.key, row.cells) == ("scrapped", ("material of J-2501", cents(16.66)))
    lines = {line.name: line for line in year.result}
    assert "material lost or of own use" not in lines
    assert lines["material"].earned == cents(-408.50)


def test_hours_planned_and_never_booked_are_no_saving_in_short(year):
    block = blocks_of(year)[0]
    # 16.50 h less 1.50 of the change, for 11.87 less 1.87: office and sanding have no hours
    words = " ".join(remark.words for remark in block.remarks)
    assert "1 closed job took 15.00 h" in words
    assert "for 10.00 planned or guessed, 50 % more; 1.87 h" in words
    built = {row.name: row.cells for row in block.tables[0].rows}["built"]
    assert built[0] == cents(62.52)  # 906.50 in 14.50 h
    assert "planned lines never booked" in built[1]


def test_a_close_out_says_its_whole_difference_and_what_was_never_booked(close_out):
    words = above_plan_words(close_out)
    # 357.58: 79.50 and the change's 100 in money, 2.63 h at 67.71
    assert "cost 357.58 more than planned" in words
    assert "1.50 h of change orders in them" in words
    assert "change orders" not in above_plan_words(replace(close_out, changes_hours=Decimal(0)))
    assert "141.62 planned and never booked" in words  # 15 and 126.62
    assert above_plan_words(replace(close_out, sheet=replace(
        close_out.sheet, totals=replace(close_out.sheet.totals, full_cost=Money(0))
    ))) == ""  # fmt: skip


def lacking(job, hours, **changed):
    """The job with so many planned hours that nobody booked, of 20 planned."""
    of_job = replace(job.hours, planned=Decimal(20), not_logged=(("Repair", Decimal(hours)),))
    return replace(job, hours=of_job, **changed)


def test_a_job_with_most_planned_hours_unbooked_is_in_no_figure_an_hour(year):
    (job,) = year.jobs
    bare, thin = lacking(job, "10", number="J-1"), lacking(job, "10.01", number="J-2")
    assert (bare.is_timed, thin.is_timed) == (True, False)
    assert not replace(job, done=replace(job.done, owner_minutes=0)).is_timed
    assert best_and_worst([bare, thin]) == ([bare], [])
    (kind,) = by_kind([bare, thin])
    # sums have both jobs, an hour only the one: 906.50 in 14 h 30
    assert (len(kind.jobs), kind.full, kind.owner_minutes) == (2, cents(1813), 2 * 870)
    assert (kind.full_range.jobs, kind.full_range.hour) == (1, cents(62.52))
    assert kind.cash_hour == bare.full_hour


def test_what_is_left_out_for_lack_of_hours_is_named_with_what_mends_it(year):
    (job,) = year.jobs
    jobs = [lacking(job, "0", number="J-1"), lacking(job, "10.01", number="J-2")]
    blocks = blocks_of(replace(year, jobs=jobs))
    (remark,) = [r for r in blocks[2].remarks if r.words.startswith("Too few hours")]
    assert ("J-2" in remark.words, "J-1" in remark.words) == (True, False)
    assert remark.command == "job close J-2 --unlogged LINE=ANSWER"
    assert find_row(blocks, "kinds.repairs and other orders")[1].cells[-1] == "one job, 1 left out"
    # one job timed of two: said where the rate is
    assert [p.of for p in find_row(blocks, "earned an hour on 1 of 2 closed jobs")[1].parts] == [
        "J-1"
    ]
    (built,) = [row for row in blocks[0].tables[0].rows if row.name.startswith("built")]
    assert built.cells[1].startswith("repairs and other orders, 1 job in 14.50 h")
    # 14.50 and 2 of Ines less 1.50 of a change, for the 20 of J-1 alone
    (hours,) = [r.words for r in blocks[0].remarks if r.words.startswith("1 closed job took 15.00")]
    assert "for 20 planned or guessed, 25 % less; too few hours are booked on J-2" in hours


def test_a_quote_does_not_say_what_it_took_where_most_hours_are_unbooked(year, planned_book):
    (job,) = year.jobs
    quotes = QuotesOfBook(planned_book)
    took = [
        sent_quotes(planned_book, year.first, year.last, [lacking(job, hours)], quotes)[0]
        for hours in ("10", "10.01")
    ]
    assert [quote.actual_hours for quote in took] == [Decimal("15.00"), None]


@pytest.mark.parametrize("units, driven", [("inch", "miles"), ("mm", "km")])
def test_driving_that_was_answered_is_driving_noted_or_not(units, driven):
    answered = OtherCost("answered", driven, "as answered", cents(22), cents(22))
    plan = PlannedCosts((), Money(0), Money(0), (answered,))
    done = Done(*[Money(0)] * 8, 0, 0, 0, Money(0), 0, Money(0))
    silent = cost_differences(plan, done, (), (), ((driven, cents(22)),), units)
    assert [(line.name, line.amount) for line in silent.lines] == []
    assert silent.unbooked == cents(22)
    planned = OtherCost("miles", "delivery", "44 × 0.50", cents(22), cents(22))
    plan = PlannedCosts((), Money(0), Money(0), (planned,))
    silent = cost_differences(plan, done, (), (), (("miles delivery", cents(22)),), units)
    assert (silent.lines, silent.unbooked) == ((), cents(22))
    miles = JobCost(job=1, occasion="actual", kind="miles", words=driven, amount=cents(30.8))
    noted = cost_differences(plan, done, (), (miles,), (), units)
    assert [(line.name, line.amount) for line in noted.lines] == [(driven, cents(8.8))]


def test_booked_hours_are_told_in_weeks_of_the_shops_own_length():
    assert weeks(Fraction(60), Fraction(25)) == Decimal("2.4")
    assert weeks(Fraction(60), Fraction(0)) == 0


def test_the_words_above_a_table_stand_for_its_rows(year_book):
    blocks = blocks_of(review(year_book, date(2025, 1, 1), date(2025, 12, 31)))
    with pytest.raises(Ambiguous, match=r"which figure\? booked\.2025-01-31, booked\.2025-02-28"):
        find_row(blocks, "Booked ahead")


@pytest.mark.parametrize(("units", "unit"), [("inch", "miles"), ("mm", "kilometers")])
def test_distance_is_named_as_the_book_counts_it(year, units, unit):
    words = [remark.words for remark in result_block(replace(year, units=units)).remarks]
    assert f"helpers and {unit} at set rates." in words[0]
