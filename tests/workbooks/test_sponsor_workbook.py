"""The sponsor's workbook: read back cell by cell, it says what the report says."""

import stat
import sys
from datetime import date, datetime
from decimal import Decimal

import pytest
from openpyxl import load_workbook

from ledger.errors import NotAllowed
from ledger.measures.money import Money, currency
from ledger.measures.quantity import Quantity
from ledger.reports.sponsor import (
    Event,
    Promised,
    Published,
    SponsorGoodsReceived,
    SponsorReport,
    Tool,
    Used,
)
from ledger.sponsors.statement import Amount, StatementLine
from ledger.workbooks.writers.sponsor import write_sponsor

PLY, BED = "Birch ply 3/4", "Fold-down bed (J-2507)"


def sheets(count, value):
    return Amount(Quantity.of(Decimal(str(count))), Money(round(value * 100)))


def a_report(**change):
    facts = {
        "sponsor": "Brightfell Panels",
        "shop": "Quillhaven Workshop",
        "first": date(2025, 4, 1),
        "last": date(2025, 6, 30),
        "currency": currency("USD"),
        "objective": "Show a clean edge",
        "lines": (
            StatementLine(PLY, "sheet", False, (1,), Amount(), sheets(12, 1152), sheets(-9, -864),
                          sheets(-1, -96)),
        ),
        "lots": (
            SponsorGoodsReceived(date(2025, 4, 14), PLY, "sheet", sheets(12, 1152), False,
                                 "retail price seen", "price page", "note 771"),
        ),
        "used": (Used(BED, PLY, "sheet", sheets(9, 864), Quantity.of(5), Quantity.of(0)),),
        "events": (
            Event(date(2025, 4, 14), "received", PLY, "sheet", sheets(12, 1152), Quantity.of(12),
                  "", "note 771"),
            Event(date(2025, 4, 15), "damaged", PLY, "sheet", sheets(-1, -96), Quantity.of(11),
                  "", "corner crushed"),
            Event(date(2025, 5, 6), "used", PLY, "sheet", sheets(-9, -864), Quantity.of(2), BED,
                  ""),
        ),
        "tools": (Tool("Track saw", True, True, 95, 14, 1, ("2025-05-07: guard sticks",)),),
        "published": (
            Published(date(2025, 5, 20), "photo", "Boxes", "", "link-1", (BED,), None, ""),
            Published(date(2025, 6, 20), "long", "=SUM(1)", "Tube", "https://v.example/2", (BED,),
                      date(2025, 6, 20), "spoken"),
        ),
        "promised": (Promised("long", 1, 1, 0, date(2025, 6, 30)),
                     Promised("post", 2, 1, 1, date(2025, 6, 30))),
        "where": "sheet rack",
        "offcuts": ("offcut 40 x 24",),
        "next_use": "bedside boxes",
        "photos": ("edge.jpg",),
        "results": ("14 orders with the code",),
    }  # fmt: skip
    return SponsorReport(**(facts | change))


@pytest.fixture
def written(tmp_path):
    """Write a report and read it back: `written(objective="x")`."""

    def write(**change):
        return load_workbook(write_sponsor(a_report(**change), tmp_path / "report.xlsx"))

    return write


def rows_of(sheet):
    return [[cell.value for cell in row if cell.value is not None] for row in sheet.iter_rows()]


def row_of(sheet, first):
    return next(row for row in rows_of(sheet) if row and row[0] == first)


def test_the_report_is_one_page_with_the_objective_right_below_the_name(written):
    sheet = written()["Report"]
    rows = [row for row in rows_of(sheet) if row]
    assert rows[0][0] == "Brightfell Panels"
    assert rows[1] == ["What became of your support, April to June 2025"]
    assert rows[2:4] == [["YOUR OBJECTIVE"], ["Show a clean edge"]]
    assert (sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) == (1, 1)


@pytest.mark.parametrize(
    ("first", "last", "said"),
    [
        (date(2025, 5, 1), date(2025, 5, 31), "May 2025"),
        (date(2024, 12, 1), date(2025, 1, 31), "December 2024 to January 2025"),
        (date(2025, 5, 2), date(2025, 5, 31), "2025-05-02 to 2025-05-31"),
    ],
)
def test_a_span_is_said_as_it_is_spoken(written, first, last, said):
    rows = rows_of(written(first=first, last=last)["Report"])
    assert rows[1] == [f"What became of your support, {said}"]


def test_the_statement_stands_on_the_page_in_units_and_value_and_closes(written):
    sheet = written()["Report"]
    assert row_of(sheet, "number") == ["number", 0, 12, -9, -1, 0, 2]
    value = row_of(sheet, "value, USD")
    assert value == ["value, USD", 0, 1152, -864, -96, 0, 192]
    assert sum(value[1:6]) == value[6]


def test_what_was_counted_stands_with_what_was_used_so_that_the_page_closes(written):
    line = StatementLine(PLY, "sheet", False, (1,), Amount(), sheets(12, 1152), sheets(-9, -864),
                         otherwise=sheets(-1, -96))  # fmt: skip
    assert row_of(written(lines=(line,))["Report"], "number") == ["number", 0, 12, -10, 0, 0, 2]


def test_each_event_stands_in_the_statement_with_what_was_left(written):
    rows = rows_of(written()["Statement"])[3:]
    assert [row[1] for row in rows] == ["opening", "received", "damaged", "used", "closing"]
    assert [row[4:7] for row in rows] == [
        [0, 0, 0], [12, 1152, 12], [-1, -96, 11], [-9, -864, 2], [2, 192, 2],
    ]  # fmt: skip
    assert rows[1][0] == datetime(2025, 4, 14)


def test_publications_deliverables_and_photos_have_a_sheet_each(written):
    book = written()
    assert book.sheetnames == ["Report", "Statement", "Publications", "Deliverables", "Photos"]
    assert rows_of(book["Deliverables"])[3:] == [
        ["Long video", 1, 1, 0, datetime(2025, 6, 30)],
        ["Post (photo or short)", 2, 1, 1, datetime(2025, 6, 30)],
    ]
    assert rows_of(book["Photos"])[3:] == [["edge.jpg"]]
    assert rows_of(book["Publications"])[3][-1] == "not noted"
    assert rows_of(book["Publications"])[4][-2:] == [datetime(2025, 6, 20), "spoken"]


def test_a_web_address_can_be_clicked_and_another_link_is_plain(written):
    sheet = written()["Publications"]
    assert sheet["E4"].hyperlink is None
    assert sheet["E5"].hyperlink.target == "https://v.example/2"


def test_a_title_that_looks_like_a_formula_stays_text(written):
    for name in ("Report", "Publications"):
        cells = [cell for row in written()[name].iter_rows() for cell in row]
        (cell,) = [cell for cell in cells if cell.value == "=SUM(1)"]
        assert (cell.data_type, cell.quotePrefix) == ("s", True)


def test_the_page_tells_builds_damage_tools_and_what_is_left(written):
    said = [str(value) for row in rows_of(written()["Report"]) for value in row]
    for words in (
        BED, "9 sheets", "5", "1 of 2, 1 late", "Damaged on 15 Apr 2025: corner crushed",
        "sheet rack; offcut 40 x 24", "bedside boxes", "edge.jpg", "14 orders with the code",
        "Track saw (on loan); ran 1h35; uses: 14; blades changed: 1;"
        " fault 2025-05-07: guard sticks",
        "disclosure: to be added", "disclosure: spoken",
    ):  # fmt: skip
        assert words in said
    assert any("retail price seen, price page" in words for words in said)
    assert any("no cash was paid" in words for words in said)


@pytest.mark.parametrize(
    ("on_camera", "unsaid", "said"),
    [(9, 0, "all"), (0, 0, "no"), (0, 9, "not noted"), (5, 2, "5, 2 not noted")],
)
def test_the_camera_is_told_in_words(written, on_camera, unsaid, said):
    used = Used(BED, PLY, "sheet", sheets(9, 864), Quantity.of(on_camera), Quantity.of(unsaid))
    assert row_of(written(used=(used,))["Report"], BED)[-1] == said


def test_two_kinds_of_goods_are_named_at_each_build(written):
    lines = (*a_report().lines, StatementLine("Track saw", "each", True, (2,)))
    assert row_of(written(lines=lines)["Report"], f"{BED}: {PLY}")[1] == "9 sheets"


def test_goods_on_loan_are_said_to_stay_the_sponsors(written):
    lot = SponsorGoodsReceived(
        date(2025, 4, 14), "Track saw", "each", sheets(1, 480), True, "", "", ""
    )
    said = [str(value) for row in rows_of(written(lots=(lot,))["Report"]) for value in row]
    assert any("Goods on loan stay yours" in words for words in said)


def test_an_empty_report_is_a_page_too(written):
    empty = dict.fromkeys(
        ("lines", "lots", "used", "events", "tools", "published", "promised", "offcuts", "photos",
         "results"), ()
    )  # fmt: skip
    book = written(objective="", next_use="", **empty)
    assert book.sheetnames == ["Report", "Statement", "Publications", "Deliverables"]


@pytest.mark.skipif(sys.platform == "win32", reason="no owner's bits there")
def test_the_file_is_its_owners_alone(tmp_path):
    path = write_sponsor(a_report(), tmp_path / "report.xlsx")
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_a_place_that_cannot_be_written_is_refused(tmp_path):
    with pytest.raises(NotAllowed):
        write_sponsor(a_report(), tmp_path / "none" / "report.xlsx")
