"""Every entry of a whole book, undone: refused with what rests on it, or the book stays sound."""

import shutil
from datetime import date

import pytest

from ledger.book import Book, references
from ledger.book.check import examine
from ledger.errors import NotAllowed
from ledger.upkeep import undo
from ledger.upkeep.checks import CHECKS

LAST = date(2025, 8, 27)
pytestmark = pytest.mark.slow


@pytest.fixture
def whole_book(story, shop, tmp_path):
    """The book after the whole story, with a clock and a cancellation besides."""
    shutil.copy(story / "shop.sqlite", tmp_path)
    shop("job", "new", "Three-hour repair", "--rough", "300", on=str(LAST))
    for words in (["on", "repair", "sand", "--at", "9:00"], ["off", "--at", "9:20"]):
        shop("clock", *words, on=str(LAST), at="09:30")
    return tmp_path / "shop.sqlite"


def wrong_after(path, number, *, guarded):
    """What is wrong once an entry is undone; None where that is refused."""
    with Book(path, LAST) as book:
        try:
            if guarded:
                undo.take_back(book, number, "mistake")
            else:
                book.reverse(number, "mistake")
        except NotAllowed:
            return None
        return [sentence for finding in examine(book, CHECKS) for sentence in finding.wrong]


def test_every_entry_is_guarded_or_leaves_a_sound_book(whole_book, tmp_path, monkeypatch):
    path = tmp_path / "tried.sqlite"
    with Book(whole_book, LAST) as book:
        months = [entry.id for entry in book.entries(500) if entry.verb == "month close"]
        for number in months:  # else the days of a closed month are refused before all else
            book.reverse(number, "to try")
        numbers = [entry.id for entry in book.entries(500) if book.is_in_force(entry.id)]
        resting = {number: references.resting_on(book, number) for number in numbers}
    assert len(numbers) > 60
    refused, taken = 0, 0
    for number in numbers:
        shutil.copy(whole_book, path)
        wrong = wrong_after(path, number, guarded=True)
        if wrong is None:
            refused += 1
        else:
            assert (wrong, resting[number]) == ([], []), number
            taken += 1
    assert refused > 15
    assert taken > 25
    monkeypatch.setattr(references, "keep_what_others_rest_on", lambda book, entry: None)
    for number in (number for number in numbers if resting[number]):
        shutil.copy(whole_book, path)
        assert wrong_after(path, number, guarded=False) != [], f"{number} is undone unseen"
