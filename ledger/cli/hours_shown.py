"""Hours as they are said: what was entered and where its job stands, lists, a job's lines."""

from decimal import Decimal
from typing import TYPE_CHECKING

from ledger.book.questions.labor import Logged
from ledger.cli import voice
from ledger.labor.log import name_of
from ledger.labor.people import OWNER, unpaid_note
from ledger.labor.plan import COUNTED, still_agreed
from ledger.measures.duration import show_minutes, to_hours
from ledger.measures.plain import plain_fields
from ledger.measures.rounding import half_up_whole
from ledger.verbs.hours import HoursLine, JobHours, LoggedDays, PostedHours

if TYPE_CHECKING:
    from ledger.verbs.clock import Stopped

_UNSAID = {"work", "content", "shop"}
"""Classes that go without saying where hours were entered."""


def say_stopped(stopped: "Stopped") -> None:
    """Say what became of the time of a clock that stopped."""
    if stopped.hours is None:
        what = name_of(stopped.clock.activity)
        voice.note(f"{what} ran for less than a minute; nothing was entered.")
    else:
        say_posted(stopped.hours)


def say_posted(posted: PostedHours) -> None:
    """Say what was entered in one line, and in another where its operation and job stand."""
    split = ", split by the estimate" if posted.is_split else ""
    kind = "" if posted.kind in _UNSAID else f" ({posted.kind.replace('_', ' ')})"
    who = "" if posted.people == (OWNER,) else f", {' and '.join(posted.people)}"
    target = posted.job.number if posted.job else "the shop"
    minutes = show_minutes(posted.minutes)
    voice.say(f"{target} {posted.what}{kind}: {minutes} on {posted.day}{who}{split}.")
    if posted.unpaid:
        voice.warn(unpaid_note(posted.unpaid))
    _say_standing(posted)


def _say_standing(posted: PostedHours) -> None:
    now = posted.beside
    if now is None:
        return
    is_foreseen, has_plan = posted.kind in COUNTED, bool(posted.plan.hours)
    others = (
        f" (and {show_minutes(now.not_foreseen)} of rework and change orders)"
        if now.not_foreseen
        else ""
    )
    so_far = _beside(now.minutes, now.planned) if has_plan else show_minutes(now.minutes)
    head = f"So far {so_far}; the job" if is_foreseen else "Job"
    if has_plan:
        voice.say(f"{head} {_beside(now.job_minutes, now.job_planned, fewer=now.fewer)}{others}.")
        return
    in_all = show_minutes(now.job_minutes)
    if posted.guessed:
        voice.say(f"{head} {in_all} of {show_minutes(posted.guessed)} guessed{others}.")
        return
    voice.note(f"{head} {in_all}{others}; no estimate yet to compare with.")


def _beside(minutes: int, planned: Decimal | None, *, fewer: int = 0) -> str:
    if planned is None or not (planned or fewer):
        return f"{show_minutes(minutes)}, not foreseen by the estimate"
    hours = show_minutes(half_up_whole(planned * 60))
    return f"{show_minutes(minutes)} of {hours} {'agreed now' if fewer else 'estimated'}"


def say_logged(days: LoggedDays) -> None:
    """Say entries by day, and the working days without any; of a job, what other days have."""
    lines = [
        (row.day, [f"{row.day} {row.day:%a}", days.number(row) or "shop",
                   row.activity.replace("_", " "), show_minutes(row.minutes), _aside(row)])
        for row in days.rows
    ]  # fmt: skip
    lines += [(day, [f"{day} {day:%a}", "", "not logged", "", ""]) for day in days.gaps]
    total = sum(row.minutes for row in days.rows)
    voice.table(
        ["day", "job", "what", ">hours", ""],
        [cells for _, cells in sorted(lines, key=lambda line: line[0])],
        footer=["", "", "in all", show_minutes(total), ""],
    )
    if days.elsewhere:
        voice.say(
            f"On other days {show_minutes(days.elsewhere)} more of this job: benchledger hours list"
            " JOB --from DAY"
        )


def _aside(row: Logged) -> str:
    words = [
        "" if row.kind in {"work", "shop"} else row.kind.replace("_", " "),
        "" if row.people == OWNER else row.people,
        "split by the estimate" if row.split else "",
        f"{row.began[11:]}–{row.ended[11:]}" if row.began and row.ended else "",
        f"part {row.part}" if row.part else "",
        row.cause,
        row.note,
    ]
    return ", ".join(filter(None, words))


def entry_json(days: LoggedDays, row: Logged) -> dict[str, object]:
    """One entry of hours as JSON."""
    return {
        "day": str(row.day),
        "job": days.number(row),
        **plain_fields(row, "what=activity minutes class=kind"),
        "people": row.people.split(", "),
        **plain_fields(row, "split part cause note entry"),
    }


def say_job(hours: JobHours) -> None:
    """Say the hours of a job: each operation beside its estimate, then what was not foreseen."""
    voice.heading(f"{hours.job.number} {hours.job.title}")
    estimated, so_far, _ = _cells(HoursLine("", "", hours.planned, hours.minutes))
    voice.table(
        ["", "operation", ">estimated", ">so far", ">left"],
        [[line.key, line.name, *_cells(line)] for line in hours.lines],
        footer=["", "in all", estimated, so_far, show_minutes(hours.left) if estimated else ""],
    )
    if hours.fewer and hours.planned:
        rest = show_minutes(half_up_whole(still_agreed(hours.planned, hours.fewer) * 60))
        voice.say(f"Changes took {show_minutes(hours.fewer)} off, in no line: {rest} in all.")
    if hours.others:
        voice.pairs({f"apart, {what}": show_minutes(done) for what, done in hours.others.items()})


def _cells(line: HoursLine) -> list[str]:
    so_far = show_minutes(line.minutes) if line.minutes else "not logged"
    if line.left is None:
        return ["", so_far, ""]
    left = show_minutes(line.left) if line.left >= 0 else f"{show_minutes(-line.left)} over"
    return [show_minutes(line.left + line.minutes), so_far, left]


def job_json(hours: JobHours) -> dict[str, object]:
    """The hours of a job as JSON."""
    return {
        "job": hours.job.number,
        "operations": [
            plain_fields(line, "operation=key estimate=planned")
            | {"hours": str(to_hours(line.minutes)) if line.minutes else None}
            for line in hours.lines
        ],
        "estimate": str(hours.planned),
        "hours": str(to_hours(hours.minutes)),
        "apart": {what: str(to_hours(done)) for what, done in hours.others.items()},
    }
