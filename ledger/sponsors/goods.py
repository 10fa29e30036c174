"""A sponsor's goods in stock: which lots to take from, what their tools did, notes on both."""

from datetime import date

from msgspec import Struct

from ledger.book import Book, require_open_day
from ledger.book.questions.sponsors import GivenLot, given_lots, given_moves
from ledger.book.tables.sponsors import SponsorNote, ToolUse
from ledger.errors import Ambiguous, BadValue, NotAllowed, NotFound
from ledger.measures.quantity import Quantity, show_quantity
from ledger.measures.units import show_count

NOTE_KINDS = ("photo", "next", "where", "code", "result")
"""A photo's file name, the next planned use, where stock stands, code results, other results."""


class Held(Struct, frozen=True):
    """A lot of a sponsor with what is left of it."""

    lot: GivenLot
    left: Quantity


class ToolSum(Struct, frozen=True):
    """A sponsor's tool and all it did in a span of days."""

    lot: GivenLot
    left: Quantity
    minutes: int
    uses: int
    blades: int
    faults: tuple[str, ...]


def held(book: Book, sponsor: str, day: date | None = None) -> list[Held]:
    """The lots of a sponsor that were not used up by a day, oldest first."""
    until = day or book.today
    left = {lot.lot: lot.quantity for lot in given_lots(book, sponsor, until)}
    for move in given_moves(book, sponsor, until):
        left[move.lot] = left[move.lot] + move.quantity
    return [Held(lot, left[lot.lot]) for lot in given_lots(book, sponsor, until) if left[lot.lot]]


def choose_lots(
    book: Book, sponsor: str, item: str, quantity: Quantity, day: date | None = None
) -> list[tuple[int, Quantity]]:
    """From which lots of a sponsor a quantity of an item is taken, oldest first.

    Raises:
        NotFound: the sponsor's goods in the shop hold no such item.
        Ambiguous: several items answer.
        NotAllowed: more than is there.
    """
    if quantity.millionths <= 0:
        raise NotAllowed("The quantity must be more than zero.")
    lots = _lots_of(held(book, sponsor, day), item)
    chosen: list[tuple[int, Quantity]] = []
    wanted = quantity
    for one in lots:
        if part := min(wanted, one.left):
            chosen.append((one.lot.lot, part))
            wanted = wanted - part
    if wanted:
        there = show_count(quantity - wanted, lots[0].lot.unit)
        raise NotAllowed(
            f"On hand from {sponsor}: {there} of {lots[0].lot.words};"
            f" {show_quantity(quantity)} cannot be taken out of it."
        )
    return chosen


def find_tool(book: Book, sponsor: str, item: str) -> GivenLot:
    """The tool of a sponsor that is still in the shop.

    Raises:
        NotFound: there is no such tool.
        Ambiguous: several answer.
    """
    tools = [one for one in held(book, sponsor) if one.lot.category == "tool"]
    return _lots_of(tools, item)[0].lot


def log_tool(
    book: Book,
    tool: GivenLot,
    *,
    day: date | None = None,
    job: int | None = None,
    minutes: int = 0,
    uses: int = 0,
    blades: int = 0,
    fault: str = "",
) -> ToolUse:
    """Note what a tool did on a day.

    Raises:
        BadValue: neither time, uses, blades nor a fault is said.
        NotAllowed: the day lies before the tool came, ahead, or in a closed month.
    """
    when = require_open_day(book, day or book.today)
    if not (minutes or uses or blades or fault.strip()):
        raise BadValue("Say what the tool did: run time, uses, blades changed, or a fault.")
    if min(minutes, uses, blades) < 0:
        raise BadValue("Run time, uses and blades are zero or more.")
    if when < tool.day:
        raise NotAllowed(f"{tool.words} came on {tool.day}, after {when}.")
    with book.entry("sponsor tool", tool.words):
        return book.post(
            ToolUse(lot=tool.lot, day=when, job=job, minutes=minutes, uses=uses, blades=blades,
                    fault=fault.strip())
        )  # fmt: skip


def tools(book: Book, sponsor: str, first: date, last: date) -> list[ToolSum]:
    """The tools of a sponsor that stood in the shop in a span of days, and what they did in it."""
    left = {one.lot.lot: one.left for one in held(book, sponsor, last)}
    gone = {m.lot for m in given_moves(book, sponsor, last) if m.day >= first}
    rows = []
    for lot in given_lots(book, sponsor, last):
        if lot.category != "tool" or not (lot.lot in left or lot.lot in gone):
            continue
        uses = [use for use in book.rows(ToolUse, lot=lot.lot) if first <= use.day <= last]
        rows.append(
            ToolSum(
                lot,
                left.get(lot.lot, Quantity(0)),
                sum(use.minutes for use in uses),
                sum(use.uses for use in uses),
                sum(use.blades for use in uses),
                tuple(f"{use.day}: {use.fault}" for use in uses if use.fault),
            )
        )
    return rows


def add_note(
    book: Book, sponsor: str, kind: str, words: str, day: date | None = None
) -> SponsorNote:
    """Note a line for a sponsor's report.

    Raises:
        BadValue: no words, or a kind that is not known.
    """
    if kind not in NOTE_KINDS:
        raise BadValue(f"“{kind}” is not a kind of note; there is: {', '.join(NOTE_KINDS)}.")
    if not words.strip():
        raise BadValue("A note has words.")
    when = require_open_day(book, day or book.today)
    with book.entry("sponsor note", f"{sponsor} {kind}"):
        return book.post(SponsorNote(sponsor=sponsor, day=when, kind=kind, words=words.strip()))


def notes(book: Book, sponsor: str, first: date, last: date) -> list[SponsorNote]:
    """The notes for a sponsor of a span of days, oldest first."""
    rows = [row for row in book.rows(SponsorNote, sponsor=sponsor) if first <= row.day <= last]
    return sorted(rows, key=lambda row: (row.day, row.key))


def last_note(book: Book, sponsor: str, kind: str, until: date) -> str:
    """What was noted last of a kind by a day: where stock stands, what comes next."""
    rows = [row for row in book.rows(SponsorNote, sponsor=sponsor, kind=kind) if row.day <= until]
    return max(rows, key=lambda row: (row.day, row.key)).words if rows else ""


def _lots_of(lots: list[Held], item: str) -> list[Held]:
    """The lots of one item, by its code or words or any unambiguous part of them."""
    sought = item.strip().casefold()
    names = {_name(one): one for one in lots}
    exact = [n for n, one in names.items() if sought in (n[0].casefold(), n[1].casefold())]
    near = exact or [n for n in names if sought and sought in f"{n[0]}\n{n[1]}".casefold()]
    if len({n[0] or n[1] for n in near}) == 1:
        return [one for one in lots if _name(one) in near]
    if near:
        raise Ambiguous("item", item, [" ".join(filter(None, n)) for n in near])
    none = "Take it in first: benchledger sponsor receive NAME ITEM QUANTITY (--tool, --loan)"
    raise NotFound("item", item, [n[0] or n[1] for n in names], if_none=none)


def _name(one: Held) -> tuple[str, str]:
    return (one.lot.material or "", one.lot.words)
