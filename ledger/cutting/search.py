"""The search for the cheapest sheets: which stock to take, and how hard to look.

Rack pieces are chosen by trying subsets of them, the cheapest possible first; for each subset the
solver fills the rack pieces in order and then new sheets. A subset is skipped once its bound on
the cost cannot beat what was found. Where the extra `proof` is installed, the patterns of all
plans then go into one pool, from which plans of all sizes are put together and proven (`pool`,
`proof`); without it only the bounds of `covers` prove a plan.
"""

from collections import defaultdict
from collections.abc import Callable, Sequence
from fractions import Fraction
from itertools import product
from math import prod

from ledger.cutting.covers import IMPOSSIBLE, Cover, dual_covers, least, reachable
from ledger.cutting.engine import (
    Blank,
    Effort,
    EqualParts,
    First,
    Found,
    Pattern,
    pack,
    solver_versions,
)
from ledger.cutting.finish import Plan, blank_of
from ledger.cutting.ladder import BRANCHING, FEW_PARTS, MANY_PARTS, Size, mixing, rungs
from ledger.cutting.pool import PRICING_QUEUE, WIDE_QUEUE, Pool
from ledger.cutting.problem import Problem, Stock
from ledger.cutting.proof import priced_covers
from ledger.cutting.units import Unit
from ledger.measures.values import replace

MOST_CHOICES = 64
"""So many choices of rack pieces are tried at most."""

MOST_SUBSETS = 4096
"""So many subsets of the rack are weighed at most; of a fuller rack the dearest are left out."""

QUICK_QUEUE = 32
"""They are first tried with a search so narrow …"""

MOST_CHOSEN = 4
"""… and so many of the cheapest again with the full effort."""

type Choice = tuple[int, ...]
"""How many of each stock, in the order of the stocks."""


class Search:
    """Looks for the cheapest plans of one problem and keeps all that are equally cheap."""

    def __init__(
        self, problem: Problem, units: Sequence[Unit], tell: Callable[[str], None]
    ) -> None:
        self._first: First = "rip" if problem.rip_first else "any"
        self._tell = tell
        self._kerf = problem.kerf_nm
        self.stocks = sorted(
            (stock for stock in problem.stocks if stock.available != 0), key=_stock_order
        )
        self._alone = len(self.stocks) == 1 and self.stocks[0].available is None
        self.kinds, self.heaps = _kinds(units, problem.kerf_nm)
        self._parts = sum(kind.copies for kind in self.kinds)
        self._area = sum(kind.length * kind.width * kind.copies for kind in self.kinds)
        self._most = [
            self._parts if stock.available is None else min(stock.available, self._parts)
            for stock in self.stocks
        ]
        self._blanks = [
            blank_of(stock, self._kerf, most)
            for stock, most in zip(self.stocks, self._most, strict=True)
        ]
        # One figure for both: the cost first, and among equal costs the number of sheets.
        self._scale = self._parts + 1
        self._prices = [self._cost(n) * self._scale + 1 for n in range(len(self.stocks))]
        self._priced = [
            replace(blank, cost=price)
            for blank, price in zip(self._blanks, self._prices, strict=True)
        ]
        self._covers: list[Cover] = []
        self._least = 1
        self.plans: list[Plan] = []
        self._all_plans: list[Plan] = []
        self._worths: dict[Choice, int] = {}
        self._chosen: list[Choice] = []
        self.pool: Pool | None = None
        self.fewest_possible = 1

    def run(self, harder: bool) -> None:
        """Climb the ladder until the bound is met or the effort is spent."""
        effort = Effort("tree", BRANCHING, self._first)
        self._bound_by(effort)
        self._chosen = self._choices()
        size = Size(self._parts, len(self.kinds), self.fewest_possible)
        if not self._alone:
            self._mix(mixing(size, self._first, harder=False))
            self._choose(effort)
        # Of few parts the usual search takes little; it comes first, so that its plan stays the
        # same whether it can be proven or not.
        few = self._parts <= FEW_PARTS
        if few or self._combine(harder) or harder:
            for rung in rungs(size, self._first, harder):
                # The pool has mixed sheets ripped first and crosscut first already.
                if rung.first == self._first == "any" and self.pool and not harder:
                    continue
                self._try_all(self._chosen, rung)
        if few:
            self._combine(harder)
        if harder and not self._alone:
            self._mix(mixing(size, self._first, harder=True))

    def _choose(self, effort: Effort) -> None:
        """Try many choices of stock quickly, then the cheapest few with the full effort.

        A choice has one size of new sheets; plans that mix several come from `_mix`.
        """
        choices = self._chosen[:MOST_CHOICES]
        quick = replace(effort, queue=QUICK_QUEUE)
        self._try_all(choices, quick)
        worths = self._worths
        choices.sort(key=lambda choice: (worths.get(choice, IMPOSSIBLE), self._floor(choice)))
        self._chosen = choices[:MOST_CHOSEN]
        self._try_all(self._chosen, effort)

    def _mix(self, effort: Effort) -> None:
        """Ask once for the cheapest mix of everything there is."""
        if not self._done():
            self._say(effort)
            self._keep(pack(self.kinds, self._blanks, effort, "cost"))

    def _combine(self, harder: bool) -> bool:
        """Put plans together from the pool, and prove the best; answer whether to hope for better.

        Where all pricing finds nothing that could make up a cheaper plan, other ways do not either.
        """
        if self._done() or not self.plans or len(solver_versions()) == 1:
            return True
        pool = self.patterns()
        for queue in (PRICING_QUEUE, WIDE_QUEUE):
            self._say(Effort("columns", queue, self._first))
            cost = pool.grow(queue)
            if queue == PRICING_QUEUE or harder:
                for way in (pool.dive, pool.whole):
                    plan = way()
                    if plan and self._worth(plan) < self._best():
                        self._keep_plan(plan)
                    if self._done():
                        return False
            if queue == PRICING_QUEUE:
                self._prove(pool)
            if self._done():
                return False
        best = reachable(cost, self._prices, self._most, self._covers)
        return best < self._best() and self._parts <= MANY_PARTS

    def easiest(self, effort: Callable[[int, Pattern], int]) -> Plan:
        """Give an easier plan of the pool that is as cheap as the best; nothing without one."""
        plan = self.patterns().easiest(effort, self.plans[0]) if self.pool else ()
        return plan if self._worth(plan) <= self._best() else ()

    def patterns(self) -> Pool:
        """Give the pool of all patterns so far; it loads HiGHS."""
        if self.pool is None:
            self.pool = Pool(self.kinds, self._priced, self._first)
        for plan in self._all_plans:
            self.pool.add(plan)
        return self.pool

    def _prove(self, pool: Pool) -> None:
        """Raise the bounds by exact pricing."""
        self._covers = priced_covers(pool, self._covers, self._best())
        self._raise_bounds()

    def _bound_by(self, effort: Effort) -> None:
        """Bound number and cost from below, from sheets as long and as wide as any there is."""
        self._say(effort)
        length = max(blank.length for blank in self._blanks)
        width = max(blank.width for blank in self._blanks)
        packed = pack(self.kinds, [Blank(length, width, self._parts)], effort)
        self._covers = dual_covers(self.kinds, self._priced)
        ones = (1,) * len(self.stocks)
        fewest = max(packed.bound, least(ones, self._most, self._covers))
        if fewest == 1 and self._needs_two(effort):
            fewest = 2
        self._covers.append(Cover(ones, fewest))
        self._raise_bounds()
        if self._alone:
            self._keep(packed)

    def _raise_bounds(self) -> None:
        """Work the bounds out again from all covers there are."""
        ones = (1,) * len(self.stocks)
        self.fewest_possible = least(ones, self._most, self._covers)
        self._least = least(self._prices, self._most, self._covers)

    def _needs_two(self, effort: Effort) -> bool:
        """Ask whether no sheet of any size holds all parts alone, though one of both sides might.

        Then two are needed, of whatever sizes; of three and more the sizes alone say nothing.
        """
        sizes = sorted({(blank.length, blank.width) for blank in self._blanks})
        return len(sizes) > 1 and all(
            length * width < self._area
            or pack(self.kinds, [Blank(length, width, self._parts)], effort).bound > 1
            for length, width in sizes
        )

    @property
    def bound(self) -> tuple[int, int]:
        """The least cost, and the fewest sheets that cost no more."""
        return divmod(self._least, self._scale)

    def _choices(self) -> list[Choice]:
        """Give the choices of stock, those that may come out cheapest first.

        A choice has any number of each counted stock and at most one kind without a limit.
        """
        counted = self._counted()
        free = [n for n, stock in enumerate(self.stocks) if stock.available is None]
        choices = []
        for counts in product(*(range(self._most[n] + 1) for n in counted)):
            choice = [0] * len(self.stocks)
            for n, count in zip(counted, counts, strict=True):
                choice[n] = count
            if not free:
                choices.append(tuple(choice))
            for new in free:
                choices.append((*choice[:new], self._parts, *choice[new + 1 :]))
        possible = [choice for choice in choices if self._floor(choice) < IMPOSSIBLE]
        return sorted(possible, key=lambda choice: (self._floor(choice), choice))

    def _counted(self) -> list[int]:
        """Give the stocks of which there are only so many, the most worth while if too many."""
        counted = [n for n, stock in enumerate(self.stocks) if stock.available is not None]
        counted.sort(key=lambda n: (Fraction(self._cost(n), self._room(n)), -self._room(n)))
        while prod(self._most[n] + 1 for n in counted) > MOST_SUBSETS:
            counted.pop()
        return counted

    def _floor(self, choice: Choice) -> int:
        """Give the least that a choice can cost: its counted sheets, and new ones for the rest."""
        cost, area, count = 0, self._area, self.fewest_possible
        new: int | None = None
        for n, copies in enumerate(choice):
            if self.stocks[n].available is None:
                new = n if copies else new
            else:
                cost += copies * self._cost(n)
                area -= copies * self._room(n)
                count -= copies
        more = max(count, -(-area // self._room(new or 0)), 0)
        if new is None:
            return IMPOSSIBLE if area > 0 or count > 0 else cost
        return cost + more * self._cost(new)

    def _try_all(self, choices: Sequence[Choice], effort: Effort) -> None:
        for choice in choices:
            if self._done():
                return
            if self.plans and self._floor(choice) > self._best() // self._scale:
                continue
            self._say(effort)
            self._try(choice, effort)

    def _try(self, choice: Choice, effort: Effort) -> None:
        numbers = [n for n, copies in enumerate(choice) if copies]
        blanks = [Blank(self._blanks[n].length, self._blanks[n].width, choice[n]) for n in numbers]
        room = sum(blank.length * blank.width * blank.copies for blank in blanks)
        if not blanks or room < self._area:
            return
        worth = self._keep(pack(self.kinds, blanks, effort), numbers)
        self._worths[choice] = min(worth, self._worths.get(choice, IMPOSSIBLE))

    def _keep(self, candidate: Found, numbers: Sequence[int] = ()) -> int:
        """Keep what the solver laid, where it laid all, and give its worth."""
        plan = tuple(
            (numbers[pattern.blank] if numbers else pattern.blank, pattern)
            for pattern in candidate.patterns
        )
        return self._keep_plan(plan)

    def _keep_plan(self, plan: Plan) -> int:
        """Keep a plan that is as cheap as the best so far, drop dearer ones, and give its worth."""
        if not plan:
            return IMPOSSIBLE
        self._all_plans.append(plan)
        worth = self._worth(plan)
        if not self.plans or worth < self._best():
            self.plans = [plan]
        elif worth == self._best() and plan not in self.plans:
            self.plans.append(plan)
        return worth

    def _say(self, effort: Effort) -> None:
        """Tell what is tried now, and what the best plan so far takes."""
        way = "cut after cut" if effort.method == "tree" else "whole sheets"
        progress = ""
        if self.plans:
            count = len(self.plans[0])
            progress = f", {count} sheet{'' if count == 1 else 's'} so far"
        self._tell(f"{way}, {effort.queue} wide{progress}")

    def _done(self) -> bool:
        return bool(self.plans) and self._best() <= self._least

    def _best(self) -> int:
        return self._worth(self.plans[0])

    def _worth(self, plan: Plan) -> int:
        return sum(self._prices[stock] for stock, _ in plan)

    def _room(self, stock: int) -> int:
        return self._blanks[stock].length * self._blanks[stock].width

    def _cost(self, stock: int) -> int:
        return self.stocks[stock].cost or 0


def _kinds(units: Sequence[Unit], kerf: int) -> tuple[list[EqualParts], list[list[Unit]]]:
    """Gather units of one size; the kinds stand in one order, and so do the units of each.

    The longest come first: of the orders measured this took the fewest sheets.
    """
    heaps: defaultdict[tuple[int, int, bool], list[Unit]] = defaultdict(list)
    for unit in units:
        heaps[unit.length, unit.width, unit.may_turn].append(unit)
    order = sorted(heaps, key=lambda size: (-size[0], -size[1], size[2]))
    kinds = [
        EqualParts(length + kerf, width + kerf, may_turn, len(heaps[length, width, may_turn]))
        for length, width, may_turn in order
    ]
    return kinds, [heaps[size] for size in order]


def _stock_order(stock: Stock) -> tuple[object, ...]:
    """Put the rack before new sheets, and larger sheets first."""
    size = (-stock.length_nm, -stock.width_nm, stock.trim_nm)
    return stock.source == "new", *size, stock.cost, stock.label
