"""The verbs without a terminal: fields instead of sentences, one entry each, money apart."""

import shutil
from datetime import date, datetime
from decimal import Decimal

import pytest
from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.entries import last_entries
from ledger.book.tables.labor import HoursPlan
from ledger.errors import BadValue, LedgerError, NotAllowed, NotFound, Question
from ledger.jobs.jobs import find_job
from ledger.labor.log import TimeEntry, last_entry
from ledger.labor.plan import plan_of
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.measures.values import replace
from ledger.stock.line_text import LineText, split_line
from ledger.stock.opening import OpeningRow, open_stock
from ledger.upkeep.undo import take_back
from ledger.verbs import clock, cutting, hours, offcuts, receipt, stock

DAY = date(2025, 4, 25)


@pytest.fixture
def bed(bed_file, tmp_path):
    """The sample bed's book with edging and plywood on hand, open on 2025-04-25."""
    path = tmp_path / "shop.sqlite"
    shutil.copyfile(bed_file, path)
    with Book(path, DAY) as book:
        rows = [
            OpeningRow("EDGE78", Quantity.of(100), Money(2200), Money(2200)),
            OpeningRow("PLY12", Quantity.of(2), Money(16000), Money(16000), tax_kind="resale"),
        ]
        open_stock(book, rows)
        yield book


def entry_for(book, words, minutes, **more):
    target = hours.read_target(book, words.split())
    return TimeEntry(target.job, target.activity, minutes, DAY, target.kind, **more)


def verbs_of(book, count):
    return [entry.verb for entry, _ in last_entries(book, count)]


def money_in(result):
    """The fields of a result, and of results in it, that hold money."""
    for name in result.__struct_fields__:
        value = getattr(result, name)
        if isinstance(value, Money) or name == "cost":
            yield name
        elif isinstance(value, Struct) and not hasattr(value, "key"):
            yield from money_in(value)


@pytest.mark.parametrize("kind", ["content", "shop"])
def test_a_task_in_any_words_is_no_cover_for_a_job_that_there_is_not(bed, kind):
    with pytest.raises(BadValue, match=r"No job is called “no such job”.*quotes"):
        hours.read_target(bed, ["no such job", "thumbnail"], kind)
    target = hours.read_target(bed, ["film the joints"], kind)
    assert (target.words, target.kind) == ("J-2507 film the joints", kind)
    assert hours.read_target(bed, ["bed", "a thumbnail"], kind).words == "J-2507 a thumbnail"
    assert hours.read_target(bed, ["plan", "drawing"], "content").words == "J-2507 plan drawing"


def test_hours_are_entered_with_their_plan_and_say_where_the_job_stands(bed):
    time_entry = entry_for(bed, "bed cutting", 90)
    plan = hours.plan_for(bed, time_entry.job)
    posted = hours.enter(bed, time_entry, plan)

    assert (posted.what, posted.minutes, posted.is_split, posted.people) == (
        "cutting", 90, True, ("owner",),
    )  # fmt: skip
    assert posted.beside.job_planned == sum(plan.hours.values())
    assert posted.beside.minutes == posted.beside.job_minutes == 90
    assert plan_of(bed, time_entry.job) == plan.hours
    assert verbs_of(bed, 1) == ["hours add"]
    assert not list(money_in(posted))


def test_a_plan_that_another_kept_meanwhile_is_not_kept_twice(bed):
    job = find_job(bed, "bed")
    early = hours.plan_for(bed, job)
    hours.enter(bed, entry_for(bed, "bed sand", 30), hours.plan_for(bed, job))
    hours.enter(bed, entry_for(bed, "bed spray", 30), early)

    assert len(bed.rows(HoursPlan, job=job.key)) == len(early.hours)


def test_the_same_hours_twice_are_a_question_and_post_nothing_until_sure(bed):
    time_entry, plan = entry_for(bed, "bed sand", 45), hours.JobPlan()
    first = hours.enter(bed, time_entry, plan)
    with pytest.raises(Question, match="2025-04-25 already"):
        hours.enter(bed, time_entry, plan)
    assert last_entries(bed, 1)[0][0].id == first.entry

    second = hours.enter(bed, time_entry, plan, sure=True)
    take_back(bed, second.entry, "typed twice")
    assert len(hours.logged(bed, first=DAY, last=DAY).rows) == 1


def test_the_last_entry_again_is_no_question(bed):
    hours.enter(bed, entry_for(bed, "bed sand", 45), hours.JobPlan())
    again = hours.enter(bed, replace(last_entry(bed), minutes=45), hours.JobPlan(), again=True)
    assert (again.what, again.minutes) == ("Sand raw", 45)


def test_a_working_day_without_hours_is_a_gap_from_the_books_beginning_on(bed):
    friday = hours.logged(bed, first=date(2025, 4, 1), last=DAY)
    assert (friday.rows, friday.gaps) == ((), (DAY,))
    hours.enter(bed, entry_for(bed, "bed sand", 45), hours.JobPlan())
    days = hours.logged(bed, first=DAY, last=date(2025, 4, 29))
    assert days.gaps == (date(2025, 4, 28), date(2025, 4, 29))
    assert days.number(days.rows[0]) == "J-2507"
    assert hours.logged(bed, find_job(bed, "bed"), first=DAY, last=date(2025, 4, 29)).gaps == ()


def test_a_jobs_lines_have_what_is_left_and_rework_stands_beside_them(bed):
    job, plan = find_job(bed, "bed"), {"SND": Decimal("1.00"), "SPR": Decimal("2.00")}
    hours.enter(bed, entry_for(bed, "bed sand", 90), hours.JobPlan())
    rework = replace(entry_for(bed, "bed spray", 20), kind="rework")
    assert hours.enter(bed, rework, hours.JobPlan()).lacks_cause

    account = hours.of_job(bed, job, hours.JobPlan(job, plan))
    assert [(line.key, line.minutes, line.left) for line in account.lines] == [
        ("SND", 90, -30), ("SPR", 0, 120),
    ]  # fmt: skip
    assert (account.left, account.others) == (120, {"rework": 20})


def test_the_clock_switches_and_its_time_becomes_hours(bed):
    eight, plan = datetime(2025, 4, 25, 8), hours.JobPlan()
    sand, spray = (hours.read_target(bed, ["bed", name]) for name in ("sand", "spray"))
    assert clock.switch(bed, sand, eight, plan, people=("owner",)).stopped is None

    switched = clock.switch(bed, spray, eight.replace(minute=25), plan, people=("owner",))
    assert switched.stopped.hours.minutes == 25
    assert verbs_of(bed, 1) == ["clock on"]
    ended = clock.end(bed, eight.replace(minute=25), plan)
    assert (ended.clock.words, ended.hours) == ("J-2507 SPR", None)
    with pytest.raises(NotAllowed, match="No clock is running"):
        clock.end(bed, eight.replace(minute=30), plan)


def test_an_issue_says_what_is_left_and_keeps_its_money_in_one_field(bed):
    job, (moved,) = stock.issue(bed, ["bed", "EDGE78", "88"])

    assert (job.number, moved.item, moved.quantity, moved.unit, moved.left) == (
        "J-2507", "EDGE78", Quantity.of(88), "ft", Quantity.of(12),
    )  # fmt: skip
    assert moved.cost.full == Money(1936)
    assert list(money_in(moved)) == ["cost"]
    _, (back,) = stock.give_back(bed, ["bed", "EDGE78", "4", "yd"])
    assert (back.quantity, back.left) == (Quantity.of(12), Quantity.of(24))
    take_back(bed, back.entry, "miscounted")
    assert stock.take_out(bed, "scrap", ["EDGE78", "2"], why="torn")[0].left == Quantity.of(10)


def test_an_estimate_is_read_first_and_issued_less_what_the_job_has(bed):
    needs = {"EDGE78": Quantity.of(90), "PLY12": Quantity.of(1)}
    said = stock.read_estimate(bed, "bed", ["EDGE78=90"])
    assert said.needs["EDGE78"] == Quantity.of(90)
    stock.issue(bed, ["bed", "EDGE78", "80"])

    moved = stock.issue_estimated(bed, replace(said, needs=needs))
    assert {one.item: one.quantity for one in moved} == {
        "EDGE78": Quantity.of(10), "PLY12": Quantity.of(1),
    }  # fmt: skip
    assert stock.issue_estimated(bed, replace(said, needs=needs)) == ()


def test_counts_of_several_materials_are_one_entry(bed):
    rows = [("EDGE78", Quantity.of(97), "used"), ("PLY12", Quantity.of(2), "")]
    less, same = stock.count(bed, rows, words="by hand")
    assert (less.moved[0].quantity, less.is_more, same.moved) == (Quantity.of(3), False, ())
    assert verbs_of(bed, 1) == ["stock count"]


def test_several_materials_are_issued_and_come_back_in_one_entry_or_not_at_all(bed):
    _, moved = stock.issue(bed, ["bed", "EDGE78", "12", "yd", "PLY12", "2"])
    assert [(one.item, one.quantity, one.left) for one in moved] == [
        ("EDGE78", Quantity.of(36), Quantity.of(64)), ("PLY12", Quantity.of(2), Quantity.of(0)),
    ]  # fmt: skip
    assert {one.entry for one in moved} == {last_entries(bed, 1)[0][0].id}
    _, back = stock.give_back(bed, ["bed", "PLY12", "1", "EDGE78", "6"])
    assert [(one.item, one.quantity) for one in back] == [
        ("PLY12", Quantity.of(1)), ("EDGE78", Quantity.of(6)),
    ]  # fmt: skip

    gone = stock.take_out(bed, "scrap", ["PLY12", "1", "EDGE78", "4"], why="split")
    assert [(one.item, one.quantity, one.left) for one in gone] == [
        ("PLY12", Quantity.of(1), Quantity.of(0)), ("EDGE78", Quantity.of(4), Quantity.of(66)),
    ]  # fmt: skip
    assert last_entries(bed, 1)[0][0].words == "PLY12 1, EDGE78 4"

    entries = last_entries(bed, 2)
    with pytest.raises(NotAllowed, match="PLY12"):
        stock.issue(bed, ["bed", "EDGE78", "1", "PLY12", "2"])
    for last, sentence in (("PLY12", "PLY12: say how much"), ("galon", "neither a unit")):
        with pytest.raises(BadValue, match=sentence):
            stock.issue(bed, ["bed", "EDGE78", "1", last])
    assert last_entries(bed, 2) == entries


def test_an_offcut_is_kept_by_its_size_and_a_small_one_is_not(bed):
    stock.issue(bed, ["bed", "PLY12", "1"])
    kept = offcuts.keep(bed, "bed", "PLY12", ["40x24", "2x2"])
    assert (len(kept.pieces), kept.too_small) == (1, 1)
    assert Money(0) < kept.cost < Money(4000)
    with pytest.raises(BadValue, match="length x width"):
        offcuts.keep(bed, "bed", "PLY12", ["40"])


def test_a_receipt_of_several_lines_is_one_entry_and_says_where_its_goods_went(bed):
    glue, edging = "GLUE 2 at 7.50 to shop as supply", "EDGE58 1 at 15.50 to stock"
    typed = receipt.TypedReceipt(
        (LineText("EDGE78", "40", "0.22"), split_line(glue), split_line(edging)),
        supplier="Copper Vale Lumber", to="bed", total="5",
    )  # fmt: skip
    before = last_entries(bed, 1)[0][0].id
    with pytest.raises(LedgerError, match=r"39\.30"):
        receipt.add(bed, typed)
    assert last_entries(bed, 1)[0][0].id == before

    added = receipt.add(bed, replace(typed, total="39.30"))
    assert [(line.item, line.places) for line in added.lines] == [
        ("EDGE78", ("J-2507",)), ("GLUE", ("shop",)), ("EDGE58", ("stock",)),
    ]  # fmt: skip
    assert list(money_in(added)) == ["cost"]
    assert receipt.read(bed, added.cost).lines == added.lines


def test_a_measured_thickness_is_that_of_the_first_line_alone(bed):
    typed = receipt.TypedReceipt(
        (split_line("PLY34 1 at 96"), split_line("PLY12 1 at 72")),
        supplier="Yard",
        thickness="0.71",
    )
    first, second = receipt.typed_document(bed, typed).lines
    assert (first.thickness, second.thickness) == (Length.of(Decimal("0.71"), "in"), None)


def test_a_kept_layout_is_read_with_its_boards_and_asks_no_solver(bed, monkeypatch):
    first = cutting.of_job(bed, find_job(bed, "bed"))
    monkeypatch.setattr("ledger.jobs.plans.solve", None)

    again = cutting.of_job(bed, find_job(bed, "bed"))
    assert [problem.material for problem, _ in again.sheets] == ["PLY34", "PLY12", "PLY14"]
    assert len(again.sheets[0][1].sheets) == 5
    assert again.boards == first.boards
    assert again.boards[0].laid >= 1


def test_a_layout_is_read_as_it_is_kept_and_never_solved_where_that_is_forbidden(bed):
    job = find_job(bed, "bed")
    bed.worked_out.kept_only = True
    kept = cutting.of_job(bed, job)

    assert {one.material: len(laid.sheets) for one, laid in kept.sheets}["PLY34"] == 5

    with bed.entry("shop set", "kerf"):
        bed.set("kerf", "5/32")
    with pytest.raises(NotAllowed, match="benchledger layout"):
        cutting.of_job(bed, job)
    assert hours.plan_for(bed, job).hours is None


def test_a_job_without_what_was_done_is_told_what_is_missing(bed):
    with pytest.raises(BadValue, match=r"“marrow” is the job .*: hours add marrow \w+ 1h$"):
        hours.read_target(bed, ["marrow"], line="hours add {} 1h")
    with pytest.raises(NotFound, match="No operation is called “zebra”"):
        hours.read_target(bed, ["zebra"])


def test_several_materials_are_sent_back_in_one_entry(bed):
    sent = stock.send_back(bed, ["PLY12", "1", "EDGE78", "12", "yd"], why="wrong face")
    assert [(one.name, one.moved[0].quantity, one.moved[0].left) for one in sent] == [
        ("PLY12", Quantity.of(1), Quantity.of(1)), ("EDGE78", Quantity.of(36), Quantity.of(64)),
    ]  # fmt: skip
    assert {row.entry for one in sent for row in one.moved} == {last_entries(bed, 1)[0][0].id}
