"""What each command says, word for word: one file per command, written by `scripts/golden`.

A file has sections. `@ BOOK DAY` begins one on a fresh copy of the book of `books/BOOK.txt` (which
lists what is typed to make it); each `$ WORDS` is a command of `benchledger` typed there, one after
another. Below it stands what it said: facts as they are, notes after `! `, and `= 1` where it ended
with that code.
Other tests ask for values and kinds of error; a sentence is held here, once. After a change of
words run `scripts/golden` and read what it changed.
"""

import os
import shlex
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from typer.testing import CliRunner

HERE = Path(__file__).parent
SAMPLES = HERE.parents[1] / "sample_data"
REWRITES = os.environ.get("GOLDEN") == "write"

type Books = Callable[[str, Path], None]


def sections(text: str) -> Iterator[tuple[str, list[str]]]:
    """The sections of a file: the line that begins each, and its commands."""
    head, commands = "", list[str]()
    for line in text.splitlines():
        if line.startswith("@ "):
            if head:
                yield head, commands
            head, commands = line, []
        elif line.startswith("$ "):
            commands.append(line)
    if head:
        yield head, commands


def typed(words: list[str], day: str) -> list[str]:
    """What a command says on a day in this folder, as the lines of a file."""
    from ledger.cli.main import app

    env = {"BENCHLEDGER_BOOK": "shop.sqlite", "BENCHLEDGER_TODAY": day, "BENCHLEDGER_NOW": "14:00",
           "COLUMNS": "80", "NO_COLOR": "1"}  # fmt: skip
    result = CliRunner().invoke(
        app, words, prog_name="benchledger", env=env, catch_exceptions=False
    )
    code = [f"= {result.exit_code}"] if result.exit_code else []
    notes = [f"! {line}".rstrip() for line in result.stderr.splitlines()]
    return [*(line.rstrip() for line in result.stdout.splitlines()), *notes, *code]


@pytest.fixture(scope="session")
def books(tmp_path_factory: pytest.TempPathFactory) -> Books:
    """Put a book of `books/` into a folder; each is typed once."""
    made: dict[str, Path] = {}

    def put(name: str, folder: Path) -> None:
        if name not in made:
            made[name] = tmp_path_factory.mktemp(name)
            (made[name] / "sample_data").symlink_to(SAMPLES)
            day = ""
            with pytest.MonkeyPatch.context() as patch:
                patch.chdir(made[name])
                for line in (HERE / "books" / f"{name}.txt").read_text("utf-8").splitlines():
                    if line.startswith("@ "):
                        day = line.split()[1]
                    elif line.startswith("$ "):
                        answer = typed(shlex.split(line[2:]), day)
                        assert not answer[-1:] or not answer[-1].startswith("= "), (line, answer)
        shutil.copytree(made[name], folder, symlinks=True, dirs_exist_ok=True)

    return put


@pytest.mark.parametrize("path", sorted(HERE.glob("*.txt")), ids=lambda path: path.stem)
def test_a_command_says_what_stands_in_its_file(
    path: Path, books: Books, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = path.read_text("utf-8")
    lines = text.split("\n@ ")[0].rstrip("\n").splitlines()
    for number, (head, commands) in enumerate(sections(text)):
        _, name, day = head.split()
        folder = tmp_path / str(number)
        books(name, folder)
        monkeypatch.chdir(folder)
        lines += ["", head]
        for command in commands:
            lines += [command, *typed(shlex.split(command[2:]), day)]
    said = "\n".join(lines) + "\n"
    if REWRITES:
        path.write_text(said, "utf-8")
    assert said == text or REWRITES, "run scripts/golden and read what it changed"
