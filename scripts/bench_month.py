"""One month of one book, in a process of its own: the report beside bare sums, the workbook beside
openpyxl writing the same cells. Called by `bench_book`; prints JSON.

    bench_month.py BOOK FOLDER
"""

import json
import resource
import sqlite3
import sys
import time
from collections.abc import Callable
from contextlib import closing
from decimal import Decimal
from pathlib import Path
from typing import Any

from bench_books import DAY
from openpyxl import Workbook, load_workbook

from ledger.book import Book
from ledger.measures.day import Month
from ledger.reports.month import month_report
from ledger.reports.month_data import month_data
from ledger.workbooks.writers.accountant import write_month

MONTH = Month(2025, 3)
SUMS = (
    "SELECT kind, sum(quantity), sum(full), sum(cash) FROM movement WHERE day < ? GROUP BY kind",
    "SELECT kind, sum(quantity), sum(full), sum(cash) FROM movement"
    " WHERE day BETWEEN ? AND '2025-03-31' GROUP BY kind",
    "SELECT source, sum(quantity), sum(full), sum(cash) FROM lot WHERE day < ? GROUP BY source",
)


def timed(act: Callable[[], Any]) -> tuple[float, Any]:
    """The processor time of something, and what it gave."""
    began = time.process_time()
    given = act()
    return time.process_time() - began, given


def mebibytes() -> float:
    """The most memory that this process has had so far."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def sums(path: Path) -> None:
    """The sums a month rests on, in the sqlite3 module alone."""
    with closing(sqlite3.connect(path)) as connection:
        for sql in SUMS:
            connection.execute(sql, ("2025-03-01",)).fetchall()


def as_given(value: Any) -> Any:
    """A cell's value as the program hands it over: amounts and quantities as decimals."""
    return Decimal(str(value)) if isinstance(value, float) else value


def write_plain(sheets: list[list[tuple[Any, ...]]], path: Path) -> None:
    """Write rows with openpyxl alone, in its quickest way."""
    workbook = Workbook(write_only=True)
    for rows in sheets:
        sheet = workbook.create_sheet()
        for row in rows:
            sheet.append(row)
    workbook.save(path)


def main(path: Path, folder: Path) -> None:
    """Measure and print."""
    told: dict[str, float] = {}
    with Book(path, DAY) as book:
        told["month"], report = timed(lambda: month_report(book, MONTH))
        told["month_mib"] = mebibytes()
        data = month_data(book, MONTH)
    told["sums"] = min(timed(lambda: sums(path))[0] for _ in range(3))
    written, rows = folder / f"{path.stem}-month.xlsx", len(data.moves)
    told["xlsx"] = min(timed(lambda: write_month(report, data, written))[0] for _ in range(2))
    told["xlsx_mib"], told["rows"] = mebibytes(), rows
    sheets = [
        [tuple(map(as_given, row)) for row in sheet.values]
        for sheet in load_workbook(written, read_only=True).worksheets
    ]
    plain = folder / f"{path.stem}-plain.xlsx"
    told["plain"] = min(timed(lambda: write_plain(sheets, plain))[0] for _ in range(2))
    sys.stdout.write(json.dumps(told))


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
