"""Quotes in the book: numbers, revisions, states, and the one revision that is live.

draft → sent → accepted | declined | expired | superseded. A draft may be drafted again under its
letter; once sent, the next draft is the next letter, and sending that one supersedes the last. A
revision expires by its date alone, without an entry. After an acceptance only change orders follow.
"""

import re
from collections.abc import Sequence
from datetime import date

from msgspec import Struct

from ledger import __version__
from ledger.book import Book
from ledger.book.clients import keep_addressee
from ledger.book.tables.ground import Job, JournalEntry
from ledger.book.tables.quotes import Quote, QuoteBasis, QuoteDraft, QuotePage, QuoteState
from ledger.errors import NotAllowed, NotFound
from ledger.jobs.jobs import client_number, find_job, require_quotable
from ledger.jobs.lines import AgreedTotal
from ledger.measures.frozen import freeze
from ledger.measures.money import Money
from ledger.measures.values import replace
from ledger.quotes.offer import Offer
from ledger.quotes.snapshot import SCHEMA, digest, read_offer


class RevisionStanding(Struct, frozen=True):
    """A revision and how it stands today."""

    quote: Quote
    job: Job
    state: str
    since: date
    offer: Offer

    @property
    def to_pay(self) -> Money:
        """The price with its tax."""
        return self.offer.to_pay

    def days_left(self, today: date) -> int | None:
        """Days until a sent quote expires; None where it is not waiting for an answer."""
        return (self.offer.valid_until - today).days if self.state == "sent" else None


def revisions(book: Book, job: Job) -> list[Quote]:
    """All revisions of a job's quote, in the order they were drafted."""
    return book.rows(Quote, job=job.key)


def find_quote(book: Book, text: str = "") -> Quote:
    """The quote of that number or job; without a letter its last revision, without text the last.

    Raises:
        NotFound: nothing answers.
        NotAllowed: the job has no quote yet.
    """
    known = book.rows(Quote)
    sought = text.strip().casefold()
    if not known and not sought:
        raise NotAllowed("No quote is drafted yet: benchledger quote draft JOB")
    for quote in reversed(known):
        if sought in ("", quote.name.casefold(), quote.number.casefold()):
            return quote
    try:
        job = find_job(book, text)
    except NotFound:
        raise NotFound("quote or job", text, [quote.name for quote in known]) from None
    of_job = revisions(book, job)
    if not of_job:
        raise NotAllowed(f"{job.number} has no quote yet: benchledger quote draft {job.number}")
    return of_job[-1]


def standing(book: Book, quote: Quote) -> RevisionStanding:
    """A revision, its state today and what it offers."""
    last = book.last(QuoteState, quote=quote.key)
    job = book.row(Job, quote.job)
    if last is None or job is None:
        raise NotAllowed(f"{quote.name} is not in force; it was taken back.")
    offer = offer_of(book, quote)
    expired = last.state == "sent" and book.today > offer.valid_until
    return RevisionStanding(quote, job, "expired" if expired else last.state, last.day, offer)


def standings(book: Book) -> list[RevisionStanding]:
    """All revisions in the order they were drafted."""
    return [standing(book, quote) for quote in book.rows(Quote)]


def sent_revision(book: Book, job: Job) -> Quote | None:
    """The last revision of a job where it was sent and waits for an answer, or None."""
    quote = book.last(Quote, job=job.key)
    return quote if quote is not None and standing(book, quote).state == "sent" else None


def quoted_before_tax(book: Book, job: Job, agreed: AgreedTotal) -> Money | None:
    """What the last quote leaves before tax of a sum that was said with tax, if it has that sum."""
    quote = book.last(Quote, job=job.key)
    offer = offer_of(book, quote) if quote is not None else None
    return offer.price if offer is not None and offer.to_pay == agreed.whole else None


def accepted(book: Book, job: Job) -> Quote | None:
    """The revision that was accepted for a job, or None."""
    for quote in revisions(book, job):
        last = book.last(QuoteState, quote=quote.key)
        if last is not None and last.state == "accepted":
            return quote
    return None


def offer_of(book: Book, quote: Quote) -> Offer:
    """What a revision says: its frozen page once sent, before that its draft."""
    page = book.last(QuotePage, quote=quote.key)
    if page is not None:
        return read_offer(page.page, page.schema_number)
    draft = book.last(QuoteDraft, quote=quote.key)
    if draft is None:
        raise NotAllowed(f"{quote.name} is not in force; it was taken back.")
    return read_offer(draft.page, draft.schema_number)


def side_by_side(book: Book, quotes: Sequence[Quote]) -> list[Offer]:
    """What several quotes of one client say, for one page.

    Raises:
        NotAllowed: they are for different clients: none of them reads of another's price.
    """
    jobs = book.rows_of(Job, {quote.job for quote in quotes})
    clients = {client_number(book, job) for job in jobs} - {None}
    if len(clients) > 1:
        names = ", ".join(quote.name for quote in quotes)
        raise NotAllowed(
            f"{names} are for different clients, and the page goes to one of them: name quotes for"
            " the same client."
        )
    return [offer_of(book, quote) for quote in quotes]


def next_revision(book: Book, job: Job) -> tuple[str, str, Quote | None]:
    """Number and letter of the next draft of a job, and the revision it drafts again, if any.

    Raises:
        NotAllowed: a revision was accepted.
    """
    agreed = accepted(book, job)
    if agreed is not None:
        raise NotAllowed(
            f"{agreed.name} was accepted; it stays as it is. What changes now is a change order:"
            f" benchledger job change {job.number} WORDS --price AMOUNT"
        )
    number = re.sub(r"^J-", "Q-", job.number) if job.number.startswith("J-") else f"Q-{job.number}"
    of_job = revisions(book, job)
    ever = book.rows(Quote, in_force=False, number=of_job[-1].number if of_job else number)
    if not of_job:
        return number, _letter_after(ever[-1].revision) if ever else "A", None
    last = of_job[-1]
    state = book.last(QuoteState, quote=last.key)
    if state is not None and state.state == "draft":
        return last.number, last.revision, last
    return last.number, _letter_after(ever[-1].revision), None


def save_draft(book: Book, job: Job, offer: Offer, basis: bytes) -> Quote:
    """Post a draft under the number and letter that its offer carries."""
    number, letter, again = next_revision(book, job)
    with book.entry("quote draft", f"{job.number} {number}-{letter}"):
        quote = again or book.post(Quote(number=number, revision=letter, job=job.key))
        page = freeze(replace(offer, number=number, revision=letter))
        draft = QuoteDraft(quote=quote.key, schema_number=SCHEMA, page=page, basis=basis)
        book.post(draft)
        if again is None:
            book.post(QuoteState(quote=quote.key, state="draft", day=book.today))
    return quote


def send_quote(book: Book, quote: Quote) -> Offer:
    """Freeze a draft as of today: its page and its cost basis stand from now on.

    The revision sent before is superseded. The page is dated today and stays valid as many days
    as the draft said.

    Raises:
        NotAllowed: the revision is no draft, or its job is closed or canceled.
    """
    now = standing(book, quote)
    require_quotable(book, now.job)
    draft = book.last(QuoteDraft, quote=quote.key)
    if now.state != "draft" or draft is None:
        raise NotAllowed(f"{quote.name} is {now.state}; only a draft is sent.")
    days = now.offer.valid_until - now.offer.day
    offer = replace(now.offer, day=book.today, valid_until=book.today + days)
    with book.entry("quote send", quote.name):
        for earlier in revisions(book, now.job):
            last = book.last(QuoteState, quote=earlier.key)
            if last is not None and last.state == "sent":
                book.post(QuoteState(quote=earlier.key, state="superseded", day=book.today))
        page = freeze(offer)
        book.post(
            QuotePage(quote=quote.key, schema_number=SCHEMA, program=__version__, page=page,
                      sha256=digest(page))
        )  # fmt: skip
        book.post(
            QuoteBasis(quote=quote.key, schema_number=SCHEMA, basis=draft.basis,
                       sha256=digest(draft.basis))
        )  # fmt: skip
        book.post(QuoteState(quote=quote.key, state="sent", day=book.today))
        if offer.client is not None:
            keep_addressee(book, offer.client, quote=quote.key)
    return offer


def keep_quotes(book: Book, entry: JournalEntry) -> None:
    """Refuse to take back an entry on a quote that later entries stand on.

    Raises:
        NotAllowed: the revision entered another state since, or another revision followed it.
    """
    touched = {row.quote for row in book.rows(QuoteState, in_force=False, entry=entry.id)}
    touched |= {row.quote for row in book.rows(QuoteDraft, in_force=False, entry=entry.id)}
    quotes = [quote for number in sorted(touched) if (quote := book.row(Quote, number))]
    if not quotes:
        return
    for later in book.rows(Quote, job=quotes[0].job):
        if later.key > max(touched):
            raise NotAllowed(f"{later.name} followed since; take that back first.")
    for quote in quotes:
        last = book.last(QuoteState, quote=quote.key)
        if last is not None and last.entry > (entry.id or 0):
            raise NotAllowed(f"{quote.name} is {last.state} since; take that back first.")


def _letter_after(letters: str) -> str:
    """The revision after one: B after A, AA after Z."""
    head, last = letters[:-1], letters[-1]
    if last != "Z":
        return head + chr(ord(last) + 1)
    return (_letter_after(head) if head else "A") + "A"
