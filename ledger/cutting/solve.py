"""Solve a problem; the search is loaded only then, for most layouts are kept."""

from ledger.cutting.layout import Layout, Progress
from ledger.cutting.problem import Problem


def solve(problem: Problem, *, harder: bool = False, progress: Progress | None = None) -> Layout:
    """Lay out a problem; `harder` searches more widely and never answers worse."""
    from ledger.cutting.laying import lay_out

    return lay_out(problem, harder=harder, progress=progress)
