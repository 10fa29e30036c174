"""`benchledger standards record`: closed jobs beside the points they were foretold at."""

from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from msgspec import Struct

from ledger.cli import voice
from ledger.cli.arguments import AsJson
from ledger.cli.opened import open_shop
from ledger.measures.duration import to_hours
from ledger.measures.plain import plain_fields
from ledger.measures.values import replace

if TYPE_CHECKING:
    from ledger.book.questions.income import Mark
    from ledger.labor.record import Replayed

_WIDTH = 30


class _Line(Struct, frozen=True):
    """A job as it is shown: its points, the jobs behind them, what it took."""

    job: str
    day: date
    typical: Decimal | None
    safe: Decimal
    bad: Decimal | None
    past_jobs: int | None
    hours: Decimal
    is_under: bool
    is_counted: bool = True
    after_closing: Decimal = Decimal("0.00")


def record(as_json: AsJson = False) -> None:
    """Hold what closed jobs took against the hours that they were estimated at.

    Example: benchledger standards record
    """
    from ledger.book.questions.labor import loaded_jobs
    from ledger.jobs.agreed_total import guesses_of
    from ledger.labor.history import history
    from ledger.labor.observations import unbelieved_words
    from ledger.labor.record import hours_record, replay

    with open_shop() as book:
        kept = hours_record(book)
        closed = [
            replace(
                _of_mark(mark, is_counted=mark in kept.counted),
                after_closing=kept.late_of(mark.number),
            )
            for mark in kept.marks
        ]
        past, loaded = history(book), loaded_jobs(book)
        numbers, guessed = [job.number for job in loaded], guesses_of(book)
        replayed = [_of_replay(one) for one in replay(past.lessons, past.rework, numbers)]
    if as_json:
        voice.print_json({
            "closed": [_json(line) for line in closed], "under_safe": kept.under_safe,
            "replayed": [_json(line) for line in replayed],
            "not_believed": [one.as_json for one in past.unbelieved],
            "guesses": {"jobs": guessed.jobs, "ratio": guessed.shown},
        })  # fmt: skip
        return
    if not closed:
        below = " Loaded jobs stand below." if replayed else ""
        voice.say(f"No job is closed yet; each one that is adds a line here.{below}")
    _show("Closed jobs", closed)
    voice.say_all(kept.words)
    if replayed:
        voice.say()
        _show("Loaded jobs, as they would have been estimated", replayed)
        first = ", ".join(line.job for line in replayed if not line.past_jobs)
        if first:
            voice.say(f"No job stands before {first}: its points are a published figure.")
        under = sum(line.is_under for line in replayed)
        voice.say(f"{under} of {len(replayed)} would have stayed under the safe point.")
    voice.say_all(filter(None, (unbelieved_words(past.unbelieved), guessed.words)))


def _of_mark(mark: "Mark", *, is_counted: bool) -> _Line:
    typical, bad = (None if point is None else Decimal(point) for point in (mark.typical, mark.bad))
    hours = to_hours(mark.minutes)
    return _Line(mark.number, mark.day, typical, Decimal(mark.safe), bad, mark.past_jobs, hours,
                 mark.is_under, is_counted)  # fmt: skip


def _of_replay(one: "Replayed") -> _Line:
    return _Line(one.job, one.day, one.typical, one.safe, one.bad, one.past_jobs, one.hours,
                 one.hours <= one.safe)  # fmt: skip


def _show(title: str, lines: list[_Line]) -> None:
    """A line a job: a bar of the hours it took, and where its points lie (t, s, b)."""
    if not lines:
        return
    voice.table(
        ["job", ">typical", ">safe", ">took", "", ""],
        [
            [line.job, "" if line.typical is None else str(line.typical), str(line.safe),
             str(line.hours), _picture(line), _standing(line)]
            for line in lines
        ],
        title=f"{title} (t typical, s safe, b bad case)",
    )  # fmt: skip


def _standing(line: _Line) -> str:
    if not line.is_counted:
        return "not counted"
    return "" if line.is_under else "over safe"


def _picture(line: _Line) -> str:
    """The hours as a bar on the scale of the job's own points, its marks written over it."""
    points = {"t": line.typical, "s": line.safe, "b": line.bad}
    whole = max(point for point in (*points.values(), line.hours) if point is not None)
    if not whole:
        return ""
    drawn = list(voice.bar(float(line.hours / whole), _WIDTH).ljust(_WIDTH, "·"))
    for letter, point in points.items():
        if point is not None:
            drawn[min(_WIDTH - 1, int(point / whole * _WIDTH))] = letter
    return "".join(drawn)


def _json(line: _Line) -> dict[str, object]:
    return plain_fields(
        line, "job day typical safe bad past_jobs hours is_under is_counted after_closing"
    )
