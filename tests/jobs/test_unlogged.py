"""Lines without hours at close-out: what is asked, what is refused, what the answer teaches."""

from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

import pytest

from ledger.book import Book
from ledger.book.questions.labor import work_of_job
from ledger.designs.model import Count, Design, Part
from ledger.designs.store import save_design
from ledger.errors import BadValue, NotFound
from ledger.jobs.closeout import close_job, take_account
from ledger.jobs.jobs import find_job, new_job, set_basis
from ledger.jobs.pricing import price_job
from ledger.jobs.unlogged import lines_without_hours, post_answers, read_answer
from ledger.labor.history import history
from ledger.labor.log import TimeEntry, log_hours
from ledger.labor.standards import find_group, standards
from ledger.measures.money import Money

BENCH = Design(
    name="bench", title="Bench", units="mm", parts=(Part("S", "Seat", "1", "1200", "400", "PLY"),),
    counts=(Count("joints", "10"), Count("dowels", "24"), Count("rabbet", "9")),
)  # fmt: skip


@pytest.fixture
def bench(
    tmp_path: Path, put_book: Callable[..., None], equip: Callable[[Book], None]
) -> Iterator[Book]:
    """A metric euro book with a bench whose joints, dowels and rabbets are estimated."""
    path, day = tmp_path / "shop.sqlite", date(2025, 4, 25)
    put_book(path, day, equip, currency="EUR", units="mm")
    with Book(path, day) as book:
        set_basis(book, new_job(book, "Bench"), save_design(book, BENCH).key, {})
        yield book


def work(book: Book, operation: str, minutes: int) -> None:
    known = standards(book)
    activity = known[operation] if operation in known else find_group(operation)
    entry = TimeEntry(find_job(book, "bench"), activity, minutes, book.today)
    log_hours(book, entry, plan=None, sure=True)


def missing(book: Book) -> dict[str, tuple[str, str]]:
    job = find_job(book, "bench")
    lines = lines_without_hours(book, job, price_job(book, job), work_of_job(book, job.key))
    return {line.operation: (line.answer, line.onto) for line in lines}


def close(book: Book) -> None:
    job = find_job(book, "bench")
    close_job(book, take_account(book, job, price_job(book, job), Money(50000), Money(0)))


def lesson(book: Book, code: str) -> tuple[str, str]:
    return next((one.left_out, one.onto) for one in history(book).lessons if one.operation == code)


def test_only_estimated_lines_without_any_hours_are_asked_about(bench: Book) -> None:
    work(bench, "ASM", 90)
    assert "ASM" not in missing(bench)
    assert missing(bench)["DWL"] == ("", "")
    work(bench, "joinery", 60)  # the whole group at once: nothing of it is missing
    assert "DWL" not in missing(bench)


def test_an_unanswered_line_stays_open_to_the_odds(bench: Book) -> None:
    work(bench, "ASM", 90)
    close(bench)
    assert lesson(bench, "DWL") == ("not logged", "")


def test_hours_on_another_line_make_one_row_of_both(bench: Book) -> None:
    work(bench, "ASM", 150)
    post_answers(bench, find_job(bench, "bench"), {"DWL": ("on another line", "ASM")})
    assert missing(bench)["DWL"] == ("on another line", "ASM")
    close(bench)
    assert lesson(bench, "DWL") == ("on another line", "ASM")
    row = history(bench).forecast.jobs[0].rows[0]
    assert {part.operation for part in row.readings[0].parts} == {"ASM", "DWL"}
    assert (row.hours, len(row.readings)) == (2.5, 1)


@pytest.mark.parametrize("answer", ["not done", "forgotten"])
def test_what_was_not_done_or_forgotten_teaches_nothing_of_its_line(
    bench: Book, answer: str
) -> None:
    work(bench, "ASM", 150)
    post_answers(bench, find_job(bench, "bench"), {"DWL": (answer, "")})
    close(bench)
    parts = {
        part.operation
        for row in history(bench).forecast.jobs[0].rows
        for part in row.readings[0].parts
    }
    assert parts == {"ASM"}


def test_an_answer_names_a_line_without_hours_and_one_that_has_some(bench: Book) -> None:
    work(bench, "ASM", 150)
    job = find_job(bench, "bench")
    lines = lines_without_hours(bench, job, price_job(bench, job), work_of_job(bench, job.key))
    assert read_answer(bench, lines, ["ASM"], "dowel", "assemble") == (
        "DWL", "on another line", "ASM",
    )  # fmt: skip
    assert read_answer(bench, lines, ["ASM"], "DWL", "n") == ("DWL", "not done", "")
    assert read_answer(bench, lines, ["ASM"], "DWL", "Forgotten") == ("DWL", "forgotten", "")
    with pytest.raises(BadValue, match=r"no estimated line without hours.*: .*DWL"):
        read_answer(bench, lines, ["ASM"], "ASM", "n")
    with pytest.raises(BadValue, match="every estimated line has hours"):
        read_answer(bench, [], ["ASM"], "ASM", "n")
    with pytest.raises(BadValue, match="RAB has no hours"):
        read_answer(bench, lines, ["ASM"], "DWL", "RAB")
    with pytest.raises(NotFound):
        read_answer(bench, lines, ["ASM"], "DWL", "varnish dance")


def test_a_later_answer_counts(bench: Book) -> None:
    work(bench, "ASM", 150)
    job = find_job(bench, "bench")
    post_answers(bench, job, {"DWL": ("forgotten", "")})
    close(bench)
    post_answers(bench, job, {"DWL": ("on another line", "ASM")})
    assert lesson(bench, "DWL") == ("on another line", "ASM")
