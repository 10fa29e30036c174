"""Whether the weeks of a quote can be kept: hours booked before it, days off, what others need."""

from datetime import date
from decimal import Decimal
from math import ceil

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.costing.sheet import CostSheet
from ledger.jobs.ahead import earliest
from ledger.jobs.lines import OUTSIDE, lead_days_of, lines_of
from ledger.measures.spoken import how_many


class LeadTime(Struct, frozen=True):
    """About when a job would be done if it were agreed today; None where it is too far off.

    `booked` are the owner's hours of the jobs that are agreed before it, `own` those of this one.
    """

    day: date | None
    today: date
    booked: Decimal
    own: Decimal

    @property
    def weeks(self) -> int | None:
        """The whole weeks from today that it takes."""
        return None if self.day is None else ceil((self.day - self.today).days / 7)

    def notice(self, usual: int, promised: int) -> str:
        """What is said of a quote that promises so many weeks; nothing where `usual` ones do."""
        if self.weeks is not None and self.weeks <= usual:
            return ""
        work = f"{self.own} h of yours for it after {self.booked} h booked before it"
        if self.day is None or self.weeks is None:
            return f"The {how_many(promised, 'week')} of the quote can't be kept: {work}."
        when = f"{work} are done about {self.day}, {how_many(self.weeks, 'week')} from today"
        if self.weeks <= promised:
            return f"The quote says {promised} weeks, not the usual {usual}: {when}."
        return (
            f"The {how_many(promised, 'week')} of the quote can hardly be kept: {when}. Draft it"
            f" with --weeks {self.weeks}."
        )


def lead_time(book: Book, job: Job, sheet: CostSheet) -> LeadTime:
    """About when a job would be done after all that is agreed, at the hours that are free."""
    own = sheet.totals.owner_hours
    others = lead_days_of(lines_of(book, job, OUTSIDE))
    soonest = earliest(book, job, own, others)
    return LeadTime(soonest.day, book.today, soonest.booked, own)
