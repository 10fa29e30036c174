"""Use tax: what it falls on in a shop that charges sales tax, and that no other shop owes any."""

from datetime import date
from decimal import Decimal

import pytest
from openpyxl import load_workbook

from ledger.book import Book
from ledger.book.tables.receipts import ReceiptLine
from ledger.errors import NotAllowed
from ledger.measures.day import Month
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.measures.values import replace
from ledger.reports.month import month_report
from ledger.reports.month_data import month_data
from ledger.reports.year import year_report
from ledger.stock import receive, withdraw
from ledger.stock.documents import Document, DocumentLine, Share
from ledger.stock.materials import MaterialRow, save_materials
from ledger.stock.prices import current_price
from ledger.workbooks.writers.accountant import write_month, write_year

ONE = Quantity.of(1)
MAY = Month(2025, 5)
PLANE = DocumentLine(
    "Hobel", "tool", ONE, "each", Money(10000), tax_kind="recoverable", tax_paid=Money(1900),
    shares=(Share("shop", ONE),),
)  # fmt: skip


@pytest.fixture
def metric(tmp_path, put_book):
    """Metric euro books with 19 %, by how they stand to tax: `metric("vat")`."""

    def made(standing, **more):
        path = tmp_path / f"{standing}.sqlite"
        put_book(path, date(2025, 5, 31), fill, currency="EUR", units="mm", tax_rate="19 %",
                 tax_standing=standing, **more)  # fmt: skip
        return Book(path, date(2025, 5, 31))

    return made


def fill(book):
    save_materials(book, [MaterialRow("OEL", "Hartöl", "finish", "l")])


def words_in(path):
    """All that is written in a workbook."""
    sheets = load_workbook(path).worksheets
    return " ".join(str(cell) for one in sheets for row in one.values for cell in row if cell)


def bought(*lines):
    return Document("Eisen Nord", date(2025, 5, 5), lines)


def test_use_tax_falls_on_freight_that_owes_it_too(june, document, line, usd):
    receive(june, document(
        line("DISC5", "100", "65.00", tax_kind="use"), line("EDGE78", "10", "35.00"),
        line(None, "1", "10.00", category="freight", tax_kind="use"),
    ))  # fmt: skip

    discs, edge = june.rows(ReceiptLine)
    # 6 % of 75.00; the 0.60 of the freight goes with it, 65 to 35, common arithmetic
    assert (discs.use_tax, edge.use_tax) == (usd("4.29"), usd("0.21"))
    assert (discs.landed, edge.landed) == (usd("75.79"), usd("38.71"))


def test_own_use_of_goods_whose_tax_came_back_bears_use_tax_where_there_is_one(june, buy, usd):
    lot = buy("PLY12", "2", "144.00", tax_kind="recoverable", tax_paid=usd("8.64"))

    (taken,) = withdraw(june, "own_use", "PLY12", ONE, reason="shop shelf")

    assert (lot.cash, taken.use_tax) == (usd("144.00"), usd("4.32"))


def test_a_shop_that_gets_vat_back_owes_nothing_on_what_it_uses_itself(metric, tmp_path):
    with metric("vat") as book:
        oil = replace(PLANE, words="Hartöl", category="finish", unit="l", material="OEL",
                      quantity=ONE * 2, shares=())  # fmt: skip
        receive(book, bought(PLANE, oil))
        (taken,) = withdraw(book, "own_use", "OEL", ONE, reason="Werkbank")
        assert taken.use_tax == Money(0)

        report = month_report(book, MAY)
        assert report.spend.landed == Money(20000)
        assert report.spend.use_tax == Money(0)
        month = write_month(report, month_data(book, MAY), tmp_path / "month.xlsx")
        year = write_year(year_report(book, 2025), tmp_path / "year.xlsx")

    for path in (month, year):
        texts = words_in(path)
        assert "landed" in texts
        assert "use tax" not in texts.casefold()


@pytest.mark.parametrize(("standing", "kind"), [("vat", "recoverable"), ("exempt", "paid")])
def test_a_line_that_owes_use_tax_is_refused_where_there_is_none(metric, standing, kind):
    with metric(standing) as book:
        owing = replace(PLANE, tax_kind="use", tax_paid=Money(0))
        with pytest.raises(NotAllowed, match=f"tax kind {kind}.*use_tax_rate"):
            receive(book, bought(owing))


def test_a_shop_that_set_a_rate_of_use_tax_owes_it_however_it_stands_to_tax(metric):
    with metric("exempt", use_tax_rate="7 %") as book:
        receive(book, bought(replace(PLANE, tax_kind="use", tax_paid=Money(0))))
        (row,) = book.rows(ReceiptLine)

    assert (row.use_tax, row.landed) == (Money(700), Money(10700))


@pytest.mark.parametrize(("tax", "in_force"), [(190, "11.90"), (70, "10.70"), (0, "10.00")])
def test_a_price_paid_counts_with_the_tax_that_was_on_it(metric, tax, in_force):
    with metric("exempt", material_tax="19 %") as book:
        oil = DocumentLine("OEL", "finish", ONE, "l", Money(1000), "OEL", tax_kind="paid",
                           tax_paid=Money(tax), shares=(Share("stock", ONE),))  # fmt: skip
        receive(book, bought(oil))
        price = current_price(book, "OEL")
    assert price is not None
    assert price.amount == Decimal(in_force)
