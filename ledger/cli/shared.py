"""What a command says where it takes apart a joint plan of jobs that share sheets."""

from typing import TYPE_CHECKING

from ledger.cli import voice

if TYPE_CHECKING:
    from collections.abc import Collection

    from ledger.book import Book
    from ledger.book.tables.ground import Job


def say_if_apart(book: "Book", job: "Job | None", items: "Collection[str] | None" = None) -> None:
    """Note that a job's joint plan holds no longer, and why; else say nothing."""
    from ledger.verbs.joint import ended_joint_plan

    if job is not None and (ended := ended_joint_plan(book, job, items)):
        from ledger.measures.spoken import large

        voice.note(f"{large(ended.words)}.")
