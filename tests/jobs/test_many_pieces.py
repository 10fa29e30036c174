"""Several pieces from one design: what is once for all, what repeats, and prices that tie."""

from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.designs.model import Design, Joint, Need, Part
from ledger.designs.store import load_version, save_design
from ledger.errors import BadValue
from ledger.jobs.answers import set_count
from ledger.jobs.assembling import assemble
from ledger.jobs.jobs import basis_of, new_job, set_basis
from ledger.jobs.pieces import repeat_factor
from ledger.jobs.pricing import price_job
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.measures.values import replace
from ledger.quotes.answers import agreed_deliverables
from ledger.quotes.draft import Wishes, draft_quote
from ledger.quotes.invoice import InvoiceLine
from ledger.quotes.text import offer_text, pieces_words
from ledger.stock.materials import MaterialRow, save_materials


@pytest.fixture
def six(book, equip):
    """Six stools of one sheet material, at 73.00 an hour."""
    equip(book)
    with book.entry("shop set"):
        book.set("selling_rate", "73")
        book.set("price_step", "20")
        book.set("estimate", "standards")
    parts = (Part("A1", "Side", "2", "18 in", "12 in", "PLY", faces=2),
             Part("A2", "Seat", "1", "16 in", "12 in", "PLY", faces=2))  # fmt: skip
    joints = (Joint("J1", "other", "12 in", "2"),)
    design = save_design(book, Design("stool", "Stool", "inch", (), parts, joints))
    job = new_job(book, "Stools for the Ortiz kitchen")
    set_basis(book, job, design.key, {}, 6)
    return job


def test_parts_and_needs_are_of_all_pieces(book, six):
    made = assemble(book, six)
    assert [part.quantity for part in made.build.parts] == [12, 6]
    assert sum(len(sheet.placements) for sheet in made.plans["PLY"].layout.sheets) == 18
    assert [part.quantity for part in made.one.parts] == [2, 1]


def test_edge_tape_is_of_all_pieces(book, six):
    _, stool = load_version(book, basis_of(book, six).design)
    tape = MaterialRow("TAPE", "Edge tape", "edging", "ft", price=Decimal("0.25"))
    save_materials(book, [tape])
    banded = replace(stool, parts=tuple(
        replace(part, banded=("L1",), edging="TAPE") for part in stool.parts
    ))  # fmt: skip
    set_basis(book, six, save_design(book, banded, "banded").key, {}, 6)
    made = assemble(book, six)
    # two sides of 18 in and a seat of 16 in, six times
    assert [(band.length.feet, band.edges) for band in made.build.bands] == [(26, 18)]


def test_shares_of_a_lot_make_up_whole_lots(book, six):
    """A sixth of a lot a stool is one lot for six, and not one and two millionths more."""
    save_materials(book, [MaterialRow("MASK", "Masking", "supply", "lot", price=Decimal(16))])
    _, stool = load_version(book, basis_of(book, six).design)
    masked = replace(stool, needs=(Need("MASK", "1/6", basis="a sixth a piece"),))
    set_basis(book, six, save_design(book, masked, "masking").key, {}, 6)
    line = next(line for line in price_job(book, six).lines if line.item == "MASK")
    assert (line.net, line.quantity) == (Quantity.of(1), Quantity.of(1))


def test_drawing_is_done_once_and_a_repeated_piece_takes_less(book, six):
    hours = {line.operation: line for line in price_job(book, six).hours}
    assert hours["DES"].driver == 2  # two part lines, whatever the pieces
    # 2 joints × 6 × (100 + 95 + 90 + 85 + 80 + 75) ÷ 600
    assert hours["ASM"].driver == Fraction(21, 2)
    assert hours["ASM"].standard == Decimal("1.30")  # (20 + 5.5 × 10.5) ÷ 60
    assert hours["ASM"].basis.endswith("× 6 pieces × 0.875 for repeating")


def test_a_size_of_tenon_is_set_up_once_and_the_bench_is_shown_whole_counts(book, six):
    _, stool = load_version(book, basis_of(book, six).design)
    tenons = (Joint("J1", "tenon", "1 in", "4"), Joint("J2", "tenon", "2 in", "2"))
    set_basis(book, six, save_design(book, replace(stool, joints=tenons), "tenons").key, {}, 6)
    sheet = price_job(book, six)
    hours = {line.operation: line for line in sheet.hours}

    assert sheet.repeating == ("Counts are of all 6 pieces; hours of what repeats are × 0.875.")
    assert (hours["TNS"].driver, hours["TNS"].standard) == (2, Decimal("1.00"))
    assert (hours["TEN"].driver, hours["TEN"].repeat) == (Fraction(63, 2), Fraction(7, 8))
    assert hours["TEN"].real_count == 36  # (4 + 2) × 6
    assert hours["TNS"].real_count == 2


def test_a_count_made_by_hand_stands_as_typed_and_the_sheet_says_it(book, six):
    set_count(book, six, "ASM", Quantity.of(12))
    sheet = price_job(book, six)
    (line,) = [line for line in sheet.hours if line.operation == "ASM"]
    assert (line.driver, line.standard) == (12, Decimal("1.43"))  # (20 + 5.5 × 12) ÷ 60
    assert sheet.repeating.endswith("× 0.875, but not of what was counted by hand (ASM).")


def test_a_shop_may_say_that_repeating_saves_nothing(book, six):
    with book.entry("shop set"):
        book.set("repeat", "0 %")
    hours = {line.operation: line.driver for line in price_job(book, six).hours}
    assert hours["ASM"] == 12


def test_a_piece_is_never_more_than_thirty_percent_cheaper():
    assert repeat_factor(1000, Fraction(5, 100)) > Fraction(70, 100)
    assert repeat_factor(1000, Fraction(5, 100)) < Fraction(71, 100)


def test_price_a_piece_and_together_tie_on_the_quote(book, six):
    sheet = price_job(book, six)
    assert sheet.pieces == 6
    # a price a piece in steps of 20.00: six of them in steps of 120.00
    assert sheet.totals.price.minor % 12000 == 0
    assert Money(0) <= sheet.totals.price - sheet.totals.build_up < Money(12000)
    offer = draft_quote(book, six, Wishes(extras={"Delivery": Money(9050)})).offer
    goods, delivery = offer.deliverables
    assert (goods.pieces, goods.piece.times(Fraction(6))) == (6, goods.amount)
    assert goods.piece.minor % 100 == 0
    assert offer.price == goods.amount + delivery.amount >= sheet.totals.price
    assert f"Stool, 6 pieces, {book.currency.show(goods.piece)} each" in offer_text(offer, None)
    assert [line.pieces for line in agreed_deliverables(offer)] == [6, 1]


def test_a_price_that_was_said_must_divide(book, six):
    with pytest.raises(BadValue, match=r"1,000\.00 does not divide into 6 pieces.* 1,002\.00, 167"):
        draft_quote(book, six, Wishes(price=Money(100000)))
    assert draft_quote(book, six, Wishes(price=Money(99900))).offer.deliverables[0].piece == Money(
        16650
    )


def test_a_sum_said_with_its_tax_says_how_many_pieces_it_is_for(book, six):
    """Each has a price only where they have one: 1,000.00 less 6 % is 943.40, 1,017.60 is 960."""
    with book.entry("shop set"):
        book.set("tax_rate", "6 %")
    for said, words in ((100000, "Stool, 6 pieces "), (101760, "Stool, 6 pieces, 160.00 each ")):
        offer = draft_quote(book, six, Wishes(price=Money(said), is_tax_inside=True)).offer
        assert words in offer_text(offer, None)
        assert offer.to_pay == Money(said)
        (line,) = agreed_deliverables(offer)
        billed = InvoiceLine(line.name, line.price, offer.tax.amount, pieces=line.pieces)
        assert pieces_words(billed, book.currency.show) == words.rstrip()


def test_no_piece_is_no_job(book, six):
    with pytest.raises(BadValue, match="one piece or more"):
        set_basis(book, six, basis_of(book, six).design, {}, 0)
