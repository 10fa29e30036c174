"""Goods that go back: sent and then credited, credited and then sent, from stock or from a job."""

from datetime import date
from decimal import Decimal

import pytest

from ledger.book.questions.month_rows import moves
from ledger.book.tables.receipts import ReceiptShare
from ledger.book.tables.stock import Lot
from ledger.errors import NotAllowed
from ledger.jobs.jobs import new_job
from ledger.measures.day import Month
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.reports.roll import column_of, roll_between, roll_by_material
from ledger.reports.spend import spend_between
from ledger.stock import put_back, receive, value_on
from ledger.stock.documents import Document, DocumentLine, Share
from ledger.stock.materials import MaterialRow, save_materials
from ledger.stock.movements import send_back
from ledger.stock.prices import current_price
from ledger.stock.stock_rules import REVERSAL_RULES, faults
from ledger.stock.takeback import reverse_receipt
from ledger.stock.worth import job_material

MAY = Month(2025, 5)


def qty(text):
    return Quantity.of(Decimal(text))


def cost(book, job=1):
    return sum(use.full.minor for use in job_material(book, job))


def ties(book):
    """The whole room adds up, May closes, and what it spent is told alike by place and in all."""
    full, cash = roll_between(book, MAY.first, MAY.last)
    spend = spend_between(book, MAY.first, MAY.last)
    by_job = sum(part.amount.minor for part in spend.by_job)
    return faults(book) == [] and full.closes() and cash.closes() and by_job == spend.landed.minor


@pytest.fixture
def pull(june, document, line, to_job):
    """Four drawer fronts' worth of ply that the first job got straight from the yard."""
    bought = document(line("PLY12", "4", "288.00", shares=to_job("4")), document="CV-7")
    return receive(june, bought).lots[0]


def credit(june, document, line, quantity, net, of, **more):
    """A credit note that says no place."""
    return receive(june, document(line("PLY12", quantity, net, credit_of=of, **more),
                                  kind="credit", day="2025-05-20"))  # fmt: skip


@pytest.mark.parametrize("of", ["lot 1", "1", "R-101", "CV-7", "PLY12", "Birch ply 1/2"])
def test_a_credit_after_the_goods_takes_nothing_twice(june, pull, document, line, usd, of):
    sent = send_back(june, "PLY12", qty("1"), job=1, day=date(2025, 5, 12), reason="split face")
    assert (sent.moved[0].full, cost(june)) == (usd("-72"), 21600)

    note = credit(june, document, line, "1", "72.00", of)

    assert (cost(june), note.warnings) == (21600, ())
    assert [row.quantity for row in value_on(june, with_empty=True)] == [qty("0")]
    assert roll_between(june, MAY.first, MAY.last)[0].to_supplier == usd("72")
    share = june.rows(ReceiptShare)[-1]
    assert (share.place, share.job, share.landed) == ("job", 1, usd("-72"))
    assert ties(june)


def test_a_credit_that_names_the_job_settles_what_that_job_sent(june, pull, document, line, to_job):
    send_back(june, "PLY12", qty("1"), job=1, day=date(2025, 5, 12), reason="split face")

    credit(june, document, line, "1", "72.00", "R-101", shares=to_job("1"))

    assert cost(june) == 21600
    assert roll_between(june, MAY.first, MAY.last)[0].to_supplier.minor == 7200
    assert ties(june)


def test_a_credit_for_another_job_settles_nothing_of_the_first(june, pull, document, line, to_job):
    receive(june, document(line("PLY12", "2", "144.00", shares=to_job("2", 2)), document="CV-8"))
    send_back(june, "PLY12", qty("1"), job=1, day=date(2025, 5, 12), reason="split face")

    credit(june, document, line, "1", "72.00", "PLY12", shares=to_job("1", 2))

    assert (cost(june), cost(june, 2)) == (21600, 7200)
    assert ties(june)


def test_a_credit_takes_the_material_it_names_of_a_receipt_of_two(june, document, line):
    receive(june, document(line("PLY34", "2", "192.00"), line("PLY12", "2", "144.00")))
    note = document(line("PLY12", "1", "72.00", credit_of="R-101"), kind="credit", day="2025-05-20")

    receive(june, note)

    left = {row.material: row.quantity for row in value_on(june)}
    assert left == {"PLY34": qty("2"), "PLY12": qty("1")}
    assert ties(june)


def test_goods_sent_after_their_credit_leave_once(june, pull, document, line):
    credit(june, document, line, "1", "72.00", "R-101")
    assert cost(june) == 21600

    sent = send_back(june, "PLY12", qty("1"), day=date(2025, 5, 21))

    assert (sent.moved, sent.credited, sent.credits) == ((), qty("1"), ("R-102",))
    assert cost(june) == 21600
    again = send_back(june, "PLY12", qty("1"), job=1, day=date(2025, 5, 22))
    assert (again.credited, cost(june)) == (qty("0"), 14400)
    assert ties(june)


def test_other_goods_than_those_credited_leave_besides(june, pull, document, line):
    credit(june, document, line, "1", "72.00", "R-101")

    sent = send_back(june, "PLY12", qty("1"), job=1, others=True)

    assert (sent.credited, len(sent.moved), cost(june)) == (qty("0"), 1, 14400)


def test_goods_put_back_in_stock_first_go_back_the_same(june, pull, document, line):
    put_back(june, 1, "PLY12", qty("1"), day=date(2025, 5, 10))
    send_back(june, "PLY12", qty("1"), day=date(2025, 5, 12))

    credit(june, document, line, "1", "72.00", "CV-7")

    assert cost(june) == 21600
    assert june.rows(ReceiptShare)[-1].job == 1  # all of the lot was bought for it
    assert ties(june)


def test_what_a_credit_leaves_of_the_cost_of_stock_is_said_when_it_comes_first(
    june, document, line
):
    receive(june, document(line("PLY12", "2", "144.00")))

    note = credit(june, document, line, "1", "60.00", "R-101")

    assert note.warnings == (
        "Birch ply 1/2: the goods stood at 72.00, 60.00 was credited; the other 12.00 is lost.",
    )
    assert ties(june)


def test_two_notes_may_credit_what_was_sent_at_once(june, pull, document, line):
    send_back(june, "PLY12", qty("3"), job=1, day=date(2025, 5, 12))

    credit(june, document, line, "1", "72.00", "PLY12")
    credit(june, document, line, "2", "144.00", "PLY12")

    assert (cost(june), ties(june)) == (7200, True)
    with pytest.raises(NotAllowed, match=r"the credit is for more|did not take"):
        credit(june, document, line, "2", "144.00", "PLY12")


def test_a_note_for_more_than_was_sent_takes_the_rest_from_the_job(june, pull, document, line):
    send_back(june, "PLY12", qty("1"), job=1, day=date(2025, 5, 12))

    credit(june, document, line, "3", "216.00", "R-101")

    assert (cost(june), ties(june)) == (7200, True)


def test_what_the_supplier_keeps_stays_a_cost_of_the_job(june, pull, document, line, usd):
    send_back(june, "PLY12", qty("1"), job=1, day=date(2025, 5, 12))

    note = credit(june, document, line, "1", "61.20", "R-101")

    assert cost(june) == 21600 + 1080
    assert "10.80 was not credited" in note.warnings[0]
    full, cash = roll_between(june, MAY.first, MAY.last)
    # the fee is no goods: they went back, and from the job, for 72.00 less 10.80
    for view in (full, cash):
        assert (view.received, view.issued) == (usd("288.00"), usd("288.00"))
        assert (view.returned, view.to_supplier) == (usd("61.20"), usd("61.20"))
    (ply,) = roll_by_material(june, MAY.first, MAY.last)
    assert (ply.full, ply.quantity.received, ply.quantity.to_supplier) == (full, qty("4"), qty("1"))
    (ours,) = [row for row in moves(june, MAY.first, MAY.last) if row.full == usd("10.80")]
    assert (column_of(ours.kind), ours.quantity) == ("to_supplier", Quantity(0))
    assert ties(june)


def test_a_fee_in_the_month_after_the_goods_lowers_what_went_back(june, pull, document, line, usd):
    send_back(june, "PLY12", qty("1"), job=1, day=date(2025, 5, 12))
    receive(june, document(line("PLY12", "1", "61.20", credit_of="R-101"),
                           kind="credit", day="2025-06-02"))  # fmt: skip

    full, _ = roll_between(june, date(2025, 6, 1), date(2025, 6, 30))
    (ply,) = roll_by_material(june, date(2025, 6, 1), date(2025, 6, 30))
    # May had 72.00 in both columns; June takes the 10.80 off both
    assert (full.received, full.issued, full.closing) == (usd("0"), usd("0"), usd("0"))
    assert (full.returned, full.to_supplier, ply.full) == (usd("-10.80"), usd("-10.80"), full)


def test_a_fee_on_goods_of_stock_may_be_charged_to_a_job(june, pull, document, line, usd, to_job):
    put_back(june, 1, "PLY12", qty("1"), day=date(2025, 5, 11))
    send_back(june, "PLY12", qty("1"), day=date(2025, 5, 12))

    credit(june, document, line, "1", "61.20", "R-101", shares=to_job("1"))

    full, _ = roll_between(june, MAY.first, MAY.last)
    assert (full.received, full.returned) == (usd("288.00"), usd("72.00"))
    assert (full.issued, full.to_supplier) == (usd("298.80"), usd("61.20"))
    assert (cost(june), ties(june)) == (21600 + 1080, True)


def test_more_than_goods_of_a_job_cost_is_no_fee_and_is_told(june, pull, document, line):
    send_back(june, "PLY12", qty("1"), job=1, day=date(2025, 5, 12))

    note = credit(june, document, line, "1", "80.00", "R-101")

    assert note.warnings == ("Birch ply 1/2: 8.00 more than the goods stood at was credited.",)
    assert (cost(june), ties(june)) == (21600, True)


def test_a_fee_on_goods_out_of_stock_is_told(june, buy, document, line):
    buy("PLY12", "2", "144.00")
    send_back(june, "PLY12", qty("1"), day=date(2025, 5, 12))

    note = credit(june, document, line, "1", "61.20", "PLY12")

    assert "10.80 is lost" in note.warnings[0]
    assert [row.full.minor for row in value_on(june)] == [7200]


def test_money_alone_comes_back_to_the_job_that_has_the_goods(june, pull, document, line):
    credit(june, document, line, "0", "10.00", "R-101")

    assert (cost(june), ties(june)) == (27800, True)


def test_a_job_is_asked_for_where_two_have_the_goods(june, document, line, to_job):
    for job in (1, 2):
        receive(june, document(line("PLY12", "1", "72.00", shares=to_job("1", job))))

    with pytest.raises(NotAllowed, match="J-2507 and J-2508 have it"):
        credit(june, document, line, "1", "72.00", "PLY12")
    credit(june, document, line, "1", "72.00", "R-102")
    assert (cost(june, 1), cost(june, 2)) == (7200, 0)


def test_a_refusal_says_which_job_has_the_goods(june, pull):
    with pytest.raises(NotAllowed, match="J-2507 has 4 sheets of it: --job J-2507"):
        send_back(june, "PLY12", qty("1"))


def test_use_tax_is_given_back_with_the_goods(june, document, line, to_job):
    receive(june, document(line("PLY12", "2", "100.00", tax_kind="use", shares=to_job("2"))))
    assert cost(june) == 10600
    send_back(june, "PLY12", qty("1"), job=1, day=date(2025, 5, 12))

    note = credit(june, document, line, "1", "50.00", "PLY12")

    assert (cost(june), note.receipt.total.minor, note.warnings) == (5300, -5000, ())
    assert spend_between(june, MAY.first, MAY.last).use_tax.minor == 300
    assert ties(june)


def test_sending_and_crediting_are_undone_the_later_one_first(june, pull, document, line):
    sent = send_back(june, "PLY12", qty("1"), job=1, day=date(2025, 5, 12))
    note = credit(june, document, line, "1", "72.00", "R-101")

    with pytest.raises(NotAllowed, match=f"entry {note.receipt.entry} of"):
        june.reverse(sent.moved[0].entry, "wrong", REVERSAL_RULES)
    reverse_receipt(june, note.receipt, "wrong")
    assert cost(june) == 21600
    credit(june, document, line, "1", "72.00", "R-101")  # it waits again
    assert cost(june) == 21600
    assert ties(june)


def test_a_credit_whose_goods_were_sent_since_stays(june, pull, document, line):
    note = credit(june, document, line, "1", "72.00", "R-101")
    send_back(june, "PLY12", qty("1"), day=date(2025, 5, 21))

    with pytest.raises(NotAllowed, match="cannot be undone"):
        reverse_receipt(june, note.receipt, "wrong")


def test_a_number_that_may_be_a_lot_or_a_document_is_asked_about(june, document, line):
    receive(june, document(line("PLY12", "1", "72.00"), document="2"))
    receive(june, document(line("PLY12", "1", "75.00")))

    with pytest.raises(NotAllowed, match="write lot 2 or lot 1"):
        credit(june, document, line, "1", "72.00", "2")


def test_lots_are_never_numbered_again(june, buy):
    first = buy("PLY12", "1", "72.00")
    june.reverse(first.entry, "typed twice", REVERSAL_RULES)

    assert buy("PLY12", "1", "72.00").key > first.key
    assert len(june.rows(Lot, in_force=False)) == 2


def file_of(june, *documents):
    with june.entry("receipt load", "may.csv"):
        return [receive(june, one) for one in documents]


def a_note(document, line, quantity, net, of, day="2025-05-20"):
    return document(line("PLY12", quantity, net, credit_of=of), kind="credit", day=day)


def test_one_credit_of_a_file_is_taken_back_alone(june, pull, buy, document, line):
    buy("EDGE78", "100", "22.00")
    send_back(june, "PLY12", qty("1"), job=1, day=date(2025, 5, 12))
    settled, taken = file_of(june, a_note(document, line, "1", "61.20", "R-101"),
                             a_note(document, line, "2", "140.00", "R-101"))  # fmt: skip
    assert cost(june) == 28800 - 6120 - 14000

    reverse_receipt(june, taken.receipt, "not ours")
    assert (cost(june), ties(june)) == (28800 - 6120, True)
    reverse_receipt(june, settled.receipt, "nor this")
    assert (cost(june), ties(june)) == (21600, True)
    assert spend_between(june, MAY.first, MAY.last).landed.minor == 28800 + 2200
    credit(june, document, line, "1", "72.00", "R-101")  # what was sent waits again
    assert (cost(june), ties(june)) == (21600, True)


def test_a_credit_of_a_file_gives_stock_its_goods_again(june, buy, document, line):
    buy("PLY12", "3", "216.00")
    taken, _ = file_of(june, a_note(document, line, "1", "72.00", "PLY12"),
                       document(line("EDGE78", "1", "1.00")))  # fmt: skip

    reverse_receipt(june, taken.receipt, "not ours")

    assert sum(row.full.minor for row in value_on(june) if row.material == "PLY12") == 21600
    assert send_back(june, "PLY12", qty("1")).credited == qty("0")
    assert ties(june)


def test_a_credit_of_a_file_stays_once_its_goods_were_sent_or_if_it_is_money(
    june, pull, document, line
):
    goods, money = file_of(june, a_note(document, line, "1", "72.00", "R-101"),
                           a_note(document, line, "0", "5.00", "R-101"))  # fmt: skip
    send_back(june, "PLY12", qty("1"), day=date(2025, 5, 21))

    with pytest.raises(NotAllowed, match="noted as sent back since"):
        reverse_receipt(june, goods.receipt, "not ours")
    with pytest.raises(NotAllowed, match="gave back money alone"):
        reverse_receipt(june, money.receipt, "not ours")


def test_the_price_of_a_receipt_taken_back_gives_way_to_the_one_before(june, buy, document, line):
    buy("PLY12", "1", "72.00", day="2025-05-02")
    dear, _ = file_of(june, document(line("PLY12", "1", "80.00")),
                      document(line("EDGE78", "1", "1.00")))  # fmt: skip
    assert current_price(june, "PLY12").amount == 80

    reverse_receipt(june, dear.receipt, "not ours")

    assert current_price(june, "PLY12").amount == 72


@pytest.mark.parametrize("order", ["sent, credited", "credited, sent"])
def test_in_a_euro_book_a_job_is_credited_once_in_either_order(metric_book, order):
    """Four table plates of steel for a job, 19 % of recoverable tax; one and a half go back."""
    book, day = metric_book, date(2025, 4, 10)
    with book.entry("shop set"):
        book.set("tax_standing", "vat")
    save_materials(book, [MaterialRow("STAHL", "Steel 3 mm", "hardware", "m²")])
    job = new_job(book, "Oak table")

    def plates(quantity, net, tax, **more):
        tax_of = {"tax_kind": "recoverable", "tax_paid": Money(tax)}
        return DocumentLine("Steel 3 mm", "hardware", qty(quantity), "m²", Money(net),
                            material="STAHL", **tax_of, **more)  # fmt: skip

    share = (Share("job", qty("4"), job.key),)
    receive(book, Document("Stahlhof", day, (plates("4", 10000, 1900, shares=share),)))
    steps = {
        "sent": lambda: send_back(book, "STAHL", qty("1.5"), day=day, job=job.key),
        "credited": lambda: receive(book, Document(
            "Stahlhof", day, (plates("1.5", 3750, 713, credit_of="STAHL"),), kind="credit")),
    }  # fmt: skip
    for step in order.split(", "):
        steps[step]()
        assert cost(book, job.key) == 6250

    april = Month(2025, 4)
    full, cash = roll_between(book, april.first, april.last)
    assert full.closes()
    assert cash.closes()
    assert (full.to_supplier, spend_between(book, april.first, april.last).landed) == (
        Money(3750),
        Money(6250),
    )
    assert value_on(book) == []
    assert faults(book) == []
