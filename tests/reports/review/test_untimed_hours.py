"""Hours of closed jobs that time no operation by itself: the review says how many they are."""

from datetime import date

from ledger.book import Book
from ledger.reports.review import review
from ledger.reports.review_blocks_more import time_block
from ledger.reports.review_blocks_short import short_block
from ledger.reports.review_time import UntimedHours
from tests.reports.review.conftest import SHOP, play

YEAR = date(2025, 1, 1), date(2025, 12, 31)


def story():
    """A chair repaired by lines: 2 h on its line, 1 h on the office, 40 min not foreseen."""
    yield "2025-04-01", ["new", "--shop", "Larkhollow Joinery"]
    yield "2025-04-01", SHOP
    yield "2025-04-01", ["job", "new", "Cane chair", "--work", "repair 3h"]
    yield "2025-04-04", ["hours", "add", "J-2501", "repair", "4h"]
    yield "2025-04-04", ["hours", "add", "J-2501", "office", "1h"]
    yield "2025-04-04", ["hours", "add", "J-2501", "sand", "40m"]
    yield "2025-04-08", ["job", "close", "J-2501", "--price", "400"]


def words(block):
    return [remark.words for remark in block.remarks]


def test_hours_of_a_whole_group_are_told_beside_the_operations(tmp_path):
    play(tmp_path / "book.sqlite", story())
    with Book(tmp_path / "book.sqlite", date(2025, 5, 1)) as book:
        one = review(book, *YEAR)

    assert [(row.name, str(row.took)) for row in one.time.operations] == [("Repair", "4.00")]
    assert one.time.untimed == UntimedHours(group=60, other=40)
    assert (
        "In no line of the operations: 1.00 h booked on a whole group, 0.67 h without a count, of"
        " a first time or before a new start."
    ) in words(time_block(one))


def test_the_longest_over_is_the_first_line_of_the_table_on_one_job_too(tmp_path):
    """4 h of 3 h on a single job; the table below begins with it."""
    play(tmp_path / "book.sqlite", story())
    with Book(tmp_path / "book.sqlite", date(2025, 5, 1)) as book:
        one = review(book, *YEAR)

    assert "Longest over the standard: Repair 1.00 h on 1 job." in words(short_block(one))
