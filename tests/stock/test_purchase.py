"""A line as it is written: packs, other units, tallies and prices turned into stock."""

from decimal import Decimal

import pytest

from ledger.book.tables.materials import Material
from ledger.errors import BadValue, NotFound
from ledger.measures.length import Length
from ledger.measures.money import Money, currency
from ledger.measures.quantity import Quantity
from ledger.stock.documents import CATEGORIES, DocumentLine
from ledger.stock.purchase import PurchaseNames, line_of, read_tally, stock_quantity


def material(code="PIN14", kind="hardware", unit="each", pack="1"):
    return Material(code=code, name="Shelf pins", kind=kind, unit=unit,
                    pack=Quantity.of(Decimal(pack)))  # fmt: skip


def qty(text):
    return Quantity.of(Decimal(text))


NAMES = PurchaseNames(
    lambda code: material(code, pack="25"), {"J-2507": 7}.__getitem__, currency("USD")
)


def read_line(goes_to="", net=None, **more):
    words = {"words": "", "category": "", "unit": "", "material": "PIN14", "quantity": qty("2")}
    return line_of(
        DocumentLine(**words | {"net": Money(0)} | more), NAMES, goes_to=goes_to, net=net
    )


@pytest.mark.parametrize("unit", ["", "each"])
def test_the_stock_unit_is_taken_as_it_is(unit):
    assert stock_quantity(material(), qty("25"), unit) == qty("25")


@pytest.mark.parametrize("unit", ["pack", "box", "bag"])
def test_packs_become_pieces(unit):
    assert stock_quantity(material(pack="25"), qty("2"), unit) == qty("50")


def test_a_measured_unit_turns_into_another_of_its_kind():
    assert stock_quantity(material(unit="gal"), qty("3"), "quart") == qty("0.75")
    with pytest.raises(BadValue, match="cannot be turned into"):
        stock_quantity(material(unit="gal"), qty("3"), "ft")


def sheet():
    size = {"length": Length.of(2800, "mm"), "width": Length.of(2070, "mm")}
    return Material(
        code="MDF19", name="MDF", kind="sheet", unit="sheet", pack=Quantity.of(1), **size
    )


@pytest.mark.parametrize(("area", "sheets"), [("5.796", "1"), ("17.388", "3")])
def test_the_area_of_sheets_of_a_known_size_is_so_many_sheets(area, sheets):
    assert stock_quantity(sheet(), qty(area), "m²") == qty(sheets)


def test_an_area_that_is_no_whole_sheet_names_the_rest_and_the_next_whole():
    with pytest.raises(BadValue, match=r"1 sheet and 2\.2040 m² over; 2 sheets are 11\.5920 m²"):
        stock_quantity(sheet(), qty("8"), "m²")
    with pytest.raises(BadValue, match="cannot be turned into"):
        stock_quantity(material(kind="sheet", unit="sheet"), qty("8"), "m²")


def test_a_pack_of_unknown_size_is_refused():
    with pytest.raises(BadValue, match="has no pack size"):
        stock_quantity(material(), qty("2"), "box")


def test_a_line_multiplies_its_price_and_keeps_what_was_bought():
    line = read_line(unit="box", unit_price=Decimal("5.50"))

    assert (line.quantity, line.bought, line.bought_unit) == (qty("50"), qty("2"), "box")
    assert (line.net, line.category, line.words) == (Money(1100), "hardware", "Shelf pins")


def test_a_discount_is_taken_off_the_line():
    line = read_line(unit_price=Decimal("5.50"), discount=Money(100))

    assert (line.net, line.discount) == (Money(1000), Money(100))


@pytest.mark.parametrize(
    ("more", "sentence"),
    [
        ({}, "neither a unit price nor an amount"),
        ({"unit_price": Decimal("5.50"), "net": Money(1200)}, "come to 11.00, not 12.00"),
        ({"unit_price": Decimal("5.50"), "discount": Money(1101)}, "discount is more"),
        ({"material": "", "net": Money(900)}, "need a category"),
        ({"material": "", "net": Money(900), "category": "supply"}, "need words"),
        ({"net": Money(900), "goes_to": "J-2507: 5"}, "adds up to 5"),
    ],
)
def test_a_line_that_cannot_be_right_is_refused(more, sentence):
    with pytest.raises(BadValue, match=sentence):
        read_line(**more)


@pytest.mark.parametrize("more", [{}, {"material": ""}], ids=["a material", "words alone"])
def test_a_category_like_none_is_refused_with_all_that_there_are(more):
    every = ", ".join(sorted(CATEGORIES))
    with pytest.raises(NotFound, match=rf"No category is called “zzz”\. There is: {every}\."):
        read_line(**more, words="film", net=Money(900), category="zzz")


def test_an_unknown_category_gets_the_nearest_one():
    with pytest.raises(NotFound, match="Nearest: supply"):
        read_line(material="", words="film", net=Money(900), category="suply")


@pytest.mark.parametrize(
    ("text", "feet"),
    [
        ("4/4 x 4-1/2 x 96", "3"),
        ("3/4 x 6 x 96", "4"),
        ("8/4 x 6 x 72", "6"),
        ("2 @ 5/4 x 6 x 12 ft; 4/4 x 8 x 10 ft", "21.666667"),
    ],
)
def test_boards_are_tallied_on_their_rough_size(text, feet):
    assert read_tally(text, "inch") == qty(feet)


@pytest.mark.parametrize("text", ["4/4 x 6", "4/4 by 6 by 96", "4/4 x 6 x ninety"])
def test_what_is_no_board_is_refused(text):
    with pytest.raises(BadValue):
        read_tally(text, "inch")
