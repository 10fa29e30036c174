"""Where a line goes, as people write it."""

from decimal import Decimal
from fractions import Fraction

import pytest

from ledger.errors import BadValue
from ledger.measures.quantity import Quantity
from ledger.stock.purchase import read_shares

JOBS = {"J-2507": 7, "J-2508": 8}


def shares(text, quantity="1", net="18.00"):
    read = read_shares(text, Quantity.of(Decimal(quantity)), Decimal(net), JOBS.__getitem__)
    return [(share.place, share.job, share.quantity.decimal) for share in read]


def test_nothing_written_means_stock():
    assert shares("") == [("stock", None, Decimal(1))]


def test_one_name_takes_the_whole_line():
    assert shares("J-2507", "5") == [("job", 7, Decimal(5))]
    assert shares("shop") == [("shop", None, Decimal(1))]


def test_parts_that_add_up_to_the_amount_divide_the_quantity():
    assert shares("J-2507: 12.00; stock: 6.00") == [
        ("job", 7, Decimal("0.666667")),
        ("stock", None, Decimal("0.333333")),
    ]


def test_parts_that_add_up_to_the_quantity_are_quantities():
    assert shares("J-2507: 6; J-2508: 3; stock: 1", "10", "720.00") == [
        ("job", 7, Decimal(6)),
        ("job", 8, Decimal(3)),
        ("stock", None, Decimal(1)),
    ]


def test_the_parts_always_make_up_the_line():
    read = read_shares("J-2507: 1; J-2508: 1; stock: 1", Quantity.of(1), Decimal(3), JOBS.get)

    assert sum((share.quantity.fraction for share in read), Fraction(0)) == 1


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("J-2507: 12; stock: 5", "adds up to 17; the parts should add up to the quantity 1"),
        ("J-2507; stock", "should say its part"),
        ("J-2507: 18; stock: 0", "leave that place out"),
    ],
)
def test_parts_that_do_not_make_up_the_line_are_refused(text, sentence):
    with pytest.raises(BadValue, match=sentence):
        shares(text)
