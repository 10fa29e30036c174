"""Past jobs: one table of jobs and one of what each operation took, in a workbook or folder.

Of a job whose hours by line are not known its row says the hours in all; lines with counts and no
hours may stand for it. A blank price or material is not known, which is not 0.
"""

import re
from collections.abc import Mapping, Sequence
from pathlib import Path

from ledger.labor.past import PastJobRow, PastLineRow
from ledger.measures.day import DateReader
from ledger.measures.duration import parse_duration
from ledger.measures.money import Currency, Money
from ledger.workbooks.cells import CellTable
from ledger.workbooks.grid import Faults, GridRow, named_sheets, rows_of
from ledger.workbooks.headings import columns_of
from ledger.workbooks.kinds import TEXT, CellKind, day, money, quantity

JOB_COLUMNS = columns_of(
    "job* = number, id; title* = piece, name; done* = day, date; price; "
    "material = materials, material cost, materials full; "
    "hours = total hours, hours in all, actual hours, actual h; "
    "estimated_hours = estimated h, guessed hours, estimate, estimated; "
    "helper_hours = helper h, helper; rework_hours = rework h, rework; "
    "other = other costs, miles and fees, km and fees; note"
)
LINE_COLUMNS = columns_of(
    "job* = number; operation* = op; driver* = driver qty, count, quantity; "
    "hours = actual h, actual hours, actual; note"
)
TABLES = {"jobs": ("past jobs",), "lines": ("past lines", "hours")}
LONGEST = 10_000 * 60


def _hours(text: str) -> int:
    if text.strip() in {"0", "0.0", "0 h"}:
        return 0
    return parse_duration(text, LONGEST, is_whole_job=False)


def _hours_in_all(text: str) -> int:
    """Hours of a whole job: a bare number is hours, however many."""
    return _hours(f"{text.strip()} h" if re.fullmatch(r"[0-9., ]+", text.strip()) else text)


_HOURS = CellKind(_hours, 0, "4.5 or 4h30", is_clock=True)
_IN_ALL = CellKind(_hours_in_all, 0, "44 or 44h30", is_clock=True)


def read_past_jobs(
    path: Path, currency: Currency, dates: DateReader, named: Mapping[str, str] | None = None
) -> tuple[PastJobRow, ...]:
    """Read past jobs with their lines.

    Raises:
        BadFile: with everything that is wrong in the two tables.

    """
    faults = Faults(named)
    sheets = _two_tables(path, faults)
    lines: dict[str, list[GridRow]] = {}
    if "lines" in sheets:
        for row in rows_of(sheets["lines"], LINE_COLUMNS, faults):
            lines.setdefault(row.need("job", TEXT), []).append(row)
    jobs = []
    if "jobs" in sheets:
        for row in rows_of(sheets["jobs"], JOB_COLUMNS, faults):
            own = lines.pop(row.text("job"), [])
            jobs.append(_job(row, own, currency, dates))
    for number, left in lines.items():
        left[0].fault("job", f"{number} is not in the table of jobs.")
        for row in left:
            _line(row, currency, 0)
    faults.raise_if_any()
    return tuple(jobs)


def _two_tables(path: Path, faults: Faults) -> dict[str, CellTable]:
    sheets = named_sheets(path, TABLES, faults)
    if "jobs" not in sheets:
        faults.add(path.name, "The table jobs is missing; past jobs have jobs, and mostly lines.")
    return sheets


def _line(row: GridRow, currency: Currency, total: int) -> PastLineRow:
    """A line of a job; of one whose hours are known in all it has a count and no hours."""
    if total and row.written("hours"):
        number = row.text("job")
        row.fault("hours", f"{number} has its hours in all; leave out those by line, or the total.")
    return PastLineRow(
        operation=row.need("operation", TEXT),
        driver=row.need("driver", quantity(currency)),
        minutes=0 if total else row.need("hours", _HOURS),
        where=row.where("operation"),
    )


def _job(
    row: GridRow, lines: Sequence[GridRow], currency: Currency, dates: DateReader
) -> PastJobRow:
    number = row.need("job", TEXT)
    total = row.may("hours", _IN_ALL, 0)
    if number and not (lines or total or row.faults.knows(row.where("hours"))):
        row.fault("job", f"{number} has no hours: give them in all here, or by operation in lines.")
    parts = {name: row.may(f"{name}_hours", _IN_ALL, 0) for name in ("helper", "rework")}
    for name, minutes in parts.items():
        if total and minutes > total:
            row.fault(f"{name}_hours", f"{number} has more {name} hours than hours in all.")
    return PastJobRow(
        number=number,
        title=row.need("title", TEXT),
        done=row.need("done", day(dates)),
        price=row.may("price", money(currency)),
        material=row.may("material", money(currency)),
        lines=tuple(_line(line, currency, total) for line in lines),
        helper_minutes=parts["helper"],
        rework_minutes=parts["rework"],
        other=row.may("other", money(currency), Money(0)),
        minutes=total,
        guessed=row.may("estimated_hours", _IN_ALL, 0),
        where=row.where("job"),
    )
