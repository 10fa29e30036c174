"""A job of typed lines: priced, taken back, learned from, copied; a price agreed in one sum."""

from datetime import timedelta
from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.book.tables.operations import Operation
from ledger.designs.model import Design, Part
from ledger.designs.store import save_design
from ledger.errors import BadValue, NotAllowed
from ledger.jobs.agreement import Ask
from ledger.jobs.answers import answer, to_give_out
from ledger.jobs.changes import change_price
from ledger.jobs.closeout import close_job
from ledger.jobs.copying import copy_job
from ledger.jobs.jobs import new_job, set_basis
from ledger.jobs.lines import (
    add_outside,
    lines_of,
    numbered_lines,
    set_total,
    take_back,
    total_of,
)
from ledger.jobs.pricing import price_job, range_of
from ledger.jobs.typed_lines import add_typed, add_typed_use, add_typed_work
from ledger.jobs.unlogged import post_answers
from ledger.labor.history import history
from ledger.labor.log import TimeEntry, log_hours
from ledger.labor.standards import standards
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.papers.cost_sheet import cost_sheet_paper
from ledger.papers.shop_pack import shop_pack_paper
from ledger.quotes.answers import accept_quote
from ledger.quotes.billing import find_job_to_bill, write_invoice
from ledger.quotes.draft import Wishes, draft_quote
from ledger.quotes.offer import Maker
from ledger.quotes.revisions import send_quote
from ledger.quotes.text import offer_text
from ledger.reports.ahead import left_of
from ledger.reports.closeout import account_of
from ledger.reports.review_read import IN_ONE_SUM, QuotesOfBook, closed_work, kind_of
from ledger.reports.today import today_report
from ledger.stock import receive as buy
from ledger.stock.documents import Document, DocumentLine, Share
from ledger.stock.materials import MaterialRow, save_materials
from ledger.upkeep.undo import take_back as undo
from ledger.verbs.cutting import of_job as layouts_of
from ledger.verbs.cutting import pack_with

FIVE_HUNDRED = Money(50000)
# Common practice, no source: the standards of a repair shop, as minutes, set-up and driver.
SHOP = (
    ("RPR", "Repair", "assembly", "repair", "hour", 60, 0, "repair, repairs, fix"),
    ("DIS", "Take apart & clean joints", "assembly", "opened", "joint", 6, 15, "take apart"),
    ("STR", "Strip old finish", "finish", "strip", "sq ft", 6, 30, "strip finish"),
    ("SVC", "Service call", "office", "visits", "visit", 60, 0, "call-out"),
    ("ADS", "Admin of a service job", "office", "service_jobs", "job", 0, 30, "service admin"),
    ("TRB", "Turn bowls", "joinery", "bowl", "in", 10, 20, "bowl"),
    ("BRU", "Brush a coat", "finish", "brush", "sq ft × coat", 1, 0, "brush"),
    ("WIP", "Wipe a coat", "finish", "wipe", "sq ft × coat", "0.8", 0, "wipe, oil"),
    ("HFS", "Hand-finish set-up", "finish", "hand_sessions", "session", 15, 10, "brush setup"),
    ("SNS", "Sand solid wood", "finish", "sand_solid", "sq ft", 3, 10, "sand solid"),
)


@pytest.fixture
def bench(book, equip):
    """A shop that repairs, at 73.00 an hour, prices in steps of 20."""
    equip(book)
    with book.entry("shop set"):
        for name, value in {
            "overhead_year": "22000", "pay_year": "56000", "hours_year": "1920",
            "selling_rate": "73", "price_step": "20", "contingency": "6 %",
            "estimate": "standards",
        }.items():  # fmt: skip
            book.set(name, value)
        for code, name, group, driver, unit, minutes, setup, spoken in SHOP:
            book.post(Operation(code=code, name=name, group=group, driver=driver, unit=unit,
                                minutes=Decimal(minutes), setup=Decimal(setup),
                                helper_share=Fraction(0), spoken=spoken))  # fmt: skip
    rows = [
        MaterialRow("GLUE", "Hide glue", "adhesive", "bottle", price=Decimal("7.50"), whole=True),
        MaterialRow("FIN", "Stripper, stain and varnish", "finish", "each", price=Decimal(96)),
        MaterialRow("BLANK", "Bowl blank", "supply", "each", price=Decimal(18)),
        MaterialRow("OIL", "Tung oil", "finish", "qt", price=Decimal(28), whole=True),
    ]
    save_materials(book, rows)
    return book


def order(book, title, *work, uses=()):
    job = new_job(book, title)
    add_typed(book, job, work, uses)
    return job


@pytest.mark.parametrize(
    ("title", "work", "use", "hours", "sum_", "price"),
    [
        ("Chair", "repair 3h", "GLUE 1", "3.50", 27983, 28000),
        ("Reglue six chairs", "take apart 72, assemble 72, call-out 1, protect 6", "GLUE 2",
         "16.73", 131257, 132000),
        ("Dresser", "STR 45, SNS 45, BRU 135, SBC 90, HFS 3, HWS 8", "FIN 1", "12.85", 110953,
         112000),
        ("Bowl of 10 in", "bowl 10, oil 6, HFS 2", "BLANK 1", "3.25", 27309, 28000),
    ],
)  # fmt: skip
def test_a_work_order_is_priced_like_any_job(bench, title, work, use, hours, sum_, price):
    job = order(bench, title, work, uses=(use,))
    sheet = price_job(bench, job)

    assert sheet.totals.estimate_hours == Decimal(hours)
    assert sum((line.amount for line in sheet.build_up), Money(0)) == Money(sum_)
    assert sheet.totals.price == Money(price)
    assert sheet.design == "work order"


def test_every_work_order_has_its_admin_unless_it_is_typed(bench):
    chair = order(bench, "Chair", "repair 3h")
    assert {line.operation: line.estimate for line in price_job(bench, chair).hours} == {
        "RPR": Decimal("3.00"), "ADS": Decimal("0.50"),
    }  # fmt: skip
    big = order(bench, "Big repair", "repair 30h, paperwork 1")
    assert {line.operation for line in price_job(bench, big).hours} == {"RPR", "ADM"}


def test_what_is_open_is_asked_until_it_is_answered(bench):
    job = order(bench, "Table", "strip finish 20")
    assert [gap.what for gap in price_job(bench, job).gaps] == ["delivery", "new finish"]
    answer(bench, job, "delivery", Money(0), "brought and fetched")
    add_typed_work(bench, job, ["brush", "60"])
    sheet = price_job(bench, job)
    assert sheet.gaps == ()
    still_open = {one.item for one in sheet.forgotten if one.is_open}
    assert {"design", "meetings", "pick-up"} <= still_open
    assert not {"admin", "sheets", "waste"} & still_open


def test_a_use_is_charged_as_typed_in_any_unit_of_its_kind(bench):
    job = order(bench, "Bowl", "bowl 10")
    add_typed_use(bench, job, ["OIL", "8", "fl oz", "first coat"])
    (line,) = price_job(bench, job).lines
    assert (line.quantity, line.full, line.basis) == (
        Quantity.of(Decimal("0.25")), Money(700), "first coat",
    )  # fmt: skip


def test_a_line_is_taken_back_by_its_number_once(bench):
    job = order(bench, "Chair", "repair 3h, protect 1")
    take_back(bench, job, 2)
    assert [line.name for line in lines_of(bench, job)] == ["RPR"]
    assert [one.is_taken_back for one in numbered_lines(bench, job)] == [False, True]
    assert price_job(bench, job).totals.estimate_hours == Decimal("3.50")
    with pytest.raises(BadValue, match="no line 2 that stands"):
        take_back(bench, job, 2)


def test_undo_takes_a_line_back_too(bench):
    job = order(bench, "Chair", "repair 3h")
    add_typed_work(bench, job, ["repair", "1h"])
    undo(bench, None, "typed twice")
    assert price_job(bench, job).totals.estimate_hours == Decimal("3.50")


def test_hours_and_a_count_of_one_operation_do_not_stand_together(bench):
    job = order(bench, "Chair", "assemble 12")
    with pytest.raises(BadValue, match="count it twice"):
        add_typed_work(bench, job, ["assemble", "2h"])


def test_lines_of_a_job_with_a_design_are_counts(bench):
    job = new_job(bench, "Hall shelf")
    parts = (Part("A1", "Board", "2", "36 in", "11 in", "PLY"),)
    set_basis(bench, job, save_design(bench, Design("shelf", "Shelf", "inch", (), parts)).key, {})
    with pytest.raises(NotAllowed, match="job count"):
        add_typed_work(bench, job, ["assemble", "12"])


def test_the_work_of_others_has_its_own_markup_and_is_open_until_quoted(bench):
    job = order(bench, "Chair", "repair 3h, protect 1")
    add_outside(bench, job, "caning", Money(12000), markup=Fraction(1, 4), lead_days=20)
    sheet = price_job(bench, job)
    assert [(one.words, one.price) for one in sheet.others] == [("caning", Money(15000))]
    assert [gap.sentence(job.number) for gap in sheet.gaps] == [
        "No price yet for caning: 120.00 is a guess. When it is in: benchledger job line"
        ' J-2501 outside AMOUNT "caning" --quoted'
    ]
    add_outside(bench, job, "Caning", Money(14000), is_quoted=True)
    sheet = price_job(bench, job)
    assert [(one.words, one.price) for one in sheet.others] == [("Caning", Money(17500))]
    assert sheet.gaps == ()
    weeks = draft_quote(bench, job, Wishes()).offer.lead_weeks
    assert weeks == 3  # the caner's 20 days, after a day of the shop's


def test_goods_called_as_the_work_of_others_are_its_bill(bench):
    job = order(bench, "Chair", "repair 3h, protect 1")
    add_outside(bench, job, "caning", Money(12000), lead_days=20)
    before = price_job(bench, job).totals.cash_to_spend
    bill = DocumentLine("Caning", "supply", Quantity.of(1), "each", Money(12500),
                        shares=(Share("job", Quantity.of(1), job.key),))  # fmt: skip
    buy(bench, Document("Reed & Rush", bench.today, (bill,), document="F-1"))

    sheet = price_job(bench, job)
    assert (to_give_out(bench, job), sheet.gaps) == ((), ())
    assert sheet.totals.cash_to_spend == before - Money(12000)
    account = account_of(bench, job, FIVE_HUNDRED)
    (caning,) = account.materials
    assert (caning.planned_cost, caning.cost) == (Money(12000), Money(12500))
    assert (caning.variance.price, caning.variance.usage) == (Money(500), Money(0))
    assert (account.not_noted, account.differences.amount) == ((), Money(500))


def test_papers_of_a_guessed_job_know_no_standard_and_no_range(bench):
    job = new_job(bench, "Gate")
    set_total(bench, job, FIVE_HUNDRED, 240)
    sheet = price_job(bench, job)
    pack = pack_with(bench, layouts_of(bench, job), sheet)
    hung = str(shop_pack_paper(pack, "Shop", "A4").texts)
    assert ("a guess has no range" in hung, "in 10 stay" in hung) == (True, False)
    paper = cost_sheet_paper(sheet, range_of(bench, sheet), Maker("Shop", "", ""), "A4")
    assert "full cost at the guessed hours" in str(paper.texts)


def test_a_review_has_what_was_credited_after_closing(bench):
    job = order(bench, "Chair", "repair 3h, protect 1")
    closed(bench, job)
    change_price(bench, job, Ask("a scratch", Money(-5000), Money(0)), "e-mail", day=bench.today)
    (work,) = closed_work(bench, bench.today, bench.today, QuotesOfBook(bench))
    assert (work.done.price, work.done.changes) == (FIVE_HUNDRED, Money(-5000))
    assert work.full == account_of(bench, job).afterwards.full.amount


def logged(book, job, code, minutes):
    log_hours(book, TimeEntry(job, standards(book)[code], minutes, book.today), sure=True)


def closed(book, job, price=FIVE_HUNDRED):
    close_job(book, account_of(book, job, price))


def test_a_bare_duration_teaches_nothing_and_a_count_does(bench):
    timed = order(bench, "Chair", "assemble 3h")
    assert price_job(bench, timed).totals.estimate_hours == Decimal("3.50")
    logged(bench, timed, "ASM", 240)
    closed(bench, timed)
    assert history(bench).learned("ASM").jobs == 0

    counted = order(bench, "Six chairs", "assemble 72")
    logged(bench, counted, "ASM", 500)
    closed(bench, counted)
    assert history(bench).learned("ASM").minutes == 500


def test_a_copy_has_the_lines_that_stand(bench):
    job = order(bench, "Chair", "repair 3h, protect 1", uses=("GLUE 1",))
    add_outside(bench, job, "caning", Money(12000), lead_days=14, is_quoted=True)
    take_back(bench, job, 2)
    copy = copy_job(bench, job, "Another chair").job
    assert [(one.kind, one.name) for one in lines_of(bench, copy)] == [
        ("work", "RPR"), ("use", "GLUE"), ("outside", "caning"),
    ]  # fmt: skip
    assert not lines_of(bench, copy, "outside")[0].is_quoted  # their price is to be asked again
    assert price_job(bench, copy).totals.price == price_job(bench, job).totals.price


def test_a_job_by_total_is_sold_at_it_and_teaches_nothing(bench):
    job = new_job(bench, "Gate")
    set_total(bench, job, Money(85000), 540)
    sheet = price_job(bench, job)
    assert (sheet.totals.price, sheet.hours) == (Money(85000), ())
    # 9 h at 67.71 is 609.39 of the price
    assert sheet.totals.full_cost == sheet.rates.break_even.times(9)
    assert draft_quote(bench, job, Wishes()).offer.price == Money(85000)
    logged(bench, job, "ASM", 600)
    closed(bench, job, None)
    assert account_of(bench, job).afterwards.done.price == Money(85000)
    assert all(not lesson.estimate for lesson in history(bench).lessons)
    assert account_of(bench, job).record.marks == ()
    assert kind_of(bench, job) == IN_ONE_SUM


def test_a_job_by_total_is_invoiced_without_a_quote(bench):
    job = new_job(bench, "Gate")
    set_total(bench, job, Money(85000))
    assert find_job_to_bill(bench, "gate").key == job.key
    paper = write_invoice(bench, job)
    assert (paper.kind, paper.price, paper.to_pay) == ("Invoice", Money(85000), Money(85000))
    with pytest.raises(NotAllowed, match="change order"):
        set_total(bench, job, Money(90000))


def test_a_price_said_at_closing_is_invoiced(bench):
    job = order(bench, "Chair", "repair 3h")
    closed(bench, job, Money(30000))
    paper = write_invoice(bench, find_job_to_bill(bench, "chair"))
    assert paper.asked == Money(30000)


def test_without_a_price_there_is_nothing_to_invoice(bench):
    order(bench, "Chair", "repair 3h")
    with pytest.raises(NotAllowed, match="no quote and no agreed price"):
        find_job_to_bill(bench, "chair")
    assert total_of(bench, new_job(bench, "Gate")) is None


def worked(book, title, work, **minutes):
    """A work order with these lines, hours logged and closed."""
    job = order(book, title, work)
    for code, spent in minutes.items():
        logged(book, job, code, spent)
    closed(book, job)


def foretold(book, work):
    """What the past says of the operations of such a work order."""
    sheet = price_job(book, order(book, f"Next {work}", work))
    return {line.operation: line.history for line in sheet.hours}


def test_a_repair_teaches_repairs_and_nothing_else(bench):
    worked(bench, "Six chairs", "assemble 72", ASM=416, ADS=30)
    before = foretold(bench, "assemble 72, repair 3h")
    for number in range(4):
        worked(bench, f"Chair {number}", "repair 3h", RPR=360, ADS=30)
    after = foretold(bench, "assemble 72, repair 3h")
    assert after["ASM"] == before["ASM"]
    assert after["RPR"] > before["RPR"] * Decimal("1.3")


def test_hours_typed_beside_counted_work_move_no_other_line(bench):
    worked(bench, "Six chairs", "assemble 72", ASM=416, ADS=30)
    before = foretold(bench, "assemble 72")
    worked(bench, "Six more", "assemble 72, sand solid 4h", ASM=416, SNS=900, ADS=30)
    after = foretold(bench, "assemble 72")
    assert abs(after["ASM"] - before["ASM"]) < Decimal("0.40")  # it ran as before, and is surer
    assert "SNS" not in {one.operation for one in history(bench).lessons if not one.left_out}


def test_a_quote_for_a_repair_says_nothing_of_drawings_or_new_pieces(bench):
    job = order(bench, "Chair", "repair 3h, protect 1", uses=("GLUE 1",))
    page = offer_text(draft_quote(bench, job, Wishes()).offer, None).casefold()
    for word in ("drawing", "sample,", "made to your measure", "springs", "mattress", "walls"):
        assert word not in page, word
    assert "on completion" in page
    assert "this covers the repair, not the piece" in " ".join(page.split())
    with bench.entry("shop set"):
        bench.set("wording_warranty", "Two years on all that we touch.")
    page = offer_text(draft_quote(bench, job, Wishes()).offer, None)
    assert "Two years on all that we touch." in page


def test_hours_of_a_repair_that_stand_on_another_line_are_read_with_it(bench):
    worked(bench, "Six chairs", "assemble 72", ASM=416, ADS=30)
    before = foretold(bench, "assemble 72")["ASM"]
    job = order(bench, "Six more", "assemble 72, take apart 72")
    logged(bench, job, "ASM", 416 + 447)  # both, at their standards
    logged(bench, job, "ADS", 30)
    post_answers(bench, job, {"DIS": ("on another line", "ASM")})
    closed(bench, job)
    assert abs(foretold(bench, "assemble 72")["ASM"] - before) < Decimal("0.40")


def test_a_repair_is_not_asked_for_finish_or_installation_and_its_call_out_is_no_delivery(bench):
    job = order(bench, "Rocker", "repair 3h, call-out 1", uses=("GLUE 1",))
    asked = {one.item for one in price_job(bench, job).forgotten}
    assert not asked & {"finish prep", "coating", "installation", "joinery"}
    page = offer_text(draft_quote(bench, job, Wishes()).offer, None).casefold()
    for words in ("clear path", "parking", "collected", "color match", "humidity"):
        assert words not in page, words
    stripped = order(bench, "Table", "strip finish 20, brush 60, protect 1")
    sheet = price_job(bench, stripped)
    assert "finish prep" in {one.item for one in sheet.forgotten}
    assert "old paint and strippers" in {one.about for one in sheet.cautions}


def test_today_names_old_prices_of_what_a_repair_uses(bench, monkeypatch):
    order(bench, "Rocker", "repair 3h, call-out 1", uses=("GLUE 1",))
    monkeypatch.setattr(bench, "today", bench.today + timedelta(days=400))
    assert [(one.material, one.jobs) for one in today_report(bench).old_prices] == [
        ("GLUE", ("J-2501",))
    ]


def test_material_beside_its_price_has_the_work_of_others_in_both_or_in_none(bench):
    job = order(bench, "Chair", "repair 3h, protect 1")
    add_outside(bench, job, "caning", Money(12000), lead_days=20, is_quoted=True)
    quote = draft_quote(bench, job, Wishes()).quote
    send_quote(bench, quote)
    accept_quote(bench, quote, how="letter")
    before = left_of(bench, job).material_priced
    bill = DocumentLine("Caning", "supply", Quantity.of(1), "each", Money(12500),
                        shares=(Share("job", Quantity.of(1), job.key),))  # fmt: skip
    buy(bench, Document("Reed & Rush", bench.today, (bill,), document="F-1"))
    left = left_of(bench, job)
    assert (left.material, left.material_priced) == (Money(12500), before + Money(12000))
