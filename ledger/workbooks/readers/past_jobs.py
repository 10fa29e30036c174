"""Past jobs: one table of jobs and one of what each operation took, in a workbook or folder."""

from collections.abc import Mapping
from pathlib import Path

from ledger.labor.past import PastJobRow, PastLineRow
from ledger.measures.day import DateReader
from ledger.measures.duration import parse_duration
from ledger.measures.money import Currency, Money
from ledger.workbooks.cells import CellTable
from ledger.workbooks.grid import Faults, GridRow, named_sheets, rows_of
from ledger.workbooks.headings import Column
from ledger.workbooks.kinds import TEXT, CellKind, day, money, quantity

JOB_COLUMNS = (
    Column("job", ("number", "id"), must=True),
    Column("title", ("piece", "name"), must=True),
    Column("done", ("day", "date"), must=True),
    Column("price", must=True),
    Column("material", ("materials", "material cost", "materials full"), must=True),
    Column("helper_hours", ("helper h", "helper")),
    Column("rework_hours", ("rework h", "rework")),
    Column("other", ("other costs", "miles and fees", "km and fees")),
    Column("note"),
)
LINE_COLUMNS = (
    Column("job", ("number",), must=True),
    Column("operation", ("op",), must=True),
    Column("driver", ("driver qty", "count", "quantity"), must=True),
    Column("hours", ("actual h", "actual hours", "actual"), must=True),
    Column("note"),
)
TABLES = {"jobs": ("past jobs",), "lines": ("past lines", "hours")}
LONGEST = 10_000 * 60


def _hours(text: str) -> int:
    return 0 if text.strip() in {"0", "0.0"} else parse_duration(text, LONGEST)


_HOURS = CellKind(_hours, 0, "4.5 or 4h30", is_clock=True)


def read_past_jobs(
    path: Path, currency: Currency, dates: DateReader, named: Mapping[str, str] | None = None
) -> tuple[PastJobRow, ...]:
    """Read past jobs with their lines.

    Raises:
        BadFile: with everything that is wrong in the two tables.

    """
    faults = Faults(named)
    sheets = _two_tables(path, faults)
    lines: dict[str, list[PastLineRow]] = {}
    waiting: dict[str, GridRow] = {}
    if "lines" in sheets:
        for row in rows_of(sheets["lines"], LINE_COLUMNS, faults):
            number = row.need("job", TEXT)
            lines.setdefault(number, []).append(_line(row, currency))
            waiting.setdefault(number, row)
    jobs = []
    if "jobs" in sheets:
        for row in rows_of(sheets["jobs"], JOB_COLUMNS, faults):
            jobs.append(_job(row, lines, currency, dates))
            waiting.pop(jobs[-1].number, None)
    for number, row in waiting.items():
        row.fault("job", f"{number} is not in the table of jobs.")
    faults.raise_if_any()
    return tuple(jobs)


def _two_tables(path: Path, faults: Faults) -> dict[str, CellTable]:
    sheets = named_sheets(path, TABLES, faults)
    for name in TABLES:
        if name not in sheets:
            faults.add(path.name, f"The table {name} is missing; past jobs have jobs and lines.")
    return sheets


def _line(row: GridRow, currency: Currency) -> PastLineRow:
    return PastLineRow(
        operation=row.need("operation", TEXT),
        driver=row.need("driver", quantity(currency)),
        minutes=row.need("hours", _HOURS),
        where=row.where("operation"),
    )


def _job(
    row: GridRow, lines: dict[str, list[PastLineRow]], currency: Currency, dates: DateReader
) -> PastJobRow:
    number = row.need("job", TEXT)
    if number and number not in lines:
        row.fault("job", f"{number} has no lines that say what its operations took.")
    return PastJobRow(
        number=number,
        title=row.need("title", TEXT),
        done=row.need("done", day(dates)),
        price=row.need("price", money(currency)),
        material=row.need("material", money(currency)),
        lines=tuple(lines.get(number, ())),
        helper_minutes=row.may("helper_hours", _HOURS, 0),
        rework_minutes=row.may("rework_hours", _HOURS, 0),
        other=row.may("other", money(currency), Money(0)),
        where=row.where("job"),
    )
