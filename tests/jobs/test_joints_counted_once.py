"""A size of tenon is set up once for each that is drawn, and a drawer box has its corners in it."""

from decimal import Decimal

import pytest

from ledger.book import Book
from ledger.costing.sheet import CostSheet
from ledger.designs.model import Coat, Count, Design, Joint, Part
from ledger.designs.store import save_design
from ledger.jobs.jobs import new_job, set_basis
from ledger.jobs.pricing import price_job
from ledger.labor.standards import load_starting_standards
from ledger.measures.length import Length
from ledger.stock.materials import MaterialRow, save_materials

LEG = Part("L", "Leg", "4", "700 mm", "50 mm", "ASH", faces=2)
RAIL = Part("R", "Rail", "4", "500 mm", "80 mm", "ASH", faces=2)
SLAT = Part("S", "Stretcher", "2", "500 mm", "40 mm", "ASH", faces=2)
BOX = (
    Part("D1", "Drawer side", "2", "400 mm", "100 mm", "ASH", "12 mm", faces=0),
    Part("D2", "Drawer front and back", "2", "400 mm", "100 mm", "ASH", "12 mm", faces=0),
)


@pytest.fixture(params=["inch", "mm"])
def either(request, book: Book, metric_book: Book) -> Book:
    """An inch and dollar book, and a millimeter and euro book, each with ash and oil."""
    chosen, unit = (book, "bd ft") if request.param == "inch" else (metric_book, "m³")
    load_starting_standards(chosen)
    with chosen.entry("shop set"):
        chosen.set("overhead_year", "22000")
        chosen.set("pay_year", "56000")
    ash = MaterialRow(
        "ASH", "Ash", "lumber", unit, length=Length.of(3000, "mm"), width=Length.of(150, "mm"),
        thickness=Length.of(26, "mm"), price=Decimal(9),
    )  # fmt: skip
    oil = MaterialRow("OIL", "Hard oil", "finish", "L", coverage=Decimal(12),
                      coverage_source="the can", price=Decimal(24))  # fmt: skip
    save_materials(chosen, [ash, oil])
    return chosen


def priced(book: Book, *parts: Part, joints=(), counts=()) -> CostSheet:
    """The price of a table of those parts, oiled twice."""
    design = Design("table", "Table", "mm", parts=parts, joints=joints, counts=counts,
                    finish=(Coat("OIL", 2, "wipe"),))  # fmt: skip
    job = new_job(book, "Table")
    set_basis(book, job, save_design(book, design, "another one").key, {})
    return price_job(book, job)


def hours(sheet: CostSheet, code: str) -> Decimal:
    """The hours of an operation, 0 where it has no line."""
    return sum((one.estimate for one in sheet.hours if one.operation == code), Decimal("0.00"))


def line(sheet: CostSheet, code: str):
    """The line of an operation."""
    return next(one for one in sheet.hours if one.operation == code)


@pytest.mark.parametrize(
    ("joints", "setup"),
    [
        ((Joint("L-R", "tenon", "60 mm", "8"),), "0.50"),
        ((Joint("L-R", "tenon", "60 mm", "4"), Joint("R-L", "tenon", "30 mm", "4")), "1.00"),
        ((Joint("L-R", "tenon", "60 mm", "4"), Joint("R-L", "tenon", "", "4")), "0.50"),
        ((Joint("L-R", "tenon", "", "4", sizes="thick=10 mm"),
          Joint("R-L", "tenon", "", "4", sizes="thick=12 mm")), "1.00"),
    ],
)  # fmt: skip
def test_joints_without_a_size_add_none_to_those_that_are_drawn(either, joints, setup) -> None:
    """By hand: half an hour for each size; the 2 joints assumed for the stretchers add none."""
    sheet = priced(either, LEG, RAIL, SLAT, joints=joints)
    assert (hours(sheet, "TEN"), hours(sheet, "TNS")) == (Decimal("3.00"), Decimal(setup))
    assert not line(sheet, "TNS").is_assumed
    (told,) = [one for one in sheet.warnings if "2 joints for S" in one]
    assert "0.85 h with assembly" in told  # 2 of 10: 0.60 of 3.00 and 0.25 of 1.25


@pytest.mark.parametrize("joints", [(), (Joint("L-R", "tenon", "", "8"),)])
def test_where_no_joint_says_its_size_one_is_assumed_and_told(either, joints) -> None:
    sheet = priced(either, LEG, RAIL, joints=joints)
    setup = line(sheet, "TNS")
    assert (setup.estimate, setup.is_assumed) == (Decimal("0.50"), True)
    assert "assumed" in setup.basis
    assert any(setup.name in one for one in sheet.warnings) is not bool(joints)


def test_corners_of_drawer_boxes_are_in_the_boxes(either) -> None:
    """By hand: 8 joints of the table take (20 + 8 × 5.5) ÷ 60 = 1.07 h, box or none."""
    table = (Joint("L-R", "tenon", "60 mm", "8"),)
    corners = (Joint("D1-D2", "dowel", "100 mm", "4"), Joint("drawer corners", "other", "", "4"))
    one = (Count("drawers", "1"),)
    boxed = priced(either, LEG, RAIL, *BOX, joints=(*table, corners[0]), counts=one)
    assert (hours(boxed, "ASM"), hours(boxed, "DWL")) == (Decimal("1.07"), Decimal("0.00"))
    assert hours(boxed, "DRW") == Decimal("1.08")
    assert "4 corners of drawer boxes" in line(boxed, "ASM").basis
    assert not {gap.what for gap in boxed.gaps} & {"doweling", "joinery", "counted twice"}
    named = priced(either, LEG, RAIL, joints=(*table, corners[1]), counts=one)
    assert hours(named, "ASM") == Decimal("1.07")
    for counts in ((), (Count("drawers", "0"),)):
        alone = priced(either, LEG, RAIL, *BOX, joints=(*table, corners[0]), counts=counts)
        assert (hours(alone, "ASM"), hours(alone, "DWL") > 0) == (Decimal("1.43"), True)


def test_what_holds_a_drawer_in_its_piece_is_no_corner_of_its_box(either) -> None:
    runner = Part("K", "Drawer runner", "2", "400 mm", "40 mm", "ASH", faces=0)
    joints = (Joint("L-R", "tenon", "60 mm", "8"), Joint("K-R", "lap", "40 mm", "4"))
    sheet = priced(either, LEG, RAIL, runner, joints=joints, counts=(Count("drawers", "1"),))
    assert hours(sheet, "ASM") == Decimal("1.43")
