"""What the review of a year costs beside the month: 60 jobs sold, built and closed in that year.

    bench_review.py [MOVEMENTS]      movements of the year, 20,000 unless said

The jobs are typed as an owner types them; the movements are those of `bench_books`, of whose twenty
months the year is a part. Processor seconds of whole processes, the least of several runs in turn.
"""

import os
import shutil
import sys
import tempfile
from datetime import date, timedelta
from pathlib import Path

from bench_book import ledger, side_by_side
from bench_books import DAYS, book_of
from typer.testing import CliRunner

YEAR, LAST, JOBS = 2024, date(2024, 12, 31), 60


def type_jobs(book: Path) -> None:
    """Quote, win, build and close the jobs, one after another through the year."""
    from ledger.cli.main import app

    def typed(day: date, words: str) -> None:
        env = {"BENCHLEDGER_BOOK": str(book), "BENCHLEDGER_TODAY": str(day)}
        said = CliRunner().invoke(app, words.split(), env=env, catch_exceptions=False)
        if said.exit_code:
            sys.exit(f"{words}: {said.stderr}")

    typed(date(YEAR, 1, 1), "shop set overhead_year=22000 pay_year=56000")
    for number in range(JOBS):
        day, job = date(YEAR, 1, 2) + timedelta(days=5 * number), f"Q-{number:02}"
        typed(day, f"job new Piece --number {job}")
        for words in ("repair 20h", "sand 200", "use LAST 40"):
            typed(day, f"job line {job} {words}")
        for words in ("quote draft", "quote send", "quote accept"):
            typed(day, f"{words} {job}")
        typed(day, f"job pay {job} 900")
        typed(day, f"stock issue {job} LAST 40")
        for words in ("repair 18h", "sand 3h"):
            typed(day + timedelta(days=3), f"hours add {job} {words} --yes")
        typed(day + timedelta(days=4), f"job close {job}")


def main(movements: int) -> None:
    """Make the year on a copy and measure it."""
    kept, _ = book_of(movements * DAYS // 366)
    with tempfile.TemporaryDirectory() as folder:
        book = Path(shutil.copy(kept, Path(folder) / "year.sqlite"))
        type_jobs(book)
        month = {"month": ledger("month", f"{YEAR}-06"), "review": ledger("review", str(YEAR))}
        found = side_by_side(month, book, 5)
    print(f"`review` of {JOBS} jobs and {movements:,} movements: {found['review']:.2f} s,"
          f" {found['review'] / found['month']:.2f} × `month` (reach: 2)")  # fmt: skip


if __name__ == "__main__":
    os.environ.setdefault("NO_COLOR", "1")
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 20_000)
