"""The master problem of cutting stock: how often to cut each pattern, by linear programming.

Minimize the cost of the sheets so that the patterns cut hold every part and no more sheets are
taken than there are (P. C. Gilmore and R. E. Gomory, A linear programming approach to the
cutting-stock problem, Oper. Res. 9, 1961). Solved by HiGHS (Q. Huangfu and J. A. J. Hall,
Parallelizing the dual revised simplex method, Math. Program. Comput. 10, 2018), which is loaded
here alone; bounded by nodes, on one thread, with a fixed seed, so that it always answers the same.
"""

from collections.abc import Sequence
from operator import mul
from typing import Any

from msgspec import Struct

MOST_NODES = 1000
"""So many nodes of the integer master are looked at most."""

FEW_NODES, NEAR_ENOUGH = 30, 0.02
"""So many where only an easier plan is looked for, until it is so near to the easiest."""

MISSING = 1000
"""What a part costs that no pattern holds, in sheets of the dearest kind."""


OPTIONS = {
    "threads": 1, "parallel": "off", "random_seed": 0, "mip_max_nodes": MOST_NODES,
    "mip_rel_gap": 0.0,
}  # fmt: skip
"""The same question is to give the same answer."""


class Column(Struct, frozen=True):
    """One pattern as the master sees it: its blank, and how many parts of each kind it holds."""

    blank: int
    counts: tuple[int, ...]


class Solution(Struct, frozen=True):
    """What the master answers: its cost, how often each column, the price of each kind and blank.

    `whole` says that nothing is missing. All are in the units in which the sheets' costs are.
    """

    cost: float
    uses: tuple[float, ...]
    prices: tuple[float, ...]
    rents: tuple[float, ...]
    whole: bool


class Master:
    """A master problem that grows by columns."""

    def __init__(self, demand: Sequence[int], costs: Sequence[int], most: Sequence[int]) -> None:
        # HiGHS reckons in sheets of the dearest kind, for its tolerances are absolute.
        self._unit = max(costs)
        self._costs = [cost / self._unit for cost in costs]
        self._kinds = len(demand)
        self.columns: list[Column] = []
        self._highs = _highs()
        for copies in demand:
            self._highs.addRow(float(copies), self._highs.inf, 0, [], [])
        for copies in most:
            self._highs.addRow(-self._highs.inf, float(copies), 0, [], [])
        for row in range(self._kinds):
            self._highs.addCol(float(MISSING), 0.0, self._highs.inf, 1, [row], [1.0])

    def add(self, column: Column) -> bool:
        """Add a column, unless it is there or holds nothing."""
        if column in self.columns or not any(column.counts):
            return False
        self.columns.append(column)
        rows = [row for row, count in enumerate(column.counts) if count]
        values = [float(column.counts[row]) for row in rows]
        self._highs.addCol(
            self._costs[column.blank], 0.0, self._highs.inf, len(rows) + 1,
            [*rows, self._kinds + column.blank], [*values, 1.0],
        )  # fmt: skip
        return True

    def ask(self) -> Solution:
        """Solve the linear master."""
        self._highs.run()
        return self._solution()

    def ask_whole(self) -> Solution:
        """Solve the integer master: after this no column is added any more."""
        import highspy

        whole = [highspy.HighsVarType.kInteger] * self._highs.getNumCol()
        self._highs.changeColsIntegrality(len(whole), list(range(len(whole))), whole)
        return self.ask()

    def ask_easiest(self, efforts: Sequence[int], uses: Sequence[int]) -> Solution:
        """Solve for the least effort, column by column, at no more than a plan's cost.

        `uses` says how often that plan has each column. After this no column is added any more,
        and the answer's cost and prices are of effort, not of money.
        """
        import highspy

        columns = list(range(self._kinds, self._kinds + len(self.columns)))
        costs = [self._costs[column.blank] for column in self.columns]
        most = sum(map(mul, costs, uses))
        self._highs.addRow(-self._highs.inf, most, len(columns), columns, costs)
        self._highs.changeColsCost(len(columns), columns, [float(effort) for effort in efforts])
        missing = list(range(self._kinds))
        none = [0.0] * self._kinds
        self._highs.changeColsBounds(self._kinds, missing, none, none)
        start = highspy.HighsSolution()
        start.col_value = [*none, *map(float, uses)]
        self._highs.setSolution(start)
        self._highs.setOptionValue("mip_max_nodes", FEW_NODES)
        self._highs.setOptionValue("mip_rel_gap", NEAR_ENOUGH)
        return self.ask_whole()

    def _solution(self) -> Solution:
        solved = self._highs.getSolution()
        values, prices = list(solved.col_value), list(solved.row_dual)
        return Solution(
            self._unit * self._highs.getInfo().objective_function_value,
            tuple(values[self._kinds :]),
            tuple(self._unit * price for price in prices[: self._kinds]),
            tuple(self._unit * price for price in prices[self._kinds :]),
            bool(solved.value_valid) and sum(values[: self._kinds]) < 0.5,
        )


def _highs() -> Any:
    """Make a solver that says nothing, on one thread, bounded by nodes and never by time."""
    import highspy

    class Silent(highspy.Highs):  # type: ignore[misc]
        """It would greet on stdout when it is made, before its options can be set."""

        def enableCallbacks(self) -> None:  # noqa: N802
            """Be silent before the solver says its first line."""
            self.setOptionValue("output_flag", False)
            super().enableCallbacks()

    highs = Silent()
    highs.silent()
    for name, value in OPTIONS.items():
        highs.setOptionValue(name, value)
    return highs
