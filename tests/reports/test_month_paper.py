"""The month's and the year's summary on paper: the figures of the account, added up."""

import re
from decimal import Decimal

import pypdfium2
import pytest

from ledger.measures.day import Month
from ledger.measures.values import replace
from ledger.papers.accountant import month_paper, year_paper
from ledger.papers.engine import print_paper
from ledger.quotes.offer import Maker
from ledger.reports.month import month_report
from ledger.reports.year import year_report

SHOP = Maker("Quillhaven Workshop", "Larkspur Falls", "")


def read(paper):
    """All the words of a paper on one line."""
    pages = pypdfium2.PdfDocument(print_paper(paper).content)
    return " ".join(" ".join(p.get_textpage().get_text_bounded() for p in pages).split())


def figures_between(text, first, last):
    """The amounts of the first column of figures between two words."""
    part = text[text.index(first) + len(first) : text.index(last)].replace("−", "-")
    rows = re.findall(r"(-?[\d,]+\.\d\d) -?[\d,]+\.\d\d(?= |$)", part)
    return [Decimal(amount.replace(",", "")) for amount in rows]


@pytest.mark.parametrize("size", ["letter", "A4"])
def test_mays_summary_has_its_spend_stock_and_jobs(spring, size):
    text = read(month_paper(month_report(spring, Month(2025, 5)), SHOP, "inch", size))

    for words in (
        ["Month", "2025-05"][1], "$1,254.35", "Net, goods and freight 1,246.78", "Paid 1,251.05",
        "Use tax due 3.30", "Landed 1,254.35", "As of May 31, 2025", "Page 1 of",
        "What use tax is due and when",
    ):  # fmt: skip
        assert words in text, words


def test_the_stock_of_the_summary_adds_up(spring):
    report = month_report(spring, Month(2025, 5))
    text = read(month_paper(report, SHOP, "inch", "letter"))

    *moved, closing = figures_between(text, "full value cash", "Jobs Job")
    assert len(moved) >= 3
    assert sum(moved) == closing == report.currency.decimal(report.full.closing)


def test_the_years_months_add_up(spring):
    report = year_report(spring, 2025)
    text = read(year_paper(report, SHOP, "letter"))

    rows = re.findall(r"2025-\d\d [\d,.]+ [\d,.]+ ([\d,.]+) [\d,.]+", text)
    landed = sum(Decimal(amount.replace(",", "")) for amount in rows)
    assert landed == report.currency.decimal(report.spend.landed) > 0
    assert f"Year {report.currency.show(report.spend.net)}" in text


def test_a_job_that_is_over_is_done_on_the_months_paper(spring):
    report = month_report(spring, Month(2025, 5))
    (number,) = {line.job for line in report.issued}
    assert f"{number} {report.states[number]} " in read(month_paper(report, SHOP, "inch", "A4"))

    over = replace(report, progress=(), states={})
    assert f"{number} done " in read(month_paper(over, SHOP, "inch", "A4"))


def test_an_empty_month_is_a_page_that_says_none(spring):
    text = read(month_paper(month_report(spring, Month(2024, 1)), SHOP, "inch", "A4"))

    assert "By supplier landed none" in text
    assert "Jobs that are over" not in text


def test_a_summary_has_the_same_bytes_twice(spring):
    papers = (
        month_paper(month_report(spring, Month(2025, 5)), SHOP, "mm", "A4"),
        year_paper(year_report(spring, 2025), SHOP, "A4"),
    )
    for paper in papers:
        assert print_paper(paper).sha256 == print_paper(paper).sha256
