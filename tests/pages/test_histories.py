"""Random histories of taps, cut lines and lost answers: each kept entry once, in its order."""

import random

import pytest

from ledger.book.tables.labor import Work
from ledger.book.tables.page import PageEntry

WAYS = ("sent", "never arrives", "answer is lost", "sent twice")


class Waiting:
    """A device's queue as the script of the page keeps it: first in, first out, by key."""

    def __init__(self, page, name, dice):
        self.page, self.name, self.dice = page, name, dice
        self.queue, self.tapped = [], []

    def tap(self, minutes):
        """Keep an entry at this moment of the shop's clock."""
        entry = {
            "job": "bed", "what": "SND", "duration": f"{minutes}m", "sure": "1",
            "key": f"{self.name}-entry-of-minutes-{minutes:04}",
            "at": self.page.clock.now,
        }  # fmt: skip
        self.queue.append(entry)
        self.tapped.append((minutes, str(entry["at"].date())))

    def send(self, way):
        """Send what came first, in a way that the network lets it."""
        if not self.queue or way == "never arrives":
            return
        entry = self.queue[0]
        waited = self.page.clock.now - entry["at"]
        fields = {name: words for name, words in entry.items() if name != "at"}
        for _ in range(2 if way == "sent twice" else 1):
            sent = str(int(waited.total_seconds() * 1000))
            answer = self.page.post("hours", device=self.name, **fields, sent=sent)
            assert answer.status == 200, answer.text
        if way != "answer is lost":
            self.queue.pop(0)


@pytest.mark.parametrize("seed", range(3))
def test_each_entry_of_a_random_history_is_posted_once_in_its_order_and_on_its_day(page, seed):
    dice = random.Random(seed)
    page.clock.wait(hours=10)  # evening: some are sent after midnight
    devices = [Waiting(page, name, dice) for name in ("Tablet", "Phone")]
    for minutes in range(1, 26):
        one = dice.choice(devices)
        one.tap(minutes)
        page.clock.wait(minutes=dice.randrange(30))
        dice.choice(devices).send(dice.choice(WAYS))
    for one in devices:
        while one.queue:
            one.send(dice.choice(WAYS))

    with page.read() as book:
        posted = {row.entry: row.device for row in book.rows(PageEntry)}
        works = book.rows(Work)
    for one in devices:
        mine = [(row.minutes, str(row.day)) for row in works if posted[row.entry] == one.name]
        assert mine == one.tapped
    assert len({day for one in devices for _, day in one.tapped}) == 2
