"""Pool, master problem and exact pricing: what they add where HiGHS is installed."""

import subprocess
import sys
from importlib import import_module
from importlib.metadata import version
from importlib.util import find_spec
from itertools import product
from operator import ge

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.cutting import CutPart, Layout, Problem, Stock, solve
from ledger.cutting.covers import dual_covers, least
from ledger.cutting.engine import SOLVER_VERSION, Blank, Effort, EqualParts, pack, solver_versions
from ledger.cutting.hardship import hardship, together
from ledger.cutting.layout import SQUARE_FOOT, proof_words
from ledger.cutting.master import Column, Master
from ledger.cutting.pool import PRICING_QUEUE, Pool
from ledger.cutting.pricing import can_price, exact_price
from ledger.cutting.proof import priced_covers
from ledger.cutting.search import Search

pytestmark = pytest.mark.skipif(
    find_spec("highspy") is None, reason="the extra 'proof' (highspy) is not installed"
)

MM = 1_000_000
SMALL = st.tuples(st.integers(3, 12), st.integers(3, 12), st.booleans(), st.integers(1, 3))


def job(seed: int, kinds: int = 14) -> Problem:
    """Make up a job whose sheets hold few parts, larger than what is laid in one go."""
    pieces = tuple(
        CutPart(
            f"P{n}", "", (900 + (seed * 131 + n * 377) % 700) * MM,
            (310 + (seed * 71 + n * 149) % 260) * MM, 2 + (n + seed) % 6,
        )
        for n in range(kinds)
    )  # fmt: skip
    return Problem("PLY", pieces, (Stock("new", 2440 * MM, 1220 * MM, 5 * MM, 9600),), 3 * MM)


def without_extra(monkeypatch: pytest.MonkeyPatch, problem: Problem) -> Layout:
    """Solve as where the extra is not installed."""
    with monkeypatch.context() as patch:
        for room in ("search", "laying"):
            module = import_module(f"ledger.cutting.{room}")
            patch.setattr(module, "solver_versions", lambda: (SOLVER_VERSION,))
        return solve(problem)


def counted(patterns: list[tuple[int, ...]], demand: tuple[int, ...]) -> int:
    """Give the fewest patterns that hold a demand, by trying all."""
    for sheets in range(1, sum(demand) + 1):
        for chosen in product(patterns, repeat=sheets):
            held = [sum(column) for column in zip(*chosen, strict=True)]
            if all(map(ge, held, demand)):
                return sheets
    return 0


def test_the_master_finds_the_fewest_whole_patterns() -> None:
    patterns, demand = [(2, 0, 1), (0, 2, 1), (1, 1, 0)], (3, 3, 2)
    master = Master(demand, [10], [9])
    assert all(master.add(Column(0, counts)) for counts in patterns)
    assert not master.add(Column(0, (2, 0, 1)))

    divisible, whole = master.ask(), master.ask_whole()

    assert divisible.cost == pytest.approx(30)
    assert sum(map(round, whole.uses)) == counted(patterns, demand) == 3
    assert whole.whole


def test_the_master_of_gilmore_and_gomory_prices_its_parts() -> None:
    # Bars of 10, parts of 5 and 3: patterns (2, 0), (1, 1), (0, 3); by hand 1/2 and 1/3 a part.
    master = Master((4, 6), [1], [99])
    for counts in [(2, 0), (1, 1), (0, 3)]:
        master.add(Column(0, counts))

    solution = master.ask()

    assert solution.cost == pytest.approx(4)
    assert solution.prices == pytest.approx((1 / 2, 1 / 3))


def test_of_plans_that_cost_no_more_the_master_finds_the_one_of_least_effort() -> None:
    patterns, efforts = [(2, 0), (0, 2), (1, 1), (1, 0), (0, 1)], [9000, 9000, 5000, 1000, 1000]
    master = Master((2, 2), [10], [9])
    for counts in patterns:
        master.add(Column(0, counts))

    easiest = master.ask_easiest(efforts, [1, 1, 0, 0, 0])

    # Four sheets of one part each would take less effort, and so would a part left out.
    assert easiest.whole
    assert tuple(map(round, easiest.uses)) == (0, 0, 2, 0, 0)


@settings(deadline=None, max_examples=40)
@given(st.lists(SMALL, min_size=1, max_size=4), st.data())
def test_exact_pricing_is_never_less_than_a_pattern_that_is_found(
    parts: list[tuple[int, int, bool, int]], data: st.DataObject
) -> None:
    kinds = [EqualParts(*part) for part in parts]
    values = [data.draw(st.integers(0, 50)) for _ in kinds]
    blank = Blank(data.draw(st.integers(12, 30)), data.draw(st.integers(12, 30)), 1)
    first = data.draw(st.sampled_from(["any", "rip"]))
    packed = pack(kinds, [blank], Effort("tree", 64, first), "value", [v + 0.001 for v in values])
    room, counts = exact_price(kinds, values, blank, first)

    assert can_price(kinds, [blank])
    assert room == sum(value * count for value, count in zip(values, counts, strict=True))
    for pattern in packed.patterns:
        assert sum(values[laid.kind] for laid in pattern.parts) <= room
    area = sum(kind.length * kind.width * count for kind, count in zip(kinds, counts, strict=True))
    assert area <= blank.length * blank.width


def test_what_a_pattern_holds_at_most_is_known_by_hand() -> None:
    # 3 by 2 on 10 by 7: ripped first three strips of three; turned parts fill strips of 3 better.
    assert exact_price([EqualParts(3, 2, False, 1)], [1], Blank(10, 7, 1), "rip") == (9, (9,))
    assert exact_price([EqualParts(3, 2, True, 1)], [1], Blank(10, 7, 1), "rip") == (11, (11,))
    # Ripped first a strip of 3 takes the square and three of 4 in a stack, one of 1 takes the long.
    kinds = [EqualParts(6, 1, False, 1), EqualParts(3, 3, False, 1), EqualParts(4, 1, False, 1)]
    held = {way: exact_price(kinds, [6, 9, 4], Blank(7, 4, 1), way) for way in ("rip", "any")}
    assert set(held.values()) == {(27, (1, 1, 3))}
    assert exact_price(kinds, [6, 9, 4], Blank(7, 4, 1), "crosscut") == (25, (0, 1, 4))


@settings(deadline=None, max_examples=25)
@given(st.lists(SMALL, min_size=1, max_size=5), st.lists(st.integers(0, 6), min_size=1, max_size=2))
def test_no_bound_of_the_prices_exceeds_a_plan(
    parts: list[tuple[int, int, bool, int]], more: list[int]
) -> None:
    kinds = [EqualParts(*part) for part in parts]
    blanks = [Blank(14 + n, 13, 15, 10 + n) for n in more]
    pool = Pool(kinds, blanks, "any")
    plans = [pack(kinds, [blank], Effort("tree", 32)).patterns for blank in blanks]
    for number, plan in enumerate(plans):
        pool.add((number, pattern) for pattern in plan)
    pool.grow(PRICING_QUEUE)
    costs, most = [blank.cost for blank in blanks], [15] * len(blanks)
    before = dual_covers(kinds, blanks)
    bound = least(costs, most, priced_covers(pool, before, 1 << 40))

    assert least(costs, most, before) <= bound
    for number, plan in enumerate(plans):
        assert not plan or bound <= costs[number] * len(plan)
    for plan in (pool.dive(), pool.whole()):
        held = [laid.kind for _, pattern in plan for laid in pattern.parts]
        assert [held.count(n) for n in range(len(kinds))] == [kind.copies for kind in kinds]
        assert bound <= sum(costs[blank] for blank, _ in plan)


@pytest.mark.parametrize("seed", [3])
def test_with_the_pool_a_plan_is_proven_that_was_not(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    plain, pooled = without_extra(monkeypatch, job(seed)), solve(job(seed))

    assert len(pooled.sheets) <= len(plain.sheets)
    assert pooled.fewest_possible > plain.fewest_possible
    assert (plain.proven, pooled.proven) == (False, True)
    assert pooled == solve(job(seed))


@pytest.mark.parametrize("seed", [3, 10])
def test_of_equally_cheap_plans_of_the_pool_an_easier_one_is_chosen(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    problem = job(seed)
    chosen = solve(problem)
    monkeypatch.setattr(Search, "easiest", lambda *_: ())
    found = solve(problem)

    assert (chosen.cost, len(chosen.sheets)) == (found.cost, len(found.sheets))
    assert merits(problem, chosen) > merits(problem, found)


def merits(problem: Problem, layout: Layout) -> tuple[int, int, int]:
    """Give what decides between equally cheap plans: hard cuts, the largest rest, the effort."""
    awkward, effort = together(hardship(problem, sheet) for sheet in layout.sheets).worth
    largest = layout.largest_leftover
    return awkward, largest.area // SQUARE_FOOT if largest else 0, effort


def test_the_digest_names_the_solver_that_was_used() -> None:
    problem, easy = job(5), job(5, kinds=1)

    assert solve(problem).digest == problem.digest(solver_versions()[0])
    assert solve(easy).digest == easy.digest(SOLVER_VERSION)
    assert solver_versions()[0] == f"{SOLVER_VERSION}, highspy {version('highspy')}"


def test_nothing_is_printed_and_nothing_loaded_before_it_is_asked() -> None:
    asks = (
        "import sys, ledger.cutting\n"
        "print('numpy' in sys.modules or 'highspy' in sys.modules)\n"
        "from ledger.cutting.master import Column, Master\n"
        "m = Master((1,), [1], [1]); m.add(Column(0, (1,))); print(m.ask_whole().whole)"
    )
    ran = subprocess.run([sys.executable, "-c", asks], capture_output=True, text=True, check=True)

    assert ran.stdout == "False\nTrue\n"


def test_what_fills_a_sheet_many_times_over_is_still_reckoned_exactly() -> None:
    value = 1 << 24
    best, counts = exact_price([EqualParts(64, 89, False, 4)], [value], Blank(2047, 731, 9), "any")
    assert counts == (31 * 8,)
    assert best == 31 * 8 * value


def test_sheets_of_two_sizes_and_from_the_rack_are_proven_the_cheapest() -> None:
    stocks = (
        Stock("new", 2500 * MM, 1250 * MM, 10 * MM, 3300, label="BB/2500"),
        Stock("new", 1525 * MM, 1525 * MM, 10 * MM, 2520, label="BB/1525"),
        Stock("rack", 1300 * MM, 800 * MM, 0, 600, 1, "R-1"),
        Stock("rack", 1000 * MM, 700 * MM, 0, 300, 1, "R-2"),
    )
    pieces = (
        CutPart("D", "Door", 958 * MM, 688 * MM, 4, may_turn=True),
        CutPart("S", "Side", 720 * MM, 560 * MM, 14),
        CutPart("T", "Top", 1200 * MM, 560 * MM, 6),
        CutPart("R", "Rail", 860 * MM, 90 * MM, 12, may_turn=True),
    )
    problem = Problem("BB", pieces, stocks, 3 * MM)
    layout = solve(problem)

    assert layout.cost == layout.least_cost
    assert proof_words(problem, layout) == "the cheapest possible"
    assert layout.proven
    assert layout.fewest_possible == len(layout.sheets)
