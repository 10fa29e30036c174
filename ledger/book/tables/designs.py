"""Versions of designs, and layouts that were solved."""

from ledger.book.tables.base import Posted


class DesignVersion(Posted, table=True):
    """One version of a design, whole, as canonical JSON; old jobs keep theirs."""

    __tablename__ = "design_version"

    name: str
    version: int
    title: str
    errata: str = ""
    schema_number: int
    body: str
    digest: str


class StoredLayout(Posted, table=True):
    """A solved layout with the digest of what it answers, reused until that changes."""

    __tablename__ = "layout"

    digest: str
    material: str
    solver: str
    effort: str
    plan: str
