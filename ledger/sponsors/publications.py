"""Publications: what was shown, whom it was for, and whether it says what came free.

Free or discounted goods are a connection that a viewer would want to know of, asked for or not;
how it must be said, the rules of the place decide. Here each item of a sponsor in each build that
a publication shows carries the day and the way of its disclosure, or a warning.
"""

from datetime import date

from msgspec import Struct

from ledger.book import Book, require_open_day
from ledger.book.questions.sponsors import FreeItem, free_items
from ledger.book.tables.ground import Job
from ledger.book.tables.sponsors import Disclosure, PublicationJob, PublicationSponsor, PublicName
from ledger.book.tables.sponsors import Publication as Row
from ledger.errors import BadValue, NotAllowed
from ledger.measures.chosen import choose
from ledger.measures.fields import made_of
from ledger.measures.quantity import Quantity

NONE = Quantity(0)
KINDS = ("long", "short", "photo", "plan")


class NewPublication(Struct, frozen=True):
    """A publication before it is posted: for whom it was made and which builds it shows."""

    title: str
    kind: str
    day: date
    sponsors: tuple[str, ...]
    jobs: tuple[int, ...]
    link: str = ""
    platform: str = ""
    disclosed: str = ""
    disclosed_on: date | None = None


class Disclosed(Struct, frozen=True):
    """A sponsor's item in a build that a publication shows, and whether the publication says so.

    A publication that was made for a sponsor and shows nothing of theirs stands here too, without
    an item: money and promises are a connection as well.
    """

    publication: Row
    sponsor: str
    job: int | None
    item: str
    unit: str
    quantity: Quantity
    on_camera: Quantity
    day: date | None
    how: str


def publish(book: Book, publication: NewPublication) -> Row:
    """Note a publication with its builds and sponsors, and its disclosure where one was made.

    Raises:
        BadValue: no title, or a kind that is not known.
        NotAllowed: the link is noted already, or the day is closed or lies ahead.
    """
    title = publication.title.strip()
    if not title:
        raise BadValue("A publication needs a title.")
    if publication.kind not in KINDS:
        promised = " A post that was promised is a photo or a short."
        raise BadValue(
            f"“{publication.kind}” is not a kind of publication; there is: {', '.join(KINDS)}."
            f"{promised if publication.kind == 'post' else ''}"
        )
    day = require_open_day(book, publication.day)
    link = publication.link.strip()
    if link:
        for known in book.rows(Row, link=link):
            raise NotAllowed(f"{link} is noted already: “{known.title}” of {known.day}.")
    with book.entry("sponsor publish", title):
        platform = publication.platform.strip()
        row = book.post(
            made_of(Row, publication, day=day, title=title, platform=platform, link=link)
        )
        for name in dict.fromkeys(publication.sponsors):
            book.post(PublicationSponsor(publication=row.key, sponsor=name))
        for job in dict.fromkeys(publication.jobs):
            book.post(PublicationJob(publication=row.key, job=job))
        if publication.disclosed.strip():
            disclose(book, row, publication.disclosed, publication.disclosed_on or day)
        return row


def disclose(book: Book, publication: Row, how: str, day: date | None = None) -> Disclosure:
    """Note that a publication says what came free, from a day on, and how it says it.

    Raises:
        BadValue: it is not said how.
        NotAllowed: the day lies before the publication, ahead, or in a closed month.
    """
    if not how.strip():
        raise BadValue("Say how it was disclosed, for example: spoken and in the description")
    when = require_open_day(book, day or book.today)
    if when < publication.day:
        raise NotAllowed(f"“{publication.title}” was published on {publication.day}, after {when}.")
    with book.entry("sponsor disclose", publication.title):
        return book.post(Disclosure(publication=publication.key, day=when, how=how.strip()))


def find_publication(book: Book, text: str) -> Row:
    """The publication of that link or title, or of any unambiguous part of one.

    Raises:
        NotFound: nothing answers.
        Ambiguous: several answer.
    """
    return choose(
        "publication",
        text,
        book.rows(Row),
        lambda row: [name for name in (row.link, row.title) if name],
        lambda row: f"{row.link or row.day} ({row.title})",
    )


def disclosure_of(book: Book, publication: Row) -> Disclosure | None:
    """The disclosure that counts: the one noted last."""
    return book.last(Disclosure, publication=publication.key)


def jobs_shown(book: Book, publication: Row) -> list[int]:
    """The builds a publication shows."""
    return [row.job for row in book.rows(PublicationJob, publication=publication.key)]


def disclosures(book: Book, sponsor: str = "") -> list[Disclosed]:
    """Every item of a sponsor (of all, if none is named) in every build that was published."""
    rows = {row.key: row for row in book.rows(Row)}
    last = {row.publication: row for row in book.rows(Disclosure)}
    items = free_items(book)
    named = {(item.publication, item.sponsor.casefold()) for item in items}
    for made in book.rows(PublicationSponsor):
        if (key := (made.publication, made.sponsor.casefold())) not in named:
            named.add(key)
            items.append(FreeItem(made.publication, None, made.sponsor, "", "", NONE, NONE))
    disclosed = [
        made_of(
            Disclosed,
            item,
            publication=rows[item.publication],
            item=item.words,
            day=last[item.publication].day if item.publication in last else None,
            how=last[item.publication].how if item.publication in last else "",
        )
        for item in items
        if item.publication in rows and sponsor.casefold() in ("", item.sponsor.casefold())
    ]
    return sorted(disclosed, key=lambda one: (one.publication.day, one.publication.key))


def undisclosed(book: Book, sponsor: str = "") -> list[Disclosed]:
    """What was published with free goods in it, or for a sponsor, and does not say so yet."""
    return [one for one in disclosures(book, sponsor) if one.day is None]


def name_build(book: Book, job: Job, name: str) -> PublicName:
    """Give a build the name it goes by outside of the shop.

    Raises:
        BadValue: no name.
    """
    if not name.strip():
        raise BadValue("Say how the build is called outside, for example “Fold-down bed”.")
    with book.entry("sponsor build", f"{job.number} {name.strip()}"):
        return book.post(PublicName(job=job.key, name=name.strip()))


def public_name(book: Book, job: int) -> str:
    """What a build is called outside: its public name with its number, or the number alone.

    A job's title is the shop's own and often the client's name; it never leaves the house.
    """
    row = book.row(Job, job)
    number = row.number if row else ""
    last = book.last(PublicName, job=job)
    return f"{last.name} ({number})" if last else number
