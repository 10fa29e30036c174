"""Quotes: revisions, drafts, frozen pages and their basis, states."""

from datetime import date

from ledger.book.tables.base import Posted, column


class Quote(Posted, table=True):
    """One revision of a job's quote: Q-2507, revision B."""

    number: str
    revision: str
    job: int

    @property
    def name(self) -> str:
        """Number and revision as they stand on the page."""
        return f"{self.number}-{self.revision}"


class QuoteState(Posted, table=True):
    """A state a revision entered on a day; of an acceptance also how, who, drawing and sample."""

    __tablename__ = "quote_state"

    quote: int
    state: str
    day: date = column(date)
    how: str = ""
    who: str = ""
    drawing: str = ""
    sample: str = ""


class QuoteDraft(Posted, table=True):
    """A revision as it was drafted, not yet sent; the last in force counts."""

    __tablename__ = "quote_draft"

    quote: int
    schema_number: int
    page: bytes
    basis: bytes


class QuotePage(Posted, table=True):
    """What the client was sent: the very bytes, the schema they follow, and their SHA-256."""

    __tablename__ = "quote_page"

    quote: int
    schema_number: int
    program: str
    page: bytes
    sha256: str


class QuoteBasis(Posted, table=True):
    """What stood behind a page on its day: the cost sheet's bytes and their SHA-256."""

    __tablename__ = "quote_basis"

    quote: int
    schema_number: int
    basis: bytes
    sha256: str
