"""What comes with the program: starter designs, sub-assemblies and a starting price list.

Each is a folder of CSV files in the columns of any other design. Their materials are words (`ply`,
`hinge`) that a book fills in with codes of its own (`ledger.designs.words`).
"""

from dataclasses import replace
from functools import cache
from importlib import resources
from pathlib import Path

import ledger
from ledger.book import Book
from ledger.designs.expanding import in_millimeters
from ledger.designs.model import Design
from ledger.errors import NotAllowed, NotFound
from ledger.measures.custom import POINT
from ledger.stock.materials import MaterialRow
from ledger.workbooks.readers.design import read_design
from ledger.workbooks.readers.materials import read_materials

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


def starting_materials(book: Book) -> tuple[MaterialRow, ...]:
    """The starting price list of a book's units: level 2025, invented, to be checked.

    Raises:
        NotAllowed: its prices are of another currency than the book.

    """
    listed = {"inch": "USD", "mm": "EUR"}[book.units]
    if book.currency.code != listed:
        raise NotAllowed(
            f"The starting prices of a book in {book.units} are in {listed}, and this book is in"
            f" {book.currency.code}. Load a list of your own: benchledger material load FILE"
        )
    path = Path(str(resources.files("ledger.stock") / f"starting_{book.units}.csv"))
    written = replace(book.currency, decimal_mark=POINT)
    return read_materials(path, written, book.units, book.dates)
