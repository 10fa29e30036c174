"""The README's first hour runs as it is written: commands and shown output.

A block fenced as `console` is typed line by line: `$ export NAME=VALUE` sets the environment,
`$ mkdir FOLDER` makes one,
`$ benchledger …` runs the program in one folder of its own beside `sample_data`. The lines below a
command are what it says on stdout; a line of `…` stands for any number of lines. A command without
lines below it only has to succeed, and `> FILE` keeps what it says in a file.
"""

import os
import re
import shlex
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from typer.testing import CliRunner

ROOT = Path(__file__).parents[2]


@dataclass
class Typed:
    """A command of the README, what it shows below it, and the line it stands on."""

    command: str
    line: int
    shown: list[str] = field(default_factory=list)


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


@pytest.mark.slow
def test_the_first_hour_runs_as_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from ledger.cli.main import app

    commands = list(typed_commands((ROOT / "README.md").read_text(encoding="utf-8")))
    assert len(commands) > 10
    (tmp_path / "sample_data").symlink_to(ROOT / "sample_data")
    monkeypatch.chdir(tmp_path)
    for name in ("BENCHLEDGER_TODAY", "BENCHLEDGER_BOOK", "BENCHLEDGER_NOW"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("NO_COLOR", "1")
    for typed in commands:
        words = shlex.split(typed.command)
        if words[0] == "export":
            name, _, value = words[1].partition("=")
            monkeypatch.setenv(name, os.path.expandvars(value))
            continue
        if words[0] == "mkdir":
            Path(words[1]).mkdir()
            continue
        assert words[0] == "benchledger", f"README line {typed.line}"
        kept = words.index(">") if ">" in words else len(words)
        result = CliRunner().invoke(app, words[1:kept], catch_exceptions=False)
        said = result.stdout.rstrip("\n").split("\n")
        assert result.exit_code == 0, f"README line {typed.line}: {result.output}"
        if typed.shown:
            assert matches(typed.shown, said), (
                f"README line {typed.line}: {typed.command}\n" + result.output
            )


def test_a_starter_piece_is_quoted_from_an_empty_book_in_at_most_fifteen_inputs() -> None:
    page = (ROOT / "README.md").read_text(encoding="utf-8")
    story = page.split("## A starter piece, from an empty book to a sent quote")[1].split("\n## ")[
        0
    ]
    typed = [one.command for one in typed_commands(story) if one.command.startswith("benchledger")]
    assert typed[0].startswith("benchledger new ")
    assert typed[-1].startswith("benchledger quote send ")
    assert len(typed) <= 15


def test_shown_lines_match_only_what_was_said() -> None:
    assert matches(["a", "…", "d"], ["a", "b", "c", "d"])
    assert not matches(["a", "d"], ["a", "b", "d"])
    assert not matches(["a", "…", "e"], ["a", "b", "d"])
