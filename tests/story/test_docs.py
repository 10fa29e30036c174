"""The README names what there is: every noun and verb, and pictures that exist."""

import re
from pathlib import Path

import pytest

from ledger.cli.main import load
from ledger.cli.nouns import NOUNS

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("noun", NOUNS)
def test_the_readme_names_every_command(noun: str) -> None:
    row = next((line for line in README.splitlines() if line.startswith(f"| `{noun}` |")), "")
    assert NOUNS[noun][1] in row
    command = load(noun)
    for verb in getattr(command, "commands", {}):
        assert f"`{verb}`" in row, f"the README's row of {noun} lacks {verb}"


def test_the_readme_names_no_command_that_is_gone() -> None:
    rows = re.findall(r"^\| `([a-z-]+)` \| [^|]* \|([^|]*)\|$", README, re.MULTILINE)
    assert [noun for noun, _ in rows] == list(NOUNS)
    for noun, verbs in rows:
        there = getattr(load(noun), "commands", {})
        named = [verb.strip("` ") for verb in verbs.split("·") if verb.strip()]
        assert named == list(there), f"the README's row of {noun} should name its verbs in order"


def test_every_picture_and_page_that_is_linked_exists() -> None:
    for page in (ROOT / "README.md", *(ROOT / "docs").glob("*.md")):
        for target in re.findall(r"\]\(([^)#:]+)\)", page.read_text(encoding="utf-8")):
            assert (page.parent / target).exists(), f"{page.name}: {target}"
