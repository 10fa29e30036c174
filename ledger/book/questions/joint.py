"""Questions about jobs that share sheets."""

from ledger.book.journal import Book
from ledger.book.questions import IN_FORCE


def shares_sheets(book: Book, job: int | None = None) -> bool:
    """Whether a job, or any at all, is in a joint plan."""
    rows = book.query(
        f"SELECT 1 FROM joint_share WHERE (:job IS NULL OR job = :job) AND {IN_FORCE} LIMIT 1",
        job=job,
    )
    return bool(rows)


def shared_issues_to(book: Book, job: int) -> set[int]:
    """The movements by which a job took its part of sheets that it shares with others."""
    rows = book.query(
        "SELECT i.movement FROM movement m JOIN joint_issue i ON i.movement = m.id"
        f" WHERE m.job = :job AND m.kind = 'issue' AND m.{IN_FORCE}",
        job=job,
    )
    return {movement for (movement,) in rows}


def shared_rack_lots(book: Book, job: int) -> set[int]:
    """The pieces of the rack that came from sheets which a job shares with others, by lot."""
    rows = book.query(
        "SELECT o.lot FROM joint_offcut o JOIN joint_share s ON s.joint_plan = o.joint_plan"
        f" WHERE s.job = :job AND o.movement IS NULL AND o.{IN_FORCE} AND s.{IN_FORCE}",
        job=job,
    )
    return {lot for (lot,) in rows}
