"""A millimeter and euro book prices a small bookcase; every figure can be recomputed by hand."""

from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.book import Book
from ledger.designs.model import Coat, Count, Design, Joint, Need, Parameter, Part
from ledger.designs.store import save_design
from ledger.jobs.jobs import find_job, new_job, set_basis
from ledger.jobs.pricing import price_job, range_of
from ledger.labor.standards import load_starting_standards
from ledger.measures.length import Length
from ledger.measures.quantity import Quantity
from ledger.measures.values import replace
from ledger.reports.price import price_json
from ledger.stock.materials import MaterialRow, save_materials


def mm(number: str) -> Length:
    """So many millimeters."""
    return Length.of(Decimal(number), "mm")


PRICE_LIST = [
    MaterialRow("BIRKE18", "Birch plywood 18 mm", "sheet", "sheet", length=mm("2440"),
                width=mm("1220"), thickness=mm("18"), whole=True, price=Decimal("118.40")),
    MaterialRow("KANTE", "Edging 22 mm", "edging", "m", price=Decimal("0.85")),
    MaterialRow("LACK", "Waterborne lacquer", "finish", "L", coverage=Decimal("8"),
                coverage_source="the can's sheet", whole=True, price=Decimal("27.90")),
    MaterialRow("SCHRAUBE", "Screws", "fastener", "screw", price=Decimal("0.061")),
]  # fmt: skip

SHELF = Design(
    name="shelf", title="Bookcase", units="mm",
    parameters=(
        Parameter("wide", "800 mm", minimum="300 mm", maximum="1200 mm"),
        Parameter("high", "1800 mm"), Parameter("ply", "18 mm"),
    ),
    parts=(
        Part("A", "Side", "2", "high", "300 mm", "BIRKE18", banded=("L1",), edging="KANTE",
             faces=2, handed=True),
        Part("B", "Shelf", "5", "wide - 2*ply", "280 mm", "BIRKE18", banded=("L1",),
             edging="KANTE", faces=2),
    ),
    joints=(Joint("J", "pocket", "280 mm", "10"),),
    needs=(Need("SCHRAUBE", "pocket_holes"),),
    counts=(Count("jobs", "1"), Count("joints", "10")),
    finish=(Coat("LACK", 2),),
)  # fmt: skip


@pytest.fixture
def facts(metric_book: Book) -> dict[str, object]:
    """The facts of the bookcase's price."""
    book = metric_book
    load_starting_standards(book)
    with book.entry("shop set"):
        for name, value in {
            "overhead_year": "18000",
            "pay_year": "45000",
            "hours_year": "1700",
            "billable": "55 %",
            "profit": "10 %",
            "tax_standing": "vat",
            "tax_rate": "19 %",
            "kerf": "3.2",
            "trim": "10",
            "price_step": "10",
            "offcut_length": "600",
            "offcut_width": "300",
        }.items():
            book.set(name, value)
    save_materials(book, PRICE_LIST)
    version = save_design(book, SHELF)
    job = new_job(book, "Bookcase for the hall")
    set_basis(book, job, version.key, {"wide": "900 mm"})
    sheet = price_job(book, job)
    return price_json(sheet, range_of(book, sheet))


def test_the_lines_are_metric_and_add_up(facts: dict[str, object]) -> None:
    lines = {line["item"]: line for line in facts["lines"]}  # type: ignore[attr-defined]
    # Net: 2 sides 1.8 × 0.3 and 5 shelves 0.864 × 0.28 m² = 2.2896 m². Less than a sheet, yet the
    # fifth shelf finds no place beside the sides: 1200 − 2 × 303.2 leaves two rows of two shelves.
    assert (lines["BIRKE18"]["quantity"], lines["BIRKE18"]["full"]) == ("2", "236.80")
    assert "2.29 m² net" in lines["BIRKE18"]["basis"]
    # Edging: 2 × 1.8 + 5 × 0.864 = 7.92 m, + 10 % = 8.712, nearest whole meter.
    assert (lines["KANTE"]["quantity"], lines["KANTE"]["full"]) == ("9", "7.65")
    # Finish: both faces 4.5792, in tenths 4.6 m² × 2 coats ÷ 8 = 1.15 L: two whole liters.
    assert (lines["LACK"]["quantity"], lines["LACK"]["full"]) == ("2", "55.80")
    # Two holes a joint of 280 mm (11.02 in: 3) … ten joints of three, + 10 %.
    assert (lines["SCHRAUBE"]["quantity"], lines["SCHRAUBE"]["full"]) == ("33", "2.01")


@pytest.mark.parametrize(("coverage", "told"), [("7.125", "7.13"), ("99.999", "100"), ("8", "8")])
def test_a_finish_tells_its_coverage_in_hundredths_at_most(
    metric_book: Book, facts: dict[str, object], coverage: str, told: str
) -> None:
    lacquer = replace(PRICE_LIST[2], coverage=Decimal(coverage))
    save_materials(metric_book, [lacquer])

    sheet = price_job(metric_book, find_job(metric_book, "hall"))

    (basis,) = (line.basis for line in sheet.lines if line.item == "LACK")
    assert f"4.6 m² × 2 coats ÷ {told} = " in basis


def test_shares_are_told_in_hundredths_of_a_percent(facts: dict[str, object]) -> None:
    (laid,) = facts["layout"]  # type: ignore[misc]
    # The parts' 2.2896 m² of two sheets of 2.44 × 1.22 m, 5.9536 m²: 0.38457 of them.
    assert (laid["sheets"], laid["yield"]) == (2, "0.3846")


def test_rates_and_price_are_in_euros(facts: dict[str, object]) -> None:
    assert facts["currency"] == "EUR"
    rates = facts["rates"]
    hours = 1700 * Fraction(55, 100)
    pay = round(Decimal(45000) / Decimal(int(hours)), 2)
    assert rates["pay"] == str(pay)  # type: ignore[index]
    price = Decimal(facts["totals"]["price"])  # type: ignore[index]
    assert price % 10 == 0
    assert price >= Decimal(facts["totals"]["build_up"])  # type: ignore[index]


def test_a_quantity_is_kept_in_millionths() -> None:
    assert Quantity.of(Fraction(1, 3)).millionths == 333_333
