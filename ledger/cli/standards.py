"""`benchledger standards`: operations, their standard times, and what the shop's hours taught."""

from decimal import Decimal, InvalidOperation
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli import complete, standards_record, voice
from ledger.cli.arguments import AsJson, Columns
from ledger.cli.opened import open_shop
from ledger.errors import BadValue
from ledger.measures.duration import to_hours
from ledger.measures.plain import plain_fields
from ledger.measures.rounding import half_up, trimmed
from ledger.measures.share import parse_share, show_share
from ledger.measures.spoken import how_many, with_article
from ledger.measures.values import replace

if TYPE_CHECKING:
    from collections.abc import Iterable

    from ledger.book.tables.operations import Operation
    from ledger.labor.learning import History
    from ledger.labor.observations import Lesson

app = typer.Typer(no_args_is_help=True, help="Operations and their standard times.")

Name = Annotated[
    str,
    typer.Argument(
        metavar="OPERATION",
        help="Code, word or any part: SND, sand, scuff.",
        autocompletion=complete.operation,
    ),
]


@app.command(name="list")
def list_(as_json: AsJson = False) -> None:
    """List the standards with the ratio that the shop's own hours taught for each.

    Example: benchledger standards list
    """
    from ledger.labor.history import history
    from ledger.labor.standards import GROUPS, standards

    with open_shop() as book:
        known, past = standards(book), history(book)
    if as_json:
        voice.print_json([_json(row, past) for row in known.values()])
        return
    for group in GROUPS.values():
        rows = [row for row in known.values() if row.group == group.name]
        voice.table(
            ["", "operation", ">min", "a", ">set-up", ">ran ×", ">jobs", ">counts ×"],
            [_listed(row, past) for row in rows],
            title=group.words,
        )  # fmt: skip
        voice.say()


def _listed(row: "Operation", past: "History") -> list[str]:
    learned = past.learned(row.code)
    is_known = past.forecast.jobs or learned.jobs
    used = f"{half_up(past.used_ratio(row.code, row.group), 3)}" if is_known else ""
    raw = "" if learned.raw is None else f"{half_up(learned.raw, 2)}"
    return [row.code, row.name, _minutes(row.minutes), row.unit, _minutes(row.setup), raw,
            str(learned.jobs or ""), used]  # fmt: skip


def _minutes(value: Decimal) -> str:
    return f"{trimmed(value):f}"


def _json(row: "Operation", past: "History") -> dict[str, object]:
    learned = past.learned(row.code)
    return {
        **plain_fields(row, "code name group driver unit minutes setup"),
        "helper_share": show_share(row.helper_share),
        **plain_fields(row, "stage source"),
        "ratio": str(half_up(past.used_ratio(row.code, row.group), 4)),
        "raw_ratio": None if learned.raw is None else str(half_up(learned.raw, 4)),
        **plain_fields(learned, "jobs hours_estimated=estimate"),
        "hours_taken": str(to_hours(learned.minutes)),
    }


@app.command()
def show(name: Name, as_json: AsJson = False) -> None:
    """Tell the story of one operation: what it should take, what it took, what that teaches.

    Example: benchledger standards show sand
    """
    from ledger.labor.history import history
    from ledger.labor.standards import find_operation, standards

    with open_shop() as book:
        row, past, known = find_operation(book, name), history(book), standards(book).values()
    lessons = [lesson for lesson in past.lessons if lesson.operation == row.code]
    if as_json:
        voice.print_json(_json(row, past) | {"story": [_lesson_json(one) for one in lessons]})
        return
    voice.heading(f"{row.code}  {row.name}")
    voice.say(
        f"{_minutes(row.setup)} min set-up + {_minutes(row.minutes)} min {with_article(row.unit)}"
    )
    if row.remark:
        voice.say(f"({row.remark})")
    if row.source:
        voice.say(f"From: {row.source}.")
    if not lessons:
        voice.say(_sentence(row, past))
        return
    voice.say()
    voice.table(
        ["job", "day", ">standard h", ">took h", ">×", "", ""],
        _story(lessons, [one for one in past.lessons if one.onto == row.code]),
    )
    voice.say()
    _say_learned(row, known, past, lessons)


def _story(lessons: "list[Lesson]", moved: "list[Lesson]") -> list[list[str]]:
    """One line a job: its ratio as a bar (ten blocks are the standard), and whether it teaches.

    `moved` are lines whose hours stand on this operation: their estimates belong to the hours.
    """
    from ledger.labor.learning import learned_ratio

    lines = []
    for own in lessons:
        others = [line for line in moved if line.job == own.job]
        one = replace(own, estimate=own.estimate + sum(line.estimate for line in others))
        raw = learned_ratio([one]).raw
        ratio = Fraction(0) if raw is None else raw
        with_others = f"with {', '.join(line.operation for line in others)}" if others else ""
        aside = "left out" if one.left_out else "split" if one.split else with_others
        lines.append(
            [one.job, str(one.day), str(one.estimate), str(to_hours(one.minutes)),
             f"{half_up(ratio, 2)}" if raw is not None and one.minutes else "",
             voice.bar(float(ratio) / 2), aside]
        )  # fmt: skip
    return lines


def _say_learned(
    row: "Operation", known: "Iterable[Operation]", past: "History", lessons: "list[Lesson]"
) -> None:
    from ledger.labor.observations import FIRST_TIME

    voice.say(_sentence(row, past))
    names = {one.code: one.name for one in known}
    for reason, jobs in _reasons(lessons).items():
        voice.say(f"No ratio of its own, {reason}: {', '.join(jobs)}.")
    firsts = [one for one in lessons if one.left_out == FIRST_TIME]
    if firsts:
        lines = how_many(len(firsts), "such line")
        voice.say(f"First of its kind: × {half_up(past.first_time, 2)} ({lines} so far).")
    for one in past.doubtful(row.code):
        chance = half_up(Fraction(one.on_neighbor or 0) * 100, 0)
        named = "; ".join(
            names.get(part.operation, part.operation) for part in one.row.readings[0].parts
        )
        voice.say(
            f"{one.row.job}: read as hours of {named} together, {chance} in 100; else nothing was"
            " done or noted where none stand."
        )
    if row.code in past.marks:
        voice.say(f"Learned afresh from {past.marks[row.code]} on.")
    drift = _drift([one for one in lessons if not one.left_out and not one.split])
    if drift:
        voice.say(drift)


def _sentence(row: "Operation", past: "History") -> str:
    """What it ran at, what it counts as, and the hours that makes of its usual ones."""
    from ledger.jobs.estimate import words_of_ratio

    ratio, learned = past.used_ratio(row.code, row.group), past.learned(row.code)
    ratio_words = words_of_ratio(past, row.code, row.group, ratio)
    usual = (
        half_up(Fraction(learned.estimate) / learned.jobs, 2) if learned.jobs else Decimal("1.00")
    )
    return f"{row.name}: {ratio_words}: {usual} h become {half_up(Fraction(usual) * ratio, 2)} h."


def _reasons(lessons: "list[Lesson]") -> dict[str, list[str]]:
    """The jobs that teach this operation nothing, by the reason why."""
    reasons: dict[str, list[str]] = {}
    for one in lessons:
        reason = one.left_out or ("logged on its group and split" if one.split else "")
        if reason:
            reasons.setdefault(reason, []).append(one.job)
    return reasons


def _drift(lessons: "list[Lesson]") -> str:
    """How the later half of the jobs compares with the earlier half; nothing under four jobs."""
    from ledger.labor.learning import learned_ratio

    if len(lessons) < 4:
        return ""
    middle = len(lessons) // 2
    early, late = learned_ratio(lessons[:middle]).raw, learned_ratio(lessons[middle:]).raw
    if early is None or late is None:
        return ""
    return (
        f"Drift: the earlier {how_many(middle, 'job')} took {half_up(early, 2)} × the standard,"
        f" the later {len(lessons) - middle} {half_up(late, 2)} ×."
    )


def _lesson_json(one: "Lesson") -> dict[str, object]:
    return {
        **plain_fields(one, "job day hours_estimated=estimate"),
        "hours_taken": str(to_hours(one.minutes)),
        **plain_fields(one, "split left_out"),
    }


@app.command()
def load(
    path: Annotated[
        Path | None,
        typer.Argument(help="Your own: a CSV file or workbook; else the starting ones."),
    ] = None,
    columns: Columns = None,
) -> None:
    """Take standards into the book: your own from a file, or starting ones that it lacks.

    Example: benchledger standards load my_standards.csv
    """
    from ledger.cli.headings import read_asking
    from ledger.labor.standards import load_starting_standards, save_standards
    from ledger.workbooks.readers.standards import read_standards

    with open_shop() as book:
        if path is None:
            count = load_starting_standards(book)
            voice.say(f"{how_many(count, 'starting standard')} came into the book.")
            return
        rows = read_asking(
            book, "standards", columns,
            lambda named: read_standards(path, book.currency, book.units, named),
        )  # fmt: skip
        saved = save_standards(book, rows)
    voice.say(f"{how_many(len(saved), 'standard')} of {len(rows)} are new or changed.")


@app.command(name="set")
def set_(
    name: Name,
    minutes: Annotated[str, typer.Option(help="Minutes a unit.")] = "",
    setup: Annotated[str, typer.Option(help="Minutes of set-up.")] = "",
    helper: Annotated[str, typer.Option(help="The helper's share of its hours.")] = "",
    spoken: Annotated[str, typer.Option(help="Words it answers to, commas between.")] = "",
) -> None:
    """Change a standard; estimates and quotes made before keep their numbers.

    Example: benchledger standards set sand --minutes 1.4 --setup 12
    """
    from ledger.labor.standards import find_operation, set_standard

    changes: dict[str, object] = {}
    if minutes:
        changes["minutes"] = _read_minutes(minutes)
    if setup:
        changes["setup"] = _read_minutes(setup)
    if helper:
        changes["helper_share"] = parse_share(helper, most=Fraction(1))
    if spoken:
        changes["spoken"] = spoken
    if not changes:
        raise typer.BadParameter("Say what to change: --minutes, --setup, --helper or --spoken")
    with open_shop() as book:
        row = set_standard(book, find_operation(book, name), **changes)
    voice.say(
        f"{row.code} {row.name}: {_minutes(row.setup)} min set-up"
        f" + {_minutes(row.minutes)} min {with_article(row.unit)}, from now on."
    )


@app.command()
def add(
    code: Annotated[str, typer.Argument(help="A short code of its own, as CRW.")],
    name: Annotated[str, typer.Argument(help="What it is called in lists and on papers.")],
    group: Annotated[str, typer.Option(help="Its group, as the list has them.")],
    minutes: Annotated[str, typer.Option(help="Minutes a unit.")],
    unit: Annotated[str, typer.Option(help="One of what it counts: a motif, a ft.")],
    driver: Annotated[
        str, typer.Option(help="What counts it, as joints; else you do: job count.")
    ] = "",
    setup: Annotated[str, typer.Option(help="Minutes of set-up.")] = "0",
    helper: Annotated[str, typer.Option(help="The helper's share of its hours.")] = "0",
    spoken: Annotated[str, typer.Option(help="Words it answers to, commas between.")] = "",
) -> None:
    """Add an operation of your own; estimates from now on have it where it is counted.

    Example: benchledger standards add CRW "Carve by hand" --group joinery --minutes 12 --unit motif
    """
    from ledger.book.tables.operations import Operation
    from ledger.labor.standards import add_operation, find_group

    operation = Operation(
        code=code.strip().upper(),
        name=name.strip(),
        group=find_group(group).name,
        driver=driver.strip().casefold(),
        unit=unit.strip(),
        minutes=_read_minutes(minutes),
        setup=_read_minutes(setup),
        helper_share=parse_share(helper, most=Fraction(1)),
        spoken=spoken.strip(),
    )
    with open_shop() as book:
        row = add_operation(book, operation)
    voice.say(
        f"{row.code} {row.name}: {_minutes(row.setup)} min set-up"
        f" + {_minutes(row.minutes)} min {with_article(row.unit)}."
    )
    if not row.driver:
        voice.note(f"Count it for a job: benchledger job count JOB {row.code} 3")


def _read_minutes(text: str) -> Decimal:
    try:
        value = Decimal(text.replace(",", "."))
    except InvalidOperation:
        value = Decimal(-1)
    if (
        not value.is_finite()
        or not 0 <= value <= 10_000
        or value != value.quantize(Decimal("0.01"))
    ):
        raise BadValue(f"“{text}” is not a number of minutes; write for example 1.2 or 20.")
    return value


@app.command()
def mark(
    name: Name,
    on: Annotated[str, typer.Option("--on", metavar="DAY", help="From which day.")] = "today",
    why: Annotated[str, typer.Option(help="What changed: a new machine, a new way.")] = "",
) -> None:
    """Learn an operation afresh from a day on; hours before it teach no more.

    Example: benchledger standards mark band --on 2025-05-01 --why "new edge bander"
    """
    from ledger.labor.standards import find_operation, set_mark

    with open_shop() as book:
        row, day = find_operation(book, name), book.dates.read(on)
        set_mark(book, row, day, why)
    voice.say(f"{row.code} {row.name} is learned afresh from {day} on.")


app.command()(standards_record.record)
