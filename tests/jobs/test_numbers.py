"""A number that was used is never used for anything else, also after it was taken back."""

from datetime import date
from decimal import Decimal

import pytest

from ledger.book import Book
from ledger.errors import NotAllowed
from ledger.jobs.jobs import new_job
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.stock.documents import Document, DocumentLine
from ledger.stock.receipts import next_number, receive
from ledger.stock.stock_rules import REVERSAL_RULES

DAY = date(2025, 5, 5)


@pytest.fixture
def book(tmp_path, put_book):
    path = tmp_path / "shop.sqlite"
    put_book(path, DAY, lambda book: None, currency="EUR", units="mm")
    with Book(path, DAY) as opened:
        yield opened


def paper(supplier="Holzhof", net=5000, number="", document="", day=DAY):
    line = DocumentLine("oak boards", "lumber", Quantity.of(Decimal(1)), "each", Money(net))
    return Document(supplier, day, (line,), number=number, document=document)


def test_a_receipts_number_is_not_given_again_after_undo(book):
    first = receive(book, paper()).receipt
    assert first.number == "R-101"
    book.reverse(first.entry, "typed twice", REVERSAL_RULES)

    assert next_number(book) == "R-102"
    assert receive(book, paper()).receipt.number == "R-102"


def test_the_same_paper_keeps_its_number_and_no_other_gets_it(book):
    first = receive(book, paper(number="R-7", document="H-12")).receipt
    book.reverse(first.entry, "wrong net", REVERSAL_RULES)

    for other in (paper("Beschlag", number="R-7", document="H-12"),
                  paper(number="R-7", document="H-13", day=date(2025, 5, 4))):  # fmt: skip
        with pytest.raises(NotAllowed, match=r"used once\. The next free one is R-8"):
            receive(book, other)
    assert receive(book, paper(net=5100, number="R-7", document="H-12")).receipt.number == "R-7"
    assert receive(book, paper(document="H-14")).receipt.number == "R-8"


def test_a_number_ahead_of_the_count_is_passed_over_also_if_it_was_taken_back(book):
    ahead = receive(book, paper(number="R-102", document="H-1")).receipt
    book.reverse(ahead.entry, "wrong", REVERSAL_RULES)
    receive(book, paper(number="R-101", document="H-2"))

    assert next_number(book) == "R-103"


def test_a_jobs_number_is_not_given_again_after_undo(book):
    job = new_job(book, "Oak bench")
    book.reverse(job.entry, "wrong client")

    assert (job.number, new_job(book, "Oak stool").number) == ("J-2501", "J-2502")
    with pytest.raises(NotAllowed, match="J-2501 was “Oak bench”, which was taken back"):
        new_job(book, "Oak stool", number="j-2501")
    assert new_job(book, "Oak bench", number="J-2501").number == "J-2501"


def test_two_jobs_do_not_share_a_number_in_another_case(book):
    new_job(book, "Oak bench", number="Bench-1")

    with pytest.raises(NotAllowed, match="Bench-1 exists already"):
        new_job(book, "Oak bench", number="bench-1")
