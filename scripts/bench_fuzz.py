"""Hand every reader and the page what nobody means, for as long as is asked, and count the answers.

scripts/bench fuzz [--minutes 2] [--cases N] [--seed 1] [--only NAME] [--most SECONDS]

Each reader takes its turn with some cases of each kind until the time is up, or so many cases were
handed out. A case that is neither taken whole nor refused in a sentence is told and the run ends
with 1; so does one that takes longer than `--most` seconds of the processor, or 300 MiB.
"""

import argparse
import importlib.util
import resource
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st

FOLDER = Path(__file__).parents[1] / "tests/faults"
MOST_MEMORY = 300
"""Mebibytes that one case may take."""
A_TURN, A_TURN_OF_JSON = 8, 200
"""Cases of one kind before the next reader takes its turn; those of JSON take no command."""

JSON = "JSON read back"

type Kind = tuple[str, str, st.SearchStrategy[Any], Callable[[Any], str]]


def loaded(name: str) -> Any:
    """A module of the tests that makes and hands out what nobody means."""
    spec = importlib.util.spec_from_file_location(name, FOLDER / f"{name}.py")
    assert spec and spec.loader
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


def kinds(folder: Path, machine: Any) -> list[Kind]:
    """Every reader with every kind of file it is handed, on books of inches and of millimeters."""
    found: list[Kind] = []
    desks = {"": machine.Desk(folder / "inch"), ", metric": machine.Desk(
        folder / "metric", *machine.MADE_METRIC)}  # fmt: skip
    for book, desk in desks.items():
        for name in machine.METRIC if book else machine.READERS:
            for kind, strategy in machine.strategies(name, desk).items():
                found.append((name + book, kind, strategy, partial(desk.hand, name)))
    desk = desks[""]
    for name, (right, read) in machine.kept(desk).items():
        back = partial(machine.read_back, name, read)
        found.append((name, JSON, machine.spoiled_json(right), back))
    forms = loaded("fuzz_page")
    page = forms.PageDesk(machine.Desk(folder / "page").path)
    found.append(("the page", "forms", forms.posts, page.post))
    found.append(("the page", "screens", forms.asks, page.ask))
    return found


def turn(kind: Kind, number: int, until: float, most: int, counts: Counter[str]) -> str:
    """Some cases of one kind; what was broken, or nothing."""
    _, files, strategy, hand = kind
    count = A_TURN_OF_JSON if files == JSON else A_TURN

    @seed(number)
    @settings(max_examples=count, deadline=None, database=None, phases=(Phase.generate,),
              suppress_health_check=list(HealthCheck))  # fmt: skip
    @given(strategy)
    def cases(case: Any) -> None:
        if time.monotonic() > until:
            return
        before = peak()
        signal.setitimer(signal.ITIMER_PROF, most)
        try:
            answer = hand(case)
        finally:
            signal.setitimer(signal.ITIMER_PROF, 0)
        if peak() - before > MOST_MEMORY:
            raise MemoryError(f"{peak() - before} MiB more for {str(case)[:500]}")
        counts[answer] += 1

    try:
        cases()
    except Exception as broken:  # noqa: BLE001 - whatever it was, it is told
        places = traceback.extract_tb((broken.__cause__ or broken).__traceback__)[-3:]
        where = " < ".join(f"{Path(one.filename).name}:{one.lineno}" for one in reversed(places))
        return f"{type(broken).__name__} at {where}: {str(broken)[:1500]}"
    return ""


def peak() -> int:
    """The most memory that this process had so far, in mebibytes."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024


def too_long(_signal: int, _frame: Any) -> None:
    """End a case that hangs."""
    raise TimeoutError("a case took too long")


def main() -> None:
    """Read the command line, hand out files until the time is up, and print the counts."""
    parser = argparse.ArgumentParser(description="Hand every reader files that nobody means.")
    parser.add_argument("--minutes", type=float, default=2)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", default="")
    parser.add_argument("--most", type=int, default=5)
    parser.add_argument("--cases", type=int, default=10**9)
    asked = parser.parse_args()
    signal.signal(signal.SIGPROF, too_long)
    machine = loaded("fuzzing")
    counts: dict[tuple[str, str], Counter[str]] = {}
    broken: dict[str, str] = {}
    with tempfile.TemporaryDirectory(prefix="fuzz-") as folder:
        todo = [k for k in kinds(Path(folder), machine) if asked.only in k[0]]
        until, number = time.monotonic() + 60 * asked.minutes, asked.seed
        while time.monotonic() < until and cases_of(counts) < asked.cases:
            for place, kind in enumerate(todo):
                key = kind[:2]
                found = counts.setdefault(key, Counter())
                told = turn(kind, 1_000 * number + place, until, asked.most, found)
                if told:
                    broken.setdefault(f"{key[0]}, {key[1]}: {told[:160]}", told)
            number += 1
    tell(counts, broken)
    raise SystemExit(bool(broken))


def cases_of(counts: dict[tuple[str, str], Counter[str]]) -> int:
    """How many cases were handed out."""
    return sum(found.total() for found in counts.values())


def tell(counts: dict[tuple[str, str], Counter[str]], broken: dict[str, str]) -> None:
    """Print how many cases each reader took and refused, and what was broken."""
    print(f"{'reader':<20} {'files':<20} {'cases':>7} {'taken':>7} {'refused':>7}")
    for (name, kind), found in counts.items():
        print(f"{name:<20} {kind:<20} {found.total():>7} {found['taken']:>7} {found['refused']:>7}")
    print(f"{cases_of(counts)} cases, {len(broken)} broken; at most {peak()} MiB of memory")
    for told in broken.values():
        print(f"\n{told}", file=sys.stderr)


if __name__ == "__main__":
    main()
