"""Estimated lines of a job that have no hours, and what the owner says of each.

Hours that stand on another line, work that was not done and work that nobody noted teach different
things; the estimate can only guess which it was. So a close-out asks once, and unanswered lines are
weighed by their odds (`ledger.labor.effects`).
"""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import NamedTuple

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.labor import WorkSum, unlogged_answers
from ledger.book.tables.estimates import Unlogged
from ledger.book.tables.ground import Job
from ledger.costing.sheet import CostSheet, SheetHours
from ledger.errors import BadValue
from ledger.labor.observations import ELSEWHERE, FORGOTTEN, NOT_DONE
from ledger.labor.plan import COUNTED
from ledger.labor.standards import choose_operation, standards

_WORDS = {"not done": NOT_DONE, "n": NOT_DONE, "no": NOT_DONE, "forgotten": FORGOTTEN,
          "f": FORGOTTEN}  # fmt: skip


class LineWithoutHours(Struct, frozen=True):
    """An estimated line that has no hours, and the owner's answer: none yet is empty."""

    operation: str
    name: str
    estimate: Decimal
    answer: str = ""
    onto: str = ""
    onto_name: str = ""


class LineOfPlan(NamedTuple):
    """A line of hours of a frozen cost sheet, what is needed of it."""

    operation: str
    name: str
    group: str
    estimate: Decimal
    standard: Decimal


def not_logged[L: (SheetHours, LineOfPlan)](lines: Iterable[L], work: Iterable[WorkSum]) -> list[L]:
    """The lines on which nothing was logged, neither on them nor on their whole group."""
    counted = [row for row in work if row.kind in COUNTED]
    logged = {row.operation for row in counted}
    whole = {row.group for row in counted if row.operation is None or row.split}
    return [
        line for line in lines
        if line.standard > 0 and line.operation not in logged and line.group not in whole
    ]  # fmt: skip


def lines_without_hours(
    book: Book, job: Job, sheet: CostSheet, work: Iterable[WorkSum]
) -> tuple[LineWithoutHours, ...]:
    """The plan's lines on which nothing was logged, and what the owner answered of each."""
    answers = unlogged_answers(book)
    names = {row.code: row.name for row in standards(book).values()}
    lines = []
    for line in not_logged(sheet.hours, work):
        answer, onto = answers.get((job.key, line.operation), ("", ""))
        lines.append(
            LineWithoutHours(
                line.operation, line.name, line.estimate, answer, onto, names.get(onto, "")
            )
        )
    return tuple(lines)


def read_answer(
    book: Book, lines: Iterable[LineWithoutHours], worked: Iterable[str], line: str, answer: str
) -> tuple[str, str, str]:
    """The line, the answer and the operation that has its hours, as somebody named them.

    Raises:
        BadValue: the line has hours, or the operation that should have them has none.
        NotFound: no operation is named so.
        Ambiguous: several are.
    """
    known = standards(book)
    code = choose_operation(known, line).code
    open_lines = {one.operation for one in lines}
    if code not in open_lines:
        raise BadValue(f"{code} is no estimated line without hours; {_listed(open_lines)}.")
    word = _WORDS.get(answer.strip().casefold())
    if word:
        return code, word, ""
    onto = choose_operation(known, answer).code
    if onto not in set(worked):
        raise BadValue(f"{onto} has no hours on this job, so none of {code} can stand there.")
    return code, ELSEWHERE, onto


def _listed(codes: Iterable[str]) -> str:
    named = ", ".join(sorted(codes))
    return f"without hours are: {named}" if named else "every estimated line has hours"


def post_answers(book: Book, job: Job, answers: Mapping[str, tuple[str, str]]) -> None:
    """Post what the owner said of lines without hours: the answer, and where the hours stand."""
    with book.entry("job close", f"{job.number}: lines without hours"):
        for operation, (answer, onto) in answers.items():
            book.post(Unlogged(job=job.key, operation=operation, answer=answer, onto=onto))
