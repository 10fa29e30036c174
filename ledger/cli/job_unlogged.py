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
    book: "Book", account: "CloseOut", said: list[str], *, is_asking: bool
) -> dict[str, tuple[str, str]]:
    """What is said of lines without hours: on the command line, else once at the terminal."""
    from ledger.cli.labor import can_ask
    from ledger.jobs.unlogged import read_answer

    worked = [line.operation for line in account.hours if line.minutes]
    found: dict[str, tuple[str, str]] = {}
    for text in said:
        line, mark, answer = text.partition("=")
        if not mark:
            raise typer.BadParameter(f"“{text}” should read LINE=ANSWER, as EBT=EBA")
        code, word, onto = read_answer(book, account.not_logged, worked, line, answer)
        found[code] = (word, onto)
    if said or not is_asking or not can_ask():
        return found
    for one in account.not_logged:
        if not one.answer:
            found |= _asked(book, account, one, worked)
    return found


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
