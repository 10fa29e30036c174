"""What a command says, in every kind of terminal: the program as a process, names at their worst.

Two widths, a pipe, a terminal without color, a dumb one, and one that knows nothing but ASCII.
"""

import fcntl
import json
import os
import pty
import re
import struct
import subprocess
import sys
import termios
from contextlib import suppress
from functools import cache
from pathlib import Path

import pytest
from rich.cells import cell_len

SAMPLES = Path(__file__).parents[2] / "sample_data"
PROGRAM = [sys.executable, "-m", "ledger"]

TITLES = {
    "J-1": "Marrow bed \U0001f6cf\ufe0f \U0001fab5\U0001f469\u200d\U0001f527",
    "J-2": "\u05d0\u05e8\u05d5\u05df \u05e1\u05e4\u05e8\u05d9\u05dd \u062e\u0632\u0627\u0646\u0629",
    "J-3": "side [left] [bold red]x[/] [/] :smile:",
    "J-4": "bell\x07 \x1b[31mred\x1b[0m \x9b2J turned \u202egnp\u2066",
    "J-5": "=cmd() and a title of many words that goes on and on until no line can hold it " * 2,
    "J-6": "longwordwithoutanyspace" * 8,
}
COMMANDS = ["today", "job list", "stock list"]


@pytest.fixture(scope="module")
def path(tmp_path_factory):
    """A book in which every name is a hostile one, as it may come from an old program."""
    from typer.testing import CliRunner

    from ledger.book import typed
    from ledger.cli.main import app

    old = pytest.MonkeyPatch()
    old.setattr(typed, "unseen", lambda text: "")

    folder = tmp_path_factory.mktemp("hostile")
    prices = folder / "prices.csv"
    prices.write_text(
        "code,name,kind,unit,price\n"
        + "".join(f'M-{number},"{name}",supply,each,1.50\n' for number, name in NAMES.items()),
        encoding="utf-8",
    )
    lines = [
        ["new", "--shop", TITLES["J-1"]],
        ["material", "load", str(prices)],
        *(["job", "new", title, "--number", number, "--client", title]
          for number, title in TITLES.items()),
        *(["hours", "add", number, "sand", "20m", "--note", title]
          for number, title in TITLES.items()),
        *(["receipt", "add", f"M-{number}", "3", "1.50", "--from", name]
          for number, name in NAMES.items()),
        ["sponsor", "add", TITLES["J-2"]],
        ["sponsor", "agree", TITLES["J-2"], "--deliver", "2 post by 2025-06-30"],
    ]  # fmt: skip
    env = {"BENCHLEDGER_BOOK": str(folder / "shop.sqlite"), "BENCHLEDGER_TODAY": "2025-04-25"}
    for words in lines:
        ran = CliRunner().invoke(app, words, env=env, catch_exceptions=False)
        assert ran.exit_code == 0, (words, ran.stderr)
    old.undo()
    return folder / "shop.sqlite"


# What a price list takes: it refuses characters that cannot be seen.
NAMES = {number: TITLES[f"J-{number}"] for number in (1, 2, 3, 5, 6)}


def environment(path, **more):
    told = {"COLUMNS", "LINES", "NO_COLOR", "FORCE_COLOR", "TERM", "LC_ALL"}
    plain = {name: text for name, text in os.environ.items() if name not in told}
    given = {"BENCHLEDGER_BOOK": str(path), "BENCHLEDGER_TODAY": "2025-04-25", "LANG": "C.UTF-8"}
    return plain | given | more


@pytest.fixture(scope="module")
def piped(path, program):
    """What a pipe gets of a command, as text; each is run once."""

    @cache
    def run(line, **more):
        ran = program.run(line.split(), environment(path, **more), path.parent)
        assert (ran.returncode, ran.stderr.count(b"Traceback")) == (0, 0), ran.stderr
        return ran.stdout.decode()

    return run


@pytest.fixture(scope="module")
def at_a_terminal(path, program):
    """What a terminal of so many columns is sent by a command."""

    def run(line, columns, **more):
        master, slave = pty.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 40, columns, 0, 0))
        program.start(line.split(), environment(path, **more), [os.ttyname(slave)] * 3)
        os.close(slave)
        shown = b""
        with suppress(OSError):  # the terminal is closed once the program ended
            while piece := os.read(master, 65536):
                shown += piece
        os.close(master)
        assert program.wait() == 0, shown
        return shown.decode().replace("\r\n", "\n")

    return run


def without_color(text):
    return re.sub(r"\x1b\[[\d;]*m", "", text)


def harmless(text):
    """Whether a text holds nothing that a terminal would obey, tabs and line ends aside."""
    return not re.search(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]", text)


def squeezed(text):
    """A text without any white space: what stays the same however lines are broken."""
    return "".join(text.split())


def fits(text, columns):
    return [line for line in text.splitlines() if cell_len(line) > columns] == []


@pytest.mark.parametrize("line", COMMANDS)
def test_a_pipe_gets_80_columns_of_plain_text_and_nothing_is_lost(piped, line):
    said = piped(line)

    assert harmless(said)
    assert fits(said, 80)
    if line in {"today", "job list"}:
        assert all(re.search(rf"^{number}\b", said, re.MULTILINE) for number in TITLES)


@pytest.mark.parametrize("line", COMMANDS)
def test_a_wider_pipe_gets_the_same_in_fewer_lines(piped, line):
    narrow, wide = piped(line), piped(line, COLUMNS="200")

    assert harmless(wide)
    assert fits(wide, 200)
    assert len(wide.splitlines()) <= len(narrow.splitlines())
    assert sorted(squeezed(wide)) == sorted(squeezed(narrow))


@pytest.mark.parametrize("line", COMMANDS)
def test_a_terminal_that_knows_ascii_only_gets_ascii_and_nothing_else_breaks(path, line):
    poor = environment(path, PYTHONIOENCODING="ascii", LC_ALL="C")
    ran = subprocess.run([*PROGRAM, *line.split()], env=poor, capture_output=True, check=False)
    said = ran.stdout.decode("ascii")

    assert (ran.returncode, ran.stderr.count(b"Traceback")) == (0, 0)
    assert said.isascii()
    assert harmless(said)
    assert fits(said, 80)
    if line == "job list":
        assert "[left]" in said
        assert ":smile:" in said


@pytest.mark.parametrize(("columns", "line"), [(80, "job list"), (200, "today")])
def test_a_terminal_is_filled_as_wide_as_it_is(at_a_terminal, columns, line):
    shown = at_a_terminal(line, columns, TERM="xterm-256color")

    assert "\x1b[1m" in shown
    plain = without_color(shown)
    assert harmless(plain)
    assert fits(plain, columns)


@pytest.mark.parametrize("more", [{"NO_COLOR": "1", "TERM": "xterm-256color"}, {"TERM": "dumb"}],
                         ids=["no color", "dumb"])  # fmt: skip
def test_who_wants_no_color_gets_the_same_words_without_it(at_a_terminal, more):
    colored = at_a_terminal("job list", 80, TERM="xterm-256color")
    plain = at_a_terminal("job list", 80, **more)

    assert not re.search(r"\x1b\[[\d;]*3\d", plain)
    assert squeezed(without_color(plain)) == squeezed(without_color(colored))
    if more["TERM"] == "dumb":
        assert harmless(plain)


def test_a_title_is_shown_letter_by_letter_as_it_was_typed(piped):
    said = squeezed(piped("job list", COLUMNS="400"))

    for number in ("J-1", "J-2", "J-3", "J-5", "J-6"):
        assert squeezed(TITLES[number]) in said


@pytest.mark.parametrize("line", ["job list", "today", "undo --list"])
def test_json_escapes_what_a_terminal_would_obey(piped, line):
    said = piped(f"{line} --json")

    assert harmless(said)
    if line == "job list":
        assert TITLES["J-4"] in {one["title"] for one in json.loads(said)}


def test_a_refusal_repeats_a_hostile_name_without_harm(path, program):
    ran = program.run(["material", "show", TITLES["J-4"]], environment(path), path.parent)
    assert (ran.returncode, ran.stdout) == (1, b"")
    assert harmless(ran.stderr.decode())
