"""Why a job sold in one sum earned what it did: change orders stand among its reasons."""

from datetime import date

import pytest

from ledger.book import Book
from ledger.measures.money import Money, total
from ledger.reports.review import review
from ledger.reports.review_blocks_more import blocks_of
from ledger.reports.review_json import find_row
from ledger.reports.review_reasons import money_reasons, why_words
from tests.reports.review.conftest import SHOP, play

AT_END = date(2025, 6, 30)


def gate(*more):
    """A gate at 1,000.00 with parking at 30.00, sold and worked on in ten hours."""
    yield "2025-06-02", ["new", "--shop", "Larkhollow Joinery"]
    yield "2025-06-02", SHOP
    yield "2025-06-02", ["job", "new", "Gate", "--price", "1000", "--hours", "10", "--client", "X"]
    yield "2025-06-02", ["hours", "add", "gate", "repair", "10h"]
    yield "2025-06-02", ["job", "add-cost", "gate", "parking", "1", "30", "--actual"]
    for words in more:
        yield "2025-06-03", words


CHANGED = (
    ["job", "change", "gate", "wider", "--price", "200"],
    ["job", "change", "gate", "--approved", "CO-1"],
    ["job", "close", "gate"],
)
CREDITED = (
    ["job", "client", "gate", "--name", "X", "--address", "Birch Lane 2"],
    ["job", "state", "gate", "installed"],
    ["quote", "invoice", "gate"],
    ["job", "pay", "gate", "1000"],
    ["job", "close", "gate"],
    ["quote", "credit", "I-2501-1", "100", "--why", "a scratch"],
)


@pytest.mark.parametrize(
    ("more", "changes", "words"),
    [
        (CHANGED, 20000, "change orders +200.00, other costs −30.00"),
        (CREDITED, -10000, "change orders −100.00, other costs −30.00"),
        ((["job", "close", "gate"],), 0, "other costs −30.00"),
    ],
)
def test_reasons_add_up_to_what_was_earned_beside_the_price(tmp_path, more, changes, words):
    play(tmp_path / "book.sqlite", gate(*more))
    with Book(tmp_path / "book.sqlite", AT_END) as book:
        one = review(book, date(2025, 1, 1), AT_END)

    (job,) = one.jobs
    # 1000 ± the change − 30
    assert job.full == Money(97000 + changes)
    assert total(amount for _, amount in money_reasons(job)) == job.full - Money(100000)
    said = why_words(job, one.currency.show)
    assert said.startswith(f"Sold in one sum: {words}. ")
    parts = {part.words: part.value for part in find_row(blocks_of(one), "best.J-2501")[1].parts}
    assert parts.get("change orders, money") == (Money(changes) if changes else None)
    assert parts["other costs, none planned"] == Money(-3000)
