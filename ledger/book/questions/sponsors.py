"""Questions about sponsors' goods in stock, the builds they went into, and what names to withhold.

A lot is a sponsor's if it carries their name; an offcut is, if a sheet of theirs went into the job
it was left over from. Names are compared without regard to capitals.
"""

import json
from datetime import date
from typing import NamedTuple

from ledger.book.journal import Book
from ledger.book.questions import IN_FORCE
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity

_GIVERS = f"""
WITH RECURSIVE giver (lot, sponsor) AS (
  SELECT id, sponsor FROM lot WHERE sponsor <> '' AND {IN_FORCE}
  UNION
  SELECT piece.id, giver.sponsor FROM giver
  JOIN lot AS sheet ON sheet.id = giver.lot
  JOIN movement AS m ON m.lot = giver.lot AND m.kind = 'issue' AND m.{IN_FORCE}
  JOIN lot AS piece ON piece.job = m.job AND piece.source = 'offcut'
    AND piece.material = sheet.material AND piece.{IN_FORCE}
)
"""
# UNION ends the recursion where two jobs took offcuts of each other.


class GivenLot(NamedTuple):
    """A lot that came from a sponsor, given or lent, with how its fair value was found."""

    lot: int
    material: str | None
    words: str
    category: str
    unit: str
    day: date
    source: str
    quantity: Quantity
    full: Money
    declared: Money
    method: str
    evidence: str
    document: str


class GivenMove(NamedTuple):
    """What left a sponsor's lot (negative) or came back to it; a return has its issue's camera."""

    move: int
    lot: int
    kind: str
    day: date
    quantity: Quantity
    full: Money
    job: int | None
    reason: str
    on_camera: bool | None


class SponsorOffcut(NamedTuple):
    """An offcut that is left over from sheets of one sponsor alone, its value, and where it is."""

    lot: int
    words: str
    job: int
    day: date
    full: Money
    used_in: int | None


class FreeItem(NamedTuple):
    """Goods of a sponsor in a build that a publication shows, with what was on camera."""

    publication: int
    job: int | None
    sponsor: str
    words: str
    unit: str
    quantity: Quantity
    on_camera: Quantity


class FreeValue(NamedTuple):
    """Value without cash that came in, went out, or came back, for the accountant."""

    day: date
    kind: str
    lot: int
    givers: str
    words: str
    category: str
    unit: str
    source: str
    quantity: Quantity
    value: Money
    job: int | None
    reason: str
    method: str
    evidence: str
    document: str


class WithheldNames(NamedTuple):
    """What a file for one party must not say of the others: people, their addresses, companies."""

    people: tuple[str, ...]
    details: tuple[str, ...]
    companies: tuple[str, ...]
    materials: tuple[str, ...]


def given_names(book: Book) -> list[str]:
    """The names of sponsors as lots carry them, in their order."""
    return sorted(
        book.column(f"SELECT DISTINCT sponsor FROM lot WHERE sponsor <> '' AND {IN_FORCE}")
    )


_GIVEN_LOTS = f"""SELECT lot.id, lot.material, lot.words, lot.category, lot.unit, lot.day,
  lot.source, lot.quantity, lot.full, lot.declared, lot.method, lot.evidence,
  coalesce(receipt.document, '') AS document
FROM lot LEFT JOIN receipt_line ON receipt_line.id = lot.line
LEFT JOIN receipt ON receipt.id = receipt_line.receipt
WHERE lot.sponsor <> '' AND lot.sponsor IN (SELECT value FROM json_each(:names))
  AND lot.day <= :until AND lot.{IN_FORCE} ORDER BY lot.day, lot.id"""


def given_lots(book: Book, sponsor: str, until: date) -> list[GivenLot]:
    """The lots of a sponsor that came in by a day, in the order they came."""
    return book.query_as(GivenLot, _GIVEN_LOTS, names=_spellings(book, sponsor), until=until)


_GIVEN_MOVES = f"""SELECT m.id, m.lot, m.kind, m.day, m.quantity, m.full, m.job, m.reason,
  coalesce(m.on_camera, taken.on_camera) AS on_camera
FROM lot JOIN movement AS m ON m.lot = lot.id
LEFT JOIN movement AS taken ON taken.id = m.of_movement
WHERE lot.sponsor <> '' AND lot.sponsor IN (SELECT value FROM json_each(:names))
  AND m.day <= :until AND m.{IN_FORCE} AND lot.{IN_FORCE} ORDER BY m.day, m.id"""


def given_moves(book: Book, sponsor: str, until: date) -> list[GivenMove]:
    """What happened to a sponsor's lots by a day, in the order of days."""
    return book.query_as(GivenMove, _GIVEN_MOVES, names=_spellings(book, sponsor), until=until)


_PIECES_OF = f"""{_GIVERS} SELECT piece.id, piece.words, piece.job, piece.day, piece.full, (
    SELECT m.job FROM movement AS m WHERE m.lot = piece.id AND m.kind = 'issue'
      AND m.day <= :until AND m.{IN_FORCE} ORDER BY m.id DESC LIMIT 1) AS used_in,
  (SELECT coalesce(sum(m.quantity), 0) FROM movement AS m WHERE m.lot = piece.id
      AND m.day <= :until AND m.{IN_FORCE}) AS moved
FROM lot AS piece JOIN giver ON giver.lot = piece.id
WHERE piece.source = 'offcut' AND piece.day <= :until AND piece.cash = 0
GROUP BY piece.id HAVING sum(giver.sponsor NOT IN (SELECT value FROM json_each(:names))) = 0
ORDER BY piece.id"""


def pieces_of(book: Book, sponsor: str, until: date) -> list[SponsorOffcut]:
    """The offcuts of a sponsor's sheets, those left out that another one's sheets may have left."""
    rows = book.query(_PIECES_OF, names=_spellings(book, sponsor), until=until)
    return [
        SponsorOffcut(
            r.id,
            r.words,
            r.job,
            date.fromisoformat(r.day),
            Money(r.full),
            r.used_in if r.moved else None,
        )
        for r in rows
        if not r.moved or r.used_in is not None
    ]


_FREE_ITEMS = f"""{_GIVERS} SELECT shown.publication, shown.job, giver.sponsor, lot.words, lot.unit,
  -sum(m.quantity) AS quantity, -sum(CASE WHEN coalesce(m.on_camera, taken.on_camera) = 1
    THEN m.quantity ELSE 0 END) AS on_camera
FROM publication_job AS shown
JOIN movement AS m ON m.job = shown.job AND m.kind IN ('issue', 'return')
LEFT JOIN movement AS taken ON taken.id = m.of_movement
JOIN lot ON lot.id = m.lot JOIN giver ON giver.lot = lot.id
WHERE shown.{IN_FORCE} AND m.{IN_FORCE}
GROUP BY shown.publication, shown.job, giver.sponsor, coalesce(lot.material, lot.words),
  lot.unit
HAVING sum(m.quantity) < 0 ORDER BY shown.publication, shown.job, giver.sponsor, lot.id"""


def free_items(book: Book) -> list[FreeItem]:
    """Every sponsor's goods in every build that was published, net of what came back."""
    return book.query_as(FreeItem, _FREE_ITEMS)


_FREE_VALUES = f"""
{_GIVERS}, named (lot, givers) AS (
  SELECT lot, group_concat(sponsor, ', ') FROM (SELECT lot, sponsor FROM giver ORDER BY sponsor)
  GROUP BY lot
)
SELECT f.day, f.kind, f.lot, coalesce(named.givers, ''), lot.words, lot.category, lot.unit,
  lot.source, f.quantity, f.value, f.job, f.reason, lot.method, lot.evidence,
  coalesce(receipt.document, '')
FROM (
  SELECT id AS lot, day, source AS kind, quantity, full - cash AS value, NULL AS job,
    '' AS reason, 0 AS move
  FROM lot WHERE full <> cash AND day <= :until AND {IN_FORCE}
  UNION ALL
  SELECT m.lot, m.day, m.kind, m.quantity, m.full - m.cash, m.job, m.reason, m.id
  FROM movement AS m WHERE m.full <> m.cash AND m.day <= :until AND m.{IN_FORCE}
) AS f JOIN lot ON lot.id = f.lot LEFT JOIN named ON named.lot = f.lot
LEFT JOIN receipt_line ON receipt_line.id = lot.line
LEFT JOIN receipt ON receipt.id = receipt_line.receipt
WHERE lot.{IN_FORCE} ORDER BY f.day, f.move, f.lot
"""


def free_values(book: Book, until: date) -> list[FreeValue]:
    """Lots and movements whose full value is not all cash, up to a day, in the order of days."""
    return book.query_as(FreeValue, _FREE_VALUES, until=until)


class Loan(NamedTuple):
    """Goods on loan that stood in the shop on a day: not ours, worth what their owner declared."""

    lot: int
    sponsor: str
    words: str
    unit: str
    day: date
    quantity: Quantity
    left: Quantity
    declared: Money


_LOANS_ON = f"""SELECT lot.id, lot.sponsor, lot.words, lot.unit, lot.day, lot.quantity,
  lot.quantity + coalesce((SELECT sum(m.quantity) FROM movement AS m WHERE m.lot = lot.id
    AND m.day <= :day AND m.{IN_FORCE}), 0), lot.declared
FROM lot WHERE lot.source = 'borrowed' AND lot.day <= :day AND lot.{IN_FORCE}
ORDER BY lot.sponsor, lot.day, lot.id"""


def loans_on(book: Book, day: date) -> list[Loan]:
    """What was borrowed and not sent back by a day."""
    loans = book.query_as(Loan, _LOANS_ON, day=day)
    return [loan for loan in loans if loan.left.millionths > 0]


def names_in_book(book: Book) -> WithheldNames:
    """Everybody the book knows of, also those of entries that were taken back."""
    clients = book.query(
        "SELECT name, contact, address FROM client WHERE redacted_on IS NULL UNION SELECT a.name,"
        " a.contact, a.address FROM addressee a JOIN client c ON c.id = a.client"
        " WHERE c.redacted_on IS NULL"
    )
    texts = (text for row in clients for text in (row.contact, *row.address.split("|")))
    reached = {text.strip() for text in texts if text.strip()}
    companies = book.column(
        "SELECT name FROM supplier UNION SELECT name FROM sponsor"
        " UNION SELECT sponsor FROM lot WHERE sponsor <> '' ORDER BY 1"
    )
    return WithheldNames(
        tuple(sorted({row.name for row in clients})),
        tuple(sorted(reached)),
        tuple(companies),
        tuple(book.column("SELECT DISTINCT name FROM material ORDER BY 1")),
    )


def _spellings(book: Book, sponsor: str) -> str:
    """The name in all the ways lots spell it, as a JSON list."""
    sought = sponsor.casefold()
    return json.dumps([name for name in given_names(book) if name.casefold() == sought])
