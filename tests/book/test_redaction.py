"""Client details can be taken out of the book; what was posted stays."""

import pytest

from ledger.book.clients import redact_client
from ledger.book.tables.ground import Job
from ledger.errors import NotAllowed

DETAILS = ("Somebody of Old Mill Lane", "somebody@example.com", "12 Old Mill Lane")


def test_a_redacted_client_leaves_no_trace_in_the_file(book):
    with book.entry("job new"):
        number = book.client(*DETAILS)
        job = book.post(Job(number="J-2507", title="Bed", client=number)).key
    assert all(detail.encode() in book.path.read_bytes() for detail in DETAILS)
    with book.entry("client redact"):
        redact_client(book, number)
    assert not any(detail.encode() in book.path.read_bytes() for detail in DETAILS)
    client = book.client_row(number)
    assert (client.name, client.contact, client.redacted_on) == ("Client 1", "", "2025-04-25")
    assert book.row(Job, job).client == number


def test_a_client_that_is_not_there_is_not_redacted(book):
    with pytest.raises(NotAllowed, match="There is no client 9"), book.entry("client redact"):
        redact_client(book, 9)
