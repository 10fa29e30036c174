"""The cutting room: parts and sheets in, a plan that can be cut out.

It is pure arithmetic in whole nanometers: no book, no spreadsheet, no terminal, no clock.
`Problem` asks (pieces of one material, sheets on the rack and new, kerf, trim); `solve` answers
with a `Layout` at the least cost it finds, and says what is proven; `check_layout` tests any
layout without a line of the solver's code; `count_cuts` gives the drivers of the labor estimate.
Beside the door stand: `sequence` (the ordered cuts), `record` (layouts to and from JSON),
`drawing` (SVG and block drawings), `boards` (solid parts on rough boards), `quick` (a parts list
and a sheet size, answered at once). `check_problem` refuses in the reader's own units.
The same question gives the same answer: rows are put in one order and effort is bounded by work.
"""

from ledger.cutting.check import check_layout
from ledger.cutting.layout import Layout
from ledger.cutting.problem import CutPart, Problem, Stock
from ledger.cutting.sequence import CutCounts, count_cuts
from ledger.cutting.solve import solve

__all__ = [
    "CutCounts",
    "CutPart",
    "Layout",
    "Problem",
    "Stock",
    "check_layout",
    "count_cuts",
    "solve",
]
