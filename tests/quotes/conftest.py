"""The worked fold-down bed as a cost sheet and as a job in a book, for the tests of quotes."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.costing.buildup import PriceRules, build_price
from ledger.costing.cautions import cautions_for
from ledger.costing.rates import Year, hourly
from ledger.costing.sheet import CostLine, CostSheet, ForgottenItem, OtherCost, SheetHours
from ledger.designs.build import build
from ledger.designs.model import Design, DesignFact, Parameter, Part
from ledger.designs.store import save_design
from ledger.jobs.jobs import new_job, set_basis
from ledger.labor.estimate import helper_hours, standard_hours, total_hours
from ledger.labor.hours_range import HoursRange
from ledger.labor.standards import load_starting_standards, starting_standards
from ledger.measures.money import Money, currency
from ledger.measures.quantity import Quantity

USD = currency("USD")
TODAY = date(2025, 4, 25)

MATERIALS = [
    ("PLY34", "Birch ply 3/4", "sheet", "5", "sheet", "96.00", "480.00"),
    ("PLY12", "Birch ply 1/2", "sheet", "2", "sheet", "72.00", "144.00"),
    ("PLY14", "Birch ply 1/4", "sheet", "3", "sheet", "41.00", "123.00"),
    ("BIRCH44", "Yellow birch 4/4 select", "lumber", "3", "bd ft", "6.80", "20.40"),
    ("EDGE78", "Edge tape birch 7/8 in", "edging", "84", "ft", "0.22", "18.48"),
    ("EDGE58", "Edge tape birch 5/8 in", "edging", "50", "ft", "0.31", "15.50"),
    ("SATIN", "Waterborne satin topcoat", "finish", "4", "gal", "79.00", "316.00"),
    ("STAIN", "Water-based stain", "finish", "1", "quart", "24.00", "24.00"),
    ("DISC5", "Abrasive discs 5 in", "abrasive", "36", "disc", "0.65", "23.40"),
    ("PVA", "PVA glue", "adhesive", "1", "bottle", "7.50", "7.50"),
    ("POCKET", "Pocket screws 1-1/4", "fastener", "117", "screw", "0.054", "6.32"),
    ("ASSORT", "Flat-head screws, brads, dowels", "fastener", "1", "lot", "12.00", "12.00"),
    ("MASK", "Masking film, strainers, cartridges", "supply", "1", "lot", "21.00", "21.00"),
    ("WRAP", "Wrap and corner boards", "supply", "1", "lot", "18.00", "18.00"),
]
HARDWARE = [
    ("PIVOT", "Pivot plates and gas springs", "1", "set", "379.00", "379.00"),
    ("LEGS", "Fold-out steel foot legs", "1", "pair", "58.00", "58.00"),
    ("PULL8", "Bar pulls 8 in", "2", "each", "13.50", "27.00"),
    ("STRAP", "Mattress straps", "1", "pair", "16.00", "16.00"),
    ("BOLT", "Connector bolts", "8", "each", "1.40", "11.20"),
    ("PIN14", "Shelf pins 1/4 in", "24", "each", "0.22", "5.28"),
    ("WALL", "Structural wall screws", "24", "each", "0.72", "17.28"),
    ("SHIM", "Leveling shims, bumpers", "1", "lot", "9.50", "9.50"),
]
COUNTS = {
    "DES": 20, "MTG": 2, "ADM": 1, "PUP": 2, "SHT": 10, "RIP": 33, "XW": 20, "XN": 85, "RAB": 28,
    "MIL": 3, "EBA": 114, "EBT": 114, "SOL": 24, "PKT": 106, "DWL": 16, "PIN": 160, "ASM": 51,
    "HWB": 1, "HWS": 14, "SND": 276, "SBC": 552, "SPR": 828, "SPS": 3, "PAK": 18,
    "DLV": Fraction(7, 2), "INS": Fraction(19, 2),
}  # fmt: skip
BED = Design(
    name="fold-bed",
    title="Bed and towers",
    units="inch",
    parameters=(
        Parameter("mattress_width", "60"),
        Parameter("mattress_length", "80"),
        Parameter("mattress_thickness", "10"),
        Parameter("mattress_weight", "85"),
    ),
    parts=(Part("A1", "Cabinet side", "2", "88", "16-1/2", "PLY34"),),
    tags=frozenset({"wall_fixed", "springs", "spraying"}),
    facts=(
        DesignFact("piece", "One fold-down bed cabinet with two shelf towers, birch plywood"),
        DesignFact("overall", "101-1/8 × 88 × 16-1/2 in"),
        DesignFact("mattress", "one 60 × 80 in, up to 10 in thick and 85 lb"),
    ),
)


def cost_line(group, item, words, kind, quantity, unit, cost, full):
    """One line of the bed's materials or hardware."""
    amount = Quantity.of(Decimal(quantity))
    paid = Money(0) if item == "PLY34" else USD.money(Decimal(full))
    return CostLine(
        group=group, item=item, words=words, kind=kind, net=amount, quantity=amount, unit=unit,
        unit_cost=Decimal(cost), full=USD.money(Decimal(full)), cash=paid, price=Money(0),
        basis=f"{quantity} {unit} as counted",
    )  # fmt: skip


def hours_line(operation, count):
    """One operation of the bed."""
    line = standard_hours(operation, Fraction(count))
    helper = helper_hours(line.estimate, operation)
    return SheetHours(
        operation=operation.code, name=operation.name, group=operation.group, driver=line.driver,
        unit=operation.unit, estimate=line.estimate, owner=line.estimate - helper, helper=helper,
        standard=line.estimate, history=line.estimate, ratio=Fraction(1), past_jobs=0,
        basis="as counted",
    )  # fmt: skip


def bed_sheet(book: Book, job: Job) -> CostSheet:
    """The cost sheet of the bed as of 2025-04-25: 1,752.86 of material, 65.79 h, 6,980.00."""
    lines = [cost_line("material", *row[:2], row[2], *row[3:]) for row in MATERIALS]
    lines += [cost_line("hardware", *row[:2], "hardware", *row[2:]) for row in HARDWARE]
    operations = {row.code: row for row in starting_standards()}
    hours = [hours_line(operations[code], count) for code, count in COUNTS.items()]
    year = Year(USD.money(22000), USD.money(56000), 1920, Fraction(60, 100), Fraction(8, 100))
    rates = hourly(
        year, selling=USD.money(73), helper_cost=USD.money(Decimal("26.88")),
        helper_billed=USD.money(42), mile=Decimal("0.70"),
    )  # fmt: skip
    kinds = {line.kind for line in lines}
    rules = PriceRules(
        markups={kind: Fraction(15 if kind == "hardware" else 20, 100) for kind in kinds},
        markup_outside=Fraction(1, 10), contingency=Fraction(6, 100), step=USD.money(20),
        minimum=Money(0),
    )  # fmt: skip
    miles = OtherCost("miles", "delivery miles", "44 × 0.70", Money(3080), Money(3080))
    priced = build_price(lines, hours, [miles], rates, rules, USD)
    built = build(BED, {}, "inch")
    known = {"PLY34": material_row()}
    estimated = total_hours(line.estimate for line in hours)
    return CostSheet(
        job=job.number, title=job.title, as_of=book.today, currency=USD, units="inch",
        design="fold-bed version 1", estimate_from="standards", lines=priced.lines,
        hours=tuple(hours), others=(miles,), rates=rates, build_up=priced.build_up,
        totals=priced.totals, range=HoursRange(estimated, Decimal("78.95"), Decimal("90.00"), 0),
        forgotten=(ForgottenItem("design", "design and drawings", "in the hours", None),
                   ForgottenItem("parking", "parking, tolls, stairs", "", None)),
        cautions=cautions_for(built, known, "inch"), facts=dict(built.facts),
    )  # fmt: skip


def material_row():
    """The one material that the short design names."""
    from ledger.book.tables.materials import Material
    from ledger.measures.length import Length

    return Material(
        code="PLY34", name="Birch ply 3/4", kind="sheet", unit="sheet", pack=Quantity.of(1),
        length=Length.of(96, "in"), width=Length.of(48, "in"),
        thickness=Length.of(Fraction(23, 32), "in"), density=Decimal("615"),
        density_source="panel weighed in the shop", composite=True,
    )  # fmt: skip


@pytest.fixture
def job(book: Book) -> Job:
    """The Marrow bed, opened and given its design; the tax of the invented state is set."""
    with book.entry("shop set", "tax"):
        book.set("tax_rate", "6 %")
        book.set("contact", "shop@quillhaven.example")
    load_starting_standards(book)
    opened = new_job(book, "Marrow fold-down bed", client="D. Marrow", number="J-2507")
    set_basis(book, opened, save_design(book, BED).key, {})
    return opened


@pytest.fixture
def sheet(book: Book, job: Job) -> CostSheet:
    """The cost sheet of the Marrow bed."""
    return bed_sheet(book, job)


@pytest.fixture
def make_sheet() -> Callable[[Book, Job], CostSheet]:
    """The maker of the bed's cost sheet on another day or for another job."""
    return bed_sheet
