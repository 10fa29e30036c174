"""Opening the measures room is cheap."""

import pkgutil
import subprocess
import sys

import pytest

import ledger.measures

MODULES = [module.name for module in pkgutil.iter_modules(ledger.measures.__path__)]


@pytest.mark.parametrize("heavy", ["pint", "babel", "numpy"])
def test_no_module_of_the_room_imports_anything_heavy(heavy):
    program = "; ".join(
        ["import sys"]
        + [f"import ledger.measures.{module}" for module in MODULES]
        + ["from ledger.measures.money import currency; currency('USD')"]
        + ["from ledger.measures.units import convert; convert(1, 'sheets', 'sheet')"]
        + [f"raise SystemExit({heavy!r} in sys.modules)"]
    )

    assert subprocess.run([sys.executable, "-c", program], check=False).returncode == 0
