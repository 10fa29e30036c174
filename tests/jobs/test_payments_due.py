"""The next payment still open of each job: one question, the same answer as job by job."""

from contextlib import suppress
from datetime import date
from fractions import Fraction

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ledger.book.tables.jobs import Due
from ledger.errors import NotAllowed
from ledger.jobs.agreement import Ask, add_due, agree, agreement_of
from ledger.jobs.jobs import jobs, new_job, set_state, state_of
from ledger.jobs.payments import outstanding, payments_due, receive
from ledger.measures.money import Money, total

DAY = date(2025, 4, 25)
AMOUNTS = st.integers(1, 900).map(Money)


def open_one(book, asks, *, state="won"):
    """A job that asks for those payments; one that asks for none is not agreed."""
    job = new_job(book, "A stool", number=f"J-{len(jobs(book)) + 1}")
    if asks:
        named = [Ask(f"Part {n}", amount, Money(n)) for n, amount in enumerate(asks)]
        agree(book, job, "Q-1-A", named, day=DAY, tax_rate=Fraction(0), tax_standing="exempt")
    set_state(book, job, state)
    return job


def job_by_job(book):
    """What the question must answer, as it is defined."""
    found = []
    for job in jobs(book):
        if agreement_of(book, job) is not None and state_of(book, job) != "canceled":
            still = [one for one in outstanding(book, job) if one.open > Money(0)]
            whole = total(one.open for one in still)  # once the work is done
            is_done = state_of(book, job) in {"installed", "closed"}
            found += [
                (job.number, one.due.name, whole if is_done else one.open) for one in still[:1]
            ]
    return found


def answered(book):
    return [(job.number, one.due.name, one.open) for job, one in payments_due(book)]


@settings(max_examples=10, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.lists(
        st.tuples(
            st.lists(AMOUNTS, max_size=3),
            st.sampled_from(("won", "installed", "closed", "canceled")),
            st.lists(st.integers(-400, 1500).filter(bool).map(Money), max_size=2),
            st.integers(-300, 0).map(Money),
        ),
        max_size=4,
    )
)
def test_one_question_finds_what_the_jobs_say_one_by_one(book, plans):
    with book.entry("plans"):
        for asks, state, came, credit in plans:
            job = open_one(book, asks, state=state)
            if asks and credit:
                add_due(book, job, "CO-1", Ask("Credit", credit, Money(0)))
            for amount in came:
                with suppress(NotAllowed):  # more cannot go back than came
                    receive(book, job, amount, "cash")

    assert answered(book) == job_by_job(book)


def test_what_was_taken_back_asks_for_nothing(book):
    job = open_one(book, [Money(500)])
    assert answered(book) == [("J-1", "Part 0", Money(500))]

    book.reverse(book.last(Due, job=job.key).entry, "agreed by mistake")
    assert answered(book) == []


@pytest.mark.parametrize(("paid", "left"), [(499, [Money(1)]), (500, []), (501, [])])
def test_a_job_that_is_paid_to_the_cent_is_not_due(book, paid, left):
    job = open_one(book, [Money(500)])
    receive(book, job, Money(paid), "cash")

    assert [found[2] for found in answered(book)] == left
