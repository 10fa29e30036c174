"""The month's account: May of the sample workshop, and months with nothing or not yet over."""

import json
from datetime import date
from decimal import Decimal

import pytest
from openpyxl import load_workbook

from ledger.book import close_month
from ledger.book.questions.month import landed_by_month_and_supplier
from ledger.book.tables.ground import Job
from ledger.jobs.answers import add_cost
from ledger.jobs.payments import receive as receive_payment
from ledger.measures.day import Month
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.reports.month import month_json, month_report
from ledger.reports.month_data import month_data
from ledger.reports.roll import roll_by_material
from ledger.stock import receive, value_on, withdraw
from ledger.stock.documents import Document, DocumentLine
from ledger.stock.materials import set_price
from ledger.workbooks.writers.accountant import write_month

MAY = Month(2025, 5)


def money(cents):
    return Money(cents)


def amounts(parts):
    return {part.name: part.amount.minor for part in parts}


def test_may_is_net_paid_and_landed_apart(spring):
    spend = month_report(spring, MAY).spend

    assert (spend.net, spend.tax_paid, spend.paid) == (money(124678), money(427), money(125105))
    assert (spend.use_tax, spend.landed) == (money(330), money(125435))


def test_may_lands_with_its_suppliers(spring):
    assert amounts(month_report(spring, MAY).spend.by_supplier) == {
        "Windlass Bed Fittings": 47700, "Copper Vale Lumber": 30358,
        "Plainmoor Shop Supply": 5830, "Pellworth Coatings": 34000, "Harrow Street Hardware": 7547,
    }  # fmt: skip


def test_may_lands_in_its_categories_freight_with_its_goods(spring):
    assert amounts(month_report(spring, MAY).spend.by_category) == {
        "sheet": 26700, "lumber": 2108, "edging": 1550, "finish": 34000, "hardware": 55247,
        "supply": 5830,
    }  # fmt: skip


def test_may_lands_with_the_job_and_in_stock(spring):
    assert amounts(month_report(spring, MAY).spend.by_job) == {"J-2507": 121831, "stock": 3604}


def test_the_bed_takes_its_receipts_the_sponsors_sheets_and_stock(spring):
    (bed,) = month_report(spring, MAY).issued

    assert (bed.job, bed.full) == ("J-2507", money(121831 + 48000 + 9137))
    assert bed.cash == money(121831 + 9137)


def test_two_of_the_sponsors_sheets_are_left(spring):
    left = [row for row in value_on(spring, date(2025, 5, 31)) if row.material == "PLY34"]

    assert [(row.quantity, row.full, row.cash) for row in left] == [
        (Quantity.of(2), money(19200), money(0))
    ]


def test_april_received_in_kind_and_scrapped_a_sheet(spring):
    april = month_report(spring, Month(2025, 4))

    assert april.spend.in_kind == money(115200)
    assert april.spend.landed == money(0)
    assert (april.full.received, april.full.scrapped) == (money(115200), money(9600))
    assert (april.cash.received, april.cash.scrapped) == (money(0), money(0))


def test_a_month_opens_with_what_the_one_before_closed_with(spring):
    april, may = month_report(spring, Month(2025, 4)), month_report(spring, MAY)

    assert april.full.closes()
    assert (may.full.opening, may.cash.opening) == (april.full.closing, april.cash.closing)
    assert may.full.closing == sum_of(row.full for row in value_on(spring, MAY.last))


def sum_of(amounts):
    return sum(amounts, Money(0))


def test_every_material_closes_in_quantity_full_value_and_cash(spring):
    rolls = roll_by_material(spring, MAY.first, MAY.last)

    assert all(r.quantity.closes() and r.full.closes() and r.cash.closes() for r in rolls)
    assert sum_of(r.full.closing for r in rolls) == month_report(spring, MAY).full.closing
    tape = next(roll for roll in rolls if roll.material == "EDGE78")
    assert (tape.quantity.issued, tape.full.issued) == (Quantity.of(88), money(1936))


def test_own_use_lands_with_the_use_tax_it_bears(spring):
    sheet = DocumentLine(
        "Birch ply",
        "sheet",
        Quantity.of(1),
        "sheet",
        money(7200),
        material="PLY12",
        tax_kind="resale",
    )
    receive(spring, Document("Copper Vale Lumber", date(2025, 6, 2), (sheet,)))
    withdraw(spring, "own_use", "PLY12", Quantity.of(1), day=date(2025, 6, 3))

    report = month_report(spring, Month(2025, 6))
    june = report.spend

    assert report.full.own_use == money(7200)
    assert report.full.closes()
    assert (june.paid, june.use_tax, june.landed) == (money(7200), money(432), money(7632))
    assert amounts(june.by_job) == {"stock": 7200, "shop": 432}
    assert amounts(june.by_supplier) == {"Copper Vale Lumber": 7632}
    ((_, one),) = landed_by_month_and_supplier(spring, date(2025, 6, 1), date(2025, 6, 30))
    assert (one.name, one.amount) == ("Copper Vale Lumber", money(7632))


def test_the_largest_price_changes_are_told_by_their_share(spring):
    for code, price in [("EDGE78", "0.24"), ("PLY12", "73.00"), ("GLUE", "6.00"), ("BOLT", "1.50")]:
        set_price(spring, code, Decimal(price), day=date(2025, 6, 10))

    changes = month_report(spring, Month(2025, 6)).price_changes

    told = [(change.code, str(change.after)) for change in changes]
    assert told == [("GLUE", "6.00"), ("EDGE78", "0.24"), ("BOLT", "1.50")]


@pytest.mark.parametrize(
    ("settings", "words"),
    [
        ({}, "as noted, before tax; tax and freight paid are in the lots alone"),
        ({"material_tax": "7 %"}, "tax that stays a cost inside, freight not"),
        ({"list_prices": "with_tax"}, "tax that stays a cost inside, freight not"),
        ({"tax_standing": "exempt"}, "tax that stays a cost inside, freight not"),
        ({"tax_standing": "vat", "material_tax": "7 %"},
         "before tax, which comes back; freight not inside"),
    ],
)  # fmt: skip
def test_the_workbook_says_what_tax_is_in_the_prices_that_changed(
    spring, tmp_path, settings, words
):
    with spring.entry("shop set"):
        for name, text in settings.items():
            spring.set(name, text)
    set_price(spring, "GLUE", Decimal("6.00"), day=date(2025, 6, 10))
    june = Month(2025, 6)
    report = month_report(spring, june)
    path = write_month(report, month_data(spring, june), tmp_path / "june.xlsx")
    cells = [cell for row in load_workbook(path)["Summary"].values for cell in row]

    assert f"Largest price changes ({words})" in cells
    assert month_json(report)["price_basis"] == f"cost: {words}"


def test_the_open_job_stands_in_progress_with_its_material(spring):
    report = month_report(spring, MAY)
    bed = next(job for job in report.progress if job.number == "J-2507")

    assert (bed.material, bed.material_cash, bed.owner_minutes) == (money(178968), money(130968), 0)
    assert (bed.received, bed.uncovered) == (money(0), bed.cost)


def test_work_of_others_that_was_noted_is_in_progress_from_its_day_on(spring):
    bed = next(job for job in spring.rows(Job) if job.number == "J-2507")
    before = next(j for j in month_report(spring, MAY).progress if j.number == bed.number)
    for day, price in [(date(2025, 5, 30), 89000), (date(2025, 6, 2), 6500)]:
        cost = Decimal(price) / 100
        add_cost(spring, bed, "outside", "glass", Quantity.of(1), cost, actual=True, day=day)

    after = next(j for j in month_report(spring, MAY).progress if j.number == bed.number)

    assert after.other == before.other + money(89000)
    assert after.cost == before.cost + money(89000)


def test_what_the_client_paid_stands_beside_the_cost_of_the_open_job(spring):
    job = spring.last(Job, number="J-2507")
    receive_payment(spring, job, money(200000), "transfer", day=date(2025, 5, 6))
    bed = next(job for job in month_report(spring, MAY).progress if job.number == "J-2507")

    assert (bed.received, bed.uncovered) == (money(200000), money(178968 - 200000))


@pytest.mark.parametrize(
    ("month", "standing"),
    [
        ((2025, 7), "ahead"),
        ((2025, 6), "running"),
        ((2025, 5), "open"),
        ((2024, 1), "before the book"),
    ],
)
def test_a_month_says_how_it_stands(spring, month, standing):
    assert month_report(spring, Month(*month)).standing == standing


def test_a_closed_month_says_so(spring):
    close_month(spring, MAY)

    assert month_report(spring, MAY).standing == "closed"


def test_an_empty_month_is_all_zero(spring):
    empty = month_report(spring, Month(2024, 1))

    assert empty.is_empty
    assert set(empty.full.columns().values()) == {money(0)}
    assert empty.spend.by_job == ()


def test_the_facts_have_the_keys_that_others_read(spring):
    facts = json.loads(json.dumps(month_json(month_report(spring, MAY))))

    assert facts["month"] == "2025-05"
    assert facts["spend"]["net"] == "1246.78"
    assert facts["spend"]["paid"] == "1251.05"
    assert facts["spend"]["landed"] == "1254.35"
    assert {"name": "J-2507", "landed": "1218.31"} in facts["spend"]["by_job"]
    assert (facts["in_kind"], facts["use_tax_due"]) == ("0.00", "3.30")
    assert facts["stock"]["full"] == {
        "opening": "925.50", "received": "1254.35", "issued": "1789.68", "returned": "0.00",
        "scrapped": "0.00", "to_supplier": "0.00", "own_use": "0.00", "counted": "0.00",
        "closing": "390.17",
    }  # fmt: skip
    assert facts["stock"]["cash"].keys() == facts["stock"]["full"].keys()
