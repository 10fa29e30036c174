"""Plant faults (mutation testing) and say which of them the tests find.

    scripts/bench faults [--sample 200] [--skip 0] [--seed 1] [--room stock] [--file lots.py]
                         [--tests tests/stock] [--jobs 2]

A mutant is the program with one small fault: another operator, another number, a loop that never
runs. cosmic-ray writes the mutants; a seeded sample of those in the rooms of money is run against
just the tests that take the changed line, quickest first, each in a copy of the checkout and in a
fork of a process that has imported what is not ours (fault_runner.py). A mutant that no test finds
survives and is listed. Survivors that change nothing anyone could see stand in
equivalent_faults.toml, each with its reason, and do not count. With --tests only those tests are
asked: quicker by far, and who survives them may still be found by others.
"""

import argparse
import ast
import compileall
import hashlib
import json
import os
import py_compile
import random
import re
import shutil
import subprocess
import sys
import tempfile
import tomllib
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, closing
from dataclasses import dataclass
from pathlib import Path
from queue import Queue
from typing import Any

from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.plugins import get_operator, operator_names

ROOT = Path(__file__).parents[1]
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
CACHE = ROOT / ".benchmarks" / "faults"
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
            mutants.append(Mutant(room, path, name, occurrence, line, *lines))
    return mutants


def compiles(source: str) -> bool:
    """Whether a mutant is a program at all: the star of a signature is no product."""
    try:
        ast.parse(source)
    except SyntaxError:
        return False
    return True


def copied(folder: Path) -> Path:
    """A copy of the checkout's own files, in which faults may be planted."""
    names = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT, capture_output=True, text=True, check=True,
    )  # fmt: skip
    for name in filter(None, names.stdout.split("\0")):
        if (ROOT / name).is_file():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(ROOT / name, folder / name)
    return folder


def surroundings(folder: Path) -> dict[str, str]:
    """The environment in which the copy's program is the one that runs, also in new processes."""
    return {**os.environ, "PYTHONPATH": str(folder)}


def tree_digest() -> str:
    """What stands for the program and its tests as they are."""
    digest = hashlib.sha256()
    for path in sorted([*(ROOT / "ledger").rglob("*.py"), *(ROOT / "tests").rglob("*.py")]):
        digest.update(path.relative_to(ROOT).as_posix().encode() + path.read_bytes())
    return digest.hexdigest()[:16]


def coverage_of_tests(
    asked: list[str],
) -> tuple[dict[str, dict[int, list[str]]], dict[str, float]]:
    """Which tests take which line, and how long each test takes; kept until the tree changes."""
    kept = CACHE / f"{'-'.join([tree_digest(), *asked]).replace('/', '.')}.json"
    if not kept.is_file():
        CACHE.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix="faults-") as folder:
            kept.write_text(json.dumps(measured(copied(Path(folder)), asked)), "utf-8")
    takers, seconds = json.loads(kept.read_text("utf-8"))
    lines = {path: {int(n): tests for n, tests in by.items()} for path, by in takers.items()}
    return lines, seconds


def measured(
    folder: Path, asked: list[str]
) -> tuple[dict[str, dict[int, list[str]]], dict[str, float]]:
    """Run the tests that are asked, or the whole suite, once with coverage by test."""
    print("the tests are run once to see which lines each one takes …", file=sys.stderr, flush=True)
    report = folder / "report.xml"
    subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-n", "0" if asked else "2", "--cov=ledger",
         "--cov-context=test", "--cov-report=", f"--junitxml={report}", "-o", "junit_family=xunit1",
         *asked],
        cwd=folder, env=surroundings(folder), check=False, stdout=sys.stderr,
    )  # fmt: skip
    seconds = durations(report)
    return line_takers(folder, set(seconds)), seconds


def line_takers(folder: Path, passed: set[str]) -> dict[str, dict[int, list[str]]]:
    """The tests of each line of each file, from what coverage wrote, of those that passed."""
    from coverage import CoverageData

    data = CoverageData(basename=str(folder / ".coverage"))
    data.read()
    of_file: dict[str, list[str]] = defaultdict(list)
    for test in passed:
        of_file[test.split("::")[0]].append(test)
    takers: dict[str, dict[int, list[str]]] = {}
    for name in data.measured_files():
        path = Path(name)
        if path.is_relative_to(folder):
            by_line = data.contexts_by_lineno(name)
            takers[path.relative_to(folder).as_posix()] = {
                line: sorted({one for test in tests for one in _takers(test, of_file)} & passed)
                for line, tests in by_line.items()
            }
    return takers


def _takers(context: str, of_file: dict[str, list[str]]) -> list[str]:
    """The test of a context; of one that was being set up all of its file: they may share that."""
    test, _, phase = context.rpartition("|")
    return of_file.get(test.split("::")[0], []) if phase == "setup" else [test]


def durations(report: Path) -> dict[str, float]:
    """Seconds of each test that passed, by its place, from the report of the run."""
    from xml.etree import ElementTree

    cases = list(ElementTree.parse(report).iter("testcase"))
    failed = [case for case in cases if {part.tag for part in case} & {"failure", "error"}]
    for case in failed:
        print(f"left out, it fails with no fault: {place_of(case)}", file=sys.stderr)
    return {place_of(case): float(case.get("time") or 0) for case in cases if case not in failed}


def place_of(case: Any) -> str:
    """A test's place as pytest takes it, from its row in the report."""
    names = str(case.get("classname")).removeprefix(
        str(case.get("file")).removesuffix(".py").replace("/", ".")
    )
    return "::".join([case.get("file"), *filter(None, names.split(".")), case.get("name")])


def quickest(tests: list[str], seconds: dict[str, float], room: str) -> list[str]:
    """The tests of a line, those of its own room first, then the quickest, at most 150."""
    own = f"tests/{room}/"
    order = sorted(tests, key=lambda test: (not test.startswith(own), seconds.get(test, 1.0), test))
    return order[:150]


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

    def finds(self, mutant: Mutant, tests: list[str], seconds: int) -> bool:
        """Whether one of the tests fails once the mutant is planted, or they run without end."""
        path = self.folder / mutant.path
        source = path.read_text("utf-8")
        mutated = mutate_code(source, get_operator(mutant.operator)(), mutant.occurrence)
        assert mutated is not None
        path.write_text(mutated, "utf-8")
        try:
            return not self.passes(tests, seconds)
        finally:
            path.write_text(source, "utf-8")

    def passes(self, tests: list[str], seconds: int) -> bool:
        """Whether all of these tests pass in the copy as it is, in so many seconds of processor."""
        assert self._runner.stdin and self._runner.stdout
        self._runner.stdin.write(json.dumps([seconds, tests]) + "\n")
        self._runner.stdin.flush()
        return int(self._runner.stdout.readline()) == 0

    def close(self) -> None:
        """End the process."""
        self._runner.communicate()


def run(mutants: list[Mutant], jobs: int, asked: list[str]) -> list[tuple[Mutant, bool]]:
    """Every mutant and whether it was found, several side by side, each in a copy of its own."""
    takers, seconds = coverage_of_tests(asked)
    copies: Queue[Copy] = Queue()
    with tempfile.TemporaryDirectory(prefix="faults-") as place, ExitStack() as stack:
        for number in range(jobs):
            copies.put(stack.enter_context(closing(Copy(Path(place) / str(number)))))

        def chosen(mutant: Mutant) -> list[str]:
            tests = takers.get(mutant.path, {}).get(mutant.line, [])
            # A line that only the import takes is everybody's: the room's own tests answer for it.
            return quickest(tests, seconds, mutant.room) or asked or [f"tests/{mutant.room}"]

        def tried(mutant: Mutant) -> tuple[Mutant, bool]:
            copy = copies.get()
            try:
                tests = chosen(mutant)
                # Who takes so much longer than without a fault runs without end: it was found.
                most = 20 + 5 * sum(seconds.get(test, 20) for test in tests)
                return mutant, copy.finds(mutant, tests, round(most))
            finally:
                copies.put(copy)

        copy = copies.get()
        if not copy.passes([test for mutant in mutants[:1] for test in chosen(mutant)], 600):
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
