"""Play random histories of whole shops, and redo their sums after every step.

    scripts/bench histories [--times 1000] [--steps 100] [--seed 1] [--minutes 0]

The histories stand with the tests, which play a few. Each is of one currency in turn; what broke
is told with the commands before it, and the run goes on with the next. With --minutes it ends
after so many, and says how many it played. The books stand in memory where the machine has a
folder for that, and the sweep of memory is as rare as in the program itself.
"""

import argparse
import gc
import shutil
import sys
import tempfile
import time
from collections import Counter
from itertools import cycle
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests" / "faults"))

import history_steps  # noqa: F401 - it notes the steps
import history_together  # noqa: F401 - it too
from history_shop import SHOPS, Broken, History

MEMORY = Path("/dev/shm")


def main() -> None:
    """Read the command line, play, and end with 1 where something broke."""
    parser = argparse.ArgumentParser(description="Play random histories of whole shops.")
    parser.add_argument("--times", type=int, default=1_000)
    parser.add_argument("--steps", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--minutes", type=float, default=0)
    asked = parser.parse_args()
    until = time.monotonic() + 60 * asked.minutes if asked.minutes else float("inf")
    told, played, broken = Counter[str](), Counter[str](), 0
    gc.set_threshold(50_000)
    memory = MEMORY if MEMORY.is_dir() else None
    with tempfile.TemporaryDirectory(prefix="histories-", dir=memory) as place:
        made: dict[str, Path] = {}
        for seed, name in zip(
            range(asked.seed, asked.seed + asked.times), cycle(SHOPS), strict=False
        ):
            if time.monotonic() > until:
                break
            folder = Path(place) / f"{name}-{seed}"
            folder.mkdir()
            history = History(folder, SHOPS[name], seed, made.get(name))
            if name not in made:
                made[name] = Path(place) / f"{name}.sqlite"
                shutil.copy(history.path, made[name])
            try:
                history.play(asked.steps)
            except Exception as what:  # noqa: BLE001 - whatever it was, it is told
                broken += 1
                print(f"seed {seed}: {what}\n", flush=True)
                if not isinstance(what, Broken):
                    print(f"  a fault of the trial: {what!r}", flush=True)
            told.update(history.told)
            history.close()
            shutil.rmtree(folder)
            played[name] += 1
            if played.total() % 50 == 0:
                print(f"{played.total()} played, {broken} broken", flush=True)
    steps = sum(told.values())
    each = ", ".join(f"{name} {count}" for name, count in played.items())
    print(f"{played.total()} histories, {steps} steps ({each})")
    for name in sorted({line.rpartition(" ")[0] for line in told}):
        print(f"  {name:20} {told[f'{name} done']:>6} done {told[f'{name} refused']:>6} refused")
    spent = time.process_time() / max(1, played.total())
    print(f"{broken} broken; {spent:.1f} s of processor each")
    raise SystemExit(bool(broken))


if __name__ == "__main__":
    main()
