"""The search for the cheapest sheets: which stock to take, and how hard to look.

Rack pieces are chosen by trying subsets of them, the cheapest possible first; for each subset the
solver fills the rack pieces in order and then new sheets. A subset is skipped once its bound on
the cost cannot beat what was found.
"""

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import product
from math import ceil, prod

from ledger.cutting.engine import Blank, Effort, EqualParts, First, Found, pack
from ledger.cutting.finish import Plan, blank_of
from ledger.cutting.ladder import BRANCHING, Size, mixing, rungs
from ledger.cutting.problem import Problem, Stock
from ledger.cutting.units import Unit

MOST_CHOICES = 64
"""So many choices of rack pieces are tried at most."""

MOST_SUBSETS = 4096
"""So many subsets of the rack are weighed at most; of a fuller rack the dearest are left out."""

IMPOSSIBLE = 1 << 62
"""The cost of a choice whose sheets cannot hold all parts."""

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
        self.plans: list[Plan] = []
        self._costs: dict[Choice, int] = {}
        self._chosen: list[Choice] = []
        self.fewest_possible = 1
        self.least_cost = 0

    def run(self, harder: bool) -> None:
        """Climb the ladder until the bound is met or the effort is spent."""
        effort = Effort("tree", BRANCHING, self._first)
        self._bound_by(effort)
        self._chosen = self._choices()
        size = Size(self._parts, len(self.kinds), self.fewest_possible)
        if not self._alone:
            self._mix(mixing(size, self._first, harder=False))
            self._choose(effort)
        for rung in rungs(size, self._first, harder):
            self._try_all(self._chosen, rung)
        if harder and not self._alone:
            self._mix(mixing(size, self._first, harder=True))

    def _choose(self, effort: Effort) -> None:
        """Try many choices of stock quickly, then the cheapest few with the full effort.

        A choice has one size of new sheets; plans that mix several come from `_mix`.
        """
        choices = self._chosen[:MOST_CHOICES]
        quick = replace(effort, queue=QUICK_QUEUE)
        self._try_all(choices, quick)
        costs = self._costs
        choices.sort(key=lambda choice: (costs.get(choice, IMPOSSIBLE), self._floor(choice)))
        self._chosen = choices[:MOST_CHOSEN]
        self._try_all(self._chosen, effort)

    def _mix(self, effort: Effort) -> None:
        """Ask once for the cheapest mix of everything there is."""
        if not self._done():
            self._say(effort)
            self._keep(pack(self.kinds, self._blanks, effort, "cost"))

    def _bound_by(self, effort: Effort) -> None:
        """Bound number and cost from below, from sheets as long and as wide as any there is."""
        self._say(effort)
        length = max(blank.length for blank in self._blanks)
        width = max(blank.width for blank in self._blanks)
        packed = pack(self.kinds, [Blank(length, width, self._parts)], effort)
        self.fewest_possible = max(
            self.fewest_possible, packed.bound, -(-self._area // (length * width))
        )
        if self.fewest_possible == 1 and self._needs_two(effort):
            self.fewest_possible = 2
        self.least_cost = max(self._least_cost(), self._cheapest(self.fewest_possible))
        if self._alone:
            self._keep(packed)

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

    def _cheapest(self, count: int) -> int:
        """Give what so many sheets cost at least, of those there are."""
        costs = sorted((self._cost(n), self._most[n]) for n in range(len(self.stocks)))
        total = 0
        for cost, most in costs:
            taken = min(count, most)
            total += taken * cost
            count -= taken
        return total

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

    def _least_cost(self) -> int:
        """Bound the cost from below: exactly by the choices, else by the cheapest area.

        The choices are all there is where none was left out and one new size is to be had.
        """
        free = sum(stock.available is None for stock in self.stocks)
        counted = len(self.stocks) - free
        if free <= 1 and len(self._counted()) == counted:
            return min((self._floor(choice) for choice in self._choices()), default=0)
        need, cost = self._area, Fraction(0)
        for price, n in sorted(
            (Fraction(self._cost(n), self._room(n)), n) for n in range(len(self.stocks))
        ):
            area = min(need, self._most[n] * self._room(n))
            cost += price * area
            need -= area
        return ceil(cost)

    def _try_all(self, choices: Sequence[Choice], effort: Effort) -> None:
        for choice in choices:
            if self._done():
                return
            if self.plans and self._floor(choice) > self._best()[0]:
                continue
            self._say(effort)
            self._try(choice, effort)

    def _try(self, choice: Choice, effort: Effort) -> None:
        numbers = [n for n, copies in enumerate(choice) if copies]
        blanks = [Blank(self._blanks[n].length, self._blanks[n].width, choice[n]) for n in numbers]
        room = sum(blank.length * blank.width * blank.copies for blank in blanks)
        if not blanks or room < self._area:
            return
        cost = self._keep(pack(self.kinds, blanks, effort), numbers)
        self._costs[choice] = min(cost, self._costs.get(choice, IMPOSSIBLE))

    def _keep(self, candidate: Found, numbers: Sequence[int] = ()) -> int:
        """Keep a plan that is as cheap as the best so far, drop dearer ones, and give its cost."""
        if not candidate.patterns:
            return IMPOSSIBLE
        plan = tuple(
            (numbers[pattern.blank] if numbers else pattern.blank, pattern)
            for pattern in candidate.patterns
        )
        worth = self._worth(plan)
        if not self.plans or worth < self._best():
            self.plans = [plan]
        elif worth == self._best() and plan not in self.plans:
            self.plans.append(plan)
        return worth[0]

    def _say(self, effort: Effort) -> None:
        """Tell what is tried now, and what the best plan so far takes."""
        way = "cut after cut" if effort.method == "tree" else "whole sheets"
        progress = ""
        if self.plans:
            count = len(self.plans[0])
            progress = f", {count} sheet{'' if count == 1 else 's'} so far"
        self._tell(f"{way}, {effort.queue} wide{progress}")

    def _done(self) -> bool:
        return bool(self.plans) and self._best() <= (self.least_cost, self.fewest_possible)

    def _best(self) -> tuple[int, int]:
        return self._worth(self.plans[0])

    def _worth(self, plan: Plan) -> tuple[int, int]:
        return sum(self._cost(stock) for stock, _ in plan), len(plan)

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
