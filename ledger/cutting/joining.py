"""Parts of several jobs put to the cutting room as one question, each named with its job."""

from collections.abc import Mapping

from ledger.cutting.layout import Layout
from ledger.cutting.problem import CutPart, Problem
from ledger.measures.values import replace


def joined(problems: Mapping[str, Problem]) -> Problem:
    """One question of the parts of several jobs, by the jobs' numbers, of one material and saw.

    A part is called by its job and its id, as `J-2507 A4`, for ids collide; matched parts stay
    those of their job. The sheets are those that every job may be cut from.
    """
    first, *others = problems.values()
    return replace(
        first,
        pieces=tuple(
            of_job(job, piece) for job, problem in problems.items() for piece in problem.pieces
        ),
        stocks=tuple(
            stock for stock in first.stocks if all(stock in other.stocks for other in others)
        ),
    )


def of_job(job: str, piece: CutPart) -> CutPart:
    """The part as it is called where several jobs are cut together."""
    return replace(
        piece,
        id=f"{job} {piece.id}",
        marks=tuple(f"{job} {mark}" for mark in piece.marks),
        group=piece.group and f"{job} {piece.group}",
    )


def own_part(layout: Layout, job: str) -> Layout:
    """A joint layout with the parts of one job alone, called as in its own list.

    The sheets keep their numbers, also those that have none of its parts.
    """
    before = f"{job} "
    sheets = tuple(
        replace(
            sheet,
            placements=tuple(
                replace(
                    part,
                    part=part.part.removeprefix(before),
                    mark=part.mark.removeprefix(before),
                )
                for part in sheet.placements
                if part.part.startswith(before)
            ),
        )
        for sheet in layout.sheets
    )
    return replace(layout, sheets=sheets)
