"""Play the README's commands: what it shows is compared with what the program says.

A block fenced as `console` is typed line by line: `$ export NAME=VALUE` sets the environment,
`$ mkdir FOLDER` makes one, `$ benchledger …` runs the program in one folder of its own beside
`sample_data`. The lines below a command are what it says on stdout; a line of `…` stands for any
number of lines. A command without lines below it only has to succeed, and `> FILE` keeps what it
says in a file.
"""

import os
import re
import shlex
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from typer.testing import CliRunner

ROOT = Path(__file__).resolve().parents[1]
README = ROOT / "README.md"


@dataclass
class Typed:
    """A command of the README, what it shows below it, and the line it stands on."""

    command: str
    line: int
    shown: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class Said:
    """A command of the program as it was typed, how it ended and what it said."""

    typed: Typed
    code: int
    out: str
    all: str


def typed_commands(text: str) -> Iterator[Typed]:
    """The commands of all console blocks, in order."""
    inside, current = False, None
    for number, line in enumerate(text.splitlines(), start=1):
        if line.startswith("```"):
            inside = line == "```console"
            if current:
                yield current
            current = None
        elif inside and line.startswith("$ "):
            if current:
                yield current
            current = Typed(line[2:], number)
        elif inside and current and current.command.endswith("\\"):
            current.command = current.command[:-1] + line.strip()
        elif inside and current:
            current.shown.append(line.rstrip())
    if current:
        yield current


def matches(shown: list[str], said: list[str]) -> bool:
    """Whether the output is what is shown, `…` standing for any lines."""
    pattern = "".join(
        r"(?:[^\n]*\n)*?" if line.strip() == "…" else re.escape(line.rstrip()) + r"\n"
        for line in shown
    )
    return re.fullmatch(pattern, "".join(f"{line.rstrip()}\n" for line in said)) is not None


def play(commands: list[Typed], folder: Path) -> Iterator[Said]:
    """Type the commands in an empty folder, one after another; the current folder becomes it."""
    from ledger.cli.main import app

    (folder / "sample_data").symlink_to(ROOT / "sample_data")
    os.chdir(folder)
    environment: dict[str, str | None] = {
        "BENCHLEDGER_TODAY": None, "BENCHLEDGER_BOOK": None, "BENCHLEDGER_NOW": None,
        "COLUMNS": "80", "NO_COLOR": "1",
    }  # fmt: skip
    for typed in commands:
        words = shlex.split(typed.command)
        if words[0] == "export":
            name, _, value = words[1].partition("=")
            environment[name] = os.path.expandvars(value)
        elif words[0] == "mkdir":
            Path(words[1]).mkdir()
        else:
            assert words[0] == "benchledger", f"README line {typed.line}"
            kept = words.index(">") if ">" in words else len(words)
            result = CliRunner(env=environment).invoke(app, words[1:kept], catch_exceptions=False)
            yield Said(typed, result.exit_code, result.stdout, result.output)
