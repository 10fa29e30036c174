"""A job copied to be priced anew: the newest design, the same answers, counts only if they hold."""

from decimal import Decimal

import pytest

from ledger.designs.model import Design, Parameter, Part
from ledger.designs.store import save_design
from ledger.errors import NotAllowed
from ledger.jobs.answers import add_cost, answer, answers_of, costs_of, counts_of, set_count
from ledger.jobs.copying import copy_job
from ledger.jobs.jobs import basis_of, new_job, set_basis
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity


def shelf(title="Shelf"):
    parts = (Part("A1", "Board", "2", "width", "11", "PLY34"),)
    return Design("shelf", title, "inch", (Parameter("width", "36 in", "12 in", "90 in"),), parts)


@pytest.fixture
def job(book):
    """A shelf of 40 in with an answer, planned miles and a count made by hand."""
    opened = new_job(book, "Hall shelf", client="D. Marrow")
    set_basis(book, opened, save_design(book, shelf()).key, {"width": "40 in"})
    answer(book, opened, "parking", Money(1200), "garage")
    add_cost(book, opened, "miles", "delivery", Quantity.of(44), Decimal("0.70"))
    set_count(book, opened, "RIP", Quantity.of(7), "on the wall plan")
    return opened


def test_a_copy_takes_parameters_answers_costs_and_counts(book, job):
    made = copy_job(book, job, "Kitchen shelf", client="A. Thorn")

    copy = made.job
    assert (copy.number, copy.title) == ("J-2502", "Kitchen shelf")
    assert dict(basis_of(book, copy).parameters) == {"width": "40 in"}
    assert answers_of(book, copy) == answers_of(book, job)
    assert [cost.amount for cost in costs_of(book, copy, "planned")] == [Money(3080)]
    assert counts_of(book, copy)["RIP"].driver == Quantity.of(7)
    assert not made.counts_left


def test_in_another_size_the_counts_made_by_hand_stay_behind(book, job):
    made = copy_job(book, job, values={"width": "48 in"})

    assert dict(basis_of(book, made.job).parameters) == {"width": "48 in"}
    assert counts_of(book, made.job) == {}
    assert made.counts_left == {"RIP": Quantity.of(7)}


def test_a_copy_stands_on_the_newest_version_and_says_what_was_put_right(book, job):
    save_design(book, shelf("Better shelf"), errata="board 1/8 in deeper")

    made = copy_job(book, job)

    assert (made.version.version, made.errata) == (2, ("board 1/8 in deeper",))
    assert basis_of(book, job).design != basis_of(book, made.job).design


def test_sizes_the_design_does_not_allow_open_no_job(book, job):
    from ledger.errors import LedgerError
    from ledger.jobs.jobs import jobs

    with pytest.raises(LedgerError, match="90 in"):
        copy_job(book, job, values={"width": "300 in"})
    assert len(jobs(book)) == 1


def test_a_job_without_a_design_is_not_copied(book):
    with pytest.raises(NotAllowed, match="has no design yet"):
        copy_job(book, new_job(book, "Idea"))
