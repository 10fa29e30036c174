"""One need per material: what covers it in the price, on the buying list and in the close-out."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.costing.needs import needs_of
from ledger.costing.sheet import read_cost_sheet
from ledger.designs.model import Coat, Design, Need, Part
from ledger.designs.store import save_design
from ledger.errors import NotAllowed
from ledger.jobs.answers import add_cost
from ledger.jobs.buying import buying_list
from ledger.jobs.closeout import take_account
from ledger.jobs.jobs import new_job, set_basis
from ledger.jobs.pricing import price_job
from ledger.jobs.typed_lines import add_typed_use
from ledger.measures.frozen import freeze, read_json
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.measures.values import replace
from ledger.reports.closeout import close_out_json
from ledger.stock import issue, keep_offcuts, receive, withdraw
from ledger.stock.documents import Document, DocumentLine, Share
from ledger.stock.materials import MaterialRow, save_materials
from ledger.stock.movements import send_back
from ledger.stock.offcuts import OffcutSize
from ledger.stock.opening import OpeningRow, open_stock

TODAY = date(2025, 4, 25)
PAINTED = Design(
    name="built-in", title="Painted built-in", units="inch",
    parts=(
        Part("A", "Side", "2", "90 in", "15 in", "PLY", faces=2),
        Part("B", "Face frame", "2", "60 in", "2 in", "POPLAR", "3/4 in", faces=1, cut="board"),
    ),
    needs=(
        Need("SCREW", "60", "carcass"), Need("SCREW", "24", "face frame"),
        Need("SCREW", "12", "wall"), Need("PULL", "2"),
    ),
    finish=(Coat("PAINT", 2, "brush"),),
)  # fmt: skip


def q(number):
    return Quantity.of(Decimal(str(number)))


def prices(unit="in"):
    """A price list in inches or millimeters."""
    long, wide, thick = ("96", "48", "1") if unit == "in" else ("2440", "1220", "25")
    return [
        MaterialRow("PLY", "Plywood", "sheet", "sheet", length=Length.of(Decimal(long), unit),
                    width=Length.of(Decimal(wide), unit), price=Decimal(80)),
        MaterialRow("POPLAR", "Poplar", "lumber", "bd ft", length=Length.of(Decimal(long), unit),
                    width=Length.of(Decimal("6" if unit == "in" else "150"), unit),
                    thickness=Length.of(Decimal(thick), unit), price=Decimal(4)),
        MaterialRow("SCREW", "Screws", "fastener", "screw", allowance=Fraction(0),
                    allowance_on="net", price=Decimal("0.06")),
        MaterialRow("PULL", "Pulls", "hardware", "each", price=Decimal("13.50")),
        MaterialRow("PAINT", "Paint", "finish", "gal" if unit == "in" else "L",
                    coverage=Decimal(350 if unit == "in" else 9), coverage_source="the can",
                    whole=True, price=Decimal(60)),
    ]  # fmt: skip


@pytest.fixture
def built_in(book, equip):
    """A painted built-in: one sheet, two boards of poplar, 60 + 24 + 12 screws, a gallon."""
    equip(book)
    save_materials(book, prices())
    return open_job(book, "Built-in", PAINTED)


def open_job(book, title, design):
    job = new_job(book, title)
    set_basis(book, job, save_design(book, design).key, {})
    return job


def own(book, material, number, cost):
    open_stock(book, [OpeningRow(material, q(number), Money(cost), Money(cost))])


def given(book, material, number, value, kind="fastener", unit="screw"):
    line = DocumentLine("a gift", kind, q(number), unit, Money(value), material,
                method="retail price seen")  # fmt: skip
    receive(book, Document("Brightfell Panels", TODAY, (line,), "in_kind", document="n 1"))


def piece_on_rack(book, material="PLY", length="95", width="47", unit="in"):
    """A large offcut of an earlier job."""
    own(book, material, 1, 8000)
    earlier = new_job(book, "An earlier job")
    issue(book, earlier.key, material, q(1))
    piece = OffcutSize(Length.of(Decimal(length), unit), Length.of(Decimal(width), unit))
    return keep_offcuts(book, earlier.key, material, [piece])[0]


def lines_of(sheet, item):
    return [line for line in sheet.lines if line.item == item]


def need_of(sheet, item):
    return next(need for need in needs_of(sheet.lines) if need.item == item)


def check_ties(sheet):
    """Every total is what its lines come to, however they are covered."""
    totals, needs = sheet.totals, needs_of(sheet.lines)
    parts = (totals.material_in_kind, totals.material_owned, totals.material_to_buy)
    assert sum(parts, Money(0)) == totals.material_full
    assert all(part >= Money(0) for part in parts)
    assert sum((need.full + need.rack_full for need in needs), Money(0)) == totals.material_full
    assert sum((need.to_pay for need in needs), Money(0)) == totals.material_to_buy
    assert totals.cash_cost == totals.cash_to_spend + totals.material_owned
    for need in needs:
        assert need.quantity == need.in_kind + need.owned + need.to_buy
        assert need.full == need.value_in_kind + need.value_owned + need.to_pay


def test_a_piece_of_the_rack_worth_nothing_costs_nothing(book, built_in):
    with book.entry("shop set"):
        book.set("offcut_value", "0 %")
    lot = piece_on_rack(book)
    assert lot.full == Money(0)
    sheet = price_job(book, built_in)
    (line,) = lines_of(sheet, "PLY")
    assert (line.lot, line.full, line.cash, line.to_pay) == (lot.key, Money(0), Money(0), Money(0))
    assert not any(need.material == "PLY" for need in buying_list(book, [built_in]).lines)
    check_ties(sheet)


def test_a_piece_of_the_rack_is_charged_at_what_it_carries(book, built_in):
    lot = piece_on_rack(book)
    sheet = price_job(book, built_in)
    need = need_of(sheet, "PLY")
    assert (need.lots, need.rack_full, need.quantity) == ((lot.key,), lot.full, q(0))
    assert lot.full > Money(0)
    assert sheet.totals.material_owned == lot.cash
    check_ties(sheet)


def test_goods_in_kind_cover_the_lines_of_one_material_once(book, built_in):
    given(book, "SCREW", 70, 420)
    sheet = price_job(book, built_in)
    assert [line.in_kind for line in lines_of(sheet, "SCREW")] == [q(60), q(10), q(0)]
    assert [line.cash for line in lines_of(sheet, "SCREW")] == [Money(0), Money(84), Money(72)]
    need = need_of(sheet, "SCREW")
    assert (need.quantity, need.in_kind, need.to_buy) == (q(96), q(70), q(26))
    assert (need.full, need.value_in_kind, need.to_pay) == (Money(576), Money(420), Money(156))
    check_ties(sheet)


def test_cash_to_spend_is_what_must_still_be_bought(book, built_in):
    before = price_job(book, built_in).totals
    own(book, "PULL", 1, 1200)
    given(book, "SCREW", 50, 300)
    totals = price_job(book, built_in).totals
    assert totals.material_owned == Money(1350)
    assert totals.material_in_kind == Money(300)
    assert before.cash_to_spend - totals.cash_to_spend == Money(1350 + 300)
    assert before.cash_cost - totals.cash_cost == Money(300)
    assert (totals.price, totals.full_cost) == (before.price, before.full_cost)


@pytest.mark.parametrize(("there", "bought", "owned"), [
    # a pack of 50 at 0.48 is 24.00; 28 on hand leave 22 short, a whole pack: nothing is saved
    ("28", "24.00", "0.00"),
    # 50 on hand cover the need; 78 do no more
    ("50", "0.00", "24.00"),
    ("78", "0.00", "24.00"),
])  # fmt: skip
def test_goods_on_hand_that_save_no_whole_pack_leave_the_pack_to_be_bought(
    book, equip, there, bought, owned
):
    equip(book)
    disc = MaterialRow("DISC", "Disc", "supply", "each", pack=q(50), whole=True,
                       price=Decimal("0.48"))  # fmt: skip
    save_materials(book, [disc])
    job = new_job(book, "Sand a table")
    add_typed_use(book, job, ["DISC 50"])
    own(book, "DISC", there, int(Decimal(there) * 48))
    totals = price_job(book, job).totals
    listed = buying_list(book, [job]).total
    assert listed == book.currency.money(Decimal(bought))
    assert (totals.material_to_buy, totals.cash_to_spend) == (listed, listed)
    assert totals.material_owned == book.currency.money(Decimal(owned))
    check_ties(price_job(book, job))


def test_what_the_job_was_issued_is_still_covered_in_its_price(book, built_in):
    own(book, "PULL", 2, 2400)
    given(book, "SCREW", 96, 576)
    before = price_job(book, built_in)
    issue(book, built_in.key, "PULL", q(2))
    issue(book, built_in.key, "SCREW", q(96))
    after = price_job(book, built_in)
    assert after.totals == before.totals
    assert need_of(after, "SCREW").to_buy == q(0)


def test_the_buying_list_is_need_less_what_is_there_and_less_the_rack(book, built_in):
    piece_on_rack(book)
    given(book, "SCREW", 50, 300)
    own(book, "SCREW", 30, 150)
    own(book, "PULL", 1, 1200)
    issue(book, built_in.key, "PULL", q(1))
    found = {line.material: line for line in buying_list(book, [built_in]).lines}
    needs = {need.item: need for need in needs_of(price_job(book, built_in).lines)}
    assert found.keys() == {item for item, need in needs.items() if need.quantity}
    for material, line in found.items():
        assert line.need == needs[material].quantity
        assert line.short == needs[material].to_buy
    assert (found["SCREW"].need, found["SCREW"].short) == (q(96), q(16))
    assert (found["PULL"].need, found["PULL"].given, found["PULL"].short) == (q(2), q(1), q(1))
    assert "PLY" not in found


def test_a_close_out_compares_all_planned_lines_of_a_material(book, built_in):
    own(book, "SCREW", 200, 1200)
    issue(book, built_in.key, "SCREW", q(100))
    sheet = price_job(book, built_in)
    facts = close_out_json(take_account(book, built_in, sheet, Money(100000), Money(0)))
    (screws,) = [line for line in facts["materials"] if line["item"] == "SCREW"]
    assert screws["quantity_planned"] == "96"
    assert (screws["quantity_used"], screws["planned_cost"]) == ("100", "5.76")
    assert (screws["price_variance"], screws["usage_variance"]) == ("0.00", "0.24")


def test_what_was_scrapped_is_a_cost_of_the_job_but_not_used(book, built_in):
    own(book, "PULL", 4, 5400)
    issue(book, built_in.key, "PULL", q(2))
    withdraw(book, "scrap", "PULL", q(1), reason="scratched", job=built_in.key)
    found = take_account(book, built_in, price_job(book, built_in), Money(100000), Money(0))
    pulls = next(line for line in found.materials if line.item == "PULL")
    assert (pulls.planned, pulls.used, pulls.scrapped) == (q(2), q(2), q(1))
    assert (pulls.cost, pulls.variance.usage) == (Money(4050), Money(1350))
    assert found.afterwards.done.material == Money(4050)


def test_pieces_of_the_rack_are_compared_by_the_piece(book, built_in):
    lot = piece_on_rack(book)
    sheet = price_job(book, built_in)
    own(book, "PLY", 1, 8200)
    issue(book, built_in.key, "PLY", q(1))
    found = take_account(book, built_in, sheet, Money(100000), Money(0))
    new, piece = [line for line in found.materials if line.item == "PLY"]
    assert (new.planned, new.used, new.cost, new.from_rack) == (q(0), q(1), Money(8200), False)
    assert (piece.planned, piece.used, piece.planned_cost) == (q(1), q(0), lot.full)
    assert new.variance.total + piece.variance.total == Money(8200) - lot.full


def test_a_piece_that_was_taken_counts_as_a_piece_and_not_as_a_sheet(book, built_in):
    lot = piece_on_rack(book)
    sheet = price_job(book, built_in)
    issue(book, built_in.key, None, q(1), lot=lot.key)
    found = take_account(book, built_in, sheet, Money(100000), Money(0))
    (piece,) = [line for line in found.materials if line.item == "PLY"]
    assert (piece.from_rack, piece.planned, piece.used) == (True, q(1), q(1))
    assert (piece.variance.price, piece.variance.usage) == (Money(0), Money(0))
    assert "PLY" not in "".join(found.open_ends)


def test_planned_freight_is_an_amount_of_the_job(book, built_in):
    before = price_job(book, built_in)
    add_cost(book, built_in, "freight", "pulls by mail", q(1), Decimal("24.00"))
    sheet = price_job(book, built_in)
    assert [line.amount for line in sheet.build_up if line.name == "freight"] == [Money(2400)]
    assert sheet.totals.freight == Money(2400)
    assert sheet.totals.full_cost - before.totals.full_cost == Money(2400)
    assert sheet.totals.cash_to_spend - before.totals.cash_to_spend == Money(2400)
    assert sheet.lines == before.lines
    assert sheet.others == before.others


def test_planned_freight_takes_the_place_of_the_shops_share(book, built_in):
    with book.entry("shop set"):
        book.set("freight", "10 %")
    share = price_job(book, built_in).totals
    assert share.freight == share.material_cash.times(Fraction(1, 10))
    add_cost(book, built_in, "freight", "pulls by mail", q(1), Decimal("0.00"))
    assert price_job(book, built_in).totals.freight == Money(0)


def test_a_cost_that_is_called_freight_is_counted_once(book, built_in):
    before = price_job(book, built_in).totals
    add_cost(book, built_in, "other", "freight", q(1), Decimal("24.00"))
    add_cost(book, built_in, "other", "card fee", q(1), Decimal("5.00"))
    after = price_job(book, built_in).totals
    assert after.full_cost - before.full_cost == Money(2900)


def test_freight_that_came_is_entered_with_its_goods(book, built_in):
    with pytest.raises(NotAllowed, match="receipt add"):
        add_cost(book, built_in, "freight", "by mail", q(1), Decimal(24), actual=True)


def test_freight_is_compared_apart_from_what_the_goods_cost(book, built_in):
    add_cost(book, built_in, "freight", "pulls by mail", q(1), Decimal("20.00"))
    sheet = price_job(book, built_in)
    goods = DocumentLine("Pulls", "hardware", q(2), "each", Money(3000), "PULL",
                 shares=(Share("job", q(2), built_in.key),))  # fmt: skip
    way = DocumentLine("freight", "freight", q(1), "each", Money(2400))
    receive(book, Document("Harrow Street Hardware", TODAY, (goods, way), document="17"))
    found = take_account(book, built_in, sheet, Money(100000), Money(0))
    pulls = next(line for line in found.materials if line.item == "PULL")
    assert (pulls.cost, pulls.variance.price) == (Money(3000), Money(300))
    assert (found.freight.planned, found.freight.actual) == (Money(2000), Money(2400))
    assert found.freight.variance == Money(400)
    told = sum((line.cost for line in found.materials), found.freight.actual)
    assert told == found.afterwards.done.material == Money(5400)


def test_a_metric_book_covers_its_needs_alike(metric_book, equip):
    book = metric_book
    equip(book)
    save_materials(book, prices("mm"))
    metric = replace(
        PAINTED, units="mm",
        parts=(
            Part("A", "Side", "2", "2200 mm", "380 mm", "PLY", faces=2),
            Part("B", "Frame", "2", "1500 mm", "50 mm", "POPLAR", "20 mm", faces=1, cut="board"),
        ),
    )  # fmt: skip
    job = open_job(book, "Einbauschrank", metric)
    lot = piece_on_rack(book, length="2300", width="1000", unit="mm")
    given(book, "SCREW", 70, 420)
    own(book, "PAINT", 1, 5000)
    sheet = price_job(book, job)
    # Both faces of 2 × 2.2 × 0.38 and one of 2 × 1.5 × 0.05 m²: 3.494, in tenths 3.5; × 2 ÷ 9.
    paint = need_of(sheet, "PAINT")
    assert (paint.quantity, paint.owned, paint.to_buy) == (q(1), q(1), q(0))
    assert need_of(sheet, "PLY").lots == (lot.key,)
    assert need_of(sheet, "SCREW").to_pay == Money(156)
    assert sheet.totals.material_owned == Money(6000) + lot.cash
    check_ties(sheet)


def test_a_sheet_kept_in_the_old_form_reads_with_its_lots(book, built_in):
    lot = piece_on_rack(book)
    sheet = price_job(book, built_in)
    old = read_json(freeze(sheet))
    for line in old["lines"]:
        for name in ("lot", "in_kind", "owned", "owned_value"):
            del line[name]
    del old["totals"]["material_owned"], old["totals"]["freight"]
    read = read_cost_sheet(freeze(old))
    assert need_of(read, "PLY").lots == (lot.key,)
    assert need_of(read, "SCREW").to_buy == q(96)
    assert read.totals.price == sheet.totals.price
    assert read.totals.cash_to_spend == sheet.totals.cash_cost
    assert read_cost_sheet(freeze(sheet)) == sheet


@pytest.mark.parametrize("order", ["sent, credited", "credited, sent"])
@pytest.mark.parametrize(("net", "kept"), [(1500, 0), (1400, 100)])
def test_freight_of_goods_that_went_back_is_freight_lost(book, built_in, order, net, kept):
    """Two pulls at 15.00, 24.00 for bringing them; one goes back and is credited without it."""
    sheet = price_job(book, built_in)
    goods = DocumentLine("Pulls", "hardware", q(2), "each", Money(3000), "PULL",
                 shares=(Share("job", q(2), built_in.key),))  # fmt: skip
    way = DocumentLine("freight", "freight", q(1), "each", Money(2400))
    back = DocumentLine("Pulls", "hardware", q(1), "each", Money(net), "PULL", credit_of="17",
                        shares=(Share("job", q(1), built_in.key),))  # fmt: skip
    receive(book, Document("Harrow Street Hardware", TODAY, (goods, way), document="17"))
    steps = {
        "sent": lambda: send_back(book, "PULL", q(1), job=built_in.key),
        "credited": lambda: receive(
            book, Document("Harrow Street Hardware", TODAY, (back,), kind="credit")
        ),
    }
    for step in order.split(", "):
        steps[step]()

    found = take_account(book, built_in, sheet, Money(100000), Money(0))

    assert (found.freight.actual, found.freight.lost) == (Money(2400), Money(1200))
    costs = sum((line.cost for line in found.materials), Money(0))
    assert costs == Money(1500 + kept)
    assert costs + found.freight.actual == found.afterwards.done.material
