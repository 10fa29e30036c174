"""A shop's own standards of time: one line an operation, in the columns of the starting ones."""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from ledger.book.tables.operations import Operation
from ledger.designs.model import DRIVERS
from ledger.errors import BadValue
from ledger.labor.standards import CODE, GROUPS, metric_minutes
from ledger.measures.money import Currency
from ledger.measures.share import parse_share
from ledger.workbooks.grid import Faults, GridRow, one_sheet, rows_of
from ledger.workbooks.headings import columns_of
from ledger.workbooks.kinds import TEXT, CellKind, choice, decimal

COLUMNS = columns_of(
    "code*; name* = operation; group*; driver = counted by; unit* = counts, a; "
    "minutes* = min, minutes a unit; setup = set-up, set-up minutes; "
    "helper_share = helper, helper's share; remark = note, notes; spoken = words, answers to; "
    "stage; source = where from"
)
_MOST_MINUTES = 10_000


def _code(text: str) -> str:
    if not CODE.fullmatch(text.upper()):
        raise BadValue(f"“{text}” is no code; take two to six capitals or digits, such as CRW.")
    return text.upper()


_CODE_CELL = CellKind(_code, "", "CRW")
_SHARE = CellKind(lambda text: parse_share(text, most=Fraction(1)), Fraction(0), "1/2")


def read_standards(
    path: Path, currency: Currency, units: str, named: Mapping[str, str] | None = None
) -> tuple[Operation, ...]:
    """Read standards as rows that are not posted; in a book of `mm`, feet become meters.

    Raises:
        BadFile: with everything that is wrong in it.
    """
    faults = Faults(named)
    rows: dict[str, Operation] = {}
    for row in rows_of(one_sheet(path, "standards"), COLUMNS, faults):
        operation = _operation(row, currency, is_metric=units == "mm")
        if operation.code in rows:
            row.fault("code", f"{operation.code} stands twice; each operation has one line.")
        rows[operation.code] = operation
    faults.raise_if_any()
    return tuple(rows.values())


def _operation(row: GridRow, currency: Currency, *, is_metric: bool) -> Operation:
    unit, minutes = row.need("unit", TEXT), row.need("minutes", decimal(currency))
    setup = row.may("setup", decimal(currency), Decimal(0))
    for column, value in (("minutes", minutes), ("setup", setup)):
        if value > _MOST_MINUTES:
            row.fault(column, f"{value} minutes are more than {_MOST_MINUTES}.")
    if is_metric:
        unit, minutes = metric_minutes(unit, minutes)
    groups = {name: name for name in GROUPS} | {one.words: name for name, one in GROUPS.items()}
    return Operation(
        code=row.need("code", _CODE_CELL),
        name=row.need("name", TEXT),
        group=row.need("group", choice("group", groups)),
        driver=row.may("driver", choice("driver", DRIVERS), ""),
        unit=unit,
        minutes=minutes,
        setup=setup,
        helper_share=row.may("helper_share", _SHARE, Fraction(0)),
        remark=row.text("remark"),
        spoken=row.text("spoken"),
        stage=row.text("stage"),
        source=row.text("source"),
    )
