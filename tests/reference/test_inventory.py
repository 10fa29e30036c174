"""Inventory cost flow and the flow of costs through jobs: published examples.

Source of all checks but those that name another: OpenStax, Principles of Accounting, volume 1
(2019), chapter 10, and volume 2 (2019), chapter 4; CC BY-NC-SA 4.0, only numbers are taken.
"""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.book.tables.ground import Job
from ledger.errors import NotAllowed
from ledger.measures.money import Money, total
from ledger.measures.quantity import Quantity
from ledger.reports.roll import Roll, roll_between
from ledger.stock import count, issue, receive, value_on, withdraw
from ledger.stock.documents import Document, DocumentLine
from ledger.stock.lots import EMPTY, Pool, draw
from ledger.stock.materials import MaterialRow, save_materials
from ledger.stock.opening import OpeningRow, open_stock
from ledger.stock.worth import job_material


class Shelf:
    """A shelf of lots, drawn first in first out, or from the lots that are named."""

    def __init__(self):
        self.lots = {}

    def buy(self, quantity, price):
        """Put a lot on the shelf."""
        pool = Pool(Quantity.of(quantity), Money(quantity * price * 100), Money(0))
        self.lots[len(self.lots)] = pool

    def sell(self, quantity, lots=None):
        """Take off the shelf; give back what it cost in dollars."""
        offered = [(lot, pool) for lot, pool in self.lots.items() if lots is None or lot in lots]
        drawn = draw(offered, Quantity.of(quantity))
        for one in drawn:
            self.lots[one.lot] = self.lots[one.lot] - one.pool
        return sum((one.pool for one in drawn), EMPTY).full.minor // 100

    @property
    def closing(self):
        """What the shelf is worth in dollars."""
        return sum(self.lots.values(), EMPTY).full.minor // 100

    @property
    def layers(self):
        """The lots left: quantity and unit cost."""
        return [
            (int(pool.quantity.decimal), Fraction(pool.full.minor, 100) / pool.quantity.fraction)
            for pool in self.lots.values()
            if pool.quantity
        ]


# Source: volume 1, section 10.3 (perpetual), the July example; sales cost, closing, layers left.
def test_the_july_example_first_in_first_out():
    shelf = Shelf()
    shelf.buy(150, 21)
    first = shelf.sell(120)
    shelf.buy(225, 27)
    second = shelf.sell(180)
    shelf.buy(210, 33)

    assert (first, second, shelf.closing) == (2520, 4680, 8955)
    assert first + second + shelf.closing == 16155
    assert shelf.layers == [(75, 27), (210, 33)]


# Source: volume 1, section 10.3, the same example by specific identification: 140 at 21 and 160
# at 27 were sold; the book's own split of the second sale is 20 of the first lot and 160.
def test_the_july_example_by_named_lots():
    shelf = Shelf()
    shelf.buy(150, 21)
    first = shelf.sell(120, lots=[0])
    shelf.buy(225, 27)
    second = shelf.sell(20, lots=[0]) + shelf.sell(160, lots=[1])
    shelf.buy(210, 33)

    assert (first, second, first + second, shelf.closing) == (2520, 4740, 7260, 8895)


# Source: volume 1, exercises A65 to A67, B65 to B67, A74, and the two-lot example of chapter 10;
# inputs are published, the answers were worked out from them. Steps: buy (+) and sell (-).
@pytest.mark.parametrize(
    ("steps", "costs", "closing"),
    [
        ([(800, 50), (600, 52), -400, -350], [20000, 17500], 33700),
        ([(100, 66), (80, 75), -50, -25], [3300, 1650], 7650),
        ([(110, 87), (140, 89), -95], [8265], 13765),
        ([(300, 21), (200, 24), -220], [4620], 6480),
    ],
)
def test_the_exercises_first_in_first_out(steps, costs, closing):
    shelf, sold = Shelf(), []
    for step in steps:
        if isinstance(step, tuple):
            shelf.buy(*step)
        else:
            sold.append(shelf.sell(-step))

    assert (sold, shelf.closing) == (costs, closing)


# Source: volume 1, chapter 10: moving average of the July example, and of the exercises where it
# comes out even; the roll-forward must close on these figures too.
@pytest.mark.parametrize(
    ("opening", "bought", "sold", "closing"),
    [
        ("3150.00", "13005.00", "7252.94", "8902.06"),
        ("6600.00", "6000.00", "5250.00", "7350.00"),
        ("9570.00", "12460.00", "8371.40", "13658.60"),
        ("6300.00", "4800.00", "4884.00", "6216.00"),
    ],
)
def test_a_roll_forward_closes_on_average_costs(opening, bought, sold, closing):
    amounts = {"opening": opening, "received": bought, "issued": sold, "closing": closing}
    nothing = dict.fromkeys(("returned", "scrapped", "to_supplier", "own_use", "counted"), "0")

    def roll(**figures):
        return Roll(**{name: Money(int(Decimal(text) * 100)) for name, text in figures.items()})

    assert roll(**nothing, **amounts).closes()
    assert not roll(**nothing, **{**amounts, "closing": str(Decimal(closing) + 1)}).closes()


# Source: volume 1, chapter 10: a sale of more than is on hand cannot be.
def test_more_than_is_on_hand_is_never_sold():
    shelf = Shelf()
    shelf.buy(150, 21)

    with pytest.raises(NotAllowed, match="On hand: 150"):
        shelf.sell(151)


@pytest.fixture
def raw(book):
    """A book with one material and the jobs of the month example."""
    save_materials(book, [MaterialRow("RAW", "Raw material", "lumber", "each")])
    with book.entry("job new"):
        for number in ("POR143", "MAC001", "TJR441"):
            book.post(Job(number=number, title=number))
    return book


def receive_raw(book, quantity, price, day):
    goods = DocumentLine(
        "Raw",
        "lumber",
        Quantity.of(quantity),
        "each",
        Money(quantity * price * 100),
        material="RAW",
    )
    return receive(book, Document("Supplier", day, (goods,)))


# Source: volume 1, chapter 10: goods on consignment belong to their owner and stay out of stock.
def test_what_belongs_to_somebody_else_stays_out_of_stock(raw):
    lent = DocumentLine("Raw", "lumber", Quantity.of(5), "each", Money(5000), material="RAW")
    receive(raw, Document("Owner", date(2025, 4, 2), (lent,), kind="borrowed"))

    full, cash = roll_between(raw, date(2025, 4, 1), date(2025, 4, 30))
    assert (full.closing, cash.closing) == (Money(0), Money(0))


# Source: volume 1, section 10.1: 50 on hand, 20 bought, 18 counted at the end; 52 used at 7.
def test_usage_by_count_is_opening_and_bought_less_closing(raw):
    fifty = OpeningRow("RAW", Quantity.of(50), Money(35000), Money(35000))
    open_stock(raw, [fifty], day=date(2025, 4, 1))
    receive_raw(raw, 20, 7, date(2025, 4, 5))

    used = count(raw, "RAW", Quantity.of(18), day=date(2025, 4, 25), reason="used in the month")

    assert sum(-move.quantity.decimal for move in used) == 52
    assert total(-move.full for move in used) == Money(36400)


# Source: volume 2, section 4.5: raw material 2,500 + 10,500 - 11,600 = 1,400 used by three jobs
# (200, 700, 500). One unit costs one dollar here.
def test_a_month_of_material_goes_to_its_jobs(raw):
    opening = OpeningRow("RAW", Quantity.of(2500), Money(250000), Money(250000))
    open_stock(raw, [opening], day=date(2025, 4, 1))
    receive_raw(raw, 10500, 1, date(2025, 4, 2))
    for job, quantity in enumerate((200, 700, 500), 1):
        issue(raw, job, "RAW", Quantity.of(quantity), day=date(2025, 4, 10))

    full, _ = roll_between(raw, date(2025, 4, 1), date(2025, 4, 30))
    dollars = {name: amount.minor // 100 for name, amount in full.columns().items()}
    assert (dollars["opening"], dollars["received"], dollars["issued"]) == (2500, 10500, 1400)
    assert dollars["closing"] == 11600
    assert [job_material(raw, job)[0].full.minor // 100 for job in (1, 2, 3)] == [200, 700, 500]


# Source: volume 2, chapter 4, the stock equation read backwards: 900 used, opening 200, closing
# 300, so 1,000 bought; and 400 + 1,000 - 500 = 900 used.
@pytest.mark.parametrize(
    ("opening", "bought", "used", "closing"), [(200, 1000, 900, 300), (400, 1000, 900, 500)]
)
def test_the_stock_equation_holds_backwards(raw, opening, bought, used, closing):
    row = OpeningRow("RAW", Quantity.of(opening), Money(opening * 100), Money(opening * 100))
    open_stock(raw, [row], day=date(2025, 4, 1))
    receive_raw(raw, bought, 1, date(2025, 4, 2))
    withdraw(raw, "own_use", "RAW", Quantity.of(used), day=date(2025, 4, 3))

    full, _ = roll_between(raw, date(2025, 4, 1), date(2025, 4, 30))
    assert full.opening + full.received - full.own_use == Money(closing * 100)
    assert total(held.full for held in value_on(raw)) == full.closing == Money(closing * 100)
