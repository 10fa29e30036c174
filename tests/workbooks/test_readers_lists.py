"""Price lists, settings, parts lists and past jobs: taken whole, or every bad line told."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from ledger.book import Book
from ledger.errors import BadFile
from ledger.measures.day import DateReader
from ledger.measures.length import Length
from ledger.measures.money import Money, currency
from ledger.stock.materials import save_materials
from ledger.workbooks.readers.materials import read_materials
from ledger.workbooks.readers.parts import read_parts, read_parts_design
from ledger.workbooks.readers.past_jobs import read_past_jobs
from ledger.workbooks.readers.settings import read_settings

USD = currency("USD")
TODAY = date(2025, 4, 25)
SAMPLES = Path(__file__).parents[2] / "sample_data"


def written(folder: Path, text: str, name: str = "list.csv") -> Path:
    """A file of that text."""
    folder.mkdir(exist_ok=True)
    path = folder / name
    path.write_text(text, "utf-8")
    return path


def told(read: Callable[[], Any]) -> list[str]:
    """What is told of a refused file."""
    with pytest.raises(BadFile) as caught:
        read()
    return [str(fault) for fault in caught.value.faults]


# --- price lists ---------------------------------------------------------------------------

PRICES = "code,name,kind,unit,length,width,price,coverage,coverage source,allowance,allowance on\n"


def prices(path: Path) -> Any:
    """The rows of a price list of an inch and dollar book."""
    return read_materials(path, USD, "inch", DateReader(TODAY))


def test_the_sample_price_list_is_read_whole(book: Book) -> None:
    rows = {row.code: row for row in prices(SAMPLES / "materials.csv")}

    assert len(rows) == 22
    sheet = rows["PLY34"]
    assert (sheet.length, sheet.width) == (Length.of(96, "in"), Length.of(48, "in"))
    assert sheet.thickness == Length.of(Fraction(23, 32), "in")
    assert (sheet.price, sheet.unit, sheet.composite) == (Decimal("96.00"), "sheet", True)
    assert rows["PSCREW"].price == Decimal("0.054")
    assert (rows["EDGE78"].allowance, rows["EDGE78"].allowance_on) == (Fraction(1, 10), "net")
    assert (rows["EDGE58"].length, rows["EDGE58"].whole) == (Length.of(50, "ft"), True)
    assert rows["SATIN"].coverage == 220 and "common practice" in (
        rows["SATIN"].coverage_source or ""
    )
    assert save_materials(book, list(rows.values())) == (22, 22)
    assert save_materials(book, list(rows.values())) == (0, 0)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("PLY,Ply,shet,sheet,96,48,96,,,,", "column kind: No kind is called “shet”."),
        ("PLY,Ply,sheet,sheez,96,48,96,,,,", "column unit: “sheez” is not a unit of this list"),
        ("PLY,Ply,sheet,sheet,96,,96,,,,", "column width: A sheet has a width; write the width"),
        ("PLY,Ply,sheet,sheet,48,96,96,,,,", "column width: The width is more than the length"),
        ("PLY,Ply,sheet,sheet,96,0,96,,,,", "column width: “0” is zero; a size is more than zero."),
        ("PLY,Ply,sheet,sheet,96,-4,96,,,,", "column width: “-4” is negative"),
        ("PLY,Ply,sheet,sheet,96 inc,48,96,,,,", "column length: “inc” is not a unit of length"),
        ("PLY,Ply,sheet,sheet,96,48,0.0000001,,,,", "column price: “0.0000001” has more than six"),
        ("PLY,Ply,sheet,sheet,96,48,-3,,,,", "column price: “-3” is negative"),
        ("PLY,Ply,sheet,sheet,96,48,€9,,,,", "column price: “€9” carries “€”"),
        ("SAT,Satin,finish,gal,,,79,220,,,", "column coverage source: The coverage has no source"),
        ("SAT,Satin,finish,gal,,,79,0,me,,", "column coverage: A coverage is more than zero"),
        ("TAP,Tape,edging,ft,,,0.22,,,10 %,", "column allowance on: Say of what"),
        ("TAP,Tape,edging,ft,,,0.22,,,10,net", "column allowance: “10” may be 10 % or 1000 %"),
        ("TAP,Tape,edging,ft,,,0.22,,,100 %,bought", "column allowance: “100 %” is too much here"),
        (",Tape,edging,ft,,,0.22,,,,", "column code: The code is missing"),
    ],
)  # fmt: skip
def test_a_bad_line_of_a_price_list_is_told(tmp_path: Path, line: str, said: str) -> None:
    lines = told(lambda: prices(written(tmp_path, PRICES + line + "\n")))
    assert [text for text in lines if text.startswith(f"list.csv line 2, {said}")], lines
    assert len(lines) == 1


def test_a_sheet_that_may_be_turned_has_no_grain_in_either_word(tmp_path: Path) -> None:
    lines = (f"MDF{word},MDF,sheet,sheet,96,48,52,{word}" for word in ("any", "none", "width"))
    path = written(tmp_path, "code,name,kind,unit,length,width,price,grain\n" + "\n".join(lines))
    assert [row.grain for row in prices(path)] == ["none", "none", "width"]


def test_one_bad_line_among_four_hundred_takes_none(tmp_path: Path) -> None:
    lines = [f"M{n},Thing {n},supply,each,,,1.25,,,," for n in range(400)]
    lines[200] = "M7,Thing,supply,each,,,1.25,,,,"
    lines[300] = "M300,Thing,supply,each,,,free,,,,"
    found = told(lambda: prices(written(tmp_path, PRICES + "\n".join(lines))))
    price, code = found
    assert price.startswith("list.csv line 302, column price: “free” is not an amount")
    assert code.startswith("list.csv line 202, column code: M7 stands twice")
    assert "list.csv line 9, column code" in code


# --- settings ------------------------------------------------------------------------------


def test_the_sample_settings_are_read_and_can_be_set(book: Book) -> None:
    rows = read_settings(SAMPLES / "shop.csv", USD, "inch")
    with book.entry("shop load"):
        for name, value in rows:
            book.set(name, value)
    assert book.settings.selling_rate == Money(7300)
    assert book.settings.markup_hardware == Fraction(15, 100)
    assert book.settings.price_step == Money(2000)


def test_bad_settings_are_told_before_any_is_set(tmp_path: Path) -> None:
    path = written(
        tmp_path,
        "setting,value\nkerff,1/8\nkerf,one\nprofit,8\nprice_step,20\nprice_step,10\n"
        "currency,EUR\nunits,inch\nestimate,guess\n",
    )
    found = told(lambda: read_settings(path, USD, "inch"))
    assert [line.split(":")[0] for line in found] == [
        "list.csv line 2, column setting",
        "list.csv line 3, column value",
        "list.csv line 4, column value",
        "list.csv line 6, column setting",
        "list.csv line 7, column value",
        "list.csv line 9, column value",
    ]
    assert "Nearest: kerf" in found[0]
    assert "“8” may be 8 % or 800 %" in found[2]
    assert "currency of this book is USD" in found[4]


# --- parts ---------------------------------------------------------------------------------


def test_a_plain_parts_list_is_read_with_its_default_grain(tmp_path: Path) -> None:
    path = written(tmp_path, "id,qty,length,width,grain,part\nA,2,24-1/2,12,,Side\nB,1,2',6,any,\n")
    first, second = read_parts(path, "inch")

    assert (first.id, first.quantity, first.grain, first.name) == ("A", 2, "length", "Side")
    assert first.length == Length.of(Fraction(49, 2), "in")
    assert (second.length, second.grain) == (Length.of(24, "in"), "any")


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("A,2,24,12,any", "column id: A stands twice; each id has one line."),
        ("B,0,24,12,any", "column qty: “0” is less than 1; write a whole number from 1 to 10000."),
        ("B,2.5,24,12,any", "column qty: “2.5” is not a whole number"),
        ("B,2,0,12,any", "column length: “0” is zero"),
        ("B,2,200 m,12,any", "column length: “200 m” is longer than 100 m"),
        ("B,2,24,,any", "column width: The width is missing; write for example 24-1/2."),
        ("B,2,24,12,across", "column grain: No grain is called “across”"),
    ],
)
def test_a_bad_part_is_told(tmp_path: Path, line: str, said: str) -> None:
    path = written(tmp_path, f"id,qty,length,width,grain\nA,1,24,12,any\n{line}\n")
    found = told(lambda: read_parts(path, "inch"))
    assert [text for text in found if text.startswith(f"list.csv line 3, {said}")], found


def test_without_units_each_length_needs_its_own(tmp_path: Path) -> None:
    path = written(tmp_path, "id,qty,length,width\nA,1,24 in,300 mm\nB,1,24,300 mm\n")
    assert "has no unit" in told(lambda: read_parts(path, None))[0]


def test_a_list_without_parts_is_told(tmp_path: Path) -> None:
    path = written(tmp_path, "id,qty,length,width\n")
    assert told(lambda: read_parts(path, "inch")) == [
        "list.csv: It lists no parts; write one line for each part."
    ]


def test_a_parts_list_can_be_the_design_of_one_job(tmp_path: Path) -> None:
    path = written(
        tmp_path,
        "id,part,qty,length,width,material,edges,edging,faces\nA,Side,2,72,12,PLY,one long,T,2\n",
    )
    design = read_parts_design(path, "J-1", "Box", "inch")
    assert (design.name, design.parts[0].banded, design.parts[0].edging) == ("J-1", ("L1",), "T")

    bad = written(tmp_path, "id,qty,length,width,material\nA,2,0,w,PLY\n", "bad.csv")
    found = told(lambda: read_parts_design(bad, "J-1", "Box", "inch"))
    assert [line.split(":")[0] for line in found] == [
        "bad.csv line 2, column length",
        "bad.csv line 2, column width",
    ]


# --- past jobs -----------------------------------------------------------------------------


def past(path: Path, today: date = date(2025, 5, 6)) -> Any:
    """The past jobs of a folder."""
    return read_past_jobs(path, USD, DateReader(today))


def test_the_sample_past_jobs_carry_their_lines() -> None:
    jobs = {job.number: job for job in past(SAMPLES / "past_jobs")}

    console = jobs["J-2412"]
    assert (console.price, console.material, console.other) == (
        Money(415_000),
        Money(74_200),
        Money(4_000),
    )
    assert console.rework_minutes == 144
    assert sum(line.minutes for line in console.lines) == 2622  # 43.7 h
    assert sum(line.minutes for line in jobs["J-2410"].lines) == 1770  # 29.5 h


def test_past_jobs_and_lines_that_do_not_meet_are_told(tmp_path: Path) -> None:
    folder = tmp_path / "past"
    jobs = "job,piece,done,price,material,helper hours\n"
    written(
        folder,
        f"{jobs}P-1,Box,2025-01-02,100,20,0\nP-2,Desk,2025-02-30,1.234,20,1h75\n",
        "jobs.csv",
    )
    lines = "job,op,count,hours\nP-1,DES,4,2.5\nP-9,DES,4,90\nP-1,XN,x,\n"
    written(folder, lines, "lines.csv")
    found = told(lambda: past(folder))
    assert [line.split(":")[0] for line in found] == [
        "lines.csv line 4, column count",
        "lines.csv line 4, column hours",
        "jobs.csv line 3, column job",
        "jobs.csv line 3, column helper hours",
        "jobs.csv line 3, column done",
        "jobs.csv line 3, column price",
        "lines.csv line 3, column job",
        "lines.csv line 3, column hours",
    ]
    assert "P-2 has no hours" in found[2]
    assert "P-9 is not in" in found[-2]


def test_a_past_job_may_be_known_by_its_total_alone(tmp_path: Path) -> None:
    jobs = (
        "job,piece,done,price,material,hours,estimated hours,rework hours\n"
        "P-1,Bench,2025-01-02,,,21.5,18,1.5\nP-2,Desk,2025-02-03,2900,,44,,\n"
    )
    folder = tmp_path / "past"
    written(folder, jobs, "jobs.csv")
    bench, desk = past(folder)  # without a table of lines
    assert (bench.price, bench.material, bench.lines) == (None, None, ())
    assert (bench.minutes, bench.guessed, bench.rework_minutes) == (1290, 1080, 90)
    assert (desk.price, desk.material, desk.minutes, desk.guessed) == (
        Money(290_000),
        None,
        2640,
        0,
    )

    written(folder, "job,op,count,hours\nP-2,DES,9,\n", "lines.csv")
    (line,) = past(folder)[1].lines
    assert (line.operation, line.minutes) == ("DES", 0)


@pytest.mark.parametrize(
    ("job", "line", "place", "sentence"),
    [
        ("44,", "P-2,DES,9,4", "lines.csv line 2, column hours", "leave out those by line"),
        (",", "P-2,DES,9,", "lines.csv line 2, column hours", "hours is missing"),
        (",", "", "jobs.csv line 2, column job", "give them in all here, or by operation"),
        ("4,5", "", "jobs.csv line 2, column rework hours", "more rework hours than hours in all"),
    ],
)
def test_hours_of_a_past_job_stand_once(
    tmp_path: Path, job: str, line: str, place: str, sentence: str
) -> None:
    folder = tmp_path / "past"
    heads = "job,piece,done,price,material,hours,rework hours"
    written(folder, f"{heads}\nP-2,Desk,2025-02-03,2900,600,{job}\n", "jobs.csv")
    written(folder, f"job,op,count,hours\n{line}\n", "lines.csv")
    (found,) = told(lambda: past(folder))
    assert found.startswith(f"{place}:")
    assert sentence in found


def test_a_missing_table_of_past_jobs_is_told(tmp_path: Path) -> None:
    folder = tmp_path / "past"
    written(folder, "job,op,count,hours\nP-1,DES,4,2.5\n", "lines.csv")
    assert "past: The table jobs is missing; past jobs have jobs, and mostly lines." in told(
        lambda: past(folder)
    )


def test_a_past_job_that_is_not_done_yet_is_told(tmp_path: Path) -> None:
    found = told(lambda: past(SAMPLES / "past_jobs", date(2024, 12, 1)))
    assert [line.split(":")[0] for line in found] == [
        "jobs.csv line 3, column done",
        "jobs.csv line 4, column done",
    ]
