"""Canceling: what is kept follows from how far the work had come, and never exceeds the price."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.book.questions.labor import WorkSum
from ledger.book.tables.jobs import Cancellation
from ledger.costing.rates import Rates
from ledger.errors import BadValue, NotAllowed
from ledger.jobs.agreement import Ask, agree
from ledger.jobs.answers import add_cost
from ledger.jobs.cancel import (
    CUT,
    DESIGNED,
    FINISHED,
    FREE,
    ORDERED,
    CancelBasis,
    Terms,
    cancel_job,
    kept_after_cancellation,
    record_of,
)
from ledger.jobs.jobs import new_job, set_state, state_of
from ledger.jobs.payments import Balance, receive
from ledger.measures.money import Money, currency
from ledger.measures.quantity import Quantity
from ledger.measures.values import replace

USD = currency("USD")


def usd(text):
    return USD.money(Decimal(text))


RATES = Rates(
    pay=usd("48.61"), overhead=usd("19.10"), break_even=usd("67.71"), selling=usd("73"),
    selling_by_formula=usd("73.13"), helper_cost=usd("26.88"), helper_billed=usd("42"),
    mile=Decimal("0.70"),
)  # fmt: skip


def worked(group, minutes, person="owner", kind="work"):
    day = date(2025, 5, 1)
    return WorkSum("RIP", group, "", kind, person, False, minutes, 1, day, day)


WORK = [worked("office", 300), worked("cutting", 120), worked("cutting", 60, "Ash"),
        worked("cutting", 90, kind="rework")]  # fmt: skip


def record(stage, received="3672.40"):
    paid = Balance(usd("6980"), usd("364.80"), usd(received), usd(received))
    return CancelBasis(stage, paid, WORK, usd("1218.31"), RATES)


@pytest.mark.parametrize(
    ("stage", "kept"),
    [
        (FREE, "0"),
        (DESIGNED, "365.00"),  # 5 h × 73
        (ORDERED, "1771.31"),  # 7 h × 73 + 1 h × 42 + 1,218.31
        (CUT, "1771.31"),
        (FINISHED, "7344.80"),
    ],
)
def test_what_is_kept_follows_the_stage(stage, kept):
    assert kept_after_cancellation(record(stage)).kept == usd(kept)


def test_a_helper_of_another_rate_is_billed_at_that_rate():
    hours = [*WORK, worked("cutting", 120, "Jonas"), worked("cutting", 30, "Max")]
    known = replace(record(CUT), work=hours, helpers={"Jonas": usd("34"), "helper": usd("42")})
    lines = {line.name: line.amount for line in kept_after_cancellation(known).lines}

    assert (lines["work, helper"], lines["work, Jonas"]) == (usd("63.00"), usd("68.00"))


def test_an_enquiry_is_canceled_in_a_shop_that_has_no_rates_yet(book):
    job = new_job(book, "Shelf")

    kept = kept_after_cancellation(record_of(book, job))
    cancel_job(book, job, kept, "they bought one")

    assert (kept.stage, kept.kept) == (FREE, usd("0"))
    assert state_of(book, job) == "canceled"


def test_what_goes_back_to_its_seller_is_not_kept_but_its_restocking_is():
    found = kept_after_cancellation(
        record(ORDERED), Terms(returnable=usd("400"), restocking=Fraction(15, 100))
    )

    assert found.kept == usd("1771.31") - usd("400") + usd("60")


def test_use_tax_is_kept_on_what_stays_with_the_job_alone():
    taxed = replace(record(ORDERED), use_tax=usd("73.10"))
    found = kept_after_cancellation(taxed, Terms(returnable=usd("609.66")))

    assert kept_after_cancellation(taxed).kept == usd("1771.31") + usd("73.10")
    # 609.66 of 1,218.31 go back, and 36.58 of the tax with them
    assert found.kept == usd("1771.31") - usd("609.66") + usd("73.10") - usd("36.58")


def test_after_cutting_nothing_goes_back_to_its_seller():
    assert kept_after_cancellation(record(CUT), Terms(returnable=usd("400"))).kept == usd("1771.31")


def test_what_was_paid_beyond_it_goes_back_and_what_is_short_is_owed():
    ahead, behind = (
        kept_after_cancellation(record(CUT)),
        kept_after_cancellation(record(CUT, "1000")),
    )

    assert (ahead.back, ahead.owed) == (usd("1901.09"), Money(0))
    assert (behind.back, behind.owed) == (Money(0), usd("771.31"))


def test_rework_is_never_the_clients():
    assert not any("1.5" in line.calculation for line in kept_after_cancellation(record(CUT)).lines)


def test_more_than_the_job_took_cannot_go_back():
    with pytest.raises(BadValue, match="More material"):
        kept_after_cancellation(record(ORDERED), Terms(returnable=usd("2000")))


@settings(deadline=None)
@given(minutes=st.integers(min_value=0, max_value=100_000), received=st.integers(0, 10**7))
def test_never_more_than_the_price_is_kept(minutes, received):
    paid = Balance(usd("6980"), usd("364.80"), Money(received), Money(0))
    work = [worked("cutting", minutes)]

    for stage in (FREE, DESIGNED, ORDERED, CUT, FINISHED):
        found = kept_after_cancellation(CancelBasis(stage, paid, work, usd("100"), RATES))
        assert found.kept <= paid.asked
        assert found.received - found.back + found.owed == found.kept


@pytest.fixture
def job(book):
    """A job that was agreed on and paid for in part, in a shop with its rates."""
    with book.entry("shop set", ""):
        book.set("overhead_year", "22000")
        book.set("pay_year", "56000")
    opened = new_job(book, "Marrow fold-down bed")
    with book.entry("quote accept", ""):
        set_state(book, opened, "won")
        agree(book, opened, "Q-1", [Ask("On acceptance", usd("1000"), Money(0))],
              day=book.today, tax_rate=Fraction(0), tax_standing="exempt")  # fmt: skip
    return opened


@pytest.mark.parametrize(
    ("state", "stage"),
    [("won", FREE), ("deposit paid", DESIGNED), ("material ordered", ORDERED),
     ("building", CUT), ("finishing", CUT), ("ready", FINISHED)],
)  # fmt: skip
def test_the_stage_is_the_one_the_job_reached(book, job, state, stage):
    set_state(book, job, state)

    assert record_of(book, job).stage == stage


def test_a_job_of_which_money_came_is_past_its_deposit(book, job):
    receive(book, job, usd("500"), "check")

    assert record_of(book, job).stage == DESIGNED
    assert record_of(book, job, FREE).stage == FREE


def test_what_was_spent_beside_material_is_kept_and_fees_are_told(book, job):
    """An upholsterer's bill and parking; the fee of a card payment stays with the shop."""
    receive(book, job, usd("500"), "card", fee=usd("14.80"))
    add_cost(book, job, "other", "parking", Quantity.of(1), Decimal(8), actual=True)
    early = record_of(book, job)
    assert (early.stage, kept_after_cancellation(early).kept) == (DESIGNED, usd("8"))
    add_cost(book, job, "outside", "cushion", Quantity.of(1), Decimal(275), actual=True)

    account = kept_after_cancellation(record_of(book, job))
    assert (account.stage, account.kept, account.back) == (ORDERED, usd("283"), usd("217"))
    told = {line.name: (line.calculation, line.amount) for line in account.lines}
    assert told["outside work"][1] == usd("275")
    assert told["fees"] == ("14.80, which the shop bears", Money(0))


def test_a_cancellation_says_why_and_ends_the_job(book, job):
    receive(book, job, usd("500"), "check")
    kept = kept_after_cancellation(record_of(book, job))

    with pytest.raises(BadValue, match="Say why"):
        cancel_job(book, job, kept, " ")
    cancel_job(book, job, kept, "the house was sold")

    row = book.last(Cancellation, job=job.key)
    assert (row.kept, row.back, row.why) == (Money(0), usd("500"), "the house was sold")
    assert state_of(book, job) == "canceled"
    with pytest.raises(NotAllowed, match="is canceled already"):
        record_of(book, job)
