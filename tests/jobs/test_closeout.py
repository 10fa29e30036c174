"""Closing a job: what it posts, what it refuses, what it teaches."""

from collections.abc import Callable, Iterator
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from ledger.book import Book
from ledger.book.tables.income import CloseOutRow
from ledger.designs.model import Count, Design, Part
from ledger.designs.store import save_design
from ledger.errors import BadValue, NotAllowed
from ledger.jobs.agreement import Ask, agree
from ledger.jobs.cancel import cancel_job, kept_after_cancellation, record_of
from ledger.jobs.changes import approve, propose
from ledger.jobs.closeout import (
    CloseOut,
    close_job,
    reopen_job,
    take_account,
)
from ledger.jobs.differences import not_believed_words
from ledger.jobs.income import add_income, add_spoiled, find_stream, incomes
from ledger.jobs.jobs import basis_of, find_job, new_job, set_basis, set_state, state_of
from ledger.jobs.pricing import estimate_of, price_job
from ledger.jobs.unlogged import post_answers
from ledger.labor.history import history
from ledger.labor.log import TimeEntry, log_hours
from ledger.labor.plan import save_plan
from ledger.labor.standards import standards
from ledger.measures.money import Money
from ledger.measures.values import replace
from ledger.reports.closeout import account_of

DESIGN = Design(
    name="stool", title="Stool", units="inch", parts=(Part("S", "Seat", "1", "16", "12", "PLY"),),
    counts=(Count("joints", "10"), Count("meetings", "1")),
)  # fmt: skip


@pytest.fixture
def stool(
    tmp_path: Path, put_book: Callable[..., None], equip: Callable[[Book], None]
) -> Iterator[Book]:
    """A book with a small job of one part, ten joints (1.25 h) and one meeting."""
    path, day = tmp_path / "shop.sqlite", date(2025, 4, 25)
    put_book(path, day, equip)
    with Book(path, day) as book:
        set_basis(book, new_job(book, "Stool"), save_design(book, DESIGN).key, {})
        yield book


def work(book: Book, operation: str, minutes: int, kind: str = "work", **more: str) -> None:
    """Log an hour's entry of the owner."""
    entry = TimeEntry(
        find_job(book, "stool"), standards(book)[operation], minutes, book.today, kind=kind, **more
    )
    log_hours(book, entry, plan=None, sure=True)


def account(book: Book) -> CloseOut:
    """The account at an agreed price of 500."""
    job = find_job(book, "stool")
    return take_account(book, job, price_job(book, job), Money(50000), Money(0))


def test_hours_planned_and_worked_stand_side_by_side(stool: Book) -> None:
    work(stool, "ASM", 90)
    work(stool, "ASM", 30, "rework", cause="glue-up")
    found = account(stool)
    joints = next(line for line in found.hours if line.operation == "ASM")
    assert (joints.planned, joints.actual) == (Decimal("1.25"), Decimal("1.50"))
    assert found.actual_hours == Decimal("1.50")
    assert found.afterwards.done.rework_minutes == 30
    assert found.afterwards.rework == Money(6771).times(Fraction(1, 2))


def test_an_unplanned_operation_is_shown_with_nothing_planned(stool: Book) -> None:
    work(stool, "SND", 60)
    sand = next(line for line in account(stool).hours if line.operation == "SND")
    assert (sand.planned, sand.actual) == (Decimal("0.00"), Decimal("1.00"))
    assert sand.name == standards(stool)["SND"].name


def test_the_minutes_posted_are_the_minutes_logged(stool: Book) -> None:
    """Twenty minutes are 0.33 h where hours are shown, and 0.33 h would be nineteen minutes."""
    for operation, minutes in (("ASM", 20), ("SND", 20), ("MTG", 10)):
        work(stool, operation, minutes)
    found = account(stool)
    close_job(stool, found)
    posted = stool.last(CloseOutRow)
    assert posted is not None
    assert posted.actual_minutes == 50
    taught = {lesson.operation: lesson.minutes for lesson in history(stool).lessons}
    assert (taught["ASM"], taught["MTG"]) == (20, 10)


def test_what_was_planned_and_never_logged_or_taken_is_told(stool: Book) -> None:
    work(stool, "ASM", 90)
    found = account(stool)
    assert [line.operation for line in found.not_logged][:2] == ["DES", "MTG"]
    assert found.open_ends == ("not taken from stock: PLY",)


def test_closing_posts_counts_as_built_which_then_teach(stool: Book) -> None:
    work(stool, "ASM", 90)
    assert history(stool).learned("ASM").jobs == 0
    close_job(stool, account(stool))
    assert state_of(stool, find_job(stool, "stool")) == "closed"
    assert history(stool).learned("ASM").raw == Fraction("1.5") / Fraction("1.25")


def test_a_job_is_closed_once_and_opened_again_only_with_a_reason(stool: Book) -> None:
    work(stool, "ASM", 90)
    found = account(stool)
    close_job(stool, found)
    with pytest.raises(NotAllowed, match="closed already"):
        close_job(stool, found)
    with pytest.raises(NotAllowed, match="Say why"):
        reopen_job(stool, found.job, " ")
    reopen_job(stool, found.job, "the go-back was still to come")
    assert state_of(stool, found.job) == "installed"
    assert history(stool).learned("ASM").jobs == 0
    with pytest.raises(NotAllowed, match="is not closed"):
        reopen_job(stool, found.job, "again")


def explain_the_rest(book: Book, answer: str = "on another line") -> None:
    """Answer for every estimated line without hours: they stand on the joints."""
    onto = "ASM" if answer == "on another line" else ""
    lines = account(book).not_logged
    post_answers(book, find_job(book, "stool"), {one.operation: (answer, onto) for one in lines})


def test_the_record_counts_jobs_that_stayed_under_four_in_five(stool: Book) -> None:
    work(stool, "ASM", 60)
    explain_the_rest(stool)
    close_job(stool, account(stool))
    record = account(stool).record
    assert (len(record.counted), record.under_safe, record.uncounted) == (1, 1, ())


@pytest.mark.parametrize("answer", ["", "not done", "forgotten"])
def test_a_job_with_work_that_has_no_hours_is_named_and_not_counted(
    stool: Book, answer: str
) -> None:
    work(stool, "ASM", 60)
    if answer:
        explain_the_rest(stool, answer)
    close_job(stool, account(stool))
    record = account(stool).record
    assert (len(record.marks), len(record.counted), record.under_safe) == (1, 0, 0)
    (why,) = record.words
    without = sum(line.estimate for line in account(stool).not_logged)
    assert f"{without} of its" in why
    assert "h by the standards" in why  # at which `without` stands, whatever the price was built on
    assert ("--unlogged" in why) == (not answer)


def test_a_job_without_any_hours_is_no_job_that_stayed_under(stool: Book) -> None:
    close_job(stool, account(stool))
    assert account(stool).record.counted == ()


def test_next_time_speaks_only_of_lines_that_have_hours_on_this_job(stool: Book) -> None:
    work(stool, "ASM", 90)
    work(stool, "MTG", 120)
    close_job(stool, account(stool))
    job = find_job(stool, "stool")
    second = new_job(stool, "Second")
    set_basis(stool, second, basis_of(stool, job).design, {})
    entry = TimeEntry(second, standards(stool)["ASM"], 80, stool.today)
    log_hours(stool, entry, plan=None, sure=True)
    found = take_account(stool, second, price_job(stool, second), Money(50000), Money(0))
    assert [lesson.name for lesson in found.lessons] == [standards(stool)["ASM"].name]


def test_the_account_before_closing_says_the_next_time_that_closing_gives(stool: Book) -> None:
    assert account(stool).lessons == ()  # nothing is worked yet
    work(stool, "ASM", 90)
    work(stool, "MTG", 120)
    before = account(stool).lessons
    assert {(one.name, one.standard, one.ran, one.jobs) for one in before} >= {
        (standards(stool)["ASM"].name, Decimal("1.25"), Decimal("1.20"), 1)  # 1.5 h ÷ 1.25 h
    }
    close_job(stool, account(stool))
    assert account(stool).lessons == before
    reopen_job(stool, find_job(stool, "stool"), "a door")
    assert account(stool).lessons == before


def test_hours_far_from_their_standard_are_told_at_close_out(stool: Book) -> None:
    work(stool, "ASM", 11 * 60)  # 1.25 h by the standard
    (line,) = account(stool).not_believed
    assert (line.actual, line.standard) == (Decimal("11.00"), Decimal("1.25"))
    assert "11.00 h against 1.25 h" in not_believed_words(line)
    work(stool, "MTG", 90)
    assert len(account(stool).not_believed) == 1


def test_hours_are_the_minutes_of_all_lines_not_a_sum_of_rounded_ones(stool: Book) -> None:
    for operation in ("ASM", "SND", "MTG"):
        work(stool, operation, 20)  # 0.33 h each, 1 h together
    found = account(stool)
    assert found.actual_hours == Decimal("1.00")


def test_a_closed_job_keeps_its_three_points_and_what_it_took_with_rework(stool: Book) -> None:
    work(stool, "ASM", 60)
    work(stool, "ASM", 30, "rework", cause="glue-up")
    work(stool, "ASM", 45, "change_order")
    found = account(stool)
    close_job(stool, found)
    (mark,) = account(stool).record.marks
    points = found.sheet.range
    assert (mark.typical, mark.safe, mark.bad) == (
        str(points.p50), str(points.p80), str(points.p95),
    )  # fmt: skip
    assert (mark.minutes, mark.past_jobs) == (90, 0)


def test_points_of_work_alone_are_held_against_work_alone(stool: Book) -> None:
    """As in a quote that was frozen before rework was part of its range."""
    work(stool, "ASM", 60)
    work(stool, "ASM", 30, "rework", cause="glue-up")
    found = account(stool)
    old = replace(found, sheet=replace(found.sheet, range=replace(found.sheet.range, basis="")))
    close_job(stool, old)
    assert account(stool).record.marks[0].minutes == 60


def test_a_job_that_took_far_longer_is_over_its_four_in_five(stool: Book) -> None:
    work(stool, "ASM", 840)
    explain_the_rest(stool)
    close_job(stool, account(stool))
    record = account(stool).record
    assert (len(record.counted), record.under_safe) == (1, 0)


def test_income_comes_in_streams_after_fees_even_when_closed(stool: Book) -> None:
    work(stool, "ASM", 60)
    close_job(stool, account(stool))
    job = find_job(stool, "stool")
    add_income(stool, job, "plans", Money(73800), fee=Money(5904), words="41 plans")
    assert [row.stream for row in incomes(stool, job)] == ["plans"]
    assert account(stool).afterwards.done.content == Money(67896)


@pytest.mark.parametrize(("said", "stream"), [("pl", "plans"), ("Sponsor", "sponsor fee")])
def test_a_stream_answers_to_its_beginning(said: str, stream: str) -> None:
    assert find_stream(said) == stream


def test_a_fee_larger_than_the_income_is_refused(stool: Book) -> None:
    with pytest.raises(BadValue, match="not more than what came in"):
        add_income(stool, find_job(stool, "stool"), "ads", Money(100), fee=Money(101))


def test_an_unknown_stream_is_refused_with_those_there_are() -> None:
    with pytest.raises(BadValue, match=r"stream.*sponsor fee, plans"):
        find_stream("lottery")


def test_income_on_a_day_to_come_is_refused(stool: Book) -> None:
    with pytest.raises(NotAllowed, match="future"):
        add_income(stool, find_job(stool, "stool"), "ads", Money(100), day=date(2025, 4, 26))


def test_spoiled_material_is_part_of_rework_never_below_zero(stool: Book) -> None:
    job = find_job(stool, "stool")
    add_spoiled(stool, job, Money(1666), "offcut", part="C1")
    assert account(stool).afterwards.rework == Money(1666)
    with pytest.raises(BadValue, match="0 or more"):
        add_spoiled(stool, job, Money(-1), "offcut")


def test_the_plan_a_job_is_held_against_knows_nothing_of_its_own_hours(stool: Book) -> None:
    job = find_job(stool, "stool")
    before = estimate_of(stool, job)
    save_plan(stool, job, before)  # as the first entry of hours does
    work(stool, "ASM", 9 * 60)
    first = account_of(stool, job, Money(50000))
    close_job(stool, first)
    after = account_of(stool, job, Money(50000))
    for one in (first, after):
        assert {line.operation: line.planned for line in one.hours} == before
    assert after.sheet.range == first.sheet.range
    assert after.record.marks[0].typical == str(after.sheet.range.p50)
    assert after.labor == first.labor


def test_what_other_jobs_taught_since_does_not_move_the_plan(stool: Book) -> None:
    job = find_job(stool, "stool")
    before = estimate_of(stool, job)
    save_plan(stool, job, before)
    work(stool, "ASM", 90)
    other = new_job(stool, "Second")
    set_basis(stool, other, basis_of(stool, job).design, {})
    entry = TimeEntry(other, standards(stool)["ASM"], 240, stool.today)
    log_hours(stool, entry, plan=None, sure=True)
    close_job(stool, take_account(stool, other, price_job(stool, other), Money(50000), Money(0)))
    assert estimate_of(stool, job) != before
    found = account_of(stool, job, Money(50000))
    assert {line.operation: line.planned for line in found.hours} == before
    owner = found.sheet.totals.owner_hours
    assert owner == sum(before.values()) - found.sheet.totals.helper_hours


def test_a_canceled_job_brings_what_was_kept_with_its_change_orders_in_it(stool: Book) -> None:
    """A stool agreed on by word, finished and not taken: its 500 and a cushion for 120 are kept."""
    job = find_job(stool, "stool")
    with stool.entry("job agree"):
        set_state(stool, job, "won")
        agree(stool, job, "by word", [Ask("In full", Money(50000), Money(0))], day=stool.today,
              tax_rate=Fraction(0), tax_standing="exempt")  # fmt: skip
    approve(stool, job, propose(stool, job, "a cushion", Money(12000)), "e-mail")
    set_state(stool, job, "ready")
    cancel_job(stool, job, kept_after_cancellation(record_of(stool, job)), "the house was sold")

    after = account_of(stool, job).afterwards

    assert (after.done.price, after.done.changes) == (Money(62000), Money(0))
    assert after.full.amount == Money(62000)


def test_agreed_hours_of_change_orders_that_nobody_logged_are_told(stool: Book) -> None:
    job, not_taken = find_job(stool, "stool"), "not taken from stock: PLY"
    with stool.entry("job agree"):
        set_state(stool, job, "won")
        agree(stool, job, "by word", [Ask("In full", Money(50000), Money(0))], day=stool.today,
              tax_rate=Fraction(0), tax_standing="exempt")  # fmt: skip
    order = propose(stool, job, "a cushion", Money(12000), minutes=120)
    work(stool, "ASM", 90)
    assert account(stool).open_ends == (not_taken,)  # not approved yet

    approve(stool, job, order, "e-mail")
    assert account(stool).open_ends == (
        not_taken, "hours of its change orders: 2.00 h agreed, none logged on them"
    )  # fmt: skip
    work(stool, "ASM", 30, "change_order")
    assert account(stool).open_ends == (not_taken,)
