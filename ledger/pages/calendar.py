"""What is due, as a calendar that a phone imports: days and what, no client and no money."""

import hashlib
from collections.abc import Iterator
from datetime import date, datetime, timedelta

from ledger.book import Book
from ledger.measures.spoken import how_many
from ledger.quotes.to_be_paid import open_papers
from ledger.sponsors import deliverables_due

NOTICE = timedelta(days=3)
"""How long before its day the phone reminds of it."""


def _due(book: Book) -> Iterator[tuple[str, date, str]]:
    """What an event is known by, its day and its words."""
    for one in deliverables_due(book):
        words = f"{how_many(one.left, one.kind)} for {one.sponsor}"
        yield f"{one.sponsor}\n{one.kind}\n{one.due}", one.due, words
    for paper in open_papers(book):
        yield f"{paper.name}\n{paper.due}", paper.due, f"{paper.name} is to be paid"


def due_calendar(book: Book) -> bytes:
    """What was promised to sponsors, and invoices not paid yet: all-day events with a reminder.

    An event keeps its name in each writing, so that an import updates it, and carries the moment of
    the book's last entry: the same book gives the same bytes.
    """
    from icalendar import Alarm, Calendar, Event

    calendar = Calendar()
    calendar.add("prodid", "-//Bench Ledger//due//EN")
    calendar.add("version", "2.0")
    written = datetime.fromisoformat(book.entries(1)[0].at)
    seen: dict[str, int] = {}
    for name, due, words in _due(book):
        named = hashlib.sha256(name.encode()).hexdigest()[:20]
        seen[named] = seen.get(named, 0) + 1
        event = Event()
        event.add("uid", f"due-{named}-{seen[named]}@benchledger")
        event.add("dtstamp", written)
        event.add("dtstart", due)
        event.add("dtend", due + timedelta(days=1))
        event.add("summary", words)
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("trigger", -NOTICE)
        alarm.add("description", words)
        event.add_component(alarm)
        calendar.add_component(event)
    content: bytes = calendar.to_ical()
    return content
