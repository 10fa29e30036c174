"""Run tests in a checkout again and again, each time in a fork, as if in a process of its own.

What the tests use of other people's is imported once; the checkout's own files, of which one may
have been changed, are imported in the fork. `bench_faults.py` writes a line of JSON for each run:
the seconds of processor that it may take, a folder of layouts that the tests may share (or none),
and the tests; the answer is pytest's code, or the signal that ended the fork, negative.
"""

import importlib
import json
import os
import resource
import signal
import sys
from pathlib import Path

OFTEN = (
    "hypothesis", "openpyxl", "pint", "pypdfium2", "pytest", "rich.table", "sqlmodel",
    "sqlalchemy.dialects.sqlite", "typer.testing", "typst",
)  # fmt: skip

EVERY = ("-q", "-x", "-n", "0", "-p", "no:cacheprovider", "--hypothesis-seed=0",
         "-W", "ignore::pytest.PytestAssertRewriteWarning")  # fmt: skip


def run(seconds: int, layouts: str, tests: list[str]) -> int:
    """Run pytest in a fork; its code, or minus the signal that ended it after those seconds."""
    fork = os.fork()
    if fork == 0:
        nothing = os.open(os.devnull, os.O_RDWR)
        for handle in (0, 1, 2):
            os.dup2(nothing, handle)
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds))
        os.environ["LEDGER_TEST_LAYOUTS"] = layouts
        import pytest

        code = 1
        try:
            code = int(pytest.main([*EVERY, *tests]))
        finally:
            os._exit(code)
    status = os.waitpid(fork, 0)[1]
    return os.waitstatus_to_exitcode(status)


def main() -> None:
    """Answer each line until there are no more."""
    sys.path.insert(0, str(Path.cwd()))
    for name in OFTEN:
        importlib.import_module(name)
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    for line in sys.stdin:
        print(run(*json.loads(line)), flush=True)


if __name__ == "__main__":
    main()
