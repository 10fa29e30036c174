"""The README's first hour runs as it is written, and its pictures show what the program makes."""

import importlib
import json
import os
import sys
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).parents[2]


def script(name: str) -> ModuleType:
    """A module of the scripts beside the program."""
    if str(ROOT / "scripts") not in sys.path:
        sys.path.append(str(ROOT / "scripts"))
    return importlib.import_module(name)


story, pictures = script("readme_story"), script("pictures")


@pytest.mark.slow
def test_the_first_hour_runs_as_written_and_its_pictures_are_of_today(tmp_path: Path) -> None:
    commands = list(story.typed_commands((ROOT / "README.md").read_text(encoding="utf-8")))
    assert len(commands) > 10
    before = Path.cwd()
    try:
        for said in story.play(commands, tmp_path):
            place = f"README line {said.typed.line}: {said.typed.command}\n{said.all}"
            assert said.code == 0, place
            if said.typed.shown:
                lines = said.out.rstrip("\n").split("\n")
                assert story.matches(said.typed.shown, lines), place
    finally:
        os.chdir(before)
    kept = json.loads(pictures.SOURCES.read_text(encoding="utf-8"))
    made = pictures.digests(make(tmp_path) for make in pictures.PICTURES)
    assert made == kept, "A picture shows what is no longer so; make them anew: scripts/pictures"


def test_every_picture_that_the_readme_shows_is_made_by_the_script() -> None:
    shown = set(pictures.FOLDER.glob("*.png")) | set(pictures.FOLDER.glob("*.svg"))
    kept = json.loads(pictures.SOURCES.read_text(encoding="utf-8"))
    assert {file.name for file in shown} == set(kept)


def test_a_starter_piece_is_quoted_from_an_empty_book_in_at_most_fifteen_inputs() -> None:
    page = (ROOT / "README.md").read_text(encoding="utf-8")
    part = page.split("## A starter piece, from an empty book to a sent quote")[1].split("\n## ")[0]
    typed = [
        one.command for one in story.typed_commands(part) if one.command.startswith("benchledger")
    ]
    assert typed[0].startswith("benchledger new ")
    assert typed[-1].startswith("benchledger quote send ")
    assert len(typed) <= 15


def test_shown_lines_match_only_what_was_said() -> None:
    assert story.matches(["a", "…", "d"], ["a", "b", "c", "d"])
    assert not story.matches(["a", "d"], ["a", "b", "d"])
    assert not story.matches(["a", "…", "e"], ["a", "b", "d"])
