"""Sponsors, agreements and deliverables, publications and disclosures, tools used, notes.

A sponsor is referred to by name, as its lots in stock are.
"""

from datetime import date

from ledger.book.tables.base import Posted, column
from ledger.measures.money import Money


class Sponsor(Posted, table=True):
    """Who gives material, tools or a fee, and what for; the last row of a name counts."""

    name: str
    objective: str = ""


class SponsorAgreement(Posted, table=True):
    """What was agreed on a day: what they supply, for which fee, and where that is written."""

    __tablename__ = "sponsor_agreement"

    sponsor: str
    day: date = column(date)
    supplies: str = ""
    fee: Money = column(Money, default=Money(0))
    evidence: str = ""


class PromisedDeliverable(Posted, table=True):
    """How many publications of a kind were promised by a day; a `post` is a photo or a short."""

    __tablename__ = "deliverable"

    agreement: int
    kind: str
    number: int
    due: date = column(date)


class Publication(Posted, table=True):
    """What was published on a day, and where it is found."""

    day: date = column(date)
    kind: str
    title: str
    platform: str = ""
    link: str = ""


class PublicationSponsor(Posted, table=True):
    """A sponsor whom a publication was made for."""

    __tablename__ = "publication_sponsor"

    publication: int
    sponsor: str


class PublicationJob(Posted, table=True):
    """A build that a publication shows."""

    __tablename__ = "publication_job"

    publication: int
    job: int


class Disclosure(Posted, table=True):
    """The day on which a publication said what was free in it, and how; the last counts."""

    publication: int
    day: date = column(date)
    how: str


class PublicName(Posted, table=True):
    """The name a build goes by outside of the shop: its title may name the client."""

    __tablename__ = "public_name"

    job: int
    name: str


class ToolUse(Posted, table=True):
    """What a sponsor's tool (a lot) did on a day: time, uses, blades changed, a fault."""

    __tablename__ = "tool_use"

    lot: int
    day: date = column(date)
    job: int | None = None
    minutes: int = 0
    uses: int = 0
    blades: int = 0
    fault: str = ""


class SponsorNote(Posted, table=True):
    """A line for a sponsor's report: a photo's file name, the next use, where stock stands."""

    __tablename__ = "sponsor_note"

    sponsor: str
    day: date = column(date)
    kind: str
    words: str
