"""A pool of patterns, from which whole plans are put together.

The linear master (`master`) prices the parts; the packing solver looks for a pattern worth more
than its sheet at these prices, and the pool grows until none is found (column generation: P. C.
Gilmore and R. E. Gomory, Multistage cutting stock problems of two and more dimensions, Oper. Res.
13, 1965). The integer master then chooses among the patterns. Diving fixes the patterns that the
linear master uses most and prices the rest anew (C. Joncour and others, Column generation based
primal heuristics, Electron. Notes Discrete Math. 36, 2010).
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from math import floor

from msgspec import Struct

from ledger.cutting.engine import Blank, Effort, EqualParts, First, Pattern, pack
from ledger.cutting.master import Column, Master, Solution
from ledger.measures.values import replace

PRICING_QUEUE, WIDE_QUEUE = 32, 128
"""The width of the search for a pattern that is worth more than its sheet, and a wider one."""

MOST_PRICINGS = 400
"""So many patterns are looked for at most before the first whole plan, and as many in diving."""

MOST_CHOSEN_FROM = 200
"""The easiest of equally cheap plans is looked for among so many patterns at most."""

MOST_AGAIN = 6
"""In diving the rest is priced so many times at most after each step."""

NEARLY = 1e-6
"""What is nearer to a whole number than this is one."""

type Plan = tuple[tuple[int, Pattern], ...]
"""The number of the stock and the pattern cut from it, sheet by sheet."""


class Ask(Struct, frozen=True):
    """What is left to be cut: copies of each kind, sheets of each blank."""

    demand: tuple[int, ...]
    most: tuple[int, ...]


class Pool:
    """Patterns of one problem by what they hold, and the master problem over them."""

    def __init__(self, kinds: Sequence[EqualParts], blanks: Sequence[Blank], first: First) -> None:
        self.kinds = kinds
        self.blanks = blanks
        self.first: First = first
        self.patterns: dict[Column, Pattern] = {}
        self._queue = PRICING_QUEUE
        self._pricings = 0
        self._all = Ask(
            tuple(kind.copies for kind in kinds), tuple(blank.copies for blank in blanks)
        )

    def add(self, plan: Iterable[tuple[int, Pattern]]) -> None:
        """Add the patterns of a plan."""
        for blank, pattern in plan:
            self.patterns.setdefault(self._column(blank, pattern), pattern)

    def grow(self, queue: int) -> float:
        """Price until no pattern is worth more than its sheet, or the effort is spent.

        Answers with the value of the linear master, which is no bound: the search for patterns is
        not exact. What follows searches as widely.
        """
        self._queue, self._pricings = queue, 0
        return self._priced(self._all, MOST_PRICINGS)[1].cost

    def whole(self) -> Plan:
        """Choose whole patterns of the pool at the least cost; nothing where they do not do."""
        master = self.master()
        return self._chosen(master, master.ask_whole())

    def easiest(self, effort: Callable[[int, Pattern], int], plan: Plan) -> Plan:
        """Choose whole patterns of the least effort, each by itself, that cost no more than a plan.

        Nothing where there are too many to choose from in a second.
        """
        self.add(plan)
        if len(self.patterns) > MOST_CHOSEN_FROM:
            return ()
        master = self.master()
        uses = Counter(self._column(*sheet) for sheet in plan)
        return self._chosen(
            master,
            master.ask_easiest(
                [effort(column.blank, self.patterns[column]) for column in master.columns],
                [uses[column] for column in master.columns],
            ),
        )

    def dive(self) -> Plan:
        """Fix pattern after pattern, price the rest anew each time, and give the plan."""
        self._pricings = 0
        ask, plan = self._all, []
        while any(ask.demand):
            columns, solution = self._priced(ask, MOST_AGAIN)
            uses = [(use - floor(use + NEARLY), use, -n) for n, use in enumerate(solution.uses)]
            whole = [n for share, use, n in uses if use > 0.5 and share < NEARLY]
            _, most, next_best = max(uses)
            if not whole and most < NEARLY:
                return ()
            for number in whole or [next_best]:
                column, pattern = columns[-number]
                if any(map(min, column.counts, ask.demand)):
                    plan.append((column.blank, pattern))
                    ask = _without(ask, column)
        return self._exact(plan)

    def master(self, ask: Ask | None = None) -> Master:
        """Give the master of what is left, over all patterns without the parts that are cut."""
        ask = ask or self._all
        master = Master(ask.demand, [blank.cost for blank in self.blanks], ask.most)
        for column in self.patterns:
            master.add(_clipped(column, ask))
        return master

    def _priced(self, ask: Ask, most: int) -> tuple[list[tuple[Column, Pattern]], Solution]:
        """Price what is left, so many times at most, and give its columns and their uses."""
        master = self.master(ask)
        patterns: dict[Column, Pattern] = {}
        for column, pattern in self.patterns.items():
            patterns.setdefault(_clipped(column, ask), pattern)
        solution = master.ask()
        for _ in range(most):
            added = False
            for blank, pattern in self._worthy(ask, solution):
                column = self._column(blank, pattern)
                if column not in patterns:
                    added = master.add(column)
                    patterns[column] = pattern
                    self.patterns.setdefault(column, pattern)
            if not added:
                break
            solution = master.ask()
        return [(column, patterns[column]) for column in master.columns], solution

    def _worthy(self, ask: Ask, solution: Solution) -> Iterator[tuple[int, Pattern]]:
        """Look for patterns that are worth more than their sheets."""
        numbers = [n for n, price in enumerate(solution.prices) if price > 0 and ask.demand[n]]
        kinds = [replace(self.kinds[n], copies=ask.demand[n]) for n in numbers]
        values = [solution.prices[n] for n in numbers]
        nearly = NEARLY * max(sheet.cost for sheet in self.blanks)
        ways: tuple[First, ...] = ("rip",) if self.first == "rip" else ("rip", "crosscut")
        for blank, sheet in enumerate(self.blanks) if kinds else ():
            rent = self.blanks[blank].cost - solution.rents[blank]
            for way in ways if ask.most[blank] else ():
                if self._pricings >= MOST_PRICINGS:
                    return
                self._pricings += 1
                effort = Effort("tree", self._queue, way)
                packed = pack(kinds, [replace(sheet, copies=1)], effort, "value", values)
                for pattern in packed.patterns:
                    worth = sum(values[laid.kind] for laid in pattern.parts)
                    if worth > rent + nearly:
                        parts = tuple(replace(p, kind=numbers[p.kind]) for p in pattern.parts)
                        yield blank, Pattern(blank, parts)

    def _chosen(self, master: Master, solution: Solution) -> Plan:
        """Give the plan that the integer master chose; nothing where it holds not all parts."""
        if not solution.whole:
            return ()
        return self._exact(
            (column.blank, self.patterns[column])
            for column, use in zip(master.columns, solution.uses, strict=True)
            for _ in range(round(use))
        )

    def _column(self, blank: int, pattern: Pattern) -> Column:
        counts = Counter(laid.kind for laid in pattern.parts)
        return Column(blank, tuple(counts[n] for n in range(len(self.kinds))))

    def _exact(self, plan: Iterable[tuple[int, Pattern]]) -> Plan:
        """Leave out of later sheets what earlier ones hold already, and sheets that are empty."""
        left = list(self._all.demand)
        kept = []
        for blank, pattern in sorted(plan, key=lambda sheet: -len(sheet[1].parts)):
            parts = []
            for laid in pattern.parts:
                if left[laid.kind]:
                    left[laid.kind] -= 1
                    parts.append(laid)
            if parts:
                kept.append((blank, replace(pattern, parts=tuple(parts))))
        return () if any(left) else tuple(kept)


def _clipped(column: Column, ask: Ask) -> Column:
    """Give what a pattern holds of what is left."""
    return Column(column.blank, tuple(map(min, column.counts, ask.demand)))


def _without(ask: Ask, column: Column) -> Ask:
    demand = tuple(max(0, n - count) for n, count in zip(ask.demand, column.counts, strict=True))
    most = tuple(n - (blank == column.blank) for blank, n in enumerate(ask.most))
    return Ask(demand, most)
