"""Questions about jobs that share sheets."""

from collections.abc import Callable, Collection

from ledger.book.journal import Book
from ledger.book.questions import IN_FORCE

type Outgrown = Callable[[], Collection[str]]
"""The materials whose joint plan no longer fits the parts; asked only where sheets are shared."""


def shares_sheets(book: Book, job: int | None = None) -> bool:
    """Whether a job, or any at all, is in a joint plan."""
    which = f"(:job IS NULL OR job = :job) AND {IN_FORCE}"
    return bool(book.query(f"SELECT 1 FROM joint_share WHERE {which} LIMIT 1", job=job))


_SHARED_ISSUES_TO = f"""SELECT i.movement FROM movement m JOIN joint_issue i ON i.movement = m.id
WHERE m.job = :job AND m.kind = 'issue' AND m.{IN_FORCE}"""


def shared_issues_to(book: Book, job: int) -> set[int]:
    """The movements by which a job took its part of sheets that it shares with others."""
    return set(book.column(_SHARED_ISSUES_TO, job=job))


_SHARED_RACK_LOTS = f"""SELECT o.lot FROM joint_offcut o
JOIN joint_share s ON s.joint_plan = o.joint_plan
WHERE s.job = :job AND o.movement IS NULL AND o.{IN_FORCE} AND s.{IN_FORCE}"""


def shared_rack_lots(book: Book, job: int) -> set[int]:
    """The pieces of the rack that came from sheets which a job shares with others, by lot."""
    return set(book.column(_SHARED_RACK_LOTS, job=job))
