"""Every noun and verb of the program, walked: help, examples, JSON, refusals, hostile words."""

import json
import re
import shlex

import pytest

from ledger.cli.main import load
from ledger.cli.nouns import NOUNS

ANSWERS = "it posts an entry and answers with a sentence"
ITSELF = "what it prints is the document itself"
WITHOUT_JSON = {
    "new": ANSWERS, "shop set": ANSWERS, "shop load": ANSWERS, "shop template": "it writes a file",
    "material template": "it writes a file", "job template": "it writes a file",
    "stock template": "it writes a file", "shop ask": ANSWERS,
    "material load": ANSWERS, "material price": ANSWERS,
    "receipt load": ANSWERS, "receipt add": ANSWERS, "receipt reverse": ANSWERS,
    "receipt template": "it writes a file",
    "stock issue": ANSWERS, "stock return": ANSWERS, "stock scrap": ANSWERS,
    "stock send-back": ANSWERS, "stock own-use": ANSWERS, "stock count": ANSWERS,
    "stock open": ANSWERS, "stock keep": ANSWERS,
    "design template": "it writes a file", "design load": ANSWERS,
    "design plan": "it writes a file",
    "job new": ANSWERS, "job set": ANSWERS, "job load": ANSWERS, "job answer": ANSWERS,
    "job add-cost": ANSWERS, "job count": ANSWERS, "job line": ANSWERS, "job copy": ANSWERS,
    "job reopen": ANSWERS, "job redact": ANSWERS,
    "job income": ANSWERS, "job spoiled": ANSWERS, "job pack": "it writes a file",
    "quote text": ITSELF, "quote send": ANSWERS, "quote accept": ANSWERS, "quote decline": ANSWERS,
    "quote variants": "it writes a file", "kit add": ANSWERS,
    "clock on": ANSWERS, "clock off": ANSWERS,
    "hours load": ANSWERS, "hours template": "it writes a file",
    "standards load": ANSWERS, "standards set": ANSWERS, "standards mark": ANSWERS,
    "standards add": ANSWERS,
    "sponsor add": ANSWERS, "sponsor agree": ANSWERS, "sponsor receive": ANSWERS,
    "sponsor return": ANSWERS, "sponsor damage": ANSWERS, "sponsor tool": ANSWERS,
    "sponsor publish": ANSWERS, "sponsor disclose": ANSWERS, "sponsor build": ANSWERS,
    "sponsor note": ANSWERS,
    "backup": "it writes a file", "restore": "it puts a file in place",
}  # fmt: skip
"""Commands that do not print facts, each with the reason."""


@pytest.fixture(scope="module")
def commands():
    """Every command of the program by its words."""
    found = {}
    for noun in NOUNS:
        command = load(noun)
        for verb, one in getattr(command, "commands", {"": command}).items():
            found[f"{noun} {verb}".strip()] = one
    return found


def example(command):
    """The words of a command's example after `benchledger`, what a shell does with them done."""
    found = re.search(r"Example: benchledger ((?:.+\n?)+)", command.help)
    words = shlex.split(found[1])
    return words[: words.index(">")] if ">" in words else words


def options(command):
    return {name for one in command.params for name in one.opts if name.startswith("--")}


def required(command):
    return [one for one in command.params if one.required and not one.opts[0].startswith("-")]


def is_a_refusal(said):
    """Whether a refusal is a sentence on stderr, with nothing on stdout."""
    assert (said.code, said.out) == (1, "")
    assert said.err.strip()
    assert "Traceback" not in said.err
    assert not re.search(r"\b(None|object at|Errno|Error\()", said.err)
    assert re.search(r"\w \w.*[\w.?:)”\"]$", said.err.strip(), re.DOTALL)
    return True


# --- what the help says --------------------------------------------------------------------


def test_every_command_opens_its_help_with_a_sentence(commands, subtests):
    for words, command in commands.items():
        with subtests.test(words):
            first = " ".join(command.help.split("\n\n")[0].split())
            assert re.fullmatch(r"[A-Z][^\n]+\.", first)
            assert "Example" not in first


def test_every_example_is_a_command_line_that_the_command_takes(commands, subtests):
    for words, command in commands.items():
        with subtests.test(words):
            said = example(command)
            assert said[: len(words.split())] == words.split()
            with command.make_context(words, said[len(words.split()) :]) as context:
                assert not context.args


def test_an_example_with_an_option_that_is_none_would_be_found(commands):
    with pytest.raises(Exception, match="No such option"):
        commands["price"].make_context("price", ["bed", "--explian", "PLY34"])


def test_every_help_keeps_to_80_columns_and_says_what_every_option_is_for(commands, shop, subtests):
    for words, command in commands.items():
        with subtests.test(words):
            said = shop(*words.split(), "--help")
            assert (said.code, said.err) == (0, "")
            assert re.match(rf"Usage: \S+ {words} ", said.out)
            assert all(len(line) <= 80 for line in said.out.splitlines())
            for one in command.params:
                assert getattr(one, "help", None) or one.metavar, one.name


def test_every_command_that_prints_facts_prints_them_as_json_too(commands):
    lacking = {words for words, command in commands.items() if "--json" not in options(command)}
    told = "give them --json, or say in WITHOUT_JSON why they print no facts"
    assert lacking == set(WITHOUT_JSON) & set(commands), told


def test_no_exception_is_kept_for_a_command_that_is_gone(commands):
    assert set(WITHOUT_JSON) <= set(commands)


# --- what a wrong line gets ----------------------------------------------------------------


def test_a_mistyped_option_ends_every_command_with_2(commands, shop, subtests):
    for words in commands:
        with subtests.test(words):
            said = shop(*words.split(), "--no-such-option")
            assert (said.code, said.out) == (2, "")
            assert "No such option: --no-such-option" in said.err


def test_a_missing_argument_ends_every_command_that_needs_one_with_2(commands, shop, subtests):
    for words, command in commands.items():
        if required(command):
            with subtests.test(words):
                said = shop(*words.split())
                assert (said.code, said.out) == (2, "")


def test_without_a_book_every_command_is_refused_in_a_sentence(commands, shop, tmp_path, subtests):
    for words, command in commands.items():
        if words != "new":
            with subtests.test(words):
                assert is_a_refusal(shop(*example(command)))
                assert list(tmp_path.iterdir()) == []


def test_the_example_of_new_makes_a_book(commands, shop, tmp_path):
    assert shop(*example(commands["new"])).code == 0
    assert (tmp_path / "shop.sqlite").exists()


def test_on_an_empty_book_every_example_answers_or_is_refused_in_a_sentence(
    commands, shop, subtests
):
    assert shop("new", "--shop", "Quillhaven Workshop").code == 0
    for words, command in commands.items():
        with subtests.test(words):
            said = shop(*example(command))
            assert said.code == 0 or is_a_refusal(said)


def test_on_an_empty_book_facts_are_json_or_a_refusal(commands, shop, subtests):
    assert shop("new", "--shop", "Quillhaven Workshop").code == 0
    for words, command in commands.items():
        if "--json" in options(command):
            with subtests.test(words):
                said = shop(*example(command), "--json")
                if said.code == 0:
                    json.loads(said.out)
                else:
                    assert is_a_refusal(said)


HOSTILE = {
    "nothing": "",
    "emoji": "\U0001f6cf\ufe0f \U0001fab5",
    "right to left": "\u05d0\u05e8\u05d5\u05df \u202egnp",
    "control": "a\x07b\x1b[31m\x9b2J\x7f",
    "markup": "side [left] [bold red]x[/] [/] %s {x}",
    "long": "9" * 10_000,
    "formula": "=cmd()",
    "path": "../../../../no/such/place",
    "not a number": "NaN",
    "huge": "1e999999",
    "half a letter": "\udc80",
}


TURNS = len(HOSTILE)
"""How many tests the hostile words are dealt to, so that each place meets another word in each."""


def dealt(places, turn):
    """Every place with one of the hostile words; the next turn deals the next word."""
    words = list(HOSTILE.values())
    return [(place, words[(number + turn) % TURNS]) for number, place in enumerate(places)]


SERVES = "serve"
"""It serves until it is stopped where no option says otherwise, and has no argument."""


def stands(said):
    """Whether a command kept its ground: no traceback, nothing a terminal would obey."""
    assert said.code in (0, 1, 2)
    assert "Traceback" not in said.err
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]", said.out + said.err)
    return True


@pytest.mark.parametrize("turn", range(4))
def test_no_word_in_place_of_an_argument_breaks_a_command(commands, shop, subtests, turn):
    assert shop("new", "--shop", "Quillhaven Workshop").code == 0
    assert shop("job", "new", "Marrow fold-down bed", "--number", "J-2507").code == 0
    for (words, command), text in dealt(commands.items(), turn * 3):
        if words == SERVES:
            continue
        with subtests.test(words, text=text[:20]):
            said = shop(*words.split(), *hostile_line(command, text))
            assert stands(said)
            assert not (said.code and said.out)


def hostile_line(command, text):
    """A text in place of every argument, and of every option that is needed."""
    line = ["--shop", text] if "--shop" in options(command) else []
    for one in command.params:
        if one.required and one.opts[0].startswith("-"):
            line += [one.opts[0], text]
        elif not one.opts[0].startswith("-") and (text or one.required):
            line += [text] * (2 if one.nargs == -1 else 1)
    return line


def test_no_word_in_place_of_an_options_value_breaks_a_command(commands, shop, subtests):
    assert shop("new", "--shop", "Quillhaven Workshop").code == 0
    places = [
        (words, command, one.opts[0])
        for words, command in commands.items()
        for one in command.params
        if one.opts[0].startswith("--") and not getattr(one, "is_flag", False)
    ]
    for (words, command, option), text in dealt(places, 0):
        with subtests.test(f"{words} {option}", text=text[:20]):
            assert stands(shop(*example(command), option, text))


@pytest.mark.parametrize("noun", NOUNS)
def test_the_list_of_a_nouns_verbs_tells_each_whole(shop, noun):
    said = shop(noun, "--help").out
    assert not re.search(r"\.\.\.$", said.partition("Commands:")[2], re.MULTILINE)
