"""The frame of the command line: nouns, help, mistyped commands, any name in any terminal."""

import json
import re
from io import StringIO

import pytest
from typer.testing import CliRunner

from ledger import __version__
from ledger.cli import voice
from ledger.cli.main import app, load
from ledger.cli.nouns import NOUNS


def leaves():
    """Every command as its words and the command itself."""
    for noun in NOUNS:
        command = load(noun)
        verbs = getattr(command, "commands", {"": command})
        yield from (((noun, verb) if verb else (noun,), found) for verb, found in verbs.items())


def typed(tmp_path, *words, columns="80", charset="utf-8", keys=None):
    environment = {"BENCHLEDGER_BOOK": str(tmp_path / "shop.sqlite"), "COLUMNS": columns}
    environment |= {"BENCHLEDGER_TODAY": "2025-04-25", "NO_COLOR": "1"}
    runner = CliRunner(charset=charset)
    return runner.invoke(app, words, input=keys, env=environment, catch_exceptions=False)


@pytest.mark.parametrize("noun", NOUNS)
def test_every_noun_loads_and_has_help(shop, noun):
    said = shop(noun, "--help")
    assert said.code == 0
    assert said.out.startswith("Usage: ")
    assert len(said.out.splitlines()) > 5


def test_every_command_has_help_with_a_real_example():
    lacking = [" ".join(words) for words, found in leaves() if "Example:" not in (found.help or "")]
    assert lacking == []


def test_every_example_is_a_command_line_of_its_own_command():
    for words, found in leaves():
        example = re.search(r"Example: (benchledger .+)", found.help or "")
        assert example, words
        assert example[1].split()[1 : 1 + len(words)] == list(words)


def test_help_lists_every_noun_with_its_line(shop):
    said = shop("--help")
    assert said.code == 0
    for noun, (_, words) in NOUNS.items():
        assert re.search(rf"^  {noun} +{re.escape(words[:30])}", said.out, re.MULTILINE)


def test_no_words_at_all_show_the_help_and_count_as_mistyped(shop):
    said = shop()
    assert said.code == 2
    assert said.err.strip() == shop("--help").out.strip()


def test_the_version_is_said(shop):
    assert shop("--version").out == f"Bench Ledger {__version__}\n"


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["materiel", "list"], "No such command 'materiel'. Did you mean 'material'?"),
        (["shop", "sow"], "No such command 'sow'. Did you mean 'show'?"),
        (["undo", "--wy", "x"], "No such option: --wy"),
        (["shop", "set"], "Missing argument"),
        (["backup"], "Name the copy's FILE, or --to FOLDER, or --encrypt."),
        (["material", "price", "A"], "Missing argument"),
        (["\U0001fab5"], "No such command '\U0001fab5'."),
        ([""], "No such command ''."),
    ],
)
def test_a_mistyped_command_ends_with_2_and_says_what_would_be_right(shop, words, sentence):
    said = shop(*words)
    assert (said.code, said.out) == (2, "")
    assert sentence in said.err
    assert "Try 'benchledger" in said.err.replace("root ", "benchledger ") or "Usage" in said.err


def test_a_day_that_is_none_is_refused_in_a_sentence(shop):
    said = shop("shop", "show", on="yesterday")
    assert said.code == 1
    assert said.err == "BENCHLEDGER_TODAY is “yesterday”; it should be a day like 2025-05-06.\n"


# --- any name, in any terminal -------------------------------------------------------------

HOSTILE = {
    "quotes": "a 'b' \"c\" `d` \\e",
    "emoji": "bed \U0001f6cf️ \U0001fab5",
    "right to left": "ארון ספרים خزانة",
    "turned around": "‮gnp.exe⁦",
    "long": "x" * 10_000,
    "control": "a\x07b\x1b[31mred\x1b[0m\x9b2J\x7f",
    "markup": "side [left] [bold red]x[/] [/] \\[link=x]",
    "formula": "=cmd()",
    "emoji code": ":smile:",
    "new lines": "one\ntwo\r\nthree\ttab",
    "nothing": "​ ",
    "template": "{x} %s %(x)s $HOME ${x}",
}


@pytest.fixture
def hostile_book(tmp_path, monkeypatch):
    """A book of old: it may hold any sign, as what is typed now may not."""
    monkeypatch.setattr("ledger.book.typed.unseen", lambda text: "")
    assert typed(tmp_path, "new", "--shop", "Quillhaven Workshop").exit_code == 0
    return tmp_path


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
@pytest.mark.parametrize("columns", ["80", "200"])
def test_any_text_is_kept_as_it_is_and_shown_without_harm(hostile_book, text, columns):
    said = typed(hostile_book, "shop", "set", f"address={text}", columns=columns)
    assert said.exit_code == 0
    kept = json.loads(typed(hostile_book, "shop", "show", "address", "--json").stdout)
    assert kept["address"] == text.strip()
    for words in (["shop", "show", "address"], ["undo", "--list"], ["undo"]):
        said = typed(hostile_book, *words, columns=columns)
        assert said.exit_code == 0
        assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f-\x9f‪-‮⁦-⁩]", said.stdout)
        assert all(len(line) <= int(columns) for line in said.stdout.splitlines())
    if text.isascii() and text.isprintable() and len(text) < 50:
        typed(hostile_book, "shop", "set", f"address={text}")
        assert text in typed(hostile_book, "shop", "show", "address", columns="200").stdout


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_any_text_that_is_not_found_is_refused_in_a_sentence(hostile_book, text):
    for words in (["material", "show", text], ["shop", "set", f"{text}=1"]):
        said = typed(hostile_book, *words)
        assert said.exit_code in (1, 2)
        assert said.stdout == ""
        assert said.stderr
        assert "\x1b" not in said.stderr


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
@pytest.mark.parametrize("charset", ["ascii", "cp1252"])
def test_a_terminal_that_knows_few_letters_gets_the_ones_it_knows(hostile_book, text, charset):
    assert typed(hostile_book, "shop", "set", f"address={text}").exit_code == 0
    for words in (["shop", "show"], ["undo", "--list"]):
        said = typed(hostile_book, *words, charset=charset)
        assert said.exit_code == 0
        said.stdout_bytes.decode(charset)
    facts = typed(hostile_book, "shop", "show", "address", "--json", charset=charset)
    assert json.loads(facts.stdout)["address"] == text.strip()


def test_signs_that_ascii_lacks_are_spelled(hostile_book):
    typed(hostile_book, "shop", "set", "address=24 × 36 – “birch” ½ → …")
    said = typed(hostile_book, "shop", "show", "address", charset="ascii")
    assert '24 x 36 - "birch" 1/2 -> ...' in said.stdout


def test_a_refusal_reaches_a_terminal_of_few_letters(hostile_book):
    said = typed(hostile_book, "material", "show", "ארון", charset="ascii")
    assert said.exit_code == 1
    assert 'No material is called "????".' in said.stderr


@pytest.mark.parametrize("columns", ["40", "80", "200"])
def test_a_table_keeps_to_the_width_and_loses_nothing(monkeypatch, capsys, columns):
    monkeypatch.setenv("COLUMNS", columns)
    words = "a birch bookcase with five shelves and a plinth"
    voice.table(["what", ">sum"], [[words, "1,234.50"]], footer=["all", "1,234.50"])
    out = capsys.readouterr().out
    assert all(len(line) <= int(columns) for line in out.splitlines())
    assert "".join(words.split()) in "".join(out.split()).replace("1,234.50", "")
    assert out.count("1,234.50") == 2


def test_a_heading_marked_for_figures_stands_at_the_right_and_a_name_as_it_is(monkeypatch, capsys):
    monkeypatch.setenv("COLUMNS", "80")
    voice.table(["<>name", ">sum"], [["glue", "1.50"], ["screws", "22.00"]])
    assert capsys.readouterr().out.splitlines() == [
        ">name     sum", "glue     1.50", "screws  22.00"
    ]  # fmt: skip


@pytest.mark.parametrize("share", [-1, 0, 0.5, 1, 7])
def test_a_bar_never_leaves_its_width(share):
    assert len(voice.bar(share, 20)) <= 20


@pytest.mark.parametrize(("columns", "most"), [("0", 80), ("20", 40), ("abc", 80)])
def test_nothing_is_left_out_where_the_width_is_odd(shop, monkeypatch, columns, most):
    assert shop("new", "--shop", "Quillhaven Workshop").code == 0
    assert shop("job", "new", "Marrow fold-down bed", "--number", "J-2507").code == 0
    ran = CliRunner().invoke(app, ["job", "list"], env={"COLUMNS": columns, "BENCHLEDGER_TODAY":
                             "2025-04-25", "BENCHLEDGER_BOOK": "shop.sqlite"})  # fmt: skip
    assert ran.exit_code == 0
    assert {"J-2507", "Marrow", "fold-down", "bed", "open"} <= set(ran.stdout.split())
    assert all(len(line) <= most for line in ran.stdout.splitlines())


def test_only_the_word_note_is_colored_not_what_it_says(monkeypatch):
    terminal = StringIO()
    monkeypatch.setattr(terminal, "isatty", lambda: True)
    monkeypatch.setattr("sys.stderr", terminal)
    for name, value in {"TERM": "xterm-256color", "COLUMNS": "80"}.items():
        monkeypatch.setenv(name, value)
    for name in ("NO_COLOR", "FORCE_COLOR"):
        monkeypatch.delenv(name, raising=False)
    voice.warn("the price of PLY34 is old")
    assert terminal.getvalue() == "\x1b[33mNote:\x1b[0m the price of PLY34 is old\n"
