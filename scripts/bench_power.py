"""Cut the power at every write and sync of posting commands; say what was found.

    scripts/bench power [--cuts 5000] [--seed 1]

The trial itself stands with the tests, which cut a few times.
"""

import subprocess
import sys
import tempfile
from pathlib import Path

POWER = Path(__file__).parents[1] / "tests" / "faults" / "power.py"


def main() -> None:
    """Pass the command line on, and end with 1 where something was wrong."""
    with tempfile.TemporaryDirectory(prefix="power-") as folder:
        done = subprocess.run(
            [sys.executable, POWER, folder, *sys.argv[1:]],
            stdout=subprocess.PIPE, text=True, check=True,
        )  # fmt: skip
    print(done.stdout)
    raise SystemExit('"wrong": []' not in done.stdout)


if __name__ == "__main__":
    main()
