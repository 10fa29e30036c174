"""Kill commands, let eight processes post at once, restore while two post; say what was found.

    scripts/bench kills [--times 1000] [--crowds 10] [--restores 40] [--seed 1]

The faults themselves stand with the tests, which do the same fifty times.
"""

import argparse
import json
import subprocess
import sys
import tempfile
from pathlib import Path

KILLS = Path(__file__).parents[1] / "tests" / "faults" / "kills.py"


def found(what: str, *words: str) -> dict[str, object]:
    """What one kind of fault left, in a folder of its own."""
    with tempfile.TemporaryDirectory(prefix="kills-") as folder:
        done = subprocess.run(
            [sys.executable, KILLS, what, folder, *words],
            stdout=subprocess.PIPE, text=True, check=True,
        )  # fmt: skip
    told: dict[str, object] = json.loads(done.stdout)
    print(f"{what}: {json.dumps(told)}", flush=True)
    return told


def main() -> int:
    """Read the command line, and end with 1 where something was wrong."""
    parser = argparse.ArgumentParser(description="Kill posting commands, and crowd them.")
    parser.add_argument("--times", type=int, default=1_000)
    parser.add_argument("--crowds", type=int, default=10)
    parser.add_argument("--restores", type=int, default=40)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    killed = found("kill", "--times", str(asked.times), "--seed", str(asked.seed))
    crowd = found("crowd", "--processes", "8", "--times", str(asked.crowds))
    swapped = found("swap", "--times", str(asked.restores))
    faults = (killed["wrong"], killed["left"], crowd["wrong"], swapped["wrong"])
    return int(any(map(bool, (*faults, swapped["tracebacks"]))))


if __name__ == "__main__":
    sys.exit(main())
