"""What the papers cost: the quote beside the same command without it, a compile, the shop pack.

    scripts/bench papers [--times 5]

Seconds are those of the processor, the least of several runs, so that a busy machine tells the
same; memory is that of a process that lays out the paper alone (on Linux). It ends with 1 where a
figure is above its limit.
"""

import argparse
import json
import os
import pickle
import resource
import shutil
import subprocess
import sys
import tempfile
import time
from datetime import date
from pathlib import Path

from readme_story import README, play, typed_commands

ROOT = Path(__file__).resolve().parents[1]
DAY = "2025-04-25"
BEFORE = "benchledger quote send bed"
MOST_OVER, MOST_FIRST, MOST_PACK, MOST_MIB = 0.3, 0.15, 2.0, 150.0


def begun(folder: Path) -> Path:
    """The README's book as it stands before its quote is sent."""
    commands = list(typed_commands(README.read_text(encoding="utf-8")))
    sent = next(n for n, one in enumerate(commands) if one.command.startswith(BEFORE))
    for said in play(commands[:sent], folder):
        if said.code:
            sys.exit(f"README line {said.typed.line}: {said.all}")
    return folder / "shop.sqlite"


def processor(command: list[str], book: Path) -> float:
    """The processor's seconds of a command, on a copy of the book."""
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "shop.sqlite"
        shutil.copyfile(book, copy)
        known = os.environ | {"BENCHLEDGER_BOOK": str(copy), "BENCHLEDGER_TODAY": DAY}
        began = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run(
            [sys.executable, "-m", "ledger", *command], env=known | {"PYTHONPATH": str(ROOT)},
            cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=True,
        )  # fmt: skip
        ended = resource.getrusage(resource.RUSAGE_CHILDREN)
    return ended.ru_utime + ended.ru_stime - began.ru_utime - began.ru_stime


def pickled(path: Path) -> None:
    """Keep each paper of the bed beside the book, before it is laid out."""
    from ledger.book import Book
    from ledger.jobs.jobs import find_job
    from ledger.verbs.papers import NamedPaper, of_job

    with Book(path, date.fromisoformat(DAY)) as book:
        for made in of_job(book, find_job(book, "bed")):
            if isinstance(made, NamedPaper):
                name = made.name.partition("-Q-")[0]
                path.with_name(f"{name}.pickle").write_bytes(pickle.dumps(made.paper))


def one(path: Path) -> None:
    """Lay out one paper twice in this process; print seconds and memory as JSON."""
    from ledger.papers.engine import print_paper

    paper = pickle.loads(path.read_bytes())
    seconds = []
    for _ in range(2):
        began = time.process_time()
        printed = print_paper(paper)
        seconds.append(time.process_time() - began)
    status = Path("/proc/self/status").read_text()  # getrusage tells the parent's most too
    mib = int(status.partition("VmHWM:")[2].split()[0]) / 1024
    told = {"first": seconds[0], "again": seconds[1], "mib": mib, "bytes": len(printed.content)}
    sys.stdout.write(json.dumps(told))


def fresh(what: str, path: Path) -> str:
    """What this script says of a file in a process of its own."""
    done = subprocess.run(
        [sys.executable, __file__, what, str(path)],
        stdout=subprocess.PIPE, text=True, check=True, env=os.environ | {"PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    return done.stdout


def main() -> int:
    """Measure, print, and compare with the limits."""
    parser = argparse.ArgumentParser(description="Measure what papers cost.")
    parser.add_argument("--times", type=int, default=5)
    parser.add_argument("--pickled", type=Path, help=argparse.SUPPRESS)
    parser.add_argument("--one", type=Path, help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.pickled or asked.one:
        pickled(asked.pickled) if asked.pickled else one(asked.one)
        return 0
    with tempfile.TemporaryDirectory() as folder:
        book = begun(Path(folder))
        send = ["quote", "send", "bed"]
        bare = min(processor(send, book) for _ in range(asked.times))
        printed = min(processor([*send, "--pdf", "q.pdf"], book) for _ in range(asked.times))
        fresh("--pickled", book)
        quote, pack = (
            json.loads(fresh("--one", book.with_name(f"{name}.pickle")))
            for name in ("quote", "shop-pack")
        )
    over = printed - bare
    print(f"quote send --pdf: {printed:.2f} s, without {bare:.2f} s: × {printed / bare:.2f},"
          f" {over:.2f} s over (at most {MOST_OVER})")  # fmt: skip
    print(f"quote: first compile {quote['first']:.3f} s (at most {MOST_FIRST}), again"
          f" {quote['again']:.3f} s, {quote['bytes']} bytes")  # fmt: skip
    print(f"shop pack: {pack['first']:.2f} s (at most {MOST_PACK}), {pack['mib']:.0f} MiB (at most"
          f" {MOST_MIB:.0f}), {pack['bytes']} bytes")  # fmt: skip
    above = (
        over > MOST_OVER, quote["first"] > MOST_FIRST, pack["first"] > MOST_PACK,
        pack["mib"] > MOST_MIB,
    )  # fmt: skip
    return int(any(above))


if __name__ == "__main__":
    sys.exit(main())
