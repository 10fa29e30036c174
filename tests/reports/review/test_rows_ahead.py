"""Rows read ahead: the same answers as the file's, and none of them once something is posted."""

from datetime import date

import pytest
from sqlalchemy import event
from sqlalchemy.engine import Engine

from ledger.book.tables.jobs import Payment
from ledger.measures.money import Money
from ledger.reports.review import review


@pytest.fixture
def asked():
    """The statements that are asked from now on."""
    statements = []

    def note(_connection, _cursor, statement, *_rest):
        statements.append(statement)

    event.listen(Engine, "before_cursor_execute", note)
    yield statements
    event.remove(Engine, "before_cursor_execute", note)


def test_rows_read_ahead_are_those_of_the_file_and_ask_nothing(planned_book, asked):
    first = planned_book.rows(Payment)
    (row,) = first
    with planned_book.read_ahead(Payment):
        asked.clear()
        assert planned_book.rows(Payment, job=row.job) == first
        assert planned_book.rows_of(Payment, [row.key]) == first
        assert planned_book.last(Payment, job=row.job) == row
        assert planned_book.row(Payment, row.key) == row
        assert planned_book.rows(Payment, job=-1) == []
        assert planned_book.last(Payment, job=-1) is None
        assert asked == []
    assert planned_book.rows(Payment) == first
    assert len(asked) == 1


def test_rows_of_other_tables_are_read_once_for_each_question(planned_book, asked):
    (row,) = planned_book.rows(Payment)
    with planned_book.read_ahead():
        asked.clear()
        for _ in range(2):
            assert planned_book.rows(Payment, job=row.job) == [row]
            assert planned_book.last(Payment, job=row.job) == row
            assert planned_book.last(Payment, job=-1) is None
            with planned_book.read_ahead(Payment):
                assert planned_book.rows(Payment, job=row.job) == [row]
        assert len(asked) == 4


@pytest.mark.parametrize("tables", [(), (Payment,)], ids=["asked", "ahead"])
def test_what_is_posted_is_read_again(planned_book, tables):
    (row,) = planned_book.rows(Payment)
    with planned_book.read_ahead(*tables):
        assert planned_book.rows(Payment) == [row]
        with planned_book.entry("job pay", "again"):
            planned_book.post(Payment(job=row.job, day=row.day, amount=Money(100), how="cash"))
            assert len(planned_book.rows(Payment)) == 2
        assert [one.amount for one in planned_book.rows(Payment)][1:] == [Money(100)]


def test_a_review_asks_few_statements_for_a_job(planned_book, asked):
    first, last = date(2025, 1, 1), date(2025, 12, 31)
    review(planned_book, first, last)
    one = len(asked)
    asked.clear()
    review(planned_book, first, date(2025, 3, 19))  # the day before it was closed
    assert one - len(asked) <= 14
