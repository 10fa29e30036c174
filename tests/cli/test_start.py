"""A short command starts at once: what is not needed is not loaded."""

import json
import subprocess
import sys

import pytest

HEAVY = ("sqlmodel", "sqlalchemy", "openpyxl", "pint", "packingsolver", "rich", "babel")

SAY = """
import contextlib, io, json, sys
from ledger.cli.main import app, load
from ledger.cli.nouns import NOUNS
loaded = {}
for noun in ["", *NOUNS]:
    verbs = getattr(load(noun), "commands", {}) if noun else {}
    for verb in ["", *verbs]:
        said = io.StringIO()
        with contextlib.redirect_stdout(said):
            app([*filter(None, [noun, verb]), "--help"], standalone_mode=False)
        assert said.getvalue().startswith("Usage: "), said.getvalue()
        for module in list(sys.modules):
            loaded.setdefault(module, " ".join([*filter(None, [noun, verb]), "--help"]))
print(json.dumps(loaded))
"""


@pytest.fixture(scope="module")
def loaded():
    """Every module that some help loads, with the first help that does: all in one process."""
    done = subprocess.run([sys.executable, "-c", SAY], capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


@pytest.mark.parametrize("module", HEAVY)
def test_the_help_of_no_noun_and_no_command_loads_anything_heavy(loaded, module):
    assert loaded.get(module) is None


def test_what_a_noun_loads_would_be_seen(loaded):
    assert loaded["ledger.cli.standards"] == "standards --help"
