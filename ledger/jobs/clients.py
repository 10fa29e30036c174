"""Who a job is for: name, address, how to reach them, VAT number, entered once for all papers."""

from ledger.book import Book
from ledger.book.clients import describe_client
from ledger.book.journal import DESCRIBED
from ledger.book.tables.ground import Client, Job
from ledger.book.tables.jobs import JobClient
from ledger.errors import BadValue
from ledger.jobs.jobs import client_named, client_number


def describe(book: Book, job: Job, **details: str) -> Client:
    """Change what is known of a job's client; a job without one is given one by name.

    The entry's words hold none of it, so that it can be redacted; what is left out stays.

    Raises:
        BadValue: the job has no client and no name is given, or a name is empty.
        NotAllowed: the client's details were taken out on request.
    """
    name = details.get("name", "").strip()
    if "name" in details and not name:
        raise BadValue("A client has a name; leave --name out to keep the one that stands.")
    with book.entry(DESCRIBED, job.number):
        number = client_number(book, job)
        if number is None:
            if not name:
                raise BadValue(
                    f"{job.number} has no client yet; say who it is for:"
                    f" benchledger job client {job.number} --name NAME"
                )
            number = client_named(book, name)
            book.post(JobClient(job=job.key, client=number))
        return describe_client(book, number, **details)
