"""A shop that gets no tax back: price, stock, month and close-out stand on one basis.

The piece is a small oak bench of solid wood with an oil finish, in a millimeter and euro book.
"""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.book import Book
from ledger.designs.model import Coat, Count, Design, Need, Parameter, Part
from ledger.designs.store import save_design
from ledger.jobs.answers import answer
from ledger.jobs.buying import buying_list
from ledger.jobs.closeout import take_account
from ledger.jobs.jobs import new_job, set_basis
from ledger.jobs.pricing import price_job
from ledger.labor.standards import load_starting_standards
from ledger.measures.day import Month
from ledger.measures.length import Length
from ledger.measures.money import Money, total
from ledger.measures.quantity import Quantity
from ledger.reports.month import largest_price_changes, month_json, month_report
from ledger.stock import issue, value_on
from ledger.stock.documents import Document, DocumentLine
from ledger.stock.materials import MaterialRow, save_materials, set_price
from ledger.stock.prices import Noted, current_price
from ledger.stock.receipts import receive

MARCH, DAY = date(2025, 3, 10), date(2025, 4, 25)
NET = {"EICHE": "2400.00", "OEL": "31.50", "SCHRAUBE": "0.054", "GLEITER": "1.15"}
"""Prices before tax; with 20 % they are 2880.00, 37.80, 0.0648 and 1.38."""


def mm(number):
    return Length.of(Decimal(number), "mm")


BENCH = Design(
    name="bench", title="Oak bench", units="mm", parameters=(Parameter("long", "1200 mm"),),
    parts=(
        Part("A", "Seat board", "3", "long", "120 mm", "EICHE", faces=2),
        Part("B", "Leg board", "4", "430 mm", "120 mm", "EICHE", faces=2),
    ),
    needs=(Need("SCHRAUBE", "24"), Need("GLEITER", "4")),
    counts=(Count("jobs", "1"), Count("joints", "8")),
    finish=(Coat("OEL", 2),),
)  # fmt: skip


def price_list(taxed, share=Fraction(1, 5)):
    """The list as it is noted: before tax, or with the tax in it."""

    def price(code):
        net = Decimal(NET[code])
        return net * (1 + Decimal(share.numerator) / Decimal(share.denominator)) if taxed else net

    rows = (
        ("EICHE", "Oak boards 27 mm", "lumber", "m³",
         {"length": mm("2500"), "width": mm("160"), "thickness": mm("27")}),
        ("OEL", "Hard wax oil", "finish", "L", {"coverage": Decimal(12), "coverage_source": "tin"}),
        ("SCHRAUBE", "Screws 4 x 45", "fastener", "screw", {}),
        ("GLEITER", "Felt glides", "hardware", "each", {}),
    )  # fmt: skip
    return [
        MaterialRow(code, name, kind, unit, price=price(code), taxed=taxed, price_day=MARCH, **more)
        for code, name, kind, unit, more in rows
    ]


def book_of(path, put_book, **settings):
    put_book(
        path,
        DAY,
        currency="EUR",
        units="mm",
        **{"overhead_year": "18000", "pay_year": "45000", "price_step": "1"} | settings,
    )
    return Book(path, DAY)  # fmt: skip


def bench(book, rows):
    """The bench as a job, priced."""
    load_starting_standards(book)
    save_materials(book, rows)
    job = new_job(book, "Bench for the hall")
    set_basis(book, job, save_design(book, BENCH).key, {})
    return job, price_job(book, job)


def paper(lines, rate=Fraction(1, 5)):
    """All that the bench needs on one document, with its tax, rounded once."""
    tax = total(line.net for line in lines).times(rate)
    return Document("Holzhof", DAY, tuple(lines), tax=tax)


def bought(sheet, tax_kind="paid", gross=Fraction(1)):
    """A line for each material of the plan, at its price before tax times `gross`."""
    lines = []
    for line in sheet.lines:
        price = Decimal(NET[line.item]) * Decimal(gross.numerator) / Decimal(gross.denominator)
        net = Money(
            int((price * line.quantity.decimal * 100).quantize(Decimal(1), "ROUND_HALF_UP"))
        )
        lines.append(
            DocumentLine(line.words, line.kind, line.quantity, line.unit, net, material=line.item,
                 bought=line.quantity, unit_price=price, tax_kind=tax_kind)
        )  # fmt: skip
    return lines


SHOPS = {
    "lists before tax": (False, {"tax_standing": "exempt", "material_tax": "20 %"}),
    "lists with tax": (
        True, {"tax_standing": "exempt", "material_tax": "20 %", "list_prices": "with_tax"}),
    "no rate said": (True, {"tax_standing": "exempt", "list_prices": "with_tax"}),
    "nothing said": (True, {"tax_standing": "exempt"}),
    "no certificate": (True, {"list_prices": "with_tax"}),
}  # fmt: skip


@pytest.mark.parametrize("way", SHOPS)
@pytest.mark.parametrize("entered", ["net and tax", "gross"])
def test_a_purchase_at_list_price_changes_nothing(tmp_path, put_book, way, entered):
    taxed, settings = SHOPS[way]
    with book_of(tmp_path / "shop.sqlite", put_book, **settings) as book:
        job, before = bench(book, price_list(taxed))
        assert {line.item: line.unit_cost for line in before.lines} == {
            "EICHE": Decimal("2880.00"), "OEL": Decimal("37.80"), "SCHRAUBE": Decimal("0.0648"),
            "GLEITER": Decimal("1.38"),
        }  # fmt: skip
        if entered == "gross":
            lines = tuple(bought(before, "none", Fraction(6, 5)))
            receive(book, Document("Holzhof", DAY, lines))
        else:
            receive(book, paper(bought(before)))

        after = price_job(book, job)
        assert (after.totals.price, after.totals.material_full) == (
            before.totals.price, before.totals.material_full)  # fmt: skip
        assert largest_price_changes(book, Month(2025, 4)) == ()
        assert month_json(month_report(book, Month(2025, 4)))["price_basis"].startswith("cost")
        assert total(row.full for row in value_on(book)) == before.totals.material_full
        for line in before.lines:
            issue(book, job.key, line.item, line.quantity)
        account = take_account(book, job, before, before.totals.price, Money(0))
        assert [m.cost - m.planned_cost for m in account.materials] == [Money(0)] * 4
        assert all(m.variance.price == Money(0) for m in account.materials)


@pytest.mark.parametrize("way", ["lists before tax", "lists with tax"])
def test_the_buying_list_says_how_much_tax_is_in_its_total(tmp_path, put_book, way):
    taxed, settings = SHOPS[way]
    with book_of(tmp_path / "shop.sqlite", put_book, **settings) as book:
        job, _ = bench(book, price_list(taxed))
        found = buying_list(book, [job])
        net = [Decimal(NET[line.material]) * line.buy.decimal for line in found.to_buy]
        exact = sum(net, Decimal(0)) / 5
        assert exact > 10
        assert abs(book.currency.decimal(found.tax_inside) - exact) <= Decimal("0.02")
        assert found.tax == Money(0)


def test_a_buying_list_before_tax_has_none_inside(tmp_path, put_book):
    with book_of(tmp_path / "shop.sqlite", put_book) as book:
        job, _ = bench(book, price_list(taxed=False))
        assert buying_list(book, [job]).tax_inside == Money(0)


def test_a_dearer_purchase_is_told_by_its_own_share_alone(tmp_path, put_book):
    taxed, settings = SHOPS["lists with tax"]
    with book_of(tmp_path / "shop.sqlite", put_book, **settings) as book:
        bench(book, price_list(taxed))
        oil = DocumentLine("Oil", "finish", Quantity.of(2), "L", Money(6930), material="OEL",
                   bought=Quantity.of(2), unit_price=Decimal("34.65"), tax_kind="paid")  # fmt: skip
        receive(book, Document("Holzhof", DAY, (oil,), tax=Money(1386)))

        (change,) = largest_price_changes(book, Month(2025, 4))
        assert (change.code, change.before, change.after, change.share) == (
            "OEL", Decimal("37.80"), Decimal("41.58"), Fraction(1, 10))  # fmt: skip


def test_another_rate_of_tax_moves_the_plan_and_is_no_other_price(tmp_path, put_book):
    _, settings = SHOPS["lists before tax"]
    with book_of(tmp_path / "shop.sqlite", put_book, **settings) as book:
        job, before = bench(book, price_list(taxed=False))
        receive(book, paper(bought(before)))
        with book.entry("shop set"):
            book.set("material_tax", "25 %")

        price = current_price(book, "OEL")
        assert (price.noted, price.amount) == (Decimal("31.50"), Decimal("39.375"))
        after = price_job(book, job)
        receive(book, paper(bought(after), rate=Fraction(1, 4)))

        assert price_job(book, job).totals.material_full == after.totals.material_full
        assert largest_price_changes(book, Month(2025, 4)) == ()
        lots = [row.full for row in value_on(book) if row.material == "OEL"]
        oil = next(line for line in before.lines if line.item == "OEL").quantity
        assert lots == [Money(3780).times(oil.fraction), Money(3938).times(oil.fraction)]


def test_recoverable_tax_is_no_cost_and_comes_out_of_a_price_that_has_it(tmp_path, put_book):
    settings = {"tax_standing": "vat", "tax_rate": "20 %"}
    with book_of(tmp_path / "shop.sqlite", put_book, **settings) as book:
        job, before = bench(book, price_list(taxed=True))
        assert {line.item: line.unit_cost for line in before.lines} == {
            code: Decimal(net) for code, net in NET.items()
        }
        receive(book, paper(bought(before, "recoverable")))

        assert price_job(book, job).totals.price == before.totals.price
        assert largest_price_changes(book, Month(2025, 4)) == ()
        assert total(row.full for row in value_on(book)) == before.totals.material_full


@pytest.mark.parametrize(("tax_kind", "cost"), [("recoverable", 6300), ("paid", 7560)])
def test_tax_that_does_not_come_back_is_a_cost_of_the_lot_and_not_of_the_next_purchase(
    tmp_path, put_book, tax_kind, cost
):
    settings = {"tax_standing": "vat", "tax_rate": "20 %", "list_prices": "with_tax"}
    with book_of(tmp_path / "shop.sqlite", put_book, **settings) as book:
        save_materials(book, price_list(taxed=True))
        oil = DocumentLine(
            "Oil",
            "finish",
            Quantity.of(2),
            "L",
            Money(6300),
            material="OEL",
            bought=Quantity.of(2),
            unit_price=Decimal("31.50"),
            tax_kind=tax_kind,
        )
        receive(book, Document("Holzhof", DAY, (oil,), tax=Money(1260)))

        assert [row.full for row in value_on(book)] == [Money(cost)]
        price = current_price(book, "OEL")
        assert (price.noted, price.amount) == (Decimal("31.50"), Decimal("31.50"))
        assert largest_price_changes(book, Month(2025, 4)) == ()


def test_goods_for_resale_carry_no_tax_and_leave_the_price(tmp_path, put_book):
    with book_of(tmp_path / "shop.sqlite", put_book) as book:
        job, before = bench(book, price_list(taxed=False))
        receive(book, Document("Holzhof", DAY, tuple(bought(before, "resale"))))

        assert price_job(book, job).totals.price == before.totals.price
        assert total(row.full for row in value_on(book)) == before.totals.material_full


def test_the_list_of_forgotten_costs_knows_that_tax_is_inside(tmp_path, put_book):
    def said(book):
        _, sheet = bench(book, price_list(taxed=False))
        return next(item for item in sheet.forgotten if item.item == "sales tax").answer

    with book_of(tmp_path / "one.sqlite", put_book, tax_standing="exempt",
                 material_tax="20 %") as book:  # fmt: skip
        assert said(book) == "computed in the price"
    with book_of(tmp_path / "two.sqlite", put_book) as book:
        assert said(book) == ""


def test_tax_on_purchases_that_is_deducted_is_not_asked(tmp_path, put_book):
    with book_of(tmp_path / "shop.sqlite", put_book, tax_standing="vat") as book:
        job, before = bench(book, price_list(taxed=False))
        assert "sales tax" not in {item.item for item in before.forgotten}
        answer(book, job, "sales tax", Money(500))
        assert "sales tax" in {item.item for item in price_job(book, job).forgotten}


def test_a_bare_price_is_what_the_shops_lists_are(tmp_path, put_book):
    _, settings = SHOPS["lists with tax"]
    with book_of(tmp_path / "shop.sqlite", put_book, **settings) as book:
        bench(book, price_list(taxed=True))
        set_price(book, "OEL", Decimal("40.00"))
        assert current_price(book, "OEL").amount == Decimal("40.00")
        set_price(book, "OEL", Noted(Decimal("40.00"), Fraction(1, 5)))
        assert current_price(book, "OEL").amount == Decimal("48.00")


@pytest.mark.parametrize(
    ("kind", "tax", "cost"),
    [
        ("use", Money(0), "37.80"),
        ("recoverable", Money(1260), "31.50"),
        ("none", Money(0), "31.50"),
    ],
)
def test_use_tax_is_a_cost_of_the_price_and_what_comes_back_is_not(
    tmp_path, put_book, kind, tax, cost
):
    _, settings = SHOPS["lists with tax"]
    settings = settings | {"use_tax_rate": "20 %"}
    with book_of(tmp_path / "shop.sqlite", put_book, **settings) as book:
        save_materials(book, price_list(taxed=True))
        oil = DocumentLine("Oil", "finish", Quantity.of(2), "L", Money(6300), material="OEL",
                   bought=Quantity.of(2), unit_price=Decimal("31.50"), tax_kind=kind)  # fmt: skip
        receive(book, Document("Holzhof", DAY, (oil,), tax=tax))

        assert current_price(book, "OEL").amount == Decimal(cost)
