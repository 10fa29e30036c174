"""Undo: hours of a closed job stay, a job with hours stays, a standard in use stays."""

from datetime import date

import pytest

from ledger.book.tables.ground import Job, JobState
from ledger.book.tables.labor import Work
from ledger.book.tables.operations import Operation
from ledger.errors import NotAllowed
from ledger.labor.labor_rules import REVERSAL_RULES
from ledger.labor.log import TimeEntry, log_hours, read_activity

TODAY = date(2025, 4, 25)


@pytest.fixture
def job(book):
    with book.entry("job new", "J-2507"):
        return book.post(Job(number="J-2507", title="Marrow fold-down bed"))


def log(book, job, text="sand"):
    activity, kind = read_activity(book, text)
    log_hours(book, TimeEntry(job, activity, 60, TODAY, kind))
    return book.last(Work).entry


def close(book, job):
    with book.entry("job close", job.number):
        book.post(JobState(job=job.key, state="closed", day=TODAY))


def undo(book, entry):
    book.reverse(entry, "slip", REVERSAL_RULES)


def test_hours_of_an_open_job_are_taken_back(book, job):
    undo(book, log(book, job))

    assert book.rows(Work) == []


def test_hours_of_a_closed_job_stay_until_it_is_opened_again(book, job):
    entry = log(book, job)
    close(book, job)

    with pytest.raises(NotAllowed, match="closed with these hours"):
        undo(book, entry)
    assert len(book.rows(Work)) == 1

    with book.entry("job reopen"):
        book.post(JobState(job=job.key, state="building", day=TODAY, why="a scratch"))
    undo(book, entry)


def test_content_hours_of_a_closed_job_may_be_taken_back(book, job):
    close(book, job)

    undo(book, log(book, job, "editing"))

    assert book.rows(Work) == []


def test_a_job_with_hours_is_not_taken_back_under_them(book, job):
    entry = log(book, job)

    with pytest.raises(NotAllowed, match=r"one entry rests on it.*hours add"):
        undo(book, job.entry)
    undo(book, entry)
    undo(book, job.entry)


def test_a_standard_in_use_is_not_taken_back(book, job):
    first = book.rows(Operation)[0].entry
    entry = log(book, job)

    with pytest.raises(NotAllowed, match=r"one entry rests on it.*hours add"):
        undo(book, first)
    undo(book, entry)
    undo(book, first)
