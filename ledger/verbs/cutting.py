"""The parts of a job as they come off the saw: what is cut of each sheet, counted by its mark.

What is counted belongs to one layout: laid out anew, a sheet counts from nothing.
"""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from ledger.book import Book, require_open_job
from ledger.book.journal import CUT
from ledger.book.tables.ground import Job
from ledger.book.tables.page import CutPart
from ledger.cutting.layout import Layout
from ledger.cutting.problem import Problem
from ledger.errors import NotAllowed
from ledger.verbs.layout import of_job


@dataclass(frozen=True, slots=True)
class SheetToCut:
    """A sheet of a layout: how many parts of each mark are on it, and how many are cut."""

    problem: Problem
    layout: Layout
    number: int
    marks: Mapping[str, int]
    cut: Mapping[str, int]

    @property
    def left(self) -> int:
        """Parts that are still to be cut."""
        return sum(self.marks.values()) - sum(self.cut.values())


def sheets_to_cut(book: Book, job: Job) -> list[SheetToCut]:
    """All sheets of a job, with what is cut of each; it lays out where nothing is kept.

    Raises:
        NotAllowed: the job has no design, or nothing is kept and nothing may be laid out now.
    """
    cut = Counter((row.layout, row.sheet, row.mark) for row in book.rows(CutPart, job=job.key))
    sheets = []
    for problem, layout in of_job(book, job).sheets:
        for number, sheet in enumerate(layout.sheets, 1):
            marks = Counter(part.mark for part in sheet.placements)
            done = {mark: cut[layout.digest, number, mark] for mark in marks}
            sheets.append(SheetToCut(problem, layout, number, marks, done))
    return sheets


def cut_part(book: Book, job: Job, digest: str, sheet: int, mark: str, number: int) -> SheetToCut:
    """Note that a part is cut, the `number`th of its mark; one that is noted already stays one.

    Raises:
        NotAllowed: the job is over, its layout is another one by now, or has no such part.
    """
    require_open_job(book, job.key)
    matching = [
        one for one in sheets_to_cut(book, job)
        if one.layout.digest == digest and one.number == sheet
    ]  # fmt: skip
    if not matching:
        raise NotAllowed(f"{job.number} is laid out otherwise by now; open its cut plan again.")
    count = matching[0].marks.get(mark, 0)
    if not 1 <= number <= count:
        raise NotAllowed(f"Of {mark} there are {count} on that sheet.")
    noted = book.rows(CutPart, job=job.key, layout=digest, sheet=sheet, mark=mark)
    if number not in {row.number for row in noted}:
        with book.entry(CUT, f"{job.number} {mark} {number} of {count}"):
            book.post(CutPart(job=job.key, layout=digest, sheet=sheet, mark=mark, number=number))
    return matching[0]
