"""The starter designs and sub-assemblies that come with the program, read only when asked for.

Each is a folder of CSV files in the columns of any other design. Their materials are words (`ply`,
`hinge`) that a book fills in with codes of its own (`ledger.designs.words`).
"""

from functools import cache
from importlib import resources
from pathlib import Path

import ledger
from ledger.designs.metric import in_millimeters
from ledger.designs.model import Design
from ledger.errors import NotFound
from ledger.workbooks.readers.design import read_design

STARTERS, SUB_ASSEMBLIES = "starters", "sub_assemblies"


def names_of(kind: str) -> tuple[str, ...]:
    """The names of what comes with the program of a kind, in their order."""
    return tuple(sorted(path.name for path in _folder(kind).iterdir() if path.is_dir()))


def starter(name: str, units: str) -> Design:
    """The starter design of that name, in round sizes of the book's units.

    Raises:
        NotFound: none is called so.

    """
    design = _shipped(STARTERS, "starter design", name)
    return in_millimeters(design) if units == "mm" else design


def sub_assembly(name: str) -> tuple[Design, str]:
    """The sub-assembly of that name that comes with the program, and its version.

    Raises:
        NotFound: none is called so.

    """
    return _shipped(SUB_ASSEMBLIES, "sub-assembly", name), f"program {ledger.__version__}"


@cache
def _shipped(kind: str, what: str, name: str) -> Design:
    known = names_of(kind)
    sought = name.strip().casefold()
    if sought not in known:
        raise NotFound(what, name, known, are_all=True)
    return read_design(_folder(kind) / sought, "inch")


def _folder(kind: str) -> Path:
    return Path(str(resources.files("ledger.designs") / kind))
