"""What `job close` asks of estimated lines without hours."""

from typing import TYPE_CHECKING

import typer

from ledger.cli import voice
from ledger.errors import LedgerError

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.jobs.closeout import CloseOut
    from ledger.jobs.unlogged import LineWithoutHours


def answers_to(
    book: "Book", account: "CloseOut", answers: list[str], *, is_asking: bool
) -> dict[str, tuple[str, str]]:
    """What is said of lines without hours: on the command line, else once at the terminal."""
    from ledger.cli.answers import can_ask
    from ledger.jobs.unlogged import read_answer

    worked = [line.operation for line in account.hours if line.minutes]
    resolved: dict[str, tuple[str, str]] = {}
    for text in answers:
        line, mark, answer = text.partition("=")
        if not mark:
            raise typer.BadParameter(f"“{text}” should read LINE=ANSWER, as EBT=EBA")
        code, word, onto = read_answer(book, account.not_logged, worked, line, answer)
        resolved[code] = (word, onto)
    if answers or not is_asking or not can_ask():
        return resolved
    for one in account.not_logged:
        if not one.answer:
            resolved |= _asked(book, account, one, worked)
    return resolved


def _asked(
    book: "Book", account: "CloseOut", line: "LineWithoutHours", worked: list[str]
) -> dict[str, tuple[str, str]]:
    """The answer typed for one line; none where nothing is typed, and again where it is wrong."""
    from ledger.jobs.unlogged import read_answer

    question = (
        f"{line.operation} {line.name}: {line.estimate} h estimated, nothing logged. Which"
        " operation has its hours (n: not done, f: forgotten, Enter: not known)"
    )
    while True:
        answer = typer.prompt(question, default="", show_default=False, err=True)
        if not answer.strip():
            return {}
        try:
            code, word, onto = read_answer(book, account.not_logged, worked, line.operation, answer)
        except LedgerError as wrong:
            voice.refuse(str(wrong))
        else:
            return {code: (word, onto)}
