"""Plant faults (mutation testing) and say which of them the tests find.

    scripts/bench faults [--sample 200] [--skip 0] [--seed 1] [--room stock] [--file lots.py]
                         [--tests tests/stock] [--jobs 2]

A mutant is the program with one small fault: another operator, another number, a loop that never
runs. cosmic-ray writes the mutants; a seeded sample of those in the rooms of money is run against
just the tests that take the changed line, quickest first, each in a copy of the checkout and in a
fork of a process that has imported what is not ours (fault_runner.py). Jobs of the same parts are
laid out once in all of them, but for mutants of the layout itself. A mutant that no test finds
survives and is listed. What was seen is kept, so that a run that was broken off goes on. Survivors
that change nothing anyone could see stand in equivalent_faults.toml, each with its reason, and do
not count. With --tests only those tests are asked: quicker by far, and who survives them may still
be found by others.
"""

import argparse
import ast
import compileall
import json
import py_compile
import random
import re
import subprocess
import sys
import tempfile
import tomllib
from collections import Counter
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, closing
from dataclasses import dataclass
from pathlib import Path
from queue import Queue

from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.plugins import get_operator, operator_names
from line_takers import CACHE, ROOT, copied, coverage_of_tests, surroundings, tree_digest

ROOMS = (
    "costing",
    "stock",
    "quotes",
    "jobs",
    "labor",
    "reports",
    "cutting",
    "designs",
)
LEFT_OUT = re.compile(r"/(RemoveDecorator|ExceptionReplacer|Variable)|(Shift|BitAnd|BitOr|BitXor)")
"""Operators whose mutants say little: nobody writes them, and the first test of all finds them."""


@dataclass(frozen=True)
class Mutant:
    """One fault: where it stands, what makes it, and the lines before and after."""

    room: str
    path: str
    operator: str
    occurrence: int
    line: int
    before: str
    after: str

    @property
    def key(self) -> str:
        """What names it in equivalent_faults.toml, whatever stands above it in its file."""
        return key_of(self.path, self.before, self.after)


def key_of(path: str, before: str, after: str) -> str:
    """A mutant's key: its file, and the first line that differs before and after."""
    return f"{path}: {before} -> {after}"


def positions(source: str) -> Iterator[tuple[str, int, int]]:
    """Every (operator, occurrence, line) by which a file can be changed, where it can tell."""
    skipped = silent_places(source)
    nodes = list(ast_nodes(get_ast(source)))
    for name in operator_names():
        if LEFT_OUT.search(name):
            continue
        operator = get_operator(name)()
        occurrence = 0
        for node in nodes:
            for (line, column), _ in operator.mutation_positions(node):
                if not any(start <= (line, column) < end for start, end in skipped):
                    yield name, occurrence, line
                occurrence += 1


def silent_places(source: str) -> list[tuple[tuple[int, int], tuple[int, int]]]:
    """The spans where a fault breaks the import or nothing: annotations, decorators of classes."""
    nodes: list[ast.expr | ast.stmt] = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and node.returns:
            nodes.append(node.returns)
        elif isinstance(node, ast.arg | ast.AnnAssign) and node.annotation:
            nodes.append(node.annotation)
        elif isinstance(node, ast.TypeAlias):
            nodes.append(node)
        elif isinstance(node, ast.ClassDef):
            nodes += node.decorator_list
    return [
        ((n.lineno, n.col_offset), (n.end_lineno or n.lineno, n.end_col_offset or 0)) for n in nodes
    ]


def changed_line(before: str, after: str) -> tuple[str, str]:
    """The first line that differs, before and after, without its indentation."""
    for old, new in zip(before.splitlines(), after.splitlines(), strict=False):
        if old != new:
            return old.strip(), new.strip()
    return "", ""


def sample(rooms: Sequence[str], files: Sequence[str], size: int, seed: int) -> list[Mutant]:
    """A seeded sample of the mutants of those rooms, or of files of such names in them alone.

    The same tree and seed give the same one.
    """
    places = []
    for room in rooms:
        for path in sorted((ROOT / "ledger" / room).rglob("*.py")):
            if not files or path.name in files:
                found = positions(path.read_text("utf-8"))
                places += [(room, path.relative_to(ROOT).as_posix(), *place) for place in found]
    random.Random(seed).shuffle(places)
    mutants: list[Mutant] = []
    for room, path, name, occurrence, line in places:
        if len(mutants) == size:
            break
        source = (ROOT / path).read_text("utf-8")
        mutated = mutate_code(source, get_operator(name)(), occurrence)
        if mutated is not None and mutated != source and compiles(mutated):
            lines = changed_line(source, mutated)
            if says_little(*lines):
                continue
            mutants.append(Mutant(room, path, name, occurrence, line, *lines))
    return mutants


def says_little(before: str, after: str) -> bool:
    """Whether a fault is where mypy reads: how a struct is made, or the star of a signature."""
    return before.startswith("class ") or re.sub(r"\*(?=[,)])", "/", before, count=1) == after


def compiles(source: str) -> bool:
    """Whether a mutant is a program at all: the star of a signature is no product."""
    try:
        ast.parse(source)
    except SyntaxError:
        return False
    return True


def quickest(tests: list[str], seconds: dict[str, float], path: str) -> list[list[str]]:
    """The tests of a line of a file by the order in which they are asked.

    First those of a file that is called as its own, then its own room's, then quick ones of each
    file. In lots of 60, at most 300 of them and 90 s: a line that hundreds take is everybody's.
    """
    room, stem = Path(path).parts[1], Path(path).stem
    of_file = Counter[str]()
    order = []
    for test in sorted(tests, key=lambda test: (seconds.get(test, 1.0), test)):
        file = test.split("::")[0]
        far = stem not in file, not file.startswith(f"tests/{room}/")
        order.append((far, of_file[file], seconds.get(test, 1.0), test))
        of_file[file] += 1
    asked, total = [], 0.0
    for *_, lasts, test in sorted(order)[:300]:
        if not asked or total + lasts <= 90:
            asked.append(test)
            total += lasts
    return [asked[start : start + 60] for start in range(0, len(asked), 60)]


class Copy:
    """A copy of the checkout with a process in it that runs tests in forks."""

    def __init__(self, folder: Path) -> None:
        self.folder = copied(folder)
        # A changed file is told by its digest: its moment and its size may be what they were.
        compileall.compile_dir(
            folder, quiet=1, invalidation_mode=py_compile.PycInvalidationMode.CHECKED_HASH
        )
        self._runner = subprocess.Popen(
            [sys.executable, "scripts/fault_runner.py"], cwd=folder, env=surroundings(folder),
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
        )  # fmt: skip
        self._layouts = folder.parent / "layouts"
        self._layouts.mkdir(exist_ok=True)

    def finds(self, mutant: Mutant, lots: list[list[str]], seconds: dict[str, float]) -> bool:
        """Whether one of the tests fails once the mutant is planted, or they run without end."""
        path = self.folder / mutant.path
        source = path.read_text("utf-8")
        mutated = mutate_code(source, get_operator(mutant.operator)(), mutant.occurrence)
        assert mutated is not None
        path.write_text(mutated, "utf-8")
        try:
            share = mutant.room != "cutting"
            return not all(self.passes(lot, most_seconds(lot, seconds), share) for lot in lots)
        finally:
            path.write_text(source, "utf-8")

    def passes(self, tests: list[str], seconds: int, share: bool = True) -> bool:
        """Whether all of these tests pass in the copy as it is, in so many seconds of processor."""
        assert self._runner.stdin and self._runner.stdout
        layouts = str(self._layouts) if share else ""
        self._runner.stdin.write(json.dumps([seconds, layouts, tests]) + "\n")
        self._runner.stdin.flush()
        return int(self._runner.stdout.readline()) == 0

    def close(self) -> None:
        """End the process."""
        self._runner.communicate()


def most_seconds(tests: list[str], seconds: dict[str, float]) -> int:
    """Who takes so much longer than without a fault runs without end: it was found."""
    return round(20 + 5 * sum(seconds.get(test, 20) for test in tests))


class Kept:
    """What was seen of each mutant of this tree, in a file that grows with the run."""

    def __init__(self, asked: list[str]) -> None:
        name = "-".join(["seen", tree_digest(), *asked]).replace("/", ".")
        self._path = CACHE / f"{name}.jsonl"
        lines = self._path.read_text("utf-8").splitlines() if self._path.is_file() else []
        self._seen = {tuple(place): found for place, found in map(json.loads, lines)}

    def of(self, mutant: Mutant) -> bool | None:
        """Whether it was found; None if it was not tried."""
        return self._seen.get((mutant.path, mutant.operator, mutant.occurrence))

    def keep(self, mutant: Mutant, found: bool) -> None:
        """Write it down."""
        place = [mutant.path, mutant.operator, mutant.occurrence]
        with self._path.open("a", encoding="utf-8") as file:
            file.write(json.dumps([place, found]) + "\n")


def run(mutants: list[Mutant], jobs: int, asked: list[str]) -> list[tuple[Mutant, bool]]:
    """Every mutant and whether it was found, several side by side, each in a copy of its own."""
    takers, seconds = coverage_of_tests(asked)
    kept = Kept(asked)
    copies: Queue[Copy] = Queue()
    with tempfile.TemporaryDirectory(prefix="faults-") as place, ExitStack() as stack:
        for number in range(jobs):
            copies.put(stack.enter_context(closing(Copy(Path(place) / str(number)))))

        def chosen(mutant: Mutant) -> list[list[str]]:
            tests = takers.get(mutant.path, {}).get(mutant.line, [])
            # A line that only the import takes is everybody's: the room's own tests answer for it.
            return quickest(tests, seconds, mutant.path) or [asked or [f"tests/{mutant.room}"]]

        def tried(mutant: Mutant) -> tuple[Mutant, bool]:
            found = kept.of(mutant)
            if found is None:
                copy = copies.get()
                try:
                    found = copy.finds(mutant, chosen(mutant), seconds)
                finally:
                    copies.put(copy)
                kept.keep(mutant, found)
            return mutant, found

        copy = copies.get()
        if not copy.passes([test for mutant in mutants[:1] for test in chosen(mutant)[0]], 600):
            raise SystemExit("Its tests fail in a copy of the checkout with no fault in it.")
        copies.put(copy)
        results = []
        with ThreadPoolExecutor(jobs) as pool:
            for result in pool.map(tried, mutants):
                results.append(result)
                if not result[1]:
                    print(f"survived {result[0].key}", file=sys.stderr, flush=True)
                elif len(results) % 20 == 0:
                    print(f"{len(results)} of {len(mutants)}", file=sys.stderr, flush=True)
    return results


def equivalents() -> dict[str, str]:
    """The justified mutants, by key: what would change that nobody can see."""
    path = Path(__file__).with_name("equivalent_faults.toml")
    rows = tomllib.loads(path.read_text("utf-8"))["equivalent"]
    return {key_of(row["path"], row["before"], row["after"]): row["reason"] for row in rows}


def main() -> None:
    """Read the command line, plant the sample, and print what was found."""
    parser = argparse.ArgumentParser(description="Plant faults and see whether a test finds them.")
    parser.add_argument("--sample", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--room", choices=ROOMS, action="append")
    parser.add_argument("--file", action="append", default=[], help="only files of such names")
    parser.add_argument("--skip", type=int, default=0, help="so many of the sample are left out")
    parser.add_argument("--tests", action="append", default=[], help="ask these tests alone")
    parser.add_argument("--jobs", type=int, default=2)
    options = parser.parse_args()
    rooms = options.room or ROOMS
    mutants = sample(rooms, options.file, options.sample, options.seed)[options.skip :]
    results = run(mutants, options.jobs, options.tests)
    justified = equivalents()
    planted: Counter[str] = Counter()
    found: Counter[str] = Counter()
    for mutant, was_found in results:
        if was_found or mutant.key not in justified:
            planted[mutant.room] += 1
            found[mutant.room] += was_found
    print(f"{'room':<10} {'planted':>8} {'found':>8}")
    for room in rooms:
        print(f"{room:<10} {planted[room]:>8} {found[room]:>8}")
    share = 100 * found.total() / max(1, planted.total())
    equal = len(results) - planted.total()
    print(f"{'all':<10} {planted.total():>8} {found.total():>8} {share:.1f} %; {equal} equivalent")
    for mutant, was_found in results:
        if not was_found and mutant.key not in justified:
            print(f"survived: {mutant.path}:{mutant.line} {mutant.operator}")
            print(f"    - {mutant.before}\n    + {mutant.after}")


if __name__ == "__main__":
    main()
