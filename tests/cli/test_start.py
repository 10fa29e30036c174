"""A short command starts at once: what is not needed is not loaded."""

import json
import subprocess
import sys

import pytest

HEAVY = ("sqlmodel", "sqlalchemy", "pydantic", "openpyxl", "pint", "packingsolver", "rich", "babel")
LEAN = ("new", "shop", "material", "stock", "undo", "backup", "restore", "check", "export")

SAY = """
import importlib, json, sys
from ledger.cli.nouns import NOUNS
for noun in sys.argv[2:]:
    importlib.import_module(NOUNS[noun][0].split(":")[0])
from ledger.cli import main
sys.argv[1:] = ["--help"]
sys.stdout.flush()
try:
    main()
except SystemExit:
    pass
print(json.dumps(sorted(sys.modules)))
"""


@pytest.fixture(scope="module")
def loaded():
    """The modules that the help of the root and of the lean nouns loads."""
    done = subprocess.run(
        [sys.executable, "-c", SAY, "x", *LEAN], capture_output=True, text=True, check=True
    )
    return set(json.loads(done.stdout.splitlines()[-1]))


@pytest.mark.parametrize("module", HEAVY)
def test_help_loads_nothing_heavy(loaded, module):
    assert module not in loaded
