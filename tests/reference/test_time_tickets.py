"""Time tickets against a published case."""

from datetime import date

from ledger.book.tables.ground import Job
from ledger.labor.log import TimeEntry, log_hours
from ledger.labor.people import helper_cost, set_helper
from ledger.labor.standards import find_operation, load_starting_standards
from ledger.measures.money import Money, total

# Source: OpenStax, Principles of Accounting, Vol. 2: Managerial Accounting, 2019, §4.2: three time
# tickets, dollars an hour and the hours on each job.
TICKETS = {
    "Ann": (15, {"second": 7, "MAC001": 1}),
    "Ben": (15, {"first": 4, "second": 3, "MAC001": 1}),
    "Cleo": (18, {"first": 5, "second": 1, "MAC001": 2}),
}


def test_time_tickets_cost_each_job_its_workers_hours_at_their_own_rates(book):
    load_starting_standards(book)
    assembly = find_operation(book, "assemble")
    names = ("first", "second", "MAC001")
    with book.entry("job new"):
        jobs = {name: book.post(Job(number=name, title=name)) for name in names}

    for worker, (rate, hours) in TICKETS.items():
        set_helper(book, worker, Money(rate * 100), Money(rate * 200))
        for name, count in hours.items():
            day = date(2025, 4, 24)
            log_hours(book, TimeEntry(jobs[name], assembly, count * 60, day, people=(worker,)))

    costs = {name: helper_cost(book, job) for name, job in jobs.items()}
    assert costs["MAC001"] == Money(6600)
    assert total(costs.values()) == Money(12000 + 12000 + 14400)
