"""What a price charges, line by line: tint, waste, small prices, freight and the card's fee."""

from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.designs.model import Coat, Design, Need, Part
from ledger.designs.store import save_design
from ledger.jobs.answers import add_cost
from ledger.jobs.jobs import new_job, set_basis
from ledger.jobs.pricing import price_job
from ledger.measures.length import Length
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.measures.values import replace
from ledger.stock.materials import MaterialRow, save_materials, set_price


def q(number):
    return Quantity.of(Decimal(str(number)))


OAK = Design(
    name="bench", title="Oak bench", units="inch",
    parts=(Part("A", "Stave", "3", "48 in", "4 in", "OAK", "3/4 in", faces=1, cut="board"),),
    needs=(Need("WEDGE", "21"), Need("TACK", "10000"), Need("LEG", "4")),
    finish=(Coat("OIL", 2, "brush", "TONE", Fraction(1, 20), "200 sq ft"),),
)  # fmt: skip
PRICES = [
    MaterialRow("OAK", "Red oak 4/4", "lumber", "bd ft", length=Length.of(96, "in"),
                width=Length.of(6, "in"), thickness=Length.of(1, "in"), price=Decimal(7)),
    MaterialRow("WEDGE", "Wedges", "supply", "each", allowance=Fraction(3, 10),
                allowance_on="bought", price=Decimal("0.50")),
    MaterialRow("TACK", "Tacks", "supply", "each", price=Decimal("0.012346")),
    MaterialRow("LEG", "Legs", "hardware", "each", price=Decimal("18.00")),
    MaterialRow("OIL", "Hardwax oil", "finish", "gal", coverage=Decimal(400),
                coverage_source="the can", whole=True, price=Decimal(90)),
    MaterialRow("TONE", "Oil tone", "finish", "quart", price=Decimal(24)),
]  # fmt: skip


@pytest.fixture
def bench(book, equip):
    """An oak bench with an oil finish; 200 sq ft twice make one gallon."""
    equip(book)
    save_materials(book, PRICES)
    return open_job(book, OAK)


def open_job(book, design):
    job = new_job(book, design.title)
    set_basis(book, job, save_design(book, design).key, {})
    return job


def line_of(book, job, item):
    return next(line for line in price_job(book, job).lines if line.item == item)


# A twentieth of so many gallons, in quarts: what is begun is bought.
@pytest.mark.parametrize(
    ("area", "gallons", "net", "quarts"),
    [("200 sq ft", 1, "0.2", 1), ("1000 sq ft", 5, "1", 1), ("1200 sq ft", 6, "1.2", 2)],
)
def test_a_tint_is_bought_in_whole_cans(book, bench, area, gallons, net, quarts):
    coat = replace(OAK.finish[0], area=area)
    job = open_job(book, replace(OAK, name="bench toned", finish=(coat,)))
    assert line_of(book, job, "OIL").quantity == q(gallons)
    tone = line_of(book, job, "TONE")
    assert (tone.net, tone.quantity, tone.full) == (q(net), q(quarts), Money(2400 * quarts))


def test_a_tint_is_bought_in_its_packs(book, bench):
    save_materials(book, [replace(PRICES[5], pack=q(4), whole=True)])
    assert line_of(book, bench, "TONE").quantity == q(4)


def test_two_lines_of_one_finish_share_the_can_they_begin(book, bench):
    """0.4 gal outside and 0.3 gal inside are one gallon, not two; the tint is one can."""
    outside = Coat("OIL", 2, "brush", area="80 sq ft")
    inside = Coat("OIL", 1, "brush", "TONE", Fraction(1, 20), area="120 sq ft")
    job = open_job(book, replace(OAK, name="bench in two", finish=(outside, inside)))
    sheet = price_job(book, job)
    first, second = [line for line in sheet.lines if line.item == "OIL"]
    assert (first.net, first.quantity, second.net, second.quantity) == (q("0.4"), q(1), q("0.3"),
                                                                        q(0))  # fmt: skip
    assert "left from above" in second.basis
    assert (first.full + second.full, line_of(book, job, "TONE").quantity) == (Money(9000), q(1))
    assert line_of(book, job, "TONE").net == q("0.2")


def test_lines_of_one_small_part_are_rounded_together(book, bench):
    """4 × 1.1 + 4 × 1.1 = 8.8, so 9; each for itself would be 4 and 4."""
    save_materials(book, [MaterialRow("PIN", "Pins", "fastener", "each", price=Decimal(1))])
    twice = (Need("PIN", "4", "top"), Need("PIN", "4", "legs"))
    job = open_job(book, replace(OAK, name="bench with pins", needs=twice))
    assert [x.quantity for x in price_job(book, job).lines if x.item == "PIN"] == [q(4), q(5)]


def test_waste_of_what_is_bought_is_a_divisor(book, bench):
    """21 ÷ (1 − 30 %) = 30; of what is needed it would be 21 × 1.3 = 27.3, so 28."""
    wedges = line_of(book, bench, "WEDGE")
    assert (wedges.quantity, wedges.full) == (q(30), Money(1500))
    save_materials(book, [replace(PRICES[1], allowance_on="net")])
    assert line_of(book, bench, "WEDGE").quantity == q(28)


def test_a_unit_price_keeps_its_six_decimals(book, bench):
    """10,000 at 0.012346 are 123.46; with five decimals they would be 123.50."""
    assert line_of(book, bench, "TACK").full == Money(12346)
    set_price(book, "TACK", Decimal("0.000049"))
    assert line_of(book, bench, "TACK").full == Money(49)


@pytest.mark.parametrize(
    ("item", "said"), [("LEG", "price: 18.00 each of "), ("OIL", "price: 90 a gal of ")]
)
def test_a_price_is_said_with_the_unit_it_is_for(book, bench, item, said):
    assert said in "\n".join(line_of(book, bench, item).trace)


def test_freight_and_the_cards_fee_are_costs_of_the_job(book, bench):
    before = price_job(book, bench).totals
    with book.entry("shop set"):
        for name, value in {"card_fee": "3 %", "card_share": "50 %"}.items():
            book.set(name, value)
    add_cost(book, bench, "freight", "legs by mail", q(1), Decimal("40.00"))
    sheet = price_job(book, bench)
    added = {line.name: line.amount for line in sheet.build_up}
    fee, freight = added["card fee"], added["freight"]
    assert freight == Money(4000)
    # Half of the sum by card at 3 %: the fee is 1.5 % of a sum that contains it.
    assert fee == (before.build_up + freight).times(Fraction(15, 985))
    assert sheet.totals.full_cost == before.full_cost + freight + fee
    assert sheet.totals.cash_to_spend == before.cash_to_spend + freight + fee
    assert sheet.totals.helper_hours == 0
    earned = sheet.totals.price - before.material_full - freight - fee
    assert sheet.totals.earned_per_hour == earned.times(1 / Fraction(sheet.range.p50))


def test_a_selling_rate_of_nothing_is_a_rate(book, bench):
    with book.entry("shop set"):
        book.set("selling_rate", "0.00")
    sheet = price_job(book, bench)
    assert sheet.rates.selling == Money(0)
    assert next(x for x in sheet.build_up if x.name == "owner hours").amount == Money(0)


def test_what_costs_nothing_is_priced_at_nothing(book, bench):
    set_price(book, "LEG", Decimal("0.00"))
    legs = line_of(book, bench, "LEG")
    assert (legs.full, legs.cash, legs.price) == (Money(0), Money(0), Money(0))
