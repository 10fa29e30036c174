"""Names, notes and reasons are refused where they hold signs that nobody can see."""

import json

import pytest

BELL, TURNED = "Oak\x07bed", "Oak \u202edeb"


@pytest.mark.parametrize("text", [BELL, TURNED, "\x1b[31mred", "a\x9bb", "a\u2066b"])
@pytest.mark.parametrize(
    "words",
    [
        ("job", "new", "{}"),
        ("job", "new", "Console", "--client", "{}"),
        ("receipt", "add", "PLY34", "1", "96", "--from", "{}"),
        ("hours", "add", "J-2507", "sand", "20m", "--note", "{}"),
        ("hours", "helper", "{}", "--cost", "26", "--billed", "42"),
        ("sponsor", "add", "{}"),
        ("shop", "set", "shop={}"),
    ],
    ids=lambda words: " ".join(words),
)
def test_a_name_with_a_sign_that_cannot_be_seen_is_refused(started, words, text):
    before = json.loads(started("undo", "--list", "--json").out)

    said = started(*(word.format(text) for word in words))

    assert said.code == 1
    assert "cannot be seen (U+" in said.err
    assert json.loads(started("undo", "--list", "--json").out) == before


def test_names_in_any_writing_are_taken(started):
    names = ["אָרוֹן ספרים", "خزانة", "Bücherregal", "本棚 🪵👩‍🔧", "Tab\tle"]
    for name in names:
        assert started("job", "new", name, "--client", name).code == 0
    told = {one["title"] for one in json.loads(started("job", "list", "--json").out)}
    assert set(names[:4]) <= told


def test_a_file_with_a_mark_that_turns_the_writing_is_refused(started, tmp_path):
    (tmp_path / "prices.csv").write_text(
        f"code,name,kind,unit\nM1,{TURNED},supply,each\n", encoding="utf-8"
    )
    said = started("material", "load", "prices.csv")
    assert said.code == 1
    assert "line 2, column name: This text holds a character that cannot be seen (U+202E)" in (
        " ".join(said.err.split())
    )
