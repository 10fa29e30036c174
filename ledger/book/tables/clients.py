"""Who jobs are for, and whom papers were sent to."""

from sqlmodel import Field, SQLModel

from ledger.book.tables.base import Posted, salt


class Client(SQLModel, table=True):
    """Who a commission is for; the one table whose details can be redacted on request."""

    id: int | None = Field(default=None, primary_key=True)
    name: str
    contact: str = ""
    address: str = ""
    vat_number: str = ""
    redacted_on: str | None = None
    salt: str = salt()


class Addressee(SQLModel, table=True):
    """Whom a paper was sent to, as the client's details were then; redacted with the client."""

    id: int | None = Field(default=None, primary_key=True)
    quote: int | None = None
    invoice: int | None = None
    change_order: int | None = None
    client: int
    name: str
    contact: str = ""
    address: str = ""
    vat_number: str = ""
    salt: str = salt()


class JobClient(Posted, table=True):
    """Who a job is for that was opened without a client; the last in force counts."""

    __tablename__ = "job_client"

    job: int
    client: int
