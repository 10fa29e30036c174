"""What was agreed, change orders, payments and balance of a job."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.book.tables.jobs import Agreement
from ledger.errors import BadValue, NotAllowed, NotFound
from ledger.jobs.agreement import Ask, agree, agreement_of, dues_of
from ledger.jobs.answers import costs_of
from ledger.jobs.changes import (
    approve,
    changed_minutes,
    changes,
    changes_total,
    decline,
    find_change,
    propose,
    worked_ahead,
)
from ledger.jobs.job_rules import REVERSAL_RULES
from ledger.jobs.jobs import new_job, set_state, state_of
from ledger.jobs.payments import (
    balance,
    card_fee,
    outstanding,
    payments_due,
    receive,
)
from ledger.measures.money import Money, currency, grossed_up, total

USD = currency("USD")


def usd(text):
    return USD.money(Decimal(text))


ASKS = [
    Ask("On acceptance", usd("3490"), usd("182.40")),
    Ask("Before finishing", usd("2792"), usd("145.92")),
    Ask("On installation", usd("698"), usd("36.48")),
]


@pytest.fixture
def job(book):
    """A job that was agreed on at 6,980.00 and 364.80 of tax."""
    opened = new_job(book, "Marrow fold-down bed", number="J-2507")
    with book.entry("quote accept", "Q-2507-B"):
        set_state(book, opened, "won")
        agree(book, opened, "Q-2507-B", ASKS, day=date(2025, 4, 25), tax_rate=Fraction(6, 100),
              tax_standing="sales_tax")  # fmt: skip
    return opened


def shelf(book, job, price="120", **more):
    return propose(book, job, "one more loose shelf per tower", usd(price), **more)


def test_an_agreement_is_the_sum_of_its_payments(book, job):
    agreed = agreement_of(book, job)

    assert (agreed.price, agreed.tax) == (usd("6980"), usd("364.80"))
    assert total(due.asked for due in dues_of(book, job)) == usd("7344.80")


def test_change_orders_are_numbered_and_add_to_the_price_once_approved(book, job):
    order = shelf(book, job, minutes=48)
    assert (order.name, changes_total(book, job)) == ("CO-1", Money(0))

    approve(book, job, order, "e-mail")

    assert changes_total(book, job) == usd("120")
    due = dues_of(book, job)[-1]
    assert (due.source, due.price, due.tax) == ("CO-1", usd("120"), usd("7.20"))
    assert balance(book, job).tax == usd("372.00")
    assert balance(book, job).asked == usd("7472.00")


def test_a_favor_is_a_change_order_of_nothing_and_is_seen(book, job):
    order = shelf(book, job, "0")
    approve(book, job, order, "on the telephone")

    assert [change.state for change in changes(book, job)] == ["approved"]
    assert len(dues_of(book, job)) == 3


def test_a_change_orders_number_is_not_given_again_after_undo(book, job):
    order = shelf(book, job)
    book.reverse(order.entry, "wrong job")

    assert shelf(book, job).name == "CO-2"


def test_what_is_left_out_makes_the_price_less(book, job):
    approve(book, job, shelf(book, job, "-200"), "e-mail")

    assert balance(book, job).price == usd("6780")
    assert balance(book, job).tax == usd("352.80")
    still = total(one.open for one in outstanding(book, job))
    assert still == balance(book, job).due


def test_a_declined_change_order_changes_nothing(book, job):
    decline(book, job, shelf(book, job), "too dear")

    assert changes_total(book, job) == Money(0)
    assert len(dues_of(book, job)) == 3


def test_a_change_order_is_answered_once(book, job):
    order = shelf(book, job)
    approve(book, job, order, "e-mail")

    with pytest.raises(NotAllowed, match="CO-1 is approved since 2025-04-25"):
        decline(book, job, order)


def test_before_an_agreement_the_quote_changes_and_no_change_order_is_written(book):
    job = new_job(book, "Hall bench")

    with pytest.raises(NotAllowed, match="no quote and no agreed price"):
        shelf(book, job)


def test_a_closed_job_takes_no_change_order(book, job):
    set_state(book, job, "closed")

    with pytest.raises(NotAllowed, match="closed; nothing changes"):
        shelf(book, job)


def test_a_change_order_says_what_changes(book, job):
    with pytest.raises(BadValue, match="says what changes"):
        propose(book, job, "  ", usd("10"))


@pytest.mark.parametrize("text", ["CO-1", "co1", "1"])
def test_a_change_order_answers_to_its_number(book, job, text):
    shelf(book, job)

    assert find_change(book, job, text).number == 1
    with pytest.raises(NotFound, match="CO-1"):
        find_change(book, job, "7")


def test_numbers_of_change_orders_taken_back_are_not_used_again(book, job):
    order = shelf(book, job)
    book.reverse(order.entry, "typed twice", REVERSAL_RULES)

    assert shelf(book, job).name == "CO-2"


def test_estimated_and_logged_hours_of_changes_stand_apart(book, job):
    approve(book, job, shelf(book, job, minutes=48), "e-mail")

    assert changed_minutes(book, job) == (48, 0)
    assert not worked_ahead(book, job)


def test_the_first_payment_makes_a_won_job_paid_and_is_held(book, job):
    receive(book, job, usd("3672.40"), "transfer")

    assert state_of(book, job) == "deposit paid"
    now = balance(book, job)
    assert (now.received, now.held, now.due) == (usd("3672.40"), usd("3672.40"), usd("3672.40"))


def test_nothing_is_held_once_the_piece_is_installed(book, job):
    receive(book, job, usd("3672.40"), "check")
    set_state(book, job, "installed")

    assert balance(book, job).held == Money(0)


def test_payments_are_laid_against_the_oldest_that_is_asked_for(book, job):
    receive(book, job, usd("4000"), "check")

    assert [one.open for one in outstanding(book, job)] == [
        Money(0), usd("2610.32"), usd("734.48"),
    ]  # fmt: skip
    (due,) = payments_due(book)
    assert (due[0].number, due[1].due.name) == ("J-2507", "Before finishing")


def test_the_fee_of_a_card_payment_is_a_cost_of_the_job(book, job):
    with book.entry("shop set", ""):
        book.set("card_fee", "2.9 %")
        book.set("card_fee_fixed", "0.30")
    receive(book, job, usd("818"), "card")
    receive(book, job, usd("100"), "cash")

    (cost,) = costs_of(book, job, "actual")
    assert (cost.kind, cost.words, cost.amount) == ("fee", "card fee on 818.00", usd("24.02"))
    assert card_fee(book, usd("818")) == usd("24.02")


def test_a_refund_is_a_negative_payment(book, job):
    receive(book, job, usd("1000"), "transfer")
    receive(book, job, usd("-400"), "transfer", words="part of the deposit")

    assert balance(book, job).received == usd("600")


def test_a_payment_is_an_amount_in_a_known_way_on_an_open_day(book, job):
    with pytest.raises(BadValue, match="A payment of 0"):
        receive(book, job, Money(0), "cash")
    with pytest.raises(BadValue, match="“shells” is not a way of paying"):
        receive(book, job, usd("1"), "shells")
    with pytest.raises(NotAllowed, match="lies in the future"):
        receive(book, job, usd("1"), "cash", day=date(2025, 4, 26))


def test_an_agreement_that_payments_rest_on_is_not_taken_back(book, job):
    receive(book, job, usd("100"), "cash")
    entry = book.last(Agreement, job=job.key).entry

    paid = book.entries(1)[0].id
    with pytest.raises(NotAllowed, match=rf"a payment that rests on Q-2507-B.*undo {paid}"):
        book.reverse(entry, "mistake", REVERSAL_RULES)


def test_a_payment_that_went_back_is_not_taken_back_before_its_refund(book, job):
    for amount in ("100", "50", "-120"):
        receive(book, job, usd(amount), "cash")
    refund, second, first = (entry.id for entry in book.entries(3))

    for entry in (first, second):
        with pytest.raises(NotAllowed, match=rf"refund by entry {refund} .*undo {refund}"):
            book.reverse(entry, "mistake", REVERSAL_RULES)
    book.reverse(refund, "mistake", REVERSAL_RULES)
    book.reverse(first, "mistake", REVERSAL_RULES)
    assert balance(book, job).received == usd("50")


def test_a_change_order_that_was_answered_is_not_taken_back(book, job):
    order = shelf(book, job)
    approve(book, job, order, "e-mail")

    with pytest.raises(NotAllowed, match="one entry rests on it"):
        book.reverse(order.entry, "mistake", REVERSAL_RULES)


@settings(deadline=None)
@given(
    net=st.integers(min_value=1, max_value=10**8).map(Money),
    rate=st.fractions(min_value=0, max_value=Fraction(1, 5)),
    fixed=st.integers(min_value=0, max_value=200).map(Money),
)
def test_what_is_left_of_a_grossed_up_payment_is_the_amount_to_a_cent(net, rate, fixed):
    gross = grossed_up(net, rate, fixed)

    left = gross - gross.times(rate) - fixed
    assert abs((left - net).minor) <= 1


def test_a_fee_of_the_whole_payment_is_refused():
    with pytest.raises(BadValue, match="less than the whole"):
        grossed_up(usd("100"), Fraction(1), Money(0))
