"""Months that are closed to postings; which are, is read without a class."""

from ledger.book.tables.base import Posted


class MonthState(Posted, table=True):
    """A month that was closed to postings, or opened again with a reason."""

    __tablename__ = "month_state"

    month: str
    state: str
    why: str = ""
