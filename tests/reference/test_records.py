"""Records the law asks for, income in kind, and tax rounded by line or by document."""

from datetime import date
from fractions import Fraction

import pytest

from ledger.book import Book
from ledger.book.tables.materials import Material
from ledger.measures.day import Month
from ledger.measures.length import Length
from ledger.measures.money import Money, currency, total
from ledger.measures.quantity import Quantity
from ledger.reports.month import month_report
from ledger.stock import issue, receive
from ledger.stock.documents import Document, DocumentLine
from ledger.stock.landed import UseTax, land
from ledger.stock.materials import MaterialRow, save_materials
from ledger.stock.retention import keep_until, kept_paper, panel_note
from ledger.stock.worth import job_material


# Source: 24 CFR 3282.212, consistent with 40 CFR 770.30(c) and 770.40: proof of purchase with the
# supplier's written compliance statement is kept three years from purchase.
@pytest.mark.parametrize(
    ("bought", "kept"),
    [((2025, 5, 5), (2028, 5, 5)), ((2024, 2, 29), (2027, 3, 1)), ((2025, 12, 31), (2028, 12, 31))],
)
def test_papers_of_panels_are_kept_three_years(bought, kept):
    assert keep_until(date(*bought)) == date(*kept)


# Source: IRS Publication 583, Table 3: three years where tax may be owed, counted from filing (a
# return filed before it is due counts as filed on that day, 15 April: from memory). Of the rules
# that apply the longest counts, so that the panels' three years from purchase are within it.
@pytest.mark.parametrize(
    ("day", "composite", "until"),
    [
        (date(2025, 1, 2), False, "2029-04-15"),
        (date(2025, 12, 31), True, "2029-04-15"),
        (date(2024, 2, 29), True, "2028-04-15"),
    ],
)
def test_a_paper_is_kept_until_the_tax_of_its_year_can_no_longer_be_asked_for(
    tmp_path, put_book, day, composite, until
):
    put_book(tmp_path / "b.sqlite", date(2026, 1, 10))
    with Book(tmp_path / "b.sqlite", date(2026, 1, 10)) as book:
        assert str(kept_paper(book, bought(book, day, composite)).until) == until


# Source: 24 CFR 3282.212 (three years from purchase), which outlasts a short tax rule.
def test_a_shorter_tax_rule_gives_way_to_the_panels_own(book):
    with book.entry("shop set"):
        book.set("keep_years", "1")
        book.set("tax_filed", "01-31")
    glue, panel = bought(book, date(2025, 4, 24), False), bought(book, date(2025, 4, 24), True)
    assert str(kept_paper(book, glue).until) == "2027-01-31"
    assert str(kept_paper(book, panel).until) == "2028-04-24"
    assert "panels" in kept_paper(book, panel).rule


# Source: IRS Publication 583 speaks for the United States only. Ten years after the year: the
# owner's setting here, no source.
def test_elsewhere_the_country_says_the_years_and_none_is_taken_from_the_united_states(metric_book):
    receipt = bought(metric_book, date(2025, 4, 24), True)
    assert kept_paper(metric_book, receipt).until is None
    assert str(kept_paper(metric_book, receipt).panels) == "2028-04-24"
    with metric_book.entry("shop set"):
        metric_book.set("keep_years", "10")
    assert str(kept_paper(metric_book, receipt).until) == "2036-12-31"


def bought(book, day, composite):
    """A receipt of one sheet, of composite wood or not."""
    code = "MDF" if composite else "PINE"
    length, width = Length.of(96, "in"), Length.of(48, "in")
    sheet = MaterialRow(
        code, code, "sheet", "sheet", composite=composite, length=length, width=width
    )
    save_materials(book, [sheet])
    line = DocumentLine(code, "sheet", Quantity.of(1), "sheet", Money(5000), material=code)
    return receive(book, Document("Yard", day, (line,))).receipt


# Source: 40 CFR part 770 (hardwood plywood is composite wood); structural plywood is outside it,
# which is from memory.
@pytest.mark.parametrize(
    ("composite", "statement", "warns"),
    [(True, "", True), (True, "TSCA Title VI compliant, lot 4471", False), (False, "", False)],
)
def test_panels_without_a_statement_are_warned_about(composite, statement, warns):
    panel = Material(code="PLY34", name="Birch ply", kind="sheet", unit="sheet",
                     pack=Quantity.of(1), composite=composite)  # fmt: skip

    note = panel_note(panel, statement, date(2025, 5, 5))

    assert bool(note) is warns
    assert not warns or "2028-05-05" in note
    assert "compl" not in note.replace("no compliance statement", "")  # never says "complies"


# Source: IRS Publications 525 and 17: barter income counts at fair market value at the time of
# receipt. ASC 606-10-32-21 (noncash consideration at fair value) is from memory.
def test_goods_in_kind_are_income_at_their_fair_value_and_never_free_to_a_job(book):
    save_materials(book, [MaterialRow("DISC5", "Discs", "abrasive", "disc")])
    from ledger.jobs.jobs import new_job

    job = new_job(book, "Bookcase").key
    given = DocumentLine(
        "Discs",
        "abrasive",
        Quantity.of(100),
        "disc",
        Money(6500),
        material="DISC5",
        method="retail price seen",
        evidence="page of 2025-04-14",
    )
    receive(book, Document("Giver", date(2025, 4, 14), (given,), kind="in_kind"))
    issue(book, job, "DISC5", Quantity.of(40), day=date(2025, 4, 20))

    report, (used,) = month_report(book, Month(2025, 4)), job_material(book, job)

    assert report.spend.in_kind == Money(6500)
    assert report.spend.landed == Money(0)
    assert (used.full, used.cash) == (Money(2600), Money(0))
    assert (report.full.closing, report.cash.closing) == (Money(3900), Money(0))


# Source: Streamlined Sales and Use Tax Agreement, section 324: by item or by invoice, both lawful.
# 3 x 0.99 at 8.25 %: by item 0.24, by invoice 0.25.
@pytest.mark.parametrize(("by_line", "tax"), [(True, 24), (False, 25)])
def test_use_tax_is_rounded_by_line_or_by_document(by_line, tax):
    lines = tuple(
        DocumentLine("film", "supply", Quantity.of(1), "roll", Money(99), tax_kind="use")
        for _ in range(3)
    )
    rate = UseTax(Fraction("0.0825"), currency("USD"), by_line)

    owed = land(Document("Supplier", date(2025, 5, 8), lines), rate)

    assert total(line.use_tax for line in owed) == Money(tax)
