"""The program as a process: pipes that break, Ctrl-C, odd bytes, dumb and poor terminals."""

import json
import os
import pty
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing, suppress

import pytest

from ledger.book import Book
from ledger.book.tables.ground import Job, SettingValue

PROGRAM = [sys.executable, "-m", "ledger"]


@pytest.fixture
def environment(book):
    book.close()
    return os.environ | {"BENCHLEDGER_BOOK": str(book.path), "BENCHLEDGER_TODAY": "2025-04-25"}


def typed(environment, *words, **more):
    return subprocess.run(
        [*PROGRAM, *words], env=environment | more, capture_output=True, check=False, timeout=60
    )


@pytest.fixture
def at_a_terminal(environment, program):
    """What a terminal shows, and the exit code; `keys` are typed at once."""

    def type_in(*words, keys=b"", **more):
        master, slave = pty.openpty()
        program.start(words, environment | more, [os.ttyname(slave)] * 3)
        os.close(slave)
        os.write(master, keys)
        shown = b""
        with suppress(OSError):  # the terminal is closed once the program ended
            while piece := os.read(master, 65536):
                shown += piece
        os.close(master)
        return program.wait(), shown

    return type_in


def test_a_pipe_that_breaks_is_no_trouble(environment):
    running = subprocess.Popen(
        [*PROGRAM, "shop", "show"], env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    running.stdout.close()
    with running.stderr as stream:
        said = stream.read()
    assert (running.wait(), said) == (0, b"")


@pytest.mark.parametrize("words", ["shop show", "shop show --json", "--help"])
def test_an_answer_that_cannot_be_written_out_is_said_in_one_line(
    environment, program, tmp_path, words
):
    said = tmp_path / "said"
    program.start(words.split(), environment, [os.devnull, "/dev/full", str(said)])
    assert program.wait() == 1
    told = said.read_text("utf-8")
    assert told.startswith("The answer could not be written out (No space left on device).")
    assert told.count("\n") == 1


def test_a_command_without_any_stream_does_its_work(environment, book):
    closed = 'exec "$@" <&- >&- 2>&-'
    words = ["sh", "-c", closed, "sh", *PROGRAM, "shop", "set", "kerf=3 mm"]
    assert subprocess.run(words, env=environment, check=False).returncode == 0
    with Book(book.path, book.today) as again:
        assert again.setting_text("kerf") == "3 mm"


@pytest.mark.parametrize(("keys", "code", "says"), [(b"n\n", 1, b"Nothing was posted."),
                                                   (b"\x04", 130, b"Stopped. The book is whole")],
                         ids=["no", "end"])  # fmt: skip
def test_who_does_not_say_yes_posts_nothing(at_a_terminal, book, keys, code, says):
    with book.entry("job new"):
        book.post(Job(number="J-1", title="A stool"))
    words = ("hours", "add", "J-1", "filming", "20h")
    ended, shown = at_a_terminal(*words, keys=keys, TERM="dumb")
    assert (ended, says in shown) == (code, True)
    with Book(book.path, book.today) as again:
        assert again.entries(1)[0].verb == "job new"


def hear_ctrl_c():
    """Listen to Ctrl-C also where the tests themselves were started in the background."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def test_ctrl_c_while_waiting_stops_at_once_and_says_so_in_one_line(environment, book):
    with closing(sqlite3.connect(book.path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        running = subprocess.Popen(
            [*PROGRAM, "shop", "set", "kerf=3 mm"],
            env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
            preexec_fn=hear_ctrl_c,
        )  # fmt: skip
        assert running.stderr.readline().startswith("Another command is writing to the book")
        running.send_signal(signal.SIGINT)
        out, err = running.communicate(timeout=30)
    assert (running.returncode, out) == (130, "")
    assert err == (
        "Stopped. The book is whole: what this command posts is posted as a whole or not at all.\n"
    )
    with Book(book.path, book.today) as again:
        assert again.rows(SettingValue, name="kerf") == []


def test_ctrl_c_while_the_program_is_still_starting_ends_it_without_a_word():
    interrupted = (
        "import sys\n"
        "class Key:\n"
        "    def find_spec(self, name, *_):\n"
        "        if name == 'typer': raise KeyboardInterrupt\n"
        "sys.meta_path.insert(0, Key())\n"
        "from ledger.cli import main\n"
    )
    done = subprocess.run([sys.executable, "-c", interrupted], capture_output=True, check=False)
    assert (done.returncode, done.stdout, done.stderr) == (130, b"", b"")


@pytest.mark.parametrize("encoding", ["ascii", "utf-8"])
def test_bytes_that_are_no_text_are_refused_in_a_sentence(environment, encoding):
    words = [b"shop", b"set", b"address=\xff\xfe"] if encoding == "ascii" else [
        b"material", b"show", b"\xff"]  # fmt: skip
    said = typed(environment, *words, PYTHONIOENCODING=encoding)
    assert said.returncode == 1
    assert said.stdout == b""
    assert b"Traceback" not in said.stderr
    assert said.stderr.decode(encoding).count("\n") == 1


def test_an_ascii_locale_gets_ascii(environment):
    poor = {"LC_ALL": "C", "PYTHONCOERCECLOCALE": "0", "PYTHONUTF8": "0"}
    assert typed(environment, "shop", "set", "address=24 × 36 “birch”", **poor).returncode == 0
    said = typed(environment, "shop", "show", "address", **poor)
    assert b'24 x 36 "birch"' in said.stdout
    facts = typed(environment, "shop", "show", "address", "--json", **poor)
    assert json.loads(facts.stdout)["address"] == "24 × 36 “birch”"


def test_a_dumb_terminal_gets_plain_text_and_a_good_one_color(at_a_terminal):
    code, shown = at_a_terminal("check", TERM="dumb")
    assert code == 0
    assert b"\x1b" not in shown
    assert shown.rstrip().endswith(b"ok")
    code, shown = at_a_terminal("check", TERM="xterm-256color")
    assert code == 0
    assert b"\x1b[1m" in shown


def test_new_asks_at_a_terminal(at_a_terminal, book, tmp_path):
    path = tmp_path / "guided.sqlite"
    keys = b"Quillhaven Workshop\nEUR\nmm\n22000\n56000\nvat\n"
    code, shown = at_a_terminal("new", str(path), keys=keys, TERM="dumb")
    assert code == 0
    assert b"Name of the workshop" in shown
    with Book(path, book.today) as made:
        assert (made.currency.code, made.units) == ("EUR", "mm")
        assert made.settings.tax_standing == "vat"
