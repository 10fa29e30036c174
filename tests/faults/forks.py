"""The program as a process of its own, without its imports: a fork of one that has them all.

    python tests/faults/forks.py         is asked by lines of JSON, one after the other

Each line has the words, the environment, the folder and the three streams as paths (a file, a pipe
or a terminal). The answer is `open` once the streams are open, and then the exit code. A test that
needs a fresh interpreter (its encoding, its start, its signals) starts one instead.
"""

import importlib
import json
import os
import resource
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

STREAMS = ("stdin", "stdout", "stderr")


class Program:
    """Types command lines at forks of one process."""

    def __init__(self) -> None:
        self._server = subprocess.Popen(
            [sys.executable, __file__], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
        )

    def start(
        self, words: Sequence[str], env: Mapping[str, str], streams: Sequence[str], most: int = 0
    ) -> None:
        """Start a command line, its files bound to `most` bytes; its streams are open then."""
        asked = {"words": list(words), "env": dict(env), "folder": str(Path.cwd()),
                 "streams": list(streams), "most": most}  # fmt: skip
        self._ask(json.dumps(asked))

    def run(
        self, words: Sequence[str], env: Mapping[str, str], folder: Path, most: int = 0
    ) -> subprocess.CompletedProcess[bytes]:
        """Run a command line into files of a folder, which are read and taken away again."""
        said = [folder / ".stdout", folder / ".stderr"]
        self.start(words, env, [os.devnull, *map(str, said)], most)
        code = self.wait()
        told = [path.read_bytes() for path in said]
        for path in said:
            path.unlink()
        return subprocess.CompletedProcess(list(words), code, *told)

    def wait(self) -> int:
        """The exit code of the command line that was started."""
        return int(self._answer())

    def close(self) -> None:
        """Let the process go."""
        if self._server.stdin and self._server.stdout:
            self._server.stdin.close()
            self._server.wait()
            self._server.stdout.close()

    def _ask(self, line: str) -> None:
        assert self._server.stdin
        self._server.stdin.write(line + "\n")
        self._server.stdin.flush()
        assert self._answer() == "open"

    def _answer(self) -> str:
        assert self._server.stdout
        return self._server.stdout.readline().strip()


def _serve() -> None:
    """Run each command line that is asked for in a fork."""
    from ledger.cli.main import load
    from ledger.cli.nouns import NOUNS

    for noun in NOUNS:
        load(noun)
    for name in (
        "rich.table",
        "ledger.cli.today_shown",
        "ledger.cli.hours_shown",
        "ledger.book.export",
    ):
        importlib.import_module(name)
    for line in sys.stdin:
        asked = json.loads(line)
        opened = [os.open(path, os.O_RDWR | os.O_CREAT, 0o600) for path in asked["streams"]]
        child = os.fork()
        if not child:
            _become(asked, opened)
        for handle in opened:
            os.close(handle)
        sys.stdout.write("open\n")
        sys.stdout.flush()
        _, status = os.waitpid(child, 0)
        sys.stdout.write(f"{os.waitstatus_to_exitcode(status)}\n")
        sys.stdout.flush()


def _become(asked: dict[str, Any], opened: list[int]) -> None:
    """Be the program as its script starts it, and end with its exit code."""
    from ledger.cli import main

    code: Any = 70
    for number, handle in enumerate(opened):
        os.dup2(handle, number)
        mode = "w" if number else "r"
        stream = os.fdopen(number, mode, encoding="utf-8", closefd=False)
        if number and os.isatty(number):
            stream.reconfigure(line_buffering=True)
        setattr(sys, STREAMS[number], stream)
    if asked["most"]:
        resource.setrlimit(resource.RLIMIT_FSIZE, (asked["most"], asked["most"]))
    os.environ.clear()
    os.environ.update(asked["env"])
    os.chdir(asked["folder"])
    sys.argv = ["benchledger", *asked["words"]]
    try:
        main()
        code = 0
    except SystemExit as ended:
        code = ended.code or 0
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(code)


if __name__ == "__main__":
    _serve()
