"""How many questions `today` asks of the book for each job that is open: counted, not timed."""

from contextlib import contextmanager
from datetime import date

from sqlalchemy import Engine, event

from ledger.book import Book, create_book
from ledger.jobs.jobs import new_job
from ledger.reports.today import today_report

DAY = date(2025, 4, 25)


@contextmanager
def counted(statements):
    """Note every statement that is run meanwhile."""

    def note(_connection, _cursor, statement, *_):
        statements.append(statement)

    event.listen(Engine, "before_cursor_execute", note)
    yield
    event.remove(Engine, "before_cursor_execute", note)


def test_a_job_that_nothing_was_quoted_or_paid_for_costs_few_questions(tmp_path):
    create_book(tmp_path / "shop.sqlite", DAY, {"shop": "Quillhaven Workshop"})
    asked = []
    with counted(asked), Book(tmp_path / "shop.sqlite", DAY) as book:
        counts = []
        for number in range(3):
            new_job(book, f"Shelf {number}")
            asked.clear()
            assert len(today_report(book).jobs) == number + 1
            counts.append(len(asked))

    assert 0 < counts[2] - counts[1] <= 7
