"""The row of what a table leaves out: exact hours are added up, not rounded ones."""

from datetime import date
from decimal import Decimal

import pytest

from ledger.measures.money import Money
from ledger.measures.values import replace
from ledger.reports.review import review
from ledger.reports.review_blocks_more import time_block
from ledger.reports.review_time import Activity, TimedLine, operations_of


@pytest.fixture
def tables(year_book):
    """The tables of a year with 16 works of 40 min, and 13 operations of 40 min for half an hour.

    Each shows 0.67 h, and a tenth of it as 0.07.
    """
    one = review(year_book, date(2025, 1, 1), date(2025, 12, 31))
    works = [
        Activity(f"Work {n}", True, {"J-2501": 40}, {"work": 40}, Money(451)) for n in range(16)
    ]
    timed = operations_of(
        TimedLine("J-2501", f"Operation {n}", Decimal("0.50"), 40) for n in range(13)
    )
    time = replace(one.time, activities=works, operations=timed)
    return {table.key: table for table in time_block(replace(one, time=time)).tables}


def test_rest_of_the_works_is_the_sum_of_their_minutes(tables):
    table = tables["activities"]
    more = table.shortened(table.most)[-1]
    # 4 × 40 min are 2 h 40, and a tenth of them is 16 min; rounded each, 2.68 and 0.28
    assert more.name == "4 more"
    assert more.cells == (Decimal("2.67"), None, Decimal("0.27"), Money(4 * 451))


def test_rest_of_the_operations_is_the_sum_of_their_minutes(tables):
    table = tables["operations"]
    more = table.shortened(table.most)[-1]
    # 2 h 40 for four halves of an hour; rounded each, 2.68 and 0.68 longer
    assert more.cells == (Decimal("2.00"), Decimal("2.67"), Decimal("0.67"), None, None)


def test_work_for_the_shop_alone_has_hours_and_saves_none(year_book):
    one = review(year_book, date(2025, 1, 1), date(2025, 12, 31))
    works = [Activity(f"Task {n}", False, {"": 40}, {"shop": 40}, None) for n in range(16)]
    blocks = time_block(replace(one, time=replace(one.time, activities=works)))
    table = next(table for table in blocks.tables if table.key == "activities")
    assert table.shortened(table.most)[-1].cells == (Decimal("2.67"), None, None, None)
