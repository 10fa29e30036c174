"""May's workbook: every total is recomputed from the file's own data sheets with plain Python."""

import stat
from collections import defaultdict
from datetime import date, datetime
from decimal import Decimal
from itertools import takewhile

import pytest
from openpyxl import load_workbook

from ledger.measures.day import Month
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.reports.month import month_report
from ledger.reports.month_data import MonthOfSpend, from_first_spend, month_data, months_to
from ledger.stock import receive
from ledger.stock.documents import Document, DocumentLine
from ledger.stock.materials import MaterialRow, find_material, save_materials
from ledger.stock.purchase import PurchaseNames, line_of
from ledger.workbooks.writers.accountant import write_month

MAY, JUNE = Month(2025, 5), Month(2025, 6)
DATA = ["Receipts", "Where it went", "Movements", "Roll-forward", "Stock on hand", "In kind",
        "Other costs of jobs", "Work in progress", "From clients", "Invoices",
        "Months"]  # fmt: skip


def workbook_of(book, month, folder):
    path = write_month(month_report(book, month), month_data(book, month), folder / "month.xlsx")
    return load_workbook(path)


@pytest.fixture
def may(spring, tmp_path):
    """The accountant's workbook of May."""
    return workbook_of(spring, MAY, tmp_path)


def table(workbook, name):
    """The rows of a data sheet by their headings, without the sums below them."""
    head, *rows = workbook[name].iter_rows(values_only=True)
    return [dict(zip(head, row, strict=True)) for row in takewhile(any, rows)]


def foot(workbook, name, sort=None):
    """The sums at the foot of a data sheet, of one measure where it has several."""
    head, *rows = workbook[name].iter_rows(values_only=True)
    sums = [dict(zip(head, row, strict=True)) for row in rows if row[0] == "Total"]
    return next(row for row in sums if sort in (None, row.get("measure")))


def added(rows, column, key=None):
    """A column added up with plain decimals, altogether or by another column."""
    sums = defaultdict(Decimal)
    for row in rows:
        sums[row[key] if key else ""] += Decimal(str(row[column]))
    return dict(sums) if key else sums[""]


def summary(workbook):
    """The summary's figures by the names beside them; a name that stands twice keeps the last."""
    rows = workbook["Summary"].iter_rows(values_only=True)
    return {row[0]: row[1:] for row in rows if isinstance(row[1], int | float)}


def test_the_spend_is_the_sum_of_the_receipts(may):
    lines, said = table(may, "Receipts"), summary(may)

    net = added(lines, "net") + added(lines, "freight")
    paid = net + added(lines, "tax paid")
    landed = paid + added(lines, "use tax") - added(lines, "recoverable")
    assert (net, paid, landed) == (Decimal("1246.78"), Decimal("1251.05"), Decimal("1254.35"))
    assert landed == added(lines, "landed")
    told = [Decimal(str(said[name][0])) for name in ("Net", "Paid", "Landed", "Use tax due")]
    assert told == [net, paid, landed, Decimal("3.30")]


@pytest.mark.parametrize(
    ("sheet", "key"),
    [("Receipts", "supplier"), ("Receipts", "category"), ("Where it went", "goes to")],
)
def test_each_way_of_telling_spend_apart_adds_up_from_its_sheet(may, sheet, key):
    parts, said = added(table(may, sheet), "landed", key), summary(may)

    assert sum(parts.values()) == Decimal("1254.35")
    for name, amount in parts.items():
        shown = said[name][0] if name != "J-2507" else None
        assert shown is None or Decimal(str(shown)) == amount


def test_the_roll_forward_adds_up_from_the_movements_and_from_the_materials(may):
    moves, rolls = table(may, "Movements"), table(may, "Roll-forward")
    said = summary(may)

    for place, measure in enumerate(("full", "cash")):
        rows = [row for row in rolls if row["measure"] == measure]
        moved = added(moves, measure, "column")
        opening, closing = added(rows, "opening"), added(rows, "closing")
        assert opening + sum(moved.values()) == closing
        assert moved["received"] == added(rows, "received")
        assert -moved["issued"] == added(rows, "issued")
        assert closing == Decimal(str(said["closing"][place]))


@pytest.mark.parametrize(
    ("sheet", "columns"),
    [
        ("Receipts", ("net", "freight", "tax paid", "use tax", "recoverable", "landed")),
        ("Where it went", ("landed",)),
        ("Movements", ("full", "cash", "use tax")),
        ("Stock on hand", ("full", "cash")),
    ],
)
def test_each_list_has_the_sum_of_its_rows_at_its_foot(may, sheet, columns):
    rows, sums = table(may, sheet), foot(may, sheet)

    assert {name: Decimal(str(sums[name])) for name in columns} == {
        name: added(rows, name) for name in columns
    }
    assert all(sums.get(name) is None for name in ("quantity", "unit price"))
    assert may[sheet].auto_filter.ref.endswith(str(len(rows) + 1))


def test_the_summary_says_the_sums_of_its_lists(may):
    said, receipts = summary(may), foot(may, "Receipts")
    full, cash = foot(may, "Roll-forward", "full"), foot(may, "Roll-forward", "cash")

    assert said["Landed"][0] == receipts["landed"]
    assert said["Paid"][0] == round(sum(receipts[x] for x in ("net", "freight", "tax paid")), 2)
    assert said["closing"][:2] == (full["closing"], cash["closing"])
    assert said["+ received"][:2] == (full["received"], cash["received"])
    measures = [
        row[2] for row in may["Roll-forward"].iter_rows(values_only=True) if row[0] == "Total"
    ]
    assert measures == ["full", "cash"]


def test_stock_on_hand_is_what_the_month_closed_with(may):
    rows = [row for row in table(may, "Roll-forward") if row["measure"] == "full"]

    assert added(table(may, "Stock on hand"), "full") == added(rows, "closing")


def test_each_material_closes_in_quantity_and_value(may):
    for row in table(may, "Roll-forward"):
        figures = {name: Decimal(str(value)) for name, value in row.items() if value is not None
                   and name not in ("material", "unit", "measure")}  # fmt: skip
        left = (figures["opening"] + figures["received"] - figures["issued"] + figures["returned"]
                - figures["scrapped"] - figures["to supplier"] - figures["own use"]
                + figures["counted"])  # fmt: skip
        assert left == figures["closing"], row


def test_the_months_begin_with_the_first_spend_and_end_with_the_month_itself(may):
    *before, last = table(may, "Months")

    assert before == []
    assert last["month"] == "2025-05"
    assert sum(Decimal(str(value)) for name, value in last.items() if name != "month") == Decimal(
        "1254.35"
    )


def test_months_without_spend_before_the_first_are_left_out():
    empty, spent = ({}, {"sheet": Money(1)})
    months = [MonthOfSpend(Month(2025, number), found)
              for number, found in enumerate([empty, spent, empty, spent, empty], 1)]  # fmt: skip

    assert from_first_spend(months) == months[1:]
    assert from_first_spend(months[:1]) == months[:1]


def test_the_first_month_is_drawn_by_category(may):
    (chart,) = may["Summary"]._charts
    (only,) = chart.series

    assert only.val.numRef.f == "'Months'!$B$2:$G$2"
    assert only.cat.numRef.f == "'Months'!$B$1:$G$1"


def test_several_months_stand_side_by_side_by_category(spring, tmp_path):
    (chart,) = workbook_of(spring, JUNE, tmp_path)["Summary"]._charts

    assert [one.val.numRef.f for one in chart.series][:2] == [
        "'Months'!$B$2:$B$3",
        "'Months'!$C$2:$C$3",
    ]


def test_data_sheets_have_one_heading_row_and_nothing_merged(may):
    assert may.sheetnames == ["Summary", *DATA]
    for name in DATA:
        sheet = may[name]
        assert not sheet.merged_cells.ranges
        assert sheet.freeze_panes == "A2"
        assert all(isinstance(cell.value, str) for cell in sheet[1])


def test_goods_in_packs_multiply_to_what_the_document_says(metric_book, tmp_path):
    """Two packs of 200 screws at 8.95 with 10 % off the document, and a line with no price."""
    book = metric_book
    screws = MaterialRow("SPAX", "Screws 4 x 45", "fastener", "screw", pack=Quantity.of(200))
    save_materials(book, [screws])
    names = PurchaseNames(lambda code: find_material(book, code), int, book.currency)

    def screws_in_packs(number, **more):
        written = DocumentLine("", "", Quantity.of(number), "pack", Money(0), "SPAX",
                               unit_price=Decimal("8.95"), **more)  # fmt: skip
        return line_of(written, names)

    packs = screws_in_packs(2, discount=Money(90))
    oil = DocumentLine("hard wax oil", "finish", Quantity.of(1), "each", Money(3150))
    lots = receive(book, Document("Beschlag", date(2025, 4, 10), (packs, oil), discount=Money(485)))
    receive(book, Document("Beschlag", date(2025, 4, 11), (
        screws_in_packs(1, credit_of="SPAX"),), kind="credit"))  # fmt: skip

    rows = table(workbook_of(book, Month(2025, 4), tmp_path), "Receipts")
    assert [(row["quantity"], row["unit"], row["unit price"]) for row in rows] == [
        (2, "pack", 8.95), (1, "each", None), (-1, "pack", 8.95)]  # fmt: skip
    for row in rows:
        if row["unit price"] is not None:
            worked = Decimal(str(row["quantity"])) * Decimal(str(row["unit price"]))
            assert worked == Decimal(str(row["net"])) + Decimal(str(row["discount"]))
    assert lots.lots[0].quantity == Quantity.of(400)


def test_every_line_of_may_multiplies(may):
    for row in table(may, "Receipts"):
        worked = Decimal(str(row["quantity"])) * Decimal(str(row["unit price"]))
        told = Decimal(str(row["net"])) + Decimal(str(row["discount"]))
        assert worked.quantize(told, "ROUND_HALF_UP") == told


def test_days_are_days_and_money_is_a_number(may):
    for row in table(may, "Receipts"):
        assert isinstance(row["day"], datetime)
        assert isinstance(row["landed"], int | float)
    assert may["Receipts"]["B2"].number_format.startswith("yyyy-mm-dd")
    assert may["Receipts"]["T2"].number_format.startswith("#,##0.00")


def test_nothing_in_it_is_a_formula_and_text_stays_text(spring, tmp_path):
    name = '=cmd|"/c calc"!A1'
    goods = DocumentLine(name, "supply", Quantity.of(1), "each", Money(100))
    receive(spring, Document(name, date(2025, 5, 20), (goods,)))

    workbook = workbook_of(spring, MAY, tmp_path)

    cells = [cell for sheet in workbook for row in sheet.iter_rows() for cell in row]
    assert not [cell for cell in cells if cell.data_type == "f"]
    risky = [cell for cell in cells if cell.value == name]
    assert risky
    assert all(cell.quotePrefix for cell in risky)


def test_goods_in_kind_stand_with_their_evidence(spring, tmp_path):
    (row,) = table(workbook_of(spring, Month(2025, 4), tmp_path), "In kind")

    assert row["fair value"] == 1152
    assert (row["how found"], row["from"]) == ("retail price seen", "Brightfell Panels")
    assert row["evidence"] == "yard price page saved 2025-04-14"


def test_an_empty_month_gives_a_workbook_too(spring, tmp_path):
    workbook = workbook_of(spring, Month(2024, 1), tmp_path)

    (receipts,) = table(workbook, "Receipts")
    assert [value for value in receipts.values() if value is not None] == ["none"]
    assert workbook["Summary"]._charts == []


def test_only_its_owner_may_read_it(spring, tmp_path):
    workbook_of(spring, MAY, tmp_path)

    assert stat.S_IMODE((tmp_path / "month.xlsx").stat().st_mode) == 0o600


def test_twelve_months_end_with_the_one_asked_for():
    months = months_to(Month(2025, 2), 12)

    assert (str(months[0]), str(months[-1]), len(months)) == ("2024-03", "2025-02", 12)
