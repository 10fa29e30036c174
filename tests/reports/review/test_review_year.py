"""The review of the invented year, each figure worked out by hand from what was typed."""

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.book import Book
from ledger.errors import BadValue, NotFound
from ledger.measures.money import Money
from ledger.measures.values import replace
from ledger.reports.review import TypedYear, review
from ledger.reports.review_blocks import quotes_block
from ledger.reports.review_blocks_material import material_block
from ledger.reports.review_blocks_more import (
    blocks_of,
    missing_words,
    rates_block,
    standing_words,
)
from ledger.reports.review_figures import Part, ReviewRow, ReviewTable
from ledger.reports.review_jobs import best_and_worst, by_kind
from ledger.reports.review_json import find_row, review_json
from ledger.reports.review_quotes import by_size, middle_days, price_an_hour
from ledger.reports.review_reasons import hour_reasons, money_reasons, more_hours
from ledger.reports.review_time import TimedLine, hours_ahead, operations_of

FIRST, LAST = date(2025, 1, 1), date(2025, 12, 31)


@pytest.fixture
def year(year_book):
    return review(year_book, FIRST, LAST)


def cents(amount):
    return Money(round(amount * 100))


def test_jobs_earn_what_their_rows_leave(year):
    oak, chair, ash = year.jobs
    # 2400 − 3 sheets at 80 + the offcut at 20 − 4 helper hours at 25, in 32 owner hours
    assert (oak.full, oak.cash, oak.done.owner_minutes) == (cents(2080), cents(2080), 32 * 60)
    assert oak.full_hour == cents(65)
    # 400 − 2 bottles at 7.50, in 4 hours
    assert (chair.full, chair.full_hour) == (cents(385), cents(96.25))
    # 2600 + 150 − 2 given sheets at 90 − the offcut at 20; in cash the sheets cost nothing
    assert (ash.full, ash.cash, ash.done.owner_minutes) == (cents(2550), cents(2730), 27 * 60)


def test_the_result_in_cash_and_by_closed_jobs(year_book):
    year = review(year_book, FIRST, LAST, TypedYear(overhead=cents(1500)))
    table = blocks_of(year)[1].tables[0]
    # paid 1200 + 1300; 300 + 500 − 40; ten sheets at 80, five at 88, four bottles at 7.50
    # the closed jobs took 240 − 20, 15 and 200; a sheet of 80 got wet; Ines worked 4 h at 25
    assert {row.name: row.cells for row in table.rows} == {
        "clients, without tax": (cents(2500), cents(5550)),
        "other income, less what stores kept": (cents(760), cents(760)),
        "goods in kind, at fair value": (None, cents(360)),
        "material": (cents(-1270), cents(-435)),
        "material lost or of own use": (None, cents(-80)),
        "helpers": (cents(-100), cents(-100)),
        "overhead": (cents(-1500), cents(-1500)),
        "left, before your pay": (cents(390), cents(4555)),
    }
    assert table.rows[-1].is_sum
    # 2400 − 1200, 400, 2600 + 150 − 1300
    assert dict(year.still_owed) == {
        "J-2501": cents(1200), "J-2505": cents(400), "J-2506": cents(1450)
    }  # fmt: skip


def test_a_canceled_job_leaves_what_was_kept_and_a_running_one_only_its_cash(canceled_book):
    year = review(canceled_book, FIRST, LAST, TypedYear(overhead=cents(1000)))
    kept = [(one.name, one.income) for one in year.streams]
    assert kept == [("kept of canceled jobs", cents(900))]
    lines = {one.name: (one.cash, one.earned) for one in year.result}
    # 1500 twice and 600 back; 900 kept less 2 h of Ines at 25, the owner's hours being pay
    assert lines["clients, without tax"] == (cents(2400), Money(0))
    assert lines["canceled jobs: kept less their cost"] == (Money(0), cents(850))
    assert lines["helpers"] == (cents(-50), Money(0))
    assert (dict(year.held), year.to_go_back) == ({"J-2502": cents(1500)}, ())
    words = " ".join(remark.words for block in blocks_of(year) for remark in block.remarks)
    assert "1,500.00 is held for work that is not done (J-2502)." in words
    # before the refund; what is held later is not of these days
    early = review(canceled_book, FIRST, date(2025, 2, 20))
    assert dict(early.to_go_back) == {"J-2501": cents(600)}
    assert not review(canceled_book, FIRST, date(2025, 2, 4)).held


def test_what_comes_to_a_canceled_job_later_lessens_what_it_left(late_book):
    line = "canceled jobs: kept less their cost"
    left = {one.name: one.earned for one in review(late_book, FIRST, LAST).result}
    before = {one.name: one.earned for one in review(late_book, FIRST, date(2025, 2, 24)).result}

    # 850, less the fee of 33 and an hour of Ines at 25; the owner's hour is pay
    assert (left[line], before[line]) == (cents(792), cents(850))


def test_a_quote_won_whose_job_was_canceled_is_named(canceled_book):
    year = review(canceled_book, FIRST, LAST)
    assert [quote.is_canceled for quote in year.quotes] == [True, False]
    words = " ".join(remark.words for remark in blocks_of(year)[3].remarks)
    assert "the job was canceled: Q-2501-A, 3,000.00." in words


def test_kinds_add_up_and_say_their_range(year):
    bookcases, orders = by_kind(year.jobs)
    assert (bookcases.kind, orders.kind) == ("bookcase", "repairs and other orders")
    assert (bookcases.income, bookcases.full) == (cents(5150), cents(4630))
    several = bookcases.full_range
    # 4630 ÷ 59 h; 65.00 and 2550 ÷ 27 h
    assert (several.hour, several.least, several.most) == (cents(78.47), cents(65), cents(94.44))
    assert several.is_few


def test_streams_keep_cash_and_goods_apart(year):
    assert [(one.name, one.income, one.cash, one.in_goods) for one in year.streams] == [
        ("commission", cents(5400), cents(5400), Money(0)),
        ("change orders", cents(150), cents(150), Money(0)),
        ("sponsor fee", cents(300), cents(300), Money(0)),
        ("goods in kind", cents(360), Money(0), cents(360)),
        ("plan sales", cents(500), cents(460), Money(0)),
    ]
    table = find_row(blocks_of(year), "all income")[1]
    # 6710 less the store's 40, of which 6310 in money
    assert table.cells == (cents(6710), cents(40), cents(6670), cents(6310), cents(360))
    assert [(one.job, one.owner) for one in year.content] == [("J-2506", 300)]


def test_hours_of_a_job_sold_in_one_sum_are_held_against_its_guess(year):
    best, worst = best_and_worst(year.jobs)
    assert [job.number for job in best] == ["J-2505", "J-2506"]
    assert [job.number for job in worst] == ["J-2501"]
    oak, (chair, ash) = worst[0], best
    # 30 + 4 of Ines + 2 of rework for a guess of 30; 24 + 3 of a change sold with 1 for 24
    assert (more_hours(oak), hour_reasons(oak)) == (
        Decimal("6.00"), [("work", Decimal("4.00")), ("rework (measure)", Decimal("2.00"))]
    )  # fmt: skip
    assert hour_reasons(ash) == [("change orders", Decimal("3.00"))]
    assert (ash.hours.sold, ash.hours.is_guess, chair.hours.is_guess) == (60, True, False)
    # the chair's own lines planned 3 h and half an hour of office, which has no hours
    assert chair.hours.planned is not None
    # without a plan of costs they are named as unplanned: three sheets less an offcut, 4 h at 25
    assert money_reasons(oak) == [("material", cents(-220)), ("helper", cents(-100))]


def test_what_is_left_out_of_a_table_is_counted_and_added_up():
    rows = tuple(ReviewRow(str(n), (Decimal(n), cents(n), "x"), (Part("J", ""),)) for n in range(9))
    whole = ReviewRow("all", (Decimal(36), cents(36), ""), is_sum=True)
    table = ReviewTable("t", "", ("", "h", "worth", "on"), (*rows, whole), ("h", "worth"))
    short = table.shortened(5)
    assert [row.name for row in short] == ["0", "1", "2", "3", "4", "4 more", "all"]
    # 5 + 6 + 7 + 8
    assert (short[-2].cells, len(short[-2].parts)) == ((Decimal(26), cents(26), None), 4)
    assert table.shortened(8) == table.rows  # one line more instead of “1 more”


def test_the_screen_shows_the_prices_of_ten_materials(year):
    change = next(one for one in year.material.prices if one.change is not None)
    block = material_block(replace(year, material=replace(year.material, prices=[change] * 15)))
    table = next(one for one in block.tables if one.key == "prices")
    names = [row.name for row in table.shortened(table.most)]
    assert (len(names), names[-1]) == (11, "5 more")


def test_quotes_by_outcome_days_and_price_an_hour(year):
    outcome = {quote.job: (quote.outcome, quote.days, quote.why) for quote in year.quotes}
    assert outcome == {
        "J-2501": ("won", 5, ""), "J-2502": ("declined", 14, "over budget"),
        "J-2503": ("declined", 9, ""), "J-2504": ("expired", None, ""),
        "J-2506": ("won", 4, ""), "J-2507": ("won", 3, ""),
    }  # fmt: skip
    assert middle_days(year.quotes) == (Decimal("5.0"), 3, 14, 5)
    won = price_an_hour("won", [quote for quote in year.quotes if quote.outcome == "won"])
    # 2400 ÷ 30, 2600 ÷ 24, 500 ÷ 6
    assert (won.least, won.middle, won.most) == (cents(80), cents(83.33), cents(108.33))
    prices = next(one for one in quotes_block(year).tables if one.key == "price_an_hour")
    assert prices.rows[0].cells == (3, cents(83.33), "80.00 to 108.33, only 3 quotes")
    assert [len(group.quotes) for group in by_size(year.quotes)] == [2, 2, 2]
    assert [len(group.quotes) for group in by_size(year.quotes[:4])] == [2, 1, 1]


def test_a_price_agreed_in_one_sum_has_no_points(year):
    assert {quote.points.typical for quote in year.quotes} == {None}
    assert {quote.points.at_priced for quote in year.quotes} == {None}
    assert {job.costs for job in year.jobs} == {None}


def test_time_is_billable_booked_and_promised(year):
    share = year.time.share
    # 30 + 4 + 27 h on jobs and 2 h of rework; 5 h of filming and 6 h of cleaning beside them
    assert (share.billable, share.rework, share.logged) == (61 * 60, 2 * 60, 74 * 60)
    booked = {day: hours_ahead(year.time.booked, day) for day in year.time.month_ends}
    assert booked[date(2025, 1, 31)] == [("J-2501", 18)]  # 30 h sold, 12 h worked
    assert booked[date(2025, 4, 30)] == [("J-2506", 24)]  # its change is of 8 May
    assert booked[date(2025, 8, 31)] == [("J-2507", 6)]
    assert booked[date(2025, 12, 31)] == []
    late = {one.job: (one.promised, one.days_late) for one in year.time.promises}
    # 6 weeks from 15 January; 4 weeks and 2 days of a change from 14 April
    assert late == {"J-2501": (date(2025, 2, 26), -6), "J-2506": (date(2025, 5, 14), 10)}


def test_a_saving_is_a_tenth_of_the_hours_at_break_even(year):
    first = year.time.activities[0]
    # 20 + 2 of rework + 16 + 3 of a change, on jobs; filming and cleaning have no worth
    assert (first.name, first.minutes, first.saved) == (
        "Assemble & square", 41 * 60, Decimal("4.10")
    )  # fmt: skip
    assert first.classes == {"work": 36 * 60, "rework": 2 * 60, "change_order": 3 * 60}
    assert first.worth == cents(277.61)  # 4.1 h × 67.71
    beside = {row.name: (row.saved, row.worth) for row in year.time.activities}
    assert (beside["filming"], beside["cleaning"]) == ((None, None), (None, None))
    assert sum(row.minutes for row in year.time.activities) == year.time.share.logged


def test_operations_stand_beside_their_standard_most_over_first():
    lines = [
        TimedLine("J-1", "Sand raw", Decimal("2.00"), 150),
        TimedLine("J-2", "Sand raw", Decimal("3.00"), 240),
        TimedLine("J-2", "Glue up", Decimal("1.00"), 30),
    ]
    sand, glue = operations_of(lines)
    assert (sand.standard, sand.took, sand.ratio, sand.jobs) == (
        Decimal("5.00"), Decimal("6.50"), Decimal("1.30"), 2
    )  # fmt: skip
    assert (glue.took - glue.standard, glue.ratio) == (Decimal("-0.50"), None)


def test_material_prices_rack_and_sponsor(year):
    material = year.material
    assert [(one.name, one.amount) for one in material.by_supplier] == [
        ("Copper Vale Lumber", cents(1240)), ("Harrow Street Hardware", cents(30))
    ]  # fmt: skip
    plywood, glue = material.prices
    assert (plywood.purchases, plywood.change) == (2, Decimal("0.1"))  # 80 then 88
    assert glue.change is None
    dear, same = (replace(plywood, material=name, last=last) for name, last in (
        ("dear", plywood.last), ("same", plywood.first)
    ))  # fmt: skip
    bought = replace(year, material=replace(material, prices=[dear, same]))
    assert [find_row(blocks_of(bought), f"prices.{name}")[1].cells[-1]
            for name in ("dear", "same")] == ["+10.0 %", "none"]  # fmt: skip
    rack = material.rack
    assert (len(rack.kept), len(rack.used), rack.sheets) == (1, 1, Decimal("0.50"))
    assert rack.used_value == cents(20)
    assert [(one.words, one.full) for one in material.scrapped] == [("wet in the rain", cents(80))]
    (sponsor,) = material.sponsors
    # what the plans brought came of no sponsor; 660 for 5 h of filming
    assert (sponsor.fair, sponsor.fee, sponsor.gave) == (cents(360), cents(300), cents(660))
    assert (sponsor.minutes, sponsor.hour, sponsor.cost) == (300, cents(132), cents(338.55))


def test_rates_that_the_year_would_have_needed(year_book):
    typed = TypedYear(overhead=cents(23400), pay=cents(56000), hours=1100)
    check = review(year_book, FIRST, LAST, typed).check
    # 21.27 + 50.91; closed jobs left 5015 in 63 h
    assert (check.overhead_hour, check.pay_hour) == (cents(21.27), cents(50.91))
    assert (check.needed, check.earned_hour) == (cents(72.18), cents(79.60))
    assert check.missing == cents(-7.42)
    assert (check.year.profit, check.selling) == (Fraction(8, 100), cents(77.95))
    assert year_book.settings.overhead_year == cents(22000)  # nothing is set by it


def test_few_hours_give_no_rate_but_the_hours_it_takes(year, year_book):
    few = rates_block(year)
    assert "needed break-even" not in [row.name for row in few.tables[0].rows]
    # (21,939.73 + 55,846.58) ÷ 79.60, rounded up
    assert any("978 hours on jobs" in remark.words for remark in few.remarks)
    enough = rates_block(review(year_book, FIRST, LAST, TypedYear(hours=1100)))
    assert "needed break-even" in [row.name for row in enough.tables[0].rows]


def test_days_that_are_not_over_say_as_of_when(year, year_file):
    assert standing_words(year) == ""
    for today, words in ((date(2025, 12, 31), "the last of these days"),
                         (date(2025, 11, 2), "run on to 2025-12-31")):  # fmt: skip
        with Book(year_file, today) as book:
            running = standing_words(review(book, FIRST, LAST))
        assert running.startswith(f"As of {today}")
        assert words in running


def test_what_is_missing_is_said(year, year_book):
    words = " ".join(remark.words for remark in missing_words(year))
    assert "not closed: J-2507" in words
    assert "logged on: J-2507" in words
    empty = review(year_book, date(2025, 10, 1), date(2025, 12, 31))
    assert missing_words(empty)[0].words == "No job was closed from 2025-10-01 to 2025-12-31."


def test_days_that_are_none_are_refused(year_book):
    with pytest.raises(BadValue, match="lies ahead"):
        review(year_book, date(2027, 1, 1), date(2027, 12, 31))
    with pytest.raises(BadValue, match="is before"):
        review(year_book, LAST, FIRST)


def test_hours_on_jobs_are_one_base_with_rework(year):
    # 61 billable and 2 of rework, just those of the closed jobs
    check = year.check.year
    assert (check.job_hours, check.earned_minutes) == (63, 63 * 60)
    same = " ".join(remark.words for remark in rates_block(year).remarks)
    assert "63.00, 61.00 billable and 2.00 of rework; all on the jobs closed here" in same
    oak, chair, _ = year.jobs
    longer = replace(oak, done=replace(oak.done, owner_minutes=oak.done.owner_minutes + 90))
    part = replace(year, jobs=[longer, chair])
    apart = " ".join(remark.words for remark in rates_block(part).remarks)
    assert "27.00 are on jobs not closed in these days" in apart
    assert "1.50 more of the closed jobs fell on other days" in apart


def test_what_was_given_is_followed_into_jobs_and_stock(year, year_book):
    gone = {row.job: row.full for row in year.given_gone}
    # four sheets at 90, two of them in the ash bookcase
    assert (year.given, gone) == (cents(360), {"J-2506": cents(180)})
    words = " ".join(remark.words for remark in blocks_of(year)[1].remarks)
    assert "180.00 went into jobs closed here, 180.00 still lay in stock on 2025-12-31" in words
    april = review(year_book, date(2025, 4, 1), date(2025, 4, 30))
    words = " ".join(remark.words for remark in blocks_of(april)[1].remarks)
    assert "360.00 still lay in stock on 2025-04-30" in words
    other = blocks_of(replace(year, jobs=year.jobs[:2]))[1].remarks
    assert "goods in kind 180.00 went into J-2506" in " ".join(remark.words for remark in other)


def test_one_hour_of_everything_stands_in_short(year):
    rows = {row.name: row.cells for row in blocks_of(year)[0].tables[0].rows}
    assert {name: cells[0] for name, cells in rows.items()} == {
        "built, most": cents(96.25),
        "built, least": cents(78.47),
        "published, in money": cents(152),  # 300 + 460 in 5 h
        "sponsored, Brightfell Panels": cents(132),
        "break-even in use, to meet": cents(67.71),
    }
    # 660 for 5 h, which cost 338.55
    assert "321.45 over break-even" in rows["sponsored, Brightfell Panels"][1]
    words = " ".join(remark.words for remark in blocks_of(year)[0].remarks)
    assert "3 closed jobs took 64.00 h" in words  # 36 + 4 + 27 less 3 of a change


def test_every_figure_of_jobs_says_its_jobs(year):
    blocks = blocks_of(year)
    table, row = find_row(blocks, "kinds.bookcase")
    assert (table.key, [part.of for part in row.parts]) == ("kinds", ["J-2501", "J-2506"])
    assert find_row(blocks, "used from")[1].parts[0].of == "J-2506"
    with pytest.raises(NotFound):
        find_row(blocks, "pulpit")
    silent = {
        row.name
        for block in blocks for table in block.tables for row in table.rows if not row.parts
    }  # fmt: skip
    assert silent <= {
        "pay", "needed break-even", "break-even in use", "break-even in use, to meet",
        *(day.isoformat() for day in year.time.month_ends),
    }  # fmt: skip


def test_json_has_each_block_and_plain_values(year):
    facts = review_json(year)
    assert [block["block"] for block in facts["blocks"]] == [
        "short", "result", "earned", "quotes", "time", "material", "rates"
    ]  # fmt: skip
    streams = facts["blocks"][2]["tables"][0]
    assert streams["rows"][0]["cells"] == ["5400.00", None, "5400.00", "5400.00", None]


@pytest.mark.parametrize(
    ("days", "said"),
    [
        ([0], "The one answer came on the day of the quote."),
        ([1, 1, 1, 1, 1], "Half of the answers came within a day."),
        ([1, 2], "Half of the answers came within 1.5 days (1 to 2, only 2 answers)."),
        ([3, 3, 4, 9, 9, 9], "Half of the answers came within 6.5 days (3 to 9)."),
    ],
)
def test_how_soon_quotes_were_answered(year, days, said):
    first = year.quotes[0]
    quotes = tuple(replace(first, answered=first.sent + timedelta(days=n)) for n in days)
    block = quotes_block(replace(year, quotes=quotes))
    assert block.remarks[0].words == said
