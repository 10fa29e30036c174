"""The report for one sponsor: what became of their goods, what was published, what is still due.

It is for somebody who may see neither client nor price, hours or other givers. Builds go by their
public names, and every text that the owner typed is cleaned of names; what was left out, and what
lacks a disclosure, is told to the owner beside the report and never in it.
"""

from collections.abc import Sequence
from datetime import date

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.sponsors import (
    GivenLot,
    GivenMove,
    SponsorOffcut,
    given_lots,
    given_moves,
    names_in_book,
    pieces_of,
)
from ledger.book.tables.ground import Job
from ledger.book.tables.sponsors import Sponsor
from ledger.errors import NotAllowed
from ledger.measures.money import Currency, Money, total
from ledger.measures.quantity import Quantity
from ledger.measures.values import replace
from ledger.reports.sponsor_photos import BuildPhoto, is_marked, photos_for
from ledger.sponsors import undisclosed
from ledger.sponsors.agreements import Progress, progress, published_for
from ledger.sponsors.goods import last_note, notes, tools
from ledger.sponsors.publications import disclosure_of, jobs_shown, public_name
from ledger.sponsors.statement import Amount, StatementLine, amounts, arrived, statement
from ledger.sponsors.withheld import Doubt, Withheld, withheld_from
from ledger.stock.joint import CREDIT


class SponsorGoodsReceived(Struct, frozen=True):
    """Goods that came: what, how much, at which fair value and how that was found."""

    day: date
    item: str
    unit: str
    amount: Amount
    loan: bool
    method: str
    evidence: str
    document: str


class Used(Struct, frozen=True):
    """Goods that a build took, net of what came back; `unsaid` is where nobody noted the camera."""

    build: str
    item: str
    unit: str
    amount: Amount
    on_camera: Quantity
    unsaid: Quantity


class Event(Struct, frozen=True):
    """One thing that happened to goods, with what was left of them afterwards."""

    day: date
    what: str
    item: str
    unit: str
    amount: Amount
    balance: Quantity
    build: str
    words: str


class Tool(Struct, frozen=True):
    """A tool in the shop and what it did in the span."""

    name: str
    loan: bool
    here: bool
    minutes: int
    uses: int
    blades: int
    faults: tuple[str, ...]


class Published(Struct, frozen=True):
    """A publication of the span, and how it says what came free."""

    day: date
    kind: str
    title: str
    platform: str
    link: str
    builds: tuple[str, ...]
    disclosed_on: date | None
    how: str


class SponsorReport(Struct, frozen=True):
    """Everything that goes to a sponsor of a span of days, and nothing else."""

    sponsor: str
    shop: str
    first: date
    last: date
    currency: Currency
    objective: str
    lines: tuple[StatementLine, ...]
    lots: tuple[SponsorGoodsReceived, ...]
    used: tuple[Used, ...]
    events: tuple[Event, ...]
    tools: tuple[Tool, ...]
    published: tuple[Published, ...]
    promised: tuple[Progress, ...]
    where: str
    offcuts: tuple[str, ...]
    offcuts_value: Money
    next_use: str
    photos: tuple[str, ...]
    pictures: tuple[BuildPhoto, ...]
    results: tuple[str, ...]

    @property
    def received(self) -> tuple[SponsorGoodsReceived, ...]:
        """What came within the span."""
        return tuple(one for one in self.lots if one.day >= self.first)

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to tell: no goods, tools, promises, publications or notes."""
        return not any((
            self.lines, self.lots, self.used, self.events, self.tools, self.published,
            self.promised, self.offcuts, self.next_use, self.photos, self.pictures, self.results,
        ))  # fmt: skip

    @property
    def given_left(self) -> Money:
        """What of the goods given is here at the end, offcuts kept of them in it; no loans."""
        closing = total(line.closing.value for line in self.lines if not line.loan)
        return closing + self.offcuts_value

    @property
    def gone(self) -> tuple[Event, ...]:
        """What was damaged, wasted or sent back."""
        return tuple(one for one in self.events if one.what in ("damaged", "wasted", "sent back"))

    @property
    def promised_number(self) -> int:
        """How many publications were promised by the end of the span."""
        return sum(one.number for one in self.promised)

    @property
    def done_number(self) -> int:
        """How many of them are done."""
        return sum(one.done for one in self.promised)


class Prepared(Struct, frozen=True):
    """A report, and what the owner should look at before it is sent.

    `doubts` are to be answered before it is written: they may be names of clients.
    """

    report: SponsorReport
    warnings: tuple[str, ...]
    doubts: tuple[Doubt, ...] = ()

    def require_answered(self, *, yes: bool) -> None:
        """Check that nothing is in doubt, or that the owner said that it may go out.

        Raises:
            NotAllowed: something may be a client's name, and nobody said that it is none.
        """
        if self.doubts and not yes:
            listed = "\n".join(f"  {doubt}" for doubt in self.doubts)
            raise NotAllowed(
                "Nothing was written, for a sponsor reads no names of clients or other givers:\n"
                f"{listed}\nFind other words, or if none of it is a name, say so: --yes"
            )


def sponsor_report(book: Book, sponsor: Sponsor, first: date, last: date) -> Prepared:
    """Put the report of a sponsor together, from the first to the last day.

    Raises:
        NotAllowed: the first day lies after the last.
    """
    if first > last:
        raise NotAllowed(f"A report runs from one day to a later one; not from {first} to {last}.")
    name, shop = sponsor.name, book.settings.shop
    lots, moves = given_lots(book, name, last), given_moves(book, name, last)
    shown = _clients_shown(book, name, moves, last)
    held = withheld_from(name, shop, names_in_book(book), shown)
    clean = held.clean
    worth = amounts(lots, moves)
    within = [pair for pair in worth if pair[0].day >= first]
    lines = statement(lots, moves, first, last)
    undone = {move.lot for move in moves if move.kind == "reversed"}
    behind = {number for line in lines for number in line.lots} - undone
    noted = notes(book, name, first, last)
    on_rack = [one for one in pieces_of(book, name, last) if one.used_in is None]
    report = SponsorReport(
        sponsor=name,
        shop=shop,
        first=first,
        last=last,
        currency=book.currency,
        objective=clean(sponsor.objective, "objective"),
        lines=tuple(replace(one, item=clean(one.item, "goods")) for one in lines),
        lots=tuple(_received(lot, held) for lot in lots if lot.lot in behind),
        used=_used(book, {lot.lot: lot for lot in lots}, within, held),
        events=_events(book, lots, worth, first, held),
        tools=_tools(book, name, first, last, held),
        published=_published(book, name, first, last, held),
        promised=tuple(progress(book, name, last)),
        where=clean(last_note(book, name, "where", last), "where it is") or "in the workshop",
        offcuts=_offcuts(book, on_rack, held),
        offcuts_value=total(piece.full for piece in on_rack),
        next_use=clean(last_note(book, name, "next", last), "next use"),
        photos=tuple(
            clean(note.words, "photo")
            for note in noted
            if note.kind == "photo" and not is_marked(note)
        ),
        pictures=photos_for(book, name, noted, held),
        results=tuple(
            clean(note.words, "result") for note in noted if note.kind in ("code", "result")
        ),
    )
    return Prepared(report, _warnings(book, sponsor, held, last), tuple(held.doubts))


def _clients_shown(
    book: Book, sponsor: str, moves: Sequence[GivenMove], last: date
) -> frozenset[str]:
    """The names, contacts and addresses of the clients whose builds the report may show."""
    jobs = {move.job for move in moves}
    jobs |= {piece.job for piece in pieces_of(book, sponsor, last)}
    jobs |= {job for row in published_for(book, sponsor) for job in jobs_shown(book, row)}
    texts: set[str] = set()
    for number in jobs - {None}:
        job = book.row(Job, number) if number is not None else None
        client = book.client_row(job.client) if job and job.client is not None else None
        if client is not None:
            texts |= {client.name, client.contact, client.address}
    return frozenset(texts - {""})


def _warnings(book: Book, sponsor: Sponsor, held: Withheld, last: date) -> tuple[str, ...]:
    warnings = [
        f"“{one.publication.title}” ({one.publication.link or one.publication.day}) has no"
        f" disclosure noted{_of_what(book, one.job, one.item, one.on_camera)}. Once it says so:"
        " benchledger sponsor disclose"
        for one in undisclosed(book, sponsor.name)
        if one.publication.day <= last
    ]
    if not sponsor.objective:
        warnings.append(
            f"No objective of {sponsor.name} is noted; it should stand first:"
            " benchledger sponsor add NAME --objective TEXT"
        )
    warnings += [f"A name was left out of the report: “{text}”" for text in held.texts_with_names]
    warnings += [f"Speaks of money or hours, look at it before you send: “{text}”"
             for text in held.doubtful]  # fmt: skip
    return tuple(warnings)


def _of_what(book: Book, job: int | None, item: str, on_camera: Quantity) -> str:
    if job is None:
        return ", and was made for the sponsor"
    seen = "on camera" if on_camera else "not noted as on camera"
    return f"; {public_name(book, job)} holds free {item} ({seen})"


def _received(lot: GivenLot, held: Withheld) -> SponsorGoodsReceived:
    return SponsorGoodsReceived(lot.day, held.clean(lot.words, "goods"), lot.unit, arrived(lot),
                    lot.source == "borrowed", lot.method,
                    held.clean(lot.evidence, "evidence"),
                    held.clean(lot.document, "document"))  # fmt: skip


def _used(
    book: Book,
    lots: dict[int, GivenLot],
    moves: Sequence[tuple[GivenMove, Amount]],
    held: Withheld,
) -> tuple[Used, ...]:
    """One row for each build and kind of goods, in the order of the first use.

    What jobs that share an offcut pass on of its credit is left out, as the offcut itself is.
    """
    rows: dict[tuple[int, str, str], Used] = {}
    for move, amount in moves:
        if move.kind not in ("issue", "return") or move.job is None or move.reason == CREDIT:
            continue
        lot = lots[move.lot]
        key = (move.job, lot.material or lot.words, lot.unit)
        build = held.clean(public_name(book, move.job), "build")
        old = rows.get(
            key, Used(build, held.clean(lot.words, "goods"), lot.unit, Amount(), _NONE, _NONE)
        )
        out = -move.quantity
        rows[key] = replace(
            old,
            amount=old.amount + -amount,
            on_camera=old.on_camera + (out if move.on_camera else _NONE),
            unsaid=old.unsaid + (out if move.on_camera is None else _NONE),
        )
    return tuple(row for row in rows.values() if row.amount)


_NONE = Quantity(0)
_EVENTS = {
    "issue": "used", "return": "back from the build", "damage": "damaged", "scrap": "wasted",
    "to_supplier": "sent back", "own_use": "kept by the shop", "giveaway": "given away",
    "count": "counted", "reversed": "receipt taken back",
}  # fmt: skip


def _events(
    book: Book,
    lots: Sequence[GivenLot],
    moves: Sequence[tuple[GivenMove, Amount]],
    first: date,
    held: Withheld,
) -> tuple[Event, ...]:
    """What happened from the first day on, each kind of goods with its own running balance."""
    by_number = {lot.lot: lot for lot in lots}
    came = [(lot.day, -1, lot, arrived(lot), None) for lot in lots]
    went = [(move.day, move.move, by_number[move.lot], amount, move) for move, amount in moves]
    balances: dict[tuple[str, bool], Quantity] = {}
    events = []
    for day, _, lot, amount, move in sorted([*came, *went], key=lambda one: one[:2]):
        kind = (lot.material or lot.words, lot.source == "borrowed")
        balances[kind] = balances.get(kind, _NONE) + amount.quantity
        if day < first:
            continue
        if move is None:
            what, build = ("lent" if lot.source == "borrowed" else "received"), ""
            words = lot.document
        else:
            what, words = _EVENTS[move.kind], move.reason
            build = public_name(book, move.job) if move.job is not None else ""
        events.append(
            Event(day, what, held.clean(lot.words, "goods"), lot.unit, amount, balances[kind],
                  held.clean(build, "build"), held.clean(words, "reason"))
        )  # fmt: skip
    return tuple(events)


def _tools(book: Book, sponsor: str, first: date, last: date, held: Withheld) -> tuple[Tool, ...]:
    return tuple(
        Tool(held.clean(one.lot.words, "tool"), one.lot.source == "borrowed", bool(one.left),
             one.minutes, one.uses, one.blades,
             tuple(held.clean(fault, "fault") for fault in one.faults))
        for one in tools(book, sponsor, first, last)
    )  # fmt: skip


def _published(
    book: Book, sponsor: str, first: date, last: date, held: Withheld
) -> tuple[Published, ...]:
    rows = []
    for row in published_for(book, sponsor):
        if first <= row.day <= last:
            disclosure = disclosure_of(book, row)
            builds = tuple(
                held.clean(public_name(book, job), "build") for job in jobs_shown(book, row)
            )
            rows.append(
                Published(row.day, row.kind, held.clean(row.title, "title"),
                          held.clean(row.platform, "platform"),
                          held.clean(row.link, "link"), builds,
                          disclosure.day if disclosure else None,
                          held.clean(disclosure.how, "disclosure") if disclosure else "")
            )  # fmt: skip
    return tuple(rows)


def _offcuts(book: Book, on_rack: Sequence[SponsorOffcut], held: Withheld) -> tuple[str, ...]:
    """The offcuts of the sponsor's sheets that still lie on the rack, in words."""
    return tuple(
        f"{held.clean(piece.words, 'offcut')} from"
        f" {held.clean(public_name(book, piece.job), 'build')}"
        for piece in on_rack
    )
