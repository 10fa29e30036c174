"""The solver is loaded only to solve, and only in the release whose layouts are stored."""

import subprocess
import sys
from importlib.metadata import version

import packingsolver
import pytest

from ledger.cutting.engine import SOLVER_VERSION, Blank, Effort, EqualParts, _solver, pack
from ledger.errors import NotAllowed


def test_the_release_that_is_named_is_the_one_installed() -> None:
    assert f"packingsolver {version('packingsolver')}" == SOLVER_VERSION


def test_reading_stored_layouts_does_not_load_the_solver() -> None:
    asks = (
        "import sys, ledger.cutting, ledger.cutting.record; print('packingsolver' in sys.modules)"
    )
    ran = subprocess.run([sys.executable, "-c", asks], capture_output=True, text=True, check=True)

    assert ran.stdout == "False\n"


def test_another_release_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(packingsolver, "__version__", "9.9")
    _solver.cache_clear()

    with pytest.raises(
        NotAllowed, match=r"takes packingsolver .*; installed is packingsolver 9\.9"
    ):
        pack([EqualParts(2, 1, False, 1)], [Blank(4, 4, 1)], Effort("tree", 8))


@pytest.mark.parametrize("first", ["any", "rip", "crosscut"])
@pytest.mark.parametrize("method", ["tree", "columns"])
def test_each_way_of_searching_lays_every_part(method: str, first: str) -> None:
    kinds = [EqualParts(6, 3, False, 5), EqualParts(4, 4, True, 3)]
    found = pack(kinds, [Blank(10, 8, 9)], Effort(method, 8, first))  # type: ignore[arg-type]

    assert sum(len(pattern.parts) for pattern in found.patterns) == 8
    assert len(found.patterns) >= found.bound >= 2
