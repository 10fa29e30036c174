"""Sponsors, what was agreed with them, and how much of what was promised is done.

A deliverable is a number of publications of a kind by a day. Publications are counted for the
narrowest promise first, so that a photo made good for a `post` is never missing for a `photo`.
"""

from collections.abc import Iterable, Sequence
from datetime import date

from msgspec import Struct

from ledger.book import Book, require_open_day
from ledger.book.tables.sponsors import (
    PromisedDeliverable,
    Publication,
    PublicationSponsor,
    Sponsor,
    SponsorAgreement,
)
from ledger.errors import BadValue, NotAllowed
from ledger.measures.chosen import choose
from ledger.measures.day import DateReader
from ledger.measures.fields import made_of
from ledger.measures.money import Money

NO_FEE = Money(0)

MAKES_GOOD: dict[str, tuple[str, ...]] = {
    "long": ("long",),
    "short": ("short",),
    "photo": ("photo",),
    "plan": ("plan",),
    "post": ("photo", "short"),
}
"""Kinds of deliverables, and the kinds of publications that count for each."""


class Promise(Struct, frozen=True):
    """A number of publications of a kind by a day, before it is posted."""

    kind: str
    number: int
    due: date


class Progress(Struct, frozen=True):
    """A deliverable with what was done for it; `late` counts what came after its day."""

    sponsor: str
    kind: str
    number: int
    due: date
    done: int
    late: int

    @property
    def left(self) -> int:
        """How many are still to be published."""
        return self.number - self.done


def add_sponsor(book: Book, name: str, objective: str = "") -> Sponsor:
    """Note a sponsor, or the new objective of one that is known.

    Raises:
        BadValue: no name.
    """
    clean_name = " ".join(name.split())
    if not clean_name:
        raise BadValue("A sponsor needs a name, for example “Brightfell Panels”.")
    known = {row.name.casefold(): row.name for row in book.rows(Sponsor)}
    chosen = known.get(clean_name.casefold(), clean_name)
    with book.entry("sponsor add", chosen):
        return book.post(Sponsor(name=chosen, objective=objective.strip()))


def sponsors(book: Book) -> dict[str, Sponsor]:
    """Every sponsor by name, as known now."""
    latest = {row.name: row for row in book.rows(Sponsor)}
    return dict(sorted(latest.items()))


def find_sponsor(book: Book, text: str) -> Sponsor:
    """The sponsor of that name, or of any unambiguous part of it.

    Raises:
        NotFound: nothing answers.
        Ambiguous: several answer.
    """
    known = sponsors(book)
    if not known:
        raise NotAllowed(f'There is no sponsor yet. Add one: benchledger sponsor add "{text}"')
    return choose("sponsor", text, known.values(), lambda row: [row.name])


def parse_promise(text: str, dates: DateReader) -> Promise:
    """Read what was promised: `1 long by 2025-06-30`.

    >>> parse_promise("2 posts by 2025-06-30", DateReader(date(2025, 4, 10)))
    Promise(kind='post', number=2, due=datetime.date(2025, 6, 30))
    >>> parse_promise("some posts", DateReader(date(2025, 4, 10)))
    Traceback (most recent call last):
    ledger.errors.BadValue: “some posts” should read like: 2 post by 2025-06-30
    """
    words = text.split()
    if len(words) < 4 or words[2] != "by" or not words[0].isascii() or not words[0].isdigit():
        raise BadValue(f"“{text}” should read like: 2 post by 2025-06-30")
    kind = words[1].casefold()
    kind = kind if kind in MAKES_GOOD else kind.removesuffix("s")
    if kind not in MAKES_GOOD:
        raise BadValue(
            f"“{words[1]}” is not a kind of publication to promise; there is:"
            f" {', '.join(MAKES_GOOD)}."
        )
    number = int(words[0]) if len(words[0]) <= 4 else 0
    if not number:
        raise BadValue(f"“{text}”: a promise is of one publication or more, up to 9999.")
    return Promise(kind, number, dates.read(" ".join(words[3:]), future=True))


def agree(
    book: Book,
    sponsor: str,
    promises: Sequence[Promise] = (),
    *,
    supplies: str = "",
    fee: Money = NO_FEE,
    evidence: str = "",
    day: date | None = None,
) -> SponsorAgreement:
    """Note what was agreed with a sponsor.

    Raises:
        NotAllowed: nothing was agreed at all, or something was due before the day of it.
    """
    when = require_open_day(book, day or book.today)
    if not promises and not supplies.strip() and not fee:
        raise NotAllowed(
            "Say what was agreed: what they supply, what is promised (2 post by 2025-06-30), or"
            " the fee."
        )
    for promise in promises:
        if promise.due < when:
            raise NotAllowed(f"{promise.number} {promise.kind} would be due on {promise.due},"
                             f" before the agreement of {when}.")  # fmt: skip
    with book.entry("sponsor agree", sponsor):
        row = book.post(
            SponsorAgreement(sponsor=sponsor, day=when, supplies=supplies.strip(), fee=fee,
                      evidence=evidence.strip())
        )  # fmt: skip
        for promise in promises:
            book.post(made_of(PromisedDeliverable, promise, agreement=row.key))
        return row


def agreements(book: Book, sponsor: str) -> list[SponsorAgreement]:
    """What was agreed with a sponsor, oldest first."""
    return sorted(book.rows(SponsorAgreement, sponsor=sponsor), key=lambda row: (row.day, row.key))


def progress(book: Book, sponsor: str, until: date | None = None) -> list[Progress]:
    """How much of what was promised by a day was published by then, in the order of due days."""
    last = until or book.today
    agreed = [row for row in agreements(book, sponsor) if row.day <= last]
    promised = [
        (row, Promise(promise.kind, promise.number, promise.due))
        for row in agreed
        for promise in book.rows(PromisedDeliverable, agreement=row.key)
    ]
    made = [row for row in published_for(book, sponsor) if row.day <= last]
    counted = count_done([(row.day, promise) for row, promise in promised],
                         [(row.day, row.kind) for row in made])  # fmt: skip
    deliverables = [
        Progress(sponsor, promise.kind, promise.number, promise.due, len(days),
                 sum(day > promise.due for day in days))
        for (_, promise), days in zip(promised, counted, strict=True)
    ]  # fmt: skip
    return sorted(deliverables, key=lambda one: (one.due, list(MAKES_GOOD).index(one.kind)))


def count_done(
    promised: Sequence[tuple[date, Promise]], made: Iterable[tuple[date, str]]
) -> list[list[date]]:
    """The days of the publications that count for each promise, each publication once.

    A promise counts what was published from the day it was made; the narrowest kind chooses first,
    then the one due first.

    >>> june = date(2025, 6, 30)
    >>> any_post, photo = Promise("post", 1, june), Promise("photo", 1, june)
    >>> start = date(2025, 4, 1)
    >>> days = count_done([(start, any_post), (start, photo)],
    ...                   [(date(2025, 5, 1), "photo"), (date(2025, 5, 2), "short")])
    >>> [[str(day) for day in done] for done in days]
    [['2025-05-02'], ['2025-05-01']]
    """
    left = sorted(made)
    done: list[list[date]] = [[] for _ in promised]
    order = sorted(
        range(len(promised)),
        key=lambda at: (len(MAKES_GOOD[promised[at][1].kind]), promised[at][1].due, at),
    )
    for at in order:
        since, promise = promised[at]
        for publication in list(left):
            day, kind = publication
            if len(done[at]) < promise.number and day >= since and kind in MAKES_GOOD[promise.kind]:
                done[at].append(day)
                left.remove(publication)
    return done


def deliverables_due(book: Book) -> list[Progress]:
    """What is promised and not published yet, of all sponsors, what is due first in front."""
    open_ones = [one for name in sponsors(book) for one in progress(book, name) if one.left > 0]
    return sorted(open_ones, key=lambda one: (one.due, one.sponsor))


def published_for(book: Book, sponsor: str) -> list[Publication]:
    """The publications made for a sponsor, oldest first."""
    numbers = {row.publication for row in book.rows(PublicationSponsor, sponsor=sponsor)}
    rows = [row for row in book.rows(Publication) if row.key in numbers]
    return sorted(rows, key=lambda row: (row.day, row.key))
