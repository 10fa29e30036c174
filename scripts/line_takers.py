"""Which tests take which line of the program, and how long each test takes (by coverage)."""

import hashlib
import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections import defaultdict
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[1]
CACHE = ROOT / ".benchmarks" / "faults"


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
