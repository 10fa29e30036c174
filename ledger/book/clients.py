"""Clients and whom papers were sent to: the one thing in a book that may change, and be redacted.

What was posted names a client by number only. A paper's addressee keeps the client's details as
they were on its day, in rows of their own, so that a paper written again reads as it was sent; and
redacting a client takes them out of those rows too.
"""

from typing import Any

from sqlalchemy import select
from sqlmodel import Session

from ledger.book.journal import Book
from ledger.book.tables.clients import Addressee, Client
from ledger.errors import NotAllowed

DETAILS = ("name", "contact", "address", "vat_number")
"""What a book knows of a client."""


def describe_client(book: Book, number: int, **details: str) -> Client:
    """Change a client's details, inside an entry; what is left out stays.

    Raises:
        NotAllowed: there is no such client, or their details were taken out.
    """
    session = book.writing_session("a client is described")
    client = _client(session, number)
    if client.redacted_on:
        raise NotAllowed(f"The details of client {number} were taken out on {client.redacted_on}.")
    for name, text in details.items():
        setattr(client, name, text.strip())
    session.add(client)
    session.flush()
    return client


def keep_addressee(
    book: Book,
    client: int,
    *,
    quote: int | None = None,
    invoice: int | None = None,
    change_order: int | None = None,
) -> None:
    """Keep the client's details of today for a paper, inside the entry that posts it.

    One of the last three is the key of the paper.
    """
    session = book.writing_session("an addressee is kept")
    known = _client(session, client)
    details = {name: getattr(known, name) for name in DETAILS}
    kept = Addressee(
        quote=quote, invoice=invoice, change_order=change_order, client=client, **details
    )
    session.add(kept)
    session.flush()


def addressee_of(book: Book, **paper: int) -> Addressee | None:
    """Whom a paper was sent to; None where it has no client, or is of an earlier release.

    `paper` is the key of the quote, invoice or change_order, by that name. What was
    sent, taken back and sent anew has the last one.
    """
    newest: Any = Addressee.id
    with book.reading_session() as session:
        query = select(Addressee).filter_by(**paper).order_by(newest.desc())
        return session.scalars(query).first()


def redact_client(book: Book, number: int) -> None:
    """Take a client's details out; what was posted keeps only the number, inside an entry.

    Raises:
        NotAllowed: there is no such client.
    """
    session = book.writing_session("a client is redacted")
    client = _client(session, number)
    client.redacted_on = book.today.isoformat()
    column: Any = Addressee.client
    for row in (client, *session.scalars(select(Addressee).where(column == number))):
        row.name, row.contact, row.address, row.vat_number = f"Client {number}", "", "", ""
        row.salt = ""
        session.add(row)
    session.flush()


def _client(session: Session, number: int) -> Client:
    client = session.get(Client, number)
    if client is None:
        raise NotAllowed(f"There is no client {number} in this book.")
    return client
