"""Freight, discounts and taxes put on the lines they belong to."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.errors import NotAllowed
from ledger.measures.money import Money, currency, total
from ledger.measures.quantity import Quantity
from ledger.stock.documents import Document, DocumentLine
from ledger.stock.landed import UseTax, land

RATE = UseTax(Fraction(6, 100), currency("USD"))


def line(net, category="hardware", tax_kind="none", tax=0, **more):
    return DocumentLine("goods", category, Quantity.of(1), "each", Money(net), tax_kind=tax_kind,
                tax_paid=Money(tax), **more)  # fmt: skip


def usd(text):
    return currency("USD").money(Decimal(text))


def landed(*lines, use_tax=RATE, **more):
    return land(Document("Windlass Bed Fittings", date(2025, 5, 2), lines, **more), use_tax)


def test_freight_is_spread_by_value_and_goes_with_its_goods():
    lines = landed(line(37900), line(5800), line(1600), line(2400, "freight"))

    assert [one.freight.minor for one in lines] == [2008, 307, 85]
    assert total(one.landed for one in lines) == Money(47700)


def test_freight_alone_is_a_line_of_its_own():
    (only,) = landed(line(2400, "freight"))

    assert only.landed == Money(2400)


def test_a_discount_of_the_document_lowers_every_line_in_proportion():
    lines = landed(line(10000), line(5000), discount=Money(100))

    assert [one.net.minor for one in lines] == [9933, 4967]
    assert [one.discount.minor for one in lines] == [67, 33]


def test_a_tax_of_the_document_falls_on_its_taxed_lines_only():
    lines = landed(line(2700, tax_kind="paid"), line(1000), line(4420, tax_kind="paid"),
                   tax=Money(427))  # fmt: skip

    assert [one.tax_paid.minor for one in lines] == [162, 0, 265]


@pytest.mark.parametrize(
    ("tax", "on_goods"),
    [("24.19", "24.19"), ("25.94", "24.19")],
    ids=["7 % of the goods alone", "7 % of goods and freight"],
)
def test_tax_at_the_usual_rate_of_the_goods_alone_is_not_on_their_freight(tax, on_goods):
    lines = (line(34560, "lumber", "paid"), line(2500, "freight", "paid"))
    document = Document("Tannery Lumber", date(2025, 3, 6), lines, tax=usd(tax))

    (goods,) = land(document, RATE, Fraction(7, 100))

    assert (goods.own_tax, goods.tax_paid) == (usd(on_goods), usd(tax))


def test_use_tax_is_owed_by_the_document_and_split_over_its_lines():
    lines = landed(*(line(net, "supply", "use") for net in (2800, 1800, 900)))

    assert [one.use_tax.minor for one in lines] == [168, 108, 54]
    assert total(one.payable for one in lines) == Money(5500)
    assert total(one.landed for one in lines) == Money(5830)


def test_use_tax_by_line_rounds_each_line_for_itself():
    nets = [line(9, "supply", "use") for _ in range(3)]

    by_line = landed(*nets, use_tax=UseTax(Fraction(6, 100), currency("USD"), by_line=True))
    by_document = landed(*nets)

    assert total(one.use_tax for one in by_line) == Money(3)
    assert total(one.use_tax for one in by_document) == Money(2)


def test_recoverable_tax_is_paid_and_is_no_cost():
    (one,) = landed(line(10000, tax_kind="recoverable", tax=1900))

    assert (one.payable, one.landed) == (Money(11900), Money(10000))


def test_the_tax_of_freight_travels_with_it():
    lines = landed(line(10000, tax_kind="recoverable", tax=1900),
                   line(1000, "freight", "recoverable", 190))  # fmt: skip

    assert (lines[0].freight, lines[0].tax_paid, lines[0].recoverable) == (
        Money(1000), Money(2090), Money(2090))  # fmt: skip


def test_a_discount_larger_than_the_goods_is_refused():
    with pytest.raises(NotAllowed, match="discount is more"):
        landed(line(100), discount=Money(101))


def test_a_tax_without_a_taxed_line_is_refused():
    with pytest.raises(NotAllowed, match="none of its lines"):
        landed(line(100), tax=Money(6))


@given(
    st.lists(st.tuples(st.integers(0, 10**6), st.sampled_from(["paid", "use", "resale"])),
             min_size=1, max_size=6),
    st.lists(st.integers(1, 10**5), max_size=2),
    st.integers(0, 10**4),
)  # fmt: skip
def test_the_lines_always_add_up_to_the_document(goods, freight, tax):
    lines = [line(net, tax_kind=kind) for net, kind in goods]
    tax = tax if any(net and kind == "paid" for net, kind in goods) else 0
    carried = [line(net, "freight") for net in freight]

    result = landed(*lines, *carried, tax=Money(tax))

    said = sum(net for net, _ in goods) + sum(freight) + tax
    assert total(one.payable for one in result) == Money(said)
    assert len(result) == len(goods)
