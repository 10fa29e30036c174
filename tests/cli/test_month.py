"""`month` as it is typed: one page, its files, closed and opened again."""

import json
from pathlib import Path

import pytest
from openpyxl import load_workbook

SAMPLES = Path(__file__).parents[2] / "sample_data"

PAGE = """\
Quillhaven Workshop: material and stock, 2025-05
The month is over and not closed yet.

Net 1,246.78 + tax paid 4.27 = paid 1,251.05; + use tax due 3.30 = landed 
1,254.35.
by supplier               landed  by category    landed  by job    landed
Windlass Bed Fittings     477.00  hardware       552.47  J-2507  1,218.31
Pellworth Coatings        340.00  finish         340.00  stock      36.04
Copper Vale Lumber        303.58  sheet          267.00                  
Harrow Street Hardware     75.47  supply          58.30                  
Plainmoor Shop Supply      58.30  lumber          21.08                  
                                  edging          15.50                  
all                     1,254.35  all          1,254.35  all     1,254.35

stock        opening  received    issued   closing
full value  1,405.50  1,254.35  1,218.31  1,441.54
cash          253.50  1,254.35  1,218.31    289.54

job       issued  of it cash  in progress  received  tax in it  held
J-2507  1,218.31    1,218.31     1,218.31                           
all     1,218.31    1,218.31     1,218.31      0.00       0.00  0.00

"""  # noqa: W291


@pytest.fixture
def june(stocked):
    """The program on 2025-06-30, with the opening stock and the receipts of April and May."""
    return lambda *words: stocked(*words, on="2025-06-30")


def test_the_month_just_ended_stands_on_one_page(june):
    said = june("month")

    assert said.code == 0
    assert said.out == PAGE
    assert len(said.out.splitlines()) < 40


def test_the_facts_are_those_of_the_page(june):
    facts = json.loads(june("month", "2025-05", "--json").out)

    assert facts["spend"]["landed"] == "1254.35"
    assert facts["stock"]["cash"]["closing"] == "289.54"


def test_the_accountants_file_is_written_into_the_folder(june, tmp_path):
    said = june("month", "2025-05", "--xlsx", "files/may")

    path = tmp_path / "files" / "may" / "2025-05-accountant.xlsx"
    assert "Written: files/may/2025-05-accountant.xlsx" in said.err
    assert load_workbook(path)["Summary"]["A1"].value == "Material and stock, 2025-05"


def test_a_sponsor_gets_a_file_with_nothing_of_the_others(june, tmp_path):
    for name in ("Brightfell Panels", "Pellworth Coatings"):
        june("sponsor", "add", name)
    june("receipt", "add", "PLY34", "12", "96.00", "--from", "Brightfell Panels", "--in-kind",
         "retail", "--on", "2025-05-14")  # fmt: skip
    june("receipt", "add", "SATIN", "1", "79.00", "--from", "Pellworth Coatings", "--in-kind",
         "retail", "--on", "2025-05-14")  # fmt: skip

    june("month", "2025-05", "--xlsx", "may")

    names = sorted(path.name for path in (tmp_path / "may").iterdir())
    assert names == [
        "2025-05-accountant.xlsx",
        "2025-05-sponsor-Brightfell-Panels.xlsx",
        "2025-05-sponsor-Pellworth-Coatings.xlsx",
    ]
    workbook = load_workbook(tmp_path / "may" / names[1])
    text = " ".join(
        str(cell.value) for sheet in workbook for row in sheet.iter_rows() for cell in row
    )
    assert "Brightfell" in text
    for other in ("Pellworth", "Copper Vale", "Marrow", "1,254.35"):
        assert other not in text


@pytest.mark.parametrize(
    ("month", "sentence"),
    [
        ("2024-01", "The book begins after this month; nothing is posted in it."),
        ("2025-06", "The month is still running: figures up to 2025-06-30."),
        ("2025-07", "The month has not begun."),
    ],
)
def test_a_month_with_nothing_or_not_over_says_so(june, month, sentence):
    said = june("month", month)

    assert said.code == 0
    assert sentence in said.out


def test_a_closed_month_takes_nothing_more_until_it_is_opened_with_a_reason(june):
    closed = june("month", "2025-05", "--close")
    late = june("stock", "issue", "bed", "EDGE78", "1", "--on", "2025-05-20")
    silent = june("month", "2025-05", "--reopen")
    opened = june("month", "2025-05", "--reopen", "--why", "a late receipt")
    again = june("stock", "issue", "bed", "EDGE78", "1", "--on", "2025-05-20")

    assert closed.out == "2025-05 is closed.\n"
    assert (late.code, silent.code) == (1, 1)
    assert "2025-05 is closed." in late.err
    assert "why 2025-05 is" in silent.err
    assert opened.out == "2025-05 is open again.\n"
    assert again.code == 0, again.err


def test_a_month_that_is_not_over_is_not_closed(june):
    said = june("month", "2025-06", "--close")

    assert said.code == 1
    assert "2025-06 is not over" in said.err


def test_closing_and_opening_at_once_is_mistyped(june):
    assert june("month", "2025-05", "--close", "--reopen").code == 2


def test_a_folder_that_is_a_file_is_refused(june, tmp_path):
    (tmp_path / "may").write_text("", encoding="utf-8")

    said = june("month", "2025-05", "--xlsx", "may")

    assert said.code == 1
    assert "may cannot be used" in said.err


@pytest.mark.parametrize("new", [[], ["--currency", "EUR", "--units", "mm", "--tax", "vat"]])
def test_closing_a_month_names_those_before_it_that_are_open(begun, new):
    """A book from January; February alone is closed before March is."""
    shop = begun(["new", "--shop", "Larkhollow Joinery", *new], on="2026-01-15")
    assert shop("month", "2026-02", "--close", on="2026-04-02").err.count("2026-01") == 2

    said = shop("month", "2026-03", "--close", on="2026-04-02")

    assert (said.code, said.out) == (0, "2026-03 is closed.\n")
    assert "Not closed before it: 2026-01. " in said.err
    assert "2026-02" not in said.err
    assert shop("month", "2026-01", "--close", on="2026-04-02").err == ""
