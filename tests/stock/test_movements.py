"""Issues, returns, scrap, own use and counts, as they happen at the bench."""

from datetime import date
from decimal import Decimal

import pytest

from ledger.book import close_month
from ledger.book.tables.stock import Movement
from ledger.errors import NotAllowed
from ledger.measures.day import Month
from ledger.measures.quantity import Quantity
from ledger.stock import count, issue, put_back, receive, value_on, withdraw
from ledger.stock.cover import cover, goods_on_hand
from ledger.stock.stock_rules import faults
from ledger.stock.worth import job_material


def qty(text):
    return Quantity.of(Decimal(text))


def on_hand(book, code, day=None):
    rows = [row for row in value_on(book, day) if row.material == code]
    return sum((row.quantity.decimal for row in rows), Decimal(0))


def test_an_issue_draws_the_oldest_lot_first_at_its_own_cost(june, buy, usd):
    buy("EDGE78", "50", "11.00", day="2025-05-05")
    buy("EDGE78", "50", "12.50", day="2025-05-20")

    drawn = issue(june, 1, "EDGE78", qty("88"))

    assert [(-m.quantity.decimal, -m.full) for m in drawn] == [(50, usd("11")), (38, usd("9.50"))]


def test_a_named_lot_is_drawn_from_on_request(june, buy, usd):
    buy("EDGE78", "50", "11.00", day="2025-05-05")
    newer = buy("EDGE78", "50", "12.50", day="2025-05-20")

    (drawn,) = issue(june, 1, "EDGE78", qty("10"), lot=newer.key)

    assert (drawn.lot, drawn.full) == (newer.key, usd("-2.50"))


def test_a_lot_of_another_material_is_refused(june, buy):
    discs = buy("DISC5", "100", "65.00")
    buy("EDGE78", "50", "11.00")

    with pytest.raises(NotAllowed, match=rf"Lot {discs.key} is DISC5, not EDGE78"):
        issue(june, 1, "EDGE78", qty("1"), lot=discs.key)


def test_a_lot_that_does_not_exist_is_refused(june):
    with pytest.raises(NotAllowed, match="There is no lot 99"):
        issue(june, 1, None, qty("1"), lot=99)


def test_an_issue_of_more_than_is_on_hand_is_refused(june, buy):
    buy("EDGE78", "50", "11.00")

    with pytest.raises(NotAllowed, match=r"On hand: 50 ft of EDGE78; 88 cannot"):
        issue(june, 1, "EDGE78", qty("88"))
    assert june.rows(Movement) == []


def test_an_issue_before_the_goods_came_is_refused(june, buy):
    buy("EDGE78", "50", "11.00", day="2025-05-20")

    with pytest.raises(NotAllowed, match="On hand: 0 ft of EDGE78 on 2025-05-19"):
        issue(june, 1, "EDGE78", qty("1"), day=date(2025, 5, 19))


def test_an_issue_entered_late_leaves_enough_for_the_days_after_it(june, buy):
    buy("EDGE78", "50", "11.00", day="2025-05-05")
    issue(june, 1, "EDGE78", qty("40"), day=date(2025, 5, 20))

    with pytest.raises(NotAllowed, match="On hand: 10 ft"):
        issue(june, 2, "EDGE78", qty("11"), day=date(2025, 5, 10))
    issue(june, 2, "EDGE78", qty("10"), day=date(2025, 5, 10))
    assert on_hand(june, "EDGE78", date(2025, 5, 10)) == 40


@pytest.mark.parametrize(
    ("day", "sentence"),
    [(date(2025, 7, 1), "lies in the future"), (date(2025, 5, 20), "2025-05 is closed")],
)
def test_a_day_that_is_not_open_is_refused(june, buy, day, sentence):
    buy("EDGE78", "50", "11.00")
    close_month(june, Month(2025, 5))

    with pytest.raises(NotAllowed, match=sentence):
        issue(june, 1, "EDGE78", qty("1"), day=day)


def test_a_return_brings_back_what_the_issue_took(june, buy, usd):
    buy("EDGE78", "3", "1.00")
    issue(june, 1, "EDGE78", qty("3"))

    first = put_back(june, 1, "EDGE78", qty("1"))
    second = put_back(june, 1, "EDGE78", qty("2"))

    assert [m.full for m in first + second] == [usd("0.33"), usd("0.67")]
    assert [use.full for use in job_material(june, 1)] == [usd("0")]


@pytest.mark.parametrize("named", [0, 1])
@pytest.mark.parametrize("taken", [(0, 1), (1, 0)])
def test_a_named_lot_comes_back_whichever_was_taken_last(june, buy, usd, named, taken):
    lots = [buy("EDGE78", "50", "11.00", day="2025-05-05"),
            buy("EDGE78", "50", "12.50", day="2025-05-20")]  # fmt: skip
    for one in taken:
        issue(june, 1, "EDGE78", qty("10"), lot=lots[one].key)

    (back,) = put_back(june, 1, "EDGE78", qty("4"), lot=lots[named].key)

    assert (back.lot, back.full) == (lots[named].key, usd(("0.88", "1.00")[named]))
    with pytest.raises(NotAllowed):  # the six that are left of it, not the other lot's ten
        put_back(june, 1, "EDGE78", qty("7"), lot=lots[named].key)


def test_a_return_of_more_than_the_job_took_is_refused(june, buy):
    buy("EDGE78", "50", "11.00")
    issue(june, 1, "EDGE78", qty("10"))
    issue(june, 2, "EDGE78", qty("10"))

    with pytest.raises(NotAllowed, match="EDGE78 with this job; 11"):
        put_back(june, 1, "EDGE78", qty("11"))


def test_what_a_job_takes_later_cannot_come_back_before(june, buy):
    buy("EDGE78", "50", "11.00")
    issue(june, 1, "EDGE78", qty("10"), day=date(2025, 6, 10))

    with pytest.raises(NotAllowed, match="EDGE78 with this job"):
        put_back(june, 1, "EDGE78", qty("1"), day=date(2025, 6, 9))
    (back,) = put_back(june, 1, "EDGE78", qty("1"), day=date(2025, 6, 10))
    assert back.quantity == qty("1")


def test_scrap_and_damage_say_why(june, buy, usd):
    buy("PLY12", "3", "216.00")

    with pytest.raises(NotAllowed, match="--why"):
        withdraw(june, "scrap", "PLY12", qty("1"))
    (scrapped,) = withdraw(june, "scrap", "PLY12", qty("1"), reason="delaminated")
    assert (scrapped.full, scrapped.reason, scrapped.job) == (usd("-72"), "delaminated", None)


def test_scrap_charged_to_a_job_is_a_cost_of_it(june, buy, usd):
    buy("PLY12", "3", "216.00")
    withdraw(june, "scrap", "PLY12", qty("1"), reason="cut short", job=1)

    assert [use.full for use in job_material(june, 1)] == [usd("72")]


@pytest.mark.parametrize(("tax_kind", "due"), [("resale", "4.32"), ("paid", "0"), ("use", "0")])
def test_own_use_bears_use_tax_where_none_was_paid(june, buy, usd, tax_kind, due):
    buy("PLY12", "2", "144.00", tax_kind=tax_kind)

    (taken,) = withdraw(june, "own_use", "PLY12", qty("1"), reason="shop shelf")

    assert taken.use_tax == usd(due)


def test_a_count_below_the_book_leaves_the_oldest_lots(june, buy, usd):
    buy("DISC5", "50", "32.50", day="2025-05-05")

    (lost,) = count(june, "DISC5", qty("46"), reason="used and not written down")

    assert (lost.quantity.decimal, lost.full) == (-4, usd("-2.60"))
    assert on_hand(june, "DISC5") == 46


def test_a_count_above_the_book_joins_the_newest_lot_at_its_unit_cost(june, buy, usd):
    buy("DISC5", "50", "32.50", day="2025-05-05")
    issue(june, 1, "DISC5", qty("50"))

    (found,) = count(june, "DISC5", qty("2"), reason="behind the bench")

    assert (found.quantity.decimal, found.full) == (2, usd("1.30"))


def test_what_is_counted_up_of_goods_in_kind_costs_no_cash(june, document, line, usd):
    given = line("PLY34", "12", "1152.00", method="retail price seen", evidence="page of 04-14")
    receive(june, document(given, kind="in_kind", supplier="Brightfell Panels"))

    (found,) = count(june, "PLY34", qty("13"), reason="behind the rack")

    assert (found.full, found.cash) == (usd("96"), usd("0"))


def test_a_count_on_a_past_day_is_held_against_that_day(june, buy):
    buy("DISC5", "50", "32.50", day="2025-05-05")
    issue(june, 1, "DISC5", qty("20"), day=date(2025, 5, 20))

    count(june, "DISC5", qty("48"), day=date(2025, 5, 10), reason="lost")

    assert on_hand(june, "DISC5") == 28


def test_a_count_that_differs_needs_a_reason_and_one_that_agrees_none(june, buy):
    buy("DISC5", "50", "32.50")

    assert count(june, "DISC5", qty("50")) == []
    with pytest.raises(NotAllowed, match="says 50, you counted 49"):
        count(june, "DISC5", qty("49"))


def test_what_was_never_in_stock_cannot_be_counted_up(june):
    with pytest.raises(NotAllowed, match="stock open FILE"):
        count(june, "DISC5", qty("5"), reason="found")


@pytest.mark.parametrize("kind", ["in_kind", "borrowed"])
def test_goods_that_cost_nothing_have_no_cash(june, document, line, usd, kind):
    goods = line("PLY34", "12", "1152.00", method="retail price seen", evidence="page of 04-14")
    received = receive(june, document(goods, kind=kind, supplier="Brightfell Panels"))

    (lot,) = received.lots
    full = usd("1152") if kind == "in_kind" else usd("0")
    assert (lot.full, lot.cash, lot.sponsor) == (full, usd("0"), "Brightfell Panels")
    assert received.receipt.total == usd("0")


def test_what_is_borrowed_may_go_back_and_never_into_a_job(june, document, line):
    received = receive(june, document(line("PLY34", "2", "192"), kind="borrowed"))
    lot = received.lots[0].key

    with pytest.raises(NotAllowed, match="On hand: 0 sheets of PLY34"):
        issue(june, 1, "PLY34", qty("1"))
    with pytest.raises(NotAllowed, match="is borrowed from Copper Vale Lumber"):
        issue(june, 1, "PLY34", qty("1"), lot=lot)
    (gone,) = withdraw(june, "to_supplier", "PLY34", qty("2"), lot=lot)
    assert gone.quantity.decimal == -2


def test_goods_in_kind_say_how_their_value_was_found(june, document, line):
    with pytest.raises(NotAllowed, match="how its fair value was found"):
        receive(june, document(line("PLY34", "2", "192"), kind="in_kind"))
    with pytest.raises(NotAllowed, match="goods in kind have a fair value"):
        receive(june, document(line("PLY34", "2", "0", method="declared by the giver"),
                               kind="in_kind"))  # fmt: skip


def test_a_need_is_covered_by_lots_in_kind_before_cash_is_counted(june, buy, document, line):
    free = line("PLY34", "4", "384.00", method="usual buying price")
    receive(june, document(free, kind="in_kind", day="2025-05-01"))
    buy("PLY34", "2", "192.00", day="2025-05-10")

    met = cover("PLY34", qty("8"), {}, goods_on_hand(june))

    assert [part.decimal for part in (met.in_kind, met.owned, met.to_buy)] == [4, 2, 2]


def test_everything_ties_after_a_day_at_the_bench(june, buy):
    buy("EDGE78", "50", "11.01")
    issue(june, 1, "EDGE78", qty("17"))
    put_back(june, 1, "EDGE78", qty("5"))
    withdraw(june, "giveaway", "EDGE78", qty("3"))
    count(june, "EDGE78", qty("30"), reason="part roll")

    assert faults(june) == []
