"""Measure the cutting room on published instances and on shop-like jobs.

    scripts/bench cutting [--instances FOLDER] [--harder] [--only shop|kept|turning]
                          [--every N] [--from N] [--names A,B] [--random N]

FOLDER holds shop_jobs.csv, two_dim_bin_packing_parts.csv and two_dim_bin_packing_best.csv.
Every layout passes the independent check, and its cuts are executed on paper, before it counts.
Without a folder the sample workshop's bed alone is measured. The lists of cuts are those of sheets
of 12.4 kg a square meter at a shop with the starting tools, and pass the checker of the tests.
The seconds are those of the search, of laying each sheet anew, and of moving small parts.
Sheets, bounds and proofs do not depend on the load; the seconds are this machine's.
"""

import argparse
import csv
import importlib.util
import sys
import time
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from pathlib import Path
from types import ModuleType

import rectpack

from ledger.cutting import (
    CutCounts,
    CutPart,
    Layout,
    Problem,
    Stock,
    check_layout,
    count_cuts,
    solve,
)
from ledger.cutting.engine import Blank, Effort, EqualParts, pack
from ledger.cutting.paper import check_cuts
from ledger.cutting.record import layout_to_dict
from ledger.cutting.tools import INCH
from ledger.measures.values import replace


@dataclass
class Tally:
    """The sums of one group of instances."""

    instances: int = 0
    sheets: int = 0
    bound: int = 0
    proven: int = 0
    seconds: float = 0.0
    processor: float = 0.0
    worst: float = 0.0

    def add(self, layout: Layout, spent: float, processor: float) -> None:
        """Add one solved instance."""
        self.instances += 1
        self.sheets += len(layout.sheets)
        self.bound += layout.fewest_possible
        self.proven += layout.proven
        self.seconds += spent
        self.processor += processor
        self.worst = max(self.worst, processor)

    def line(self) -> str:
        """Say the sums in one line."""
        count = max(self.instances, 1)
        return (
            f"{self.instances} instances: {self.sheets} sheets, bound {self.bound}, "
            f"proven {self.proven} ({100 * self.proven / count:.0f} %), "
            f"{self.seconds / count:.2f} s each, {self.processor / count:.2f} s of the processor, "
            f"worst {self.worst:.1f} s"
        )


@dataclass(frozen=True)
class Sample:
    """Which of the instances are measured: every Nth from one on, or those that are named."""

    every: int = 1
    start: int = 0
    names: tuple[str, ...] = ()

    def of[T: tuple[object, ...]](self, rows: Iterable[T]) -> list[T]:
        """Choose among instances, each a row that begins with its name."""
        if self.names:
            return [row for row in rows if row[0] in self.names]
        return list(rows)[self.start :: self.every]


def solved(problem: Problem, harder: bool, *tallies: Tally) -> int:
    """Solve one instance, check it twice, add it to the tallies, and give its sheets."""
    wall, processor = time.perf_counter(), time.process_time()
    layout = solve(problem, harder=harder)
    spent = time.perf_counter() - wall, time.process_time() - processor
    check_layout(problem, layout)
    check_cuts(problem, layout)
    for tally in tallies:
        tally.add(layout, *spent)
    LAID[:] = [layout]
    return len(layout.sheets)


LAID: list[Layout] = []
"""The layout that was solved last."""


def of_tests(name: str) -> ModuleType:
    """Load a module of the tests, such as the checker, which shares no code with the program."""
    path = Path(__file__).parents[1] / "tests" / "cutting" / f"{name}.py"
    spec = importlib.util.spec_from_file_location(name, path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def cut_figures(problem: Problem, layout: Layout) -> tuple[CutCounts, int]:
    """Count the cuts of a layout, and the faults that the checker from outside finds in them."""
    plan = layout_to_dict([(problem, layout)], with_cuts=True)
    return count_cuts(problem, layout), len(
        of_tests("saw_checker").faults(plan, plan["cut_lists"][0])
    )


def said_cuts(name: str, counts: CutCounts, faults: int) -> None:
    """Print the figures of a list of cuts in one line."""
    made = counts.strips + counts.breakdown + counts.wide_crosscuts + counts.narrow_crosscuts or 1
    print(f"{name}: {made} cuts, {counts.strips} at the fence in {counts.fence_settings} settings, "
          f"{counts.breakdown} of break-down, {counts.wide_crosscuts} by rail, "
          f"{counts.narrow_crosscuts} narrow at {counts.stops} stops, {counts.station_changes} "
          f"changes of station; {counts.clamped} clamped ({100 * counts.clamped / made:.1f} %), "
          f"{counts.no_tool} without a tool ({100 * counts.no_tool / made:.1f} %); "
          f"{faults} faults by the checker from outside")  # fmt: skip


def bench_bed() -> None:
    """Lay the sample workshop's bed, and print the figures of its cuts."""
    sizes = {
        "A1": (2, "88", "33/2"), "A2": (1, "1019/16", "33/2"), "A3": (1, "1019/16", "6"),
        "A4": (1, "1019/16", "30"), "A5": (1, "1019/16", "6"), "A6": (1, "1019/16", "7/2"),
        "B1": (2, "1319/16", "19/4"), "B2": (2, "61", "19/4"), "B3": (9, "61", "9/4"),
        "B4": (8, "37/4", "3"), "B5": (16, "37/4", "3/2"), "C1": (4, "88", "12"),
        "C2": (6, "265/16", "47/4"), "C3": (6, "263/16", "23/2"), "C5": (2, "265/16", "7/2"),
    }  # fmt: skip
    pieces = tuple(
        CutPart(name, name, int(Fraction(length) * INCH), int(Fraction(width) * INCH), count)
        for name, (count, length, width) in sizes.items()
    )
    stock = Stock("new", 96 * INCH, 48 * INCH, INCH // 4, 9600)
    problem = Problem("PLY34", pieces, (stock,), INCH // 8, grams_per_m2=12_414)
    layout = solve(problem)
    said_cuts(f"Bed, {len(layout.sheets)} sheets", *cut_figures(problem, layout))


def bench_random(count: int) -> None:
    """Lay jobs made up by chance, and print what is wrong in their lists and at the fence."""
    jobs, tally = of_tests("random_jobs"), Tally()
    cuts, wrong, unsafe = CutCounts(), 0, 0
    for problem in jobs.random_jobs(count, seed=2025):
        solved(problem, False, tally)
        plan = layout_to_dict([(problem, LAID[-1])], with_cuts=True)
        unsafe += len(jobs.unsafe_at_the_fence(plan["cut_lists"][0]))
        counts, faults = cut_figures(problem, LAID[-1])
        cuts, wrong = cuts + counts, wrong + faults
    said_cuts("Jobs by chance", cuts, wrong)
    print(f"Jobs by chance, {tally.line()}; {unsafe} cuts at the fence that no rule allows")


def shop_problems(folder: Path) -> Iterator[tuple[str, Problem]]:
    """Read the shop-like jobs; their unit stands for a sixteenth of an inch."""
    rows = defaultdict(list)
    for row in csv.DictReader((folder / "shop_jobs.csv").open(newline="")):
        rows[row["instance"]].append(row)
    for name, own in rows.items():
        pieces = tuple(
            CutPart(
                row["part"], row["part"], int(row["length"]), int(row["width"]), int(row["qty"]),
                may_turn=row["grain"] == "any",
            )
            for row in own
        )  # fmt: skip
        first = own[0]
        stock = Stock(
            "new", int(first["sheet_length"]), int(first["sheet_width"]), int(first["trim"]), 1
        )  # fmt: skip
        asked = Problem(name, pieces, (stock,), int(first["kerf"]), grams_per_m2=12_414)
        yield name, scaled(asked)


def public_problems(folder: Path, turning: bool) -> Iterator[tuple[str, Problem, int, int]]:
    """Read the published instances with the area bound and the best known number of sheets."""
    rows = defaultdict(list)
    for row in csv.DictReader((folder / "two_dim_bin_packing_parts.csv").open(newline="")):
        rows[row["instance"]].append(row)
    for row in csv.DictReader((folder / "two_dim_bin_packing_best.csv").open(newline="")):
        pieces = tuple(
            CutPart(
                part["part"], part["part"], int(part["length"]), int(part["width"]),
                int(part["qty"]), may_turn=turning,
            )
            for part in rows[row["instance"]]
        )  # fmt: skip
        stock = Stock("new", int(row["sheet_length"]), int(row["sheet_width"]), 0, 1)
        best = int(row["best_turning" if turning else "best_grain_kept"])
        problem = scaled(Problem(row["instance"], pieces, (stock,), 0))
        yield row["instance"], problem, int(row["area_bound"]), best


def scaled(problem: Problem) -> Problem:
    """Turn whole units into sixteenths of an inch, so that sizes are those of a shop."""
    unit = 1_587_500
    return replace(
        problem,
        pieces=tuple(
            replace(piece, length_nm=piece.length_nm * unit, width_nm=piece.width_nm * unit)
            for piece in problem.pieces
        ),
        stocks=tuple(
            replace(
                stock,
                length_nm=stock.length_nm * unit,
                width_nm=stock.width_nm * unit,
                trim_nm=stock.trim_nm * unit,
            )
            for stock in problem.stocks
        ),
        kerf_nm=problem.kerf_nm * unit,
    )


def rectpack_best(problem: Problem) -> int:
    """Give the fewest sheets of rectpack's guillotine variants and orders, grain kept."""
    unit, kerf, stock = 1_587_500, problem.kerf_nm, problem.stocks[0]
    length, width = stock.usable_length_nm + kerf, stock.usable_width_nm + kerf
    algorithms = [
        getattr(rectpack, name) for name in dir(rectpack) if name.startswith("Guillotine")
    ]
    orders = [getattr(rectpack, name) for name in dir(rectpack) if name.startswith("SORT_")]
    best = sum(piece.quantity for piece in problem.pieces)
    for algorithm, order in product(algorithms, orders):
        packer = rectpack.newPacker(
            bin_algo=rectpack.PackingBin.BBF, pack_algo=algorithm, sort_algo=order, rotation=False
        )
        for piece in problem.pieces:
            for _ in range(piece.quantity):
                packer.add_rect((piece.length_nm + kerf) // unit, (piece.width_nm + kerf) // unit)
        packer.add_bin(length // unit, width // unit, count=float("inf"))
        packer.pack()
        if sum(len(sheet) for sheet in packer) == sum(p.quantity for p in problem.pieces):
            best = min(best, len(packer))
    return best


def solver_alone(problem: Problem, harder: bool) -> int:
    """Give the sheets of the packing solver asked once, column generation, first cut any way."""
    kerf, stock = problem.kerf_nm, problem.stocks[0]
    kinds = [
        EqualParts(piece.length_nm + kerf, piece.width_nm + kerf, piece.may_turn, piece.quantity)
        for piece in problem.rows
    ]
    count = sum(kind.copies for kind in kinds)
    blank = Blank(stock.usable_length_nm + kerf, stock.usable_width_nm + kerf, count)
    found = pack(kinds, [blank], Effort("columns", 128 if harder else 8))
    return len(found.patterns) or count


def few(problem: Problem) -> bool:
    """Ask whether it is a job of up to 100 parts."""
    return problem.parts_count <= 100


def bench_shop(folder: Path, harder: bool, sample: Sample) -> None:
    """Measure the shop-like jobs against rectpack and the solver alone."""
    tally, packed, alone, worse, small = Tally(), 0, 0, [], Tally()
    cuts, wrong = CutCounts(), 0
    for name, problem in sample.of(shop_problems(folder)):
        before = tally.processor
        sheets = solved(problem, harder, *([tally, small] if few(problem) else [tally]))
        counts, faults = cut_figures(problem, LAID[-1])
        cuts, wrong = cuts + counts, wrong + faults
        other, solver = rectpack_best(problem), solver_alone(problem, harder)
        packed, alone = packed + other, alone + solver
        if sheets > min(other, solver):
            worse.append(name)
        note(f"job {name}: {problem.parts_count} parts, {sheets} sheets, rectpack {other}, "
             f"solver alone {solver}, {tally.processor - before:.1f} s, {counts.no_tool} cuts "
             f"without a tool, {counts.clamped} clamped, {faults} faults")  # fmt: skip
    said_cuts("Shop jobs", cuts, wrong)
    print(f"Shop jobs, {tally.line()}")
    print(f"  of up to 100 parts: {small.line()}")
    print(f"  rectpack's best guillotine {packed}, the solver alone {alone}")
    print(f"  jobs in which one of them is better: {', '.join(worse) or 'none'}")


def bench_public(folder: Path, harder: bool, turning: bool, sample: Sample) -> None:
    """Measure the published instances against the area bound and the best known."""
    tally, area, known = Tally(), 0, 0
    for name, problem, bound, best in sample.of(public_problems(folder, turning)):
        before = tally.processor
        sheets = solved(problem, harder, tally)
        area, known = area + bound, known + best
        note(f"{name}: {sheets} (best known {best}), {tally.processor - before:.1f} s, "
             f"so far {tally.sheets - known:+}")  # fmt: skip
    print(f"Published instances, {'parts free to turn' if turning else 'grain kept'}, "
          f"{tally.line()}")  # fmt: skip
    print(f"  area bound {area}, best known {known}, "
          f"ours {100 * (tally.sheets - known) / max(known, 1):+.2f} %")  # fmt: skip


def note(line: str) -> None:
    """Tell how far it is, beside the results."""
    print(line, file=sys.stderr, flush=True)


def main() -> None:
    """Read the options and measure."""
    parser = argparse.ArgumentParser(description="Measure the cutting room.")
    parser.add_argument("--instances", type=Path, help="the folder of instances; none: the bed")
    parser.add_argument("--harder", action="store_true", help="with the wider search")
    parser.add_argument("--only", choices=["shop", "kept", "turning"], help="one part of it")
    parser.add_argument("--every", type=int, default=1, help="a sample: every Nth instance")
    parser.add_argument("--from", dest="start", type=int, default=0, help="and from which one on")
    parser.add_argument("--names", default="", help="only these, with commas between")
    parser.add_argument("--random", type=int, default=0, help="so many jobs made up by chance")
    asked = parser.parse_args()
    sample = Sample(asked.every, asked.start, tuple(filter(None, asked.names.split(","))))
    bench_bed()
    if asked.random:
        bench_random(asked.random)
    if asked.instances is None:
        return
    if asked.only in (None, "shop"):
        bench_shop(asked.instances, asked.harder, sample)
    if asked.only in (None, "kept"):
        bench_public(asked.instances, asked.harder, False, sample)
    if asked.only in (None, "turning"):
        bench_public(asked.instances, asked.harder, True, sample)


if __name__ == "__main__":
    main()
