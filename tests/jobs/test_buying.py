"""The buying list: need − what the job has − stock − offcuts, in whole packs, by supplier."""

from datetime import date
from decimal import Decimal

import pytest

from ledger.designs.model import Design, Need, Part
from ledger.designs.store import save_design
from ledger.errors import NotAllowed
from ledger.jobs.buying import buying_list, jobs_to_buy_for
from ledger.jobs.jobs import new_job, set_basis, set_state
from ledger.measures.length import Length
from ledger.measures.money import Money, total
from ledger.measures.quantity import Quantity
from ledger.measures.values import replace
from ledger.stock import issue, keep_offcuts, put_back, receive, withdraw
from ledger.stock.documents import Document, DocumentLine
from ledger.stock.materials import MaterialRow, save_materials, set_price
from ledger.stock.offcuts import OffcutSize
from ledger.stock.opening import OpeningRow, open_stock

TODAY = date(2025, 4, 25)
YARD, STORE, BRIGHTFELL = "Copper Vale Lumber", "Harrow Street Hardware", "Brightfell Panels"
PRICES = [
    MaterialRow("PLY34", "Birch ply 3/4", "sheet", "sheet", length=Length.of(96, "in"),
                width=Length.of(48, "in"), price=Decimal(96), supplier=YARD, price_day=TODAY),
    MaterialRow("SCREW", "Screws", "fastener", "screw", pack=Quantity.of(100),
                price=Decimal("0.054"), supplier=STORE, price_day=date(2025, 1, 2)),
    MaterialRow("PULL", "Bar pulls", "hardware", "each", price=Decimal("13.50"), supplier=STORE,
                price_day=TODAY),
    MaterialRow("GLUE", "Glue", "adhesive", "bottle"),
]  # fmt: skip
CHEST = Design(
    name="chest", title="Chest", units="inch",
    parts=(Part("A", "Side", "6", "90 in", "15 in", "PLY34"),),
    needs=(Need("SCREW", "60"), Need("PULL", "2")),
)  # fmt: skip

GLUED = replace(CHEST, name="glued", needs=(Need("GLUE", "1"),))


def q(number):
    return Quantity.of(Decimal(str(number)))


@pytest.fixture
def chest(book):
    """A chest that takes two sheets, 66 screws (60 and a tenth) and two pulls."""
    save_materials(book, PRICES)
    return open_chest(book)


def open_chest(book, title="Chest", design=CHEST):
    job = new_job(book, title)
    set_basis(book, job, save_design(book, design).key, {})
    return job


def lines(book, *jobs):
    return {line.material: line for line in buying_list(book, jobs).lines}


def own(book, material, number, cost=100):
    open_stock(book, [OpeningRow(material, q(number), Money(cost), Money(cost))])


def given(book, number):
    """Sheets in kind."""
    line = DocumentLine("Birch ply 3/4", "sheet", q(number), "sheet", Money(9600 * number), "PLY34",
                method="retail price seen", evidence="yard price page")  # fmt: skip
    receive(book, Document(BRIGHTFELL, TODAY, (line,), "in_kind", document="note 771"))


def test_what_nothing_covers_is_bought_in_whole_packs_at_todays_price(book, chest):
    found = lines(book, chest)
    assert {code: line.need for code, line in found.items()} == {
        "PLY34": q(2), "SCREW": q(66), "PULL": q(2),
    }  # fmt: skip
    screws = found["SCREW"]
    assert (screws.short, screws.packs, screws.buy) == (q(66), 1, q(100))
    assert screws.amount == Money(540)
    assert (found["PLY34"].packs, found["PLY34"].amount) == (2, Money(19200))


def test_packs_are_rounded_up_once_over_all_jobs(book, chest):
    twin = open_chest(book, "Chest for the hall")
    screws = lines(book, chest, twin)["SCREW"]
    assert screws.jobs == ((chest.number, q(66)), (twin.number, q(66)))
    assert (screws.need, screws.packs, screws.buy) == (q(132), 2, q(200))
    own(book, "SCREW", 40)
    assert lines(book, chest, twin)["SCREW"].packs == 1


def test_stock_of_our_own_and_of_sponsors_is_taken_off_and_told_apart(book, chest):
    given(book, 1)
    own(book, "SCREW", 50)
    found = lines(book, chest)
    assert found["PLY34"].from_sponsors == ((BRIGHTFELL, q(1)),)
    assert (found["PLY34"].short, found["PLY34"].amount) == (q(1), Money(9600))
    assert (found["SCREW"].from_stock, found["SCREW"].short) == (q(50), q(16))


def test_what_is_covered_is_on_the_list_but_not_to_buy(book, chest):
    given(book, 5)
    own(book, "SCREW", 500)
    found = buying_list(book, [chest])
    assert [line.material for line in found.to_buy] == ["PULL"]
    assert len(found.lines) == 3
    assert found.total == Money(2700)


def test_stock_is_promised_once_and_to_the_first_job(book, chest):
    twin = open_chest(book, "Chest for the hall")
    own(book, "PULL", 3)
    pulls = lines(book, chest, twin)["PULL"]
    assert (pulls.need, pulls.from_stock, pulls.short) == (q(4), q(3), q(1))


def test_what_is_borrowed_is_not_stock(book, chest):
    line = DocumentLine("Bar pulls", "hardware", q(2), "each", Money(2700), "PULL")
    receive(book, Document(BRIGHTFELL, TODAY, (line,), "borrowed", document="loan 4"))
    assert lines(book, chest)["PULL"].short == q(2)


def test_what_the_job_got_is_not_bought_again_and_what_came_back_is_stock(book, chest):
    own(book, "PULL", 2)
    issue(book, chest.key, "PULL", q(2))
    pulls = lines(book, chest)["PULL"]
    assert (pulls.given, pulls.from_stock, pulls.short) == (q(2), q(0), q(0))
    put_back(book, chest.key, "PULL", q(1))
    pulls = lines(book, chest)["PULL"]
    assert (pulls.given, pulls.from_stock, pulls.short) == (q(1), q(1), q(0))


def test_more_than_needed_at_one_job_does_not_serve_another(book, chest):
    own(book, "PULL", 9)
    issue(book, chest.key, "PULL", q(9))
    twin = open_chest(book, "Chest for the hall")
    pulls = lines(book, chest, twin)["PULL"]
    assert (pulls.given, pulls.short) == (q(2), q(2))


def test_scrap_that_is_charged_to_the_job_must_be_bought_again(book, chest):
    own(book, "PULL", 2)
    withdraw(book, "scrap", "PULL", q(1), reason="scratched", job=chest.key)
    assert lines(book, chest)["PULL"].short == q(1)


def test_an_offcut_that_is_large_enough_saves_a_sheet_for_one_job_only(book, chest):
    own(book, "PLY34", 1, 9600)
    earlier = open_chest(book, "An earlier job")
    issue(book, earlier.key, "PLY34", q(1))
    piece = OffcutSize(Length.of(95, "in"), Length.of(47, "in"))
    kept = keep_offcuts(book, earlier.key, "PLY34", [piece])[0]
    twin = open_chest(book, "Chest for the hall")
    found = buying_list(book, [chest, twin])
    assert [(used.job, used.lot) for used in found.offcuts] == [(chest.number, kept.key)]
    sheets = next(line for line in found.lines if line.material == "PLY34")
    assert sheets.jobs == ((chest.number, q(1)), (twin.number, q(2)))
    assert sheets.buy == q(3)


def test_an_offcut_that_the_job_took_still_saves_its_sheet(book, chest):
    own(book, "PLY34", 1, 9600)
    earlier = open_chest(book, "An earlier job")
    issue(book, earlier.key, "PLY34", q(1))
    piece = OffcutSize(Length.of(95, "in"), Length.of(47, "in"))
    kept = keep_offcuts(book, earlier.key, "PLY34", [piece])[0]
    issue(book, chest.key, None, q(1), lot=kept.key)
    assert lines(book, chest)["PLY34"].buy == q(1)


def test_old_prices_are_marked_and_lines_without_a_price_stand_apart(book, chest):
    glued = open_chest(book, "Glued chest", GLUED)
    found = buying_list(book, [chest, glued])
    known = {line.material: line for line in found.lines}
    assert [code for code, line in known.items() if line.is_stale] == ["SCREW"]
    assert (known["GLUE"].price, known["GLUE"].amount, known["GLUE"].supplier) == (None, None, "")
    with book.entry("shop set"):
        book.set("stale_days", "200")
    assert not any(line.is_stale for line in buying_list(book, [chest]).lines)


def test_suppliers_stand_in_order_and_their_sums_make_the_total(book, chest):
    glued = open_chest(book, "Glued chest", GLUED)
    found = buying_list(book, [chest, glued])
    assert list(found.by_supplier) == [YARD, STORE, ""]
    assert sum(map(len, found.by_supplier.values())) == len(found.to_buy)
    assert found.total == total(line.amount or Money(0) for line in found.to_buy)
    assert found.total == Money(2 * 19200 + 540 + 2700)


def test_jobs_that_are_won_are_served_first_and_finished_ones_not_at_all(book, chest):
    won = open_chest(book, "Won")
    set_state(book, won, "won")
    for state in ("ready", "installed", "closed", "canceled"):
        set_state(book, open_chest(book, f"Chest {state}"), state)
    assert [job.number for job in jobs_to_buy_for(book)] == [won.number, chest.number]
    found = buying_list(book, jobs_to_buy_for(book))
    assert [(job.number, job.is_won) for job in found.jobs] == [
        (won.number, True), (chest.number, False),
    ]  # fmt: skip


def test_a_sheet_without_a_price_is_refused_by_name(book, chest):
    save_materials(book, [replace(PRICES[0], code="MDF", price=None)])
    box = replace(CHEST, name="box", parts=(Part("A", "Side", "1", "20 in", "10 in", "MDF"),))
    with pytest.raises(NotAllowed, match=r"MDF.* has no price"):
        buying_list(book, [open_chest(book, "Box", box)])


def test_the_price_of_a_day_makes_the_amount(book, chest):
    set_price(book, "PULL", Decimal("15.00"), supplier=YARD)
    pulls = lines(book, chest)["PULL"]
    assert (pulls.amount, pulls.supplier) == (Money(3000), YARD)
