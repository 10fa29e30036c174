"""The direction of imports and the one-door rules, as pyproject.toml writes them down."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PURE_DESIGNS = [
    path.stem
    for path in sorted((ROOT / "ledger/designs").glob("*.py"))
    if path.stem not in {"__init__", "store"}
]
HOUSE = {  # every module that a contract names, with what only it may import
    "__init__": "",
    "errors": "",
    "measures/__init__": "import pint",
    "book/__init__": "import sqlite3, sqlalchemy, sqlmodel",
    "designs/__init__": "",
    **{f"designs/{name}": "" for name in PURE_DESIGNS},
    "designs/store": "import ledger.book",
    "cutting/__init__": "import packingsolver",
    "stock/__init__": "import ledger.book",
    "sponsors/__init__": "",
    "labor/__init__": "",
    "costing/__init__": "",
    "jobs/__init__": "",
    "quotes/__init__": "",
    "reports/__init__": "",
    "upkeep/__init__": "",
    "workbooks/__init__": "import openpyxl",
    "verbs/__init__": "",
    "papers/__init__": "import segno, typst",
    "pages/__init__": "import icalendar, jinja2, segno, starlette, uvicorn",
    "cli/__init__": "import rich, typer",
}


def lint_imports(tree):
    """Hold the imports of the package in a folder against the project's contracts."""
    code = "from importlinter.cli import lint_imports_command as lint; lint()"
    return subprocess.run(
        [sys.executable, "-c", code, "--no-cache", "--no-logo", str(ROOT / "pyproject.toml")],
        cwd=tree,
        env={**os.environ, "COLUMNS": "100"},
        capture_output=True,
        text=True,
        check=False,
    )


def test_imports_go_downward_and_through_the_one_door():
    result = lint_imports(ROOT)

    assert result.returncode == 0, result.stdout + result.stderr


@pytest.mark.parametrize(
    ("path", "line", "broken"),
    [
        ("ledger/stock/lots.py", "import ledger.jobs", "Each floor rests only"),
        ("ledger/stock/lots.py", "import ledger.labor", "Each floor rests only"),
        ("ledger/verbs/hours.py", "import ledger.cli", "Each floor rests only"),
        ("ledger/attic/lots.py", "", "Each floor rests only"),
        ("ledger/cutting/solve.py", "import ledger.book", "Cutting and measures are arithmetic"),
        ("ledger/stock/lots.py", "import sqlite3", "Only the book speaks SQL"),
        ("ledger/reports/month.py", "import openpyxl", "Only workbooks speaks openpyxl"),
        ("ledger/workbooks/paper.py", "import typst", "Only papers lays out PDF"),
        ("ledger/reports/month.py", "def show():\n    import rich", "Only cli speaks"),
        ("ledger/stock/lots.py", "import pint", "Only measures asks pint"),
        ("ledger/jobs/job.py", "import packingsolver", "Only cutting calls"),
        ("ledger/designs/build.py", "import ledger.book", "In designs only the store"),
    ],
)
def test_an_import_through_another_door_is_found(tmp_path, path, line, broken):
    write(tmp_path, path, line)

    result = lint_imports(tmp_path)

    assert result.returncode == 1
    assert re.search(rf"{broken}.*BROKEN", result.stdout), result.stdout + result.stderr


def test_a_house_that_keeps_to_its_doors_passes(tmp_path):
    write(tmp_path, "ledger/stock/lots.py", "import ledger.designs, ledger.measures")

    result = lint_imports(tmp_path)

    assert result.returncode == 0, result.stdout + result.stderr


def write(tree, path, line):
    """Make a house of nearly empty rooms in which one more module says one line."""
    for name, text in {**HOUSE, path.removeprefix("ledger/").removesuffix(".py"): line}.items():
        module = tree / f"ledger/{name}.py"
        module.parent.mkdir(parents=True, exist_ok=True)
        module.parent.joinpath("__init__.py").touch()
        module.write_text(f"{text}\n", "utf-8")
