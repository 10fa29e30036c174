"""However narrow the page is, no figure is lost, cropped or broken."""

import io
import re
import sys
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from ledger.cli import voice
from ledger.cli.main import app

WIDE = 2_000
FIGURES = re.compile(r"\d(?:[\d,.:/-]*\d)?")

amounts = st.decimals(0, 9_999_999, places=2).map(lambda amount: f"{amount:,}")
words = st.text("abc de fgh", max_size=60).map(str.strip)
dated = st.dates().map(str)
numbers = st.integers(1, 9_999).map(lambda number: f"J-{number}")
figures = st.one_of(amounts, st.just(""), amounts.map(lambda text: f"{text} USD"))
texts = st.one_of(words, dated, numbers, st.tuples(words, numbers).map(" ".join))


@st.composite
def tables(draw: st.DrawFn) -> tuple[list[str], list[list[str]], list[str] | None]:
    """A table as the program has them: columns of words and of figures."""
    are_figures = draw(st.lists(st.booleans(), min_size=1, max_size=9))
    columns = [f"{'>' if is_figure else ''}{draw(words)}" for is_figure in are_figures]
    row = st.tuples(*(figures if is_figure else texts for is_figure in are_figures)).map(list)
    return columns, draw(st.lists(row, max_size=6)), draw(st.none() | row)


def printed(columns: int, say: Callable[[], None]) -> str:
    """What a pipe of so many columns gets."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("COLUMNS", str(columns))
        patch.setattr(sys, "stdout", io.StringIO())
        say()
        return sys.stdout.getvalue()


@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
@given(tables(), st.integers(40, 200))
def test_a_table_has_all_its_figures_at_any_width(table, columns):
    heads, rows, footer = table

    def say() -> None:
        voice.table(heads, rows, footer=footer)

    narrow, wide = printed(columns, say), printed(WIDE, say)

    assert Counter(FIGURES.findall(narrow)) == Counter(FIGURES.findall(wide))
    assert all(len(line.rstrip()) <= columns for line in narrow.splitlines())


def test_what_fits_in_no_table_is_told_by_name():
    heads = ["job", ">issued", ">of it cash", ">in progress"]
    row = ["J-2507", "1,234,567.00", "234,567.00", ""]

    said = printed(40, lambda: voice.table(heads, [row], footer=["all", "1.00", "", "2.00"]))

    assert said.splitlines() == [
        "job: J-2507", "  issued: 1,234,567.00", "  of it cash: 234,567.00",
        "job: all", "  issued: 1.00", "  in progress: 2.00",
    ]  # fmt: skip


SAID = [
    "month 2025-05", "today", "stock list", "stock value", "material list", "material show PLY34",
    "job list", "hours list", "standards list", "year 2025", "shop show", "receipt list",
]  # fmt: skip


@pytest.mark.parametrize("line", SAID)
def test_a_command_says_every_figure_at_any_width(stocked, tmp_path: Path, line: str) -> None:
    assert set(figures_at(tmp_path / "shop.sqlite", line, WIDE))
    wide = figures_at(tmp_path / "shop.sqlite", line, WIDE)
    for columns in (40, 60, 100):
        assert figures_at(tmp_path / "shop.sqlite", line, columns) == wide


PRICED = ["price J-2507", "layout J-2507", "hours job J-2507", "job show J-2507"]


@pytest.mark.parametrize("line", PRICED)
def test_so_does_a_command_about_a_job(bed_file: Path, line: str) -> None:
    wide = set(figures_at(bed_file, line, WIDE, on="2025-04-25"))
    assert wide
    for columns in (40, 60, 100):
        assert set(figures_at(bed_file, line, columns, on="2025-04-25")) == wide


def figures_at(book: Path, line: str, columns: int, on: str = "2025-05-31") -> Counter[str]:
    """The figures that a command says on a page of so many columns."""
    env = {"BENCHLEDGER_BOOK": str(book), "BENCHLEDGER_TODAY": on, "COLUMNS": str(columns)}
    ran = CliRunner().invoke(app, line.split(), env=env, catch_exceptions=False)
    assert ran.exit_code == 0, ran.stderr
    return Counter(FIGURES.findall(ran.stdout))
