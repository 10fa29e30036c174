"""Kit pages as files: one page, values only, sums that are the program's."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from openpyxl import load_workbook

from ledger.measures.money import Money
from ledger.quotes.answers import accept_quote
from ledger.quotes.draft import Wishes, draft_quote
from ledger.quotes.kit import Extra, KitOffer
from ledger.quotes.kits import compare
from ledger.quotes.revisions import offer_of, send_quote
from ledger.workbooks.writers.kit import write_kit_for_builder, write_kit_for_client

KIT = KitOffer(
    "K-1", "Melamine fold bed", Money(189000), date(2025, 4, 24), "the seller's page",
    Money(21000), Fraction(6, 100), Decimal(12), 8, "5 years on the mechanism", "gas springs", "",
    (Extra("two 18-in bookcases", Money(52000), taxed=True),
     Extra("wall fixings", Money(2500), taxed=False)),
)  # fmt: skip


@pytest.fixture(scope="module")
def offers(bed_book, bed, bed_sheet):
    """Two revisions of the bed's quote, with drawers and without, the second one accepted."""
    delivery = {"Delivery and installation": Money(90000)}
    drawers = Wishes(extras=delivery, goods="Bed, towers and drawers", price=Money(745000))
    first = draft_quote(bed_book, bed, drawers, bed_sheet).quote
    send_quote(bed_book, first)
    second = draft_quote(
        bed_book, bed, Wishes(extras=delivery, goods="Bed and towers"), bed_sheet
    ).quote
    send_quote(bed_book, second)
    accept_quote(bed_book, second, how="signature")
    return [offer_of(bed_book, first), offer_of(bed_book, second)]


def opened(path):
    """The only sheet of a workbook that prints on one page and holds no formula."""
    (sheet,) = load_workbook(path).worksheets
    assert (sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) == (1, 1)
    assert not any(cell.data_type == "f" for row in sheet.iter_rows() for cell in row)
    assert path.stat().st_mode & 0o077 == 0
    return sheet


def row_of(sheet, name):
    """The values beside a name in the first column."""
    for row in sheet.iter_rows():
        if row[0].value == name:
            return [cell.value for cell in row[1:] if cell.value is not None]
    raise AssertionError(name)


@pytest.fixture(scope="module")
def comparison(bed_book, bed, bed_sheet, offers):
    return compare(bed_book, bed, KIT, wage=Money(2000), years=20, plan=Money(1800),
                   sheet=bed_sheet)  # fmt: skip


def test_the_clients_kit_page_has_both_ways_and_one_chart(comparison, tmp_path):
    sheet = opened(write_kit_for_client(comparison, "Quillhaven Workshop", tmp_path / "k.xlsx"))

    assert row_of(sheet, "landed, doing the same") == [2789.6]
    assert row_of(sheet, "Commission") == [7344.8, 7344.8, 367.24]
    assert "The kit, price seen on 2025-04-24" in [cell.value for cell in sheet["A"]]
    assert len(sheet._charts) == 1


def test_the_builders_kit_page_has_skilled_and_novice(comparison, tmp_path):
    sheet = opened(write_kit_for_builder(comparison, "Quillhaven Workshop", tmp_path / "k.xlsx"))

    assert row_of(sheet, "Built, skilled")[:2] == [1876.03, 2936.03]
    assert row_of(sheet, "Built, novice")[:2] == [1876.03, 3776.03]
    assert any("22.28" in str(cell.value) for cell in sheet["A"])
    assert len(sheet._charts) == 1
