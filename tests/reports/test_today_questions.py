"""How many questions `today` and `price` ask of the book: counted, not timed."""

import shutil
from contextlib import contextmanager
from datetime import date

from sqlalchemy import Engine, event

from ledger.book import Book, create_book
from ledger.jobs.jobs import find_job, new_job
from ledger.jobs.pricing import price_job
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

    assert 0 < counts[2] - counts[1] <= 2


def test_the_price_of_a_job_that_is_laid_out_asks_few_questions(tmp_path, bed_file):
    path = shutil.copyfile(bed_file, tmp_path / "shop.sqlite")
    asked = []
    with Book(path, DAY) as book:
        job = find_job(book, "bed")
        with counted(asked):
            price_job(book, job)

    assert 0 < len(asked) <= 38
    assert sum("FROM operation " in " ".join(one.split()) for one in asked) == 1
