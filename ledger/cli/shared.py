"""What a command says where it takes apart a joint plan of jobs that share sheets."""

from typing import TYPE_CHECKING

from ledger.cli import voice

if TYPE_CHECKING:
    from collections.abc import Collection

    from ledger.book import Book
    from ledger.book.tables.ground import Job


def say_if_apart(book: "Book", job: "Job | None", items: "Collection[str] | None" = None) -> None:
    """Note that a job's joint plan holds no longer, and why; else say nothing.

    Where `items` are named, only if the plan is of one of these materials.
    """
    from ledger.book.questions.joint import shares_sheets

    if job is None or not shares_sheets(book, job.key):
        return
    from ledger.jobs.joint_plans import joint_of  # few jobs share sheets
    from ledger.measures.spoken import large

    kept = joint_of(book, job)
    if kept and items is not None and not any(kept.of(item) for item in items):
        return
    if kept is not None and kept.why_not:
        voice.note(f"{large(kept.words)}.")
