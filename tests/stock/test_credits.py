"""Goods sent back and money that comes back, and receipts taken back whole."""

from datetime import date
from decimal import Decimal

import pytest

from ledger.book.tables.receipts import ReceiptLine, ReceiptShare
from ledger.book.tables.stock import Movement
from ledger.errors import NotAllowed
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.stock import issue, put_back, receive, value_on
from ledger.stock.documents import Share
from ledger.stock.receipts import receipts
from ledger.stock.stock_rules import REVERSAL_RULES, faults
from ledger.stock.takeback import reverse_receipt
from ledger.stock.worth import job_material


def qty(text):
    return Quantity.of(Decimal(text))


def spent(book):
    return sum(line.landed.minor for line in book.rows(ReceiptLine))


def test_goods_sent_back_from_stock_leave_at_their_cost(june, buy, document, line, usd):
    lot = buy("PLY12", "3", "216.00")

    receive(june, document(line("PLY12", "1", "72.00", credit_of=str(lot.key)), kind="credit"))

    (gone,) = june.rows(Movement)
    assert (gone.kind, gone.quantity.decimal, gone.full) == ("to_supplier", -1, usd("-72"))
    assert spent(june) == 14400


def test_goods_sent_back_lower_a_jobs_cost_by_the_credit(june, document, line, to_job, usd):
    lot = receive(june, document(line("PLY12", "2", "144.00", shares=to_job("2")))).lots[0]

    back = line("PLY12", "1", "61.20", credit_of=str(lot.key), shares=to_job("1"))
    came = receive(june, document(back, kind="credit"))

    assert [note for note in came.warnings if "10.80 was not credited" in note]
    (use,) = job_material(june, 1)
    assert (use.quantity.decimal, use.full) == (1, usd("82.80"))  # the restocking fee stays
    assert value_on(june) == []
    assert [share.landed for share in june.rows(ReceiptShare)] == [usd("144"), usd("-61.20")]
    assert faults(june) == []


def test_money_may_come_back_without_goods(june, document, line, to_job, usd):
    lot = receive(june, document(line("PLY12", "2", "144.00", shares=to_job("2")))).lots[0]

    receive(june, document(line("PLY12", "0", "10.00", credit_of=str(lot.key), shares=to_job("0")),
                           kind="credit"))  # fmt: skip

    (use,) = job_material(june, 1)
    assert (use.quantity.decimal, use.full) == (2, usd("134"))
    assert faults(june) == []


def test_money_may_come_back_after_all_goods_did(june, document, line, to_job, usd):
    lot = receive(june, document(line("PLY12", "2", "144.00", shares=to_job("2")))).lots[0]
    for quantity, net in (("2", "100.00"), ("0", "10.00")):
        back = line("PLY12", quantity, net, credit_of=str(lot.key), shares=to_job(quantity))
        receive(june, document(back, kind="credit"))

    (use,) = job_material(june, 1)
    assert (use.quantity.decimal, use.full) == (0, usd("34"))
    assert faults(june) == []


def test_a_price_correction_of_goods_in_stock_lowers_their_value(june, buy, document, line, usd):
    lot = buy("PLY12", "2", "144.00")

    receive(june, document(line("PLY12", "0", "10.00", credit_of=str(lot.key)), kind="credit"))

    assert [row.full for row in value_on(june)] == [usd("134")]


@pytest.mark.parametrize(
    ("quantity", "net", "place", "sentence"),
    [
        ("3", "216", "stock", "holds 2 sheets worth 144.00; the credit is for more"),
        ("0", "150", "stock", "the credit is for more"),
        ("0", "150", "", "the credit is for more"),
        ("1", "72", "job", "The job did not take that much"),
    ],
)
def test_a_credit_for_more_than_there_is_is_refused(
    june, buy, document, line, quantity, net, place, sentence
):
    lot = buy("PLY12", "2", "144.00")
    where = Share(place, qty(quantity), 1 if place == "job" else None)
    back = line("PLY12", quantity, net, credit_of=str(lot.key), shares=(where,) if place else ())
    credit = document(back, kind="credit")

    with pytest.raises(NotAllowed, match=sentence):
        receive(june, credit)
    assert len(receipts(june)) == 1


def test_a_credit_names_its_lot(june, buy, document, line):
    buy("PLY12", "2", "144.00")

    with pytest.raises(NotAllowed, match="what the credit is for"):
        receive(june, document(line("PLY12", "1", "72.00"), kind="credit"))


def test_a_receipt_is_taken_back_with_its_issues(june, document, line, to_job):
    received = receive(june, document(line("PLY12", "2", "144.00", shares=to_job("2"))))

    reverse_receipt(june, received.receipt, "the yard sent it twice")

    assert (receipts(june), spent(june), value_on(june)) == ([], 0, [])
    assert faults(june) == []


def file_of_two(june, document, line, to_job):
    with june.entry("receipt load", "may.csv"):
        return [
            receive(june, document(
                line("PLY12", "2", "144.00", shares=to_job("2")),
                line(None, "1", "9.00", "strainers", tax_kind="resale",
                     shares=(Share("shop", qty("1")),)), number="R-101")),
            receive(june, document(line("EDGE78", "50", "11.00"), number="R-102")),
        ]  # fmt: skip


def test_one_receipt_of_a_file_is_taken_back_alone(june, document, line, to_job):
    first, _ = file_of_two(june, document, line, to_job)

    day = reverse_receipt(june, first.receipt, "not ours")

    assert day == date(2025, 5, 5)
    assert [receipt.number for receipt in receipts(june)] == ["R-102"]
    assert spent(june) == 1100
    assert [row.material for row in value_on(june)] == ["EDGE78"]
    assert all(not use.full and not use.quantity for use in job_material(june, 1))
    assert sum(m.use_tax.minor for m in june.rows(Movement)) == 0
    places = {}
    for share in june.rows(ReceiptShare):
        goods, landed = places.get(share.place, (0, Money(0)))
        places[share.place] = goods + share.quantity.decimal, landed + share.landed
    assert places == {"job": (0, Money(0)), "shop": (0, Money(0)), "stock": (50, Money(1100))}
    assert faults(june) == []


def test_its_number_is_kept_for_the_same_paper(june, document, line, to_job):
    first, _ = file_of_two(june, document, line, to_job)
    reverse_receipt(june, first.receipt, "not ours")

    receive(june, document(line("PLY12", "2", "144.00"), number="R-101"))

    with pytest.raises(NotAllowed, match="already"):
        receive(june, document(line("PLY12", "2", "144.00"), number="R-101"))


def test_a_receipt_whose_goods_were_used_since_is_not_taken_back(june, document, line, to_job):
    _, second = file_of_two(june, document, line, to_job)
    (issued,) = issue(june, 2, "EDGE78", qty("1"))

    with pytest.raises(NotAllowed, match="R-102 have been used"):
        reverse_receipt(june, second.receipt, "not ours")
    june.reverse(issued.entry, "wrong job", REVERSAL_RULES)
    reverse_receipt(june, second.receipt, "not ours")
    assert faults(june) == []


def test_taking_back_says_why(june, buy):
    buy("EDGE78", "50", "11.00")

    with pytest.raises(NotAllowed, match="--why"):
        reverse_receipt(june, receipts(june)[0], " ")


def test_a_entry_that_later_ones_rest_on_is_not_taken_back(june, buy):
    lot = buy("EDGE78", "50", "11.00")
    (issued,) = issue(june, 1, "EDGE78", qty("50"))
    (back,) = put_back(june, 1, "EDGE78", qty("20"))

    for entry, count in [(lot.entry, "2 entries rest"), (issued.entry, "one entry rests")]:
        with pytest.raises(NotAllowed, match=f"{count} on it.* entry {back.entry} of"):
            june.reverse(entry, "wrong", REVERSAL_RULES)
    issue(june, 2, "EDGE78", qty("5"))
    with pytest.raises(NotAllowed, match="below zero"):
        june.reverse(back.entry, "wrong", REVERSAL_RULES)


def test_a_credit_says_of_which_lot_it_speaks(june, document, line):
    with pytest.raises(NotAllowed, match="what the credit is for"):
        receive(june, document(line("PLY12", "1", "72.00"), kind="credit"))


def test_only_a_supplier_can_give_credit_for_what_was_bought(june, document, line):
    given = line("PLY12", "1", "72.00", method="usual buying price")
    lot = receive(june, document(given, kind="in_kind")).lots[0]

    with pytest.raises(NotAllowed, match=f"Lot {lot.key} was not bought"):
        receive(june, document(line("PLY12", "1", "72.00", credit_of=str(lot.key)), kind="credit"))


def test_a_credit_note_is_of_who_sold_the_goods(june, buy, document, line):
    lot = buy("PLY12", "3", "216.00")
    other = document(line("PLY12", "2", "150.00"), supplier="Elmgate Timber")
    second = receive(june, other).lots[0]

    def credit(of, supplier):
        goods = line("PLY12", "1", "72.00", credit_of=of)
        receive(june, document(goods, kind="credit", supplier=supplier))
        return june.rows(Movement)[-1].lot

    for of in (str(lot.key), "R-101"):
        with pytest.raises(NotAllowed, match=r"PLY12 is of .* \(R-101\), not of Elmgate Timber"):
            credit(of, "Elmgate Timber")
    with pytest.raises(NotAllowed, match=r"R-101\) and Elmgate Timber \(R-102\), not of Nobody"):
        credit("PLY12", "Nobody")
    assert june.rows(Movement) == []
    assert credit("PLY12", "elmgate  timber ") == second.key


def test_a_line_of_a_credit_note_concerns_one_place(june, buy, document, line):
    lot = buy("PLY12", "3", "216.00")
    places = (Share("stock", qty("1")), Share("job", qty("1"), 1))

    with pytest.raises(NotAllowed, match="concerns one place; split it"):
        receive(june, document(line("PLY12", "2", "144.00", credit_of=str(lot.key), shares=places),
                               kind="credit"))  # fmt: skip


def test_a_receipt_is_taken_back_with_a_reason(june, buy):
    buy("PLY12", "3", "216.00")

    with pytest.raises(NotAllowed, match=r"R-101 .*--why TEXT"):
        reverse_receipt(june, receipts(june)[0], "  ")


@pytest.mark.parametrize(
    ("cents", "method", "sentence"),
    [
        (0, "", "say how its fair value was found: .*; not “”"),
        (432, "usual buying price", "carry no discount, tax or freight"),
    ],
)
def test_goods_in_kind_have_a_value_found_somehow_and_cost_nothing(
    june, document, line, cents, method, sentence
):
    given = line("PLY12", "1", "72.00", method=method, tax_paid=Money(cents))

    with pytest.raises(NotAllowed, match=sentence):
        receive(june, document(given, kind="in_kind"))
    assert receipts(june) == []
