"""Receipts as they really come: lines to jobs and stock, taxes, freight, a total to meet."""

from datetime import date
from decimal import Decimal

import pytest

from ledger.book import close_month
from ledger.book.tables.receipts import ReceiptLine, ReceiptShare
from ledger.book.tables.stock import Lot, Movement
from ledger.errors import NotAllowed, NotFound
from ledger.measures.day import Month
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.measures.values import replace
from ledger.stock import receive
from ledger.stock.documents import Share
from ledger.stock.prices import current_price
from ledger.stock.purchase import read_shares
from ledger.stock.receipts import find_receipt, next_number, receipts

ONE = Quantity.of(1)


def split(text, quantity, net):
    return read_shares(text, Quantity.of(Decimal(quantity)), Decimal(net), lambda _: 1)


def test_a_line_to_a_job_is_issued_in_the_same_entry(june, document, line, to_job, usd):
    received = receive(june, document(line("PLY12", "2", "144.00", shares=to_job("2"))))

    (issue,) = june.rows(Movement)
    assert issue.entry == received.receipt.entry
    assert (issue.kind, issue.job, issue.full, issue.cash) == (
        "issue", 1, usd("-144"), usd("-144"))  # fmt: skip


def test_a_line_to_stock_stays_there(june, document, line, usd):
    received = receive(june, document(line("EDGE78", "100", "22.00")))

    assert june.rows(Movement) == []
    assert (received.lots[0].quantity.decimal, received.lots[0].full) == (100, usd("22"))


def test_a_line_is_divided_between_a_job_and_stock_by_amounts(june, document, line, usd):
    film = line(None, "1", "18.00", "masking film", tax_kind="use",
                shares=split("J: 12.00; stock: 6.00", "1", "18.00"))  # fmt: skip
    receive(june, document(film))

    shares = {share.place: share.landed for share in june.rows(ReceiptShare)}
    assert shares == {"job": usd("12.72"), "stock": usd("6.36")}


def test_what_the_shop_uses_up_leaves_stock_at_once(june, document, line, usd):
    receive(june, document(line(None, "1", "28.00", "cartridges", tax_kind="use",
                                shares=split("shop", "1", "28.00"))))  # fmt: skip

    (used,) = june.rows(Movement)
    assert (used.kind, used.full, used.use_tax) == ("own_use", usd("-29.68"), usd("0"))


def test_the_lines_must_meet_the_total_of_the_document(june, document, line, usd):
    short = document(line("PLY12", "2", "144.00"), total=usd("148.00"))

    with pytest.raises(NotAllowed, match=r"144\.00, .* 148\.00: 4\.00"):
        receive(june, short)
    assert receipts(june) == []


def test_a_total_with_tax_and_freight_is_met(june, document, line, usd):
    received = receive(june, document(
        line("DISC5", "100", "65.00", tax_kind="paid"),
        line(None, "1", "10.00", category="freight"),
        tax=usd("3.90"), total=usd("78.90"),
    ))  # fmt: skip

    (row,) = june.rows(ReceiptLine)
    assert (row.freight, row.tax_paid, row.landed) == (usd("10"), usd("3.90"), usd("78.90"))
    assert received.receipt.total == usd("78.90")


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        (lambda _: {"day": date(2025, 7, 1)}, "lies in the future"),
        (lambda _: {"day": date(2025, 4, 30)}, "2025-04 is closed"),
        (lambda _: {"lines": ()}, "at least one line"),
        (lambda line: {"lines": (line("EDGE78", "0", "22.00"),)}, "must be more than zero"),
        (lambda line: {"lines": (line("EDGE78", "1", "-22.00"),)}, "as a credit note"),
        (lambda line: {"lines": (line("EDGE78", "1", "22", tax_kind="resale", tax_paid=Money(1)),)},
         "neither untaxed nor bought for resale"),
        (lambda line: {"lines": (line("EDGE78", "2", "22", shares=(Share("shop", ONE),)),)},
         "not the line's quantity"),
        (lambda line: {"lines": (line(None, "1", "9", category="freight",
                                      shares=(Share("stock", ONE),)),)}, "never to stock"),
    ],
)  # fmt: skip
def test_a_document_that_cannot_be_right_is_refused(june, document, line, wrong, sentence):
    close_month(june, Month(2025, 4))

    with pytest.raises(NotAllowed, match=sentence):
        receive(june, replace(document(line("EDGE78", "100", "22.00")), **wrong(line)))
    assert june.rows(Lot) == []


def test_a_supplier_document_is_taken_once(june, document, line):
    receive(june, document(line("EDGE78", "100", "22.00"), document="INV 88", number="R-101"))

    with pytest.raises(NotAllowed, match=r"INV 88 .* R-101 of 2025-05-05"):
        receive(june, document(line("EDGE78", "100", "22.00"), document="INV 88"))


def test_a_receipt_number_is_used_once_and_the_next_one_follows(june, document, line):
    receive(june, document(line("EDGE78", "100", "22.00"), number="R-104"))

    assert next_number(june) == "R-105"
    with pytest.raises(NotAllowed, match="receipt R-104 already"):
        receive(june, document(line("EDGE78", "100", "22.00"), number="R-104"))


def test_a_receipt_is_found_by_its_number(june, document, line):
    receive(june, document(line("EDGE78", "100", "22.00"), number="R-104"))

    assert find_receipt(june, "r-104").number == "R-104"
    with pytest.raises(NotFound, match="Nearest: R-104"):
        find_receipt(june, "R-140")


def test_the_price_that_was_paid_is_noted_for_a_stock_unit(june, document, line):
    receive(june, document(
        line("DISC5", "50", "32.50", bought=ONE, bought_unit="box",
             unit_price=Decimal("32.50")), number="R-9"))  # fmt: skip

    price = current_price(june, "DISC5")
    assert (price.amount, price.day, price.source) == (Decimal("0.65"), date(2025, 5, 5), "R-9")


def test_panels_without_the_suppliers_statement_are_warned_about(june, document, line):
    received = receive(june, document(line("PLY34", "2", "192.00")))

    (warning,) = received.warnings
    assert "no compliance statement" in warning
    assert "2028-05-05" in warning


def test_a_lot_keeps_its_measured_thickness_and_its_statement(june, document, line):
    received = receive(june, document(line(
        "PLY34", "2", "192.00", thickness=Length.of(Decimal("18.1"), "mm"),
        statement="Title VI, lot 4471")))  # fmt: skip

    (lot,) = received.lots
    assert received.warnings == ()
    assert (lot.thickness.mm, lot.statement) == (Decimal("18.1"), "Title VI, lot 4471")
    assert lot.length == Length.of(96, "in")


@pytest.mark.parametrize(
    ("net", "is_told"), [("24.00", False), ("120.00", False), ("12505.00", True), ("4.00", True)]
)
def test_a_price_far_from_the_last_one_is_told_and_a_plain_one_is_not(
    june, document, line, net, is_told
):
    """Fifty discs at 0.48; up to five times as much or a fifth is no slip."""
    assert receive(june, document(line("DISC5", "50", "24.00"))).warnings == ()
    told = [
        warning
        for warning in receive(june, document(line("DISC5", "50", net))).warnings
        if "the last price was 0.48" in warning
    ]
    assert bool(told) == is_told
    assert not told or f"DISC5: {Decimal(net) / 50:,.2f} a disc" in told[0]
    assert current_price(june, "DISC5").amount == Decimal(net) / 50


def test_the_price_of_one_in_a_box_is_noted_to_six_places(june, document, line):
    receive(june, document(line("DISC5", "144", "4.99", bought=ONE, unit_price=Decimal("4.99"))))

    assert current_price(june, "DISC5").amount == Decimal("0.034653")  # 4.99 / 144 = 0.0346527…
