"""What comes with the program: starter designs, sub-assemblies and a starting price list.

Each is a folder of CSV files in the columns of any other design. Their materials are words (`ply`,
`hinge`) that a book fills in with codes of its own (`ledger.designs.words`).
"""

from importlib import resources
from pathlib import Path

from ledger.book import Book
from ledger.designs.expanding import in_millimeters
from ledger.designs.model import Design
from ledger.errors import NotAllowed
from ledger.measures.custom import POINT
from ledger.measures.values import replace
from ledger.stock.materials import MaterialRow
from ledger.workbooks.readers.design import STARTERS, shipped
from ledger.workbooks.readers.materials import read_materials


def starter(name: str, units: str) -> Design:
    """The starter design of that name, in round sizes of the book's units.

    Raises:
        NotFound: none is called so.

    """
    design = shipped(STARTERS, "starter design", name)
    return in_millimeters(design) if units == "mm" else design


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
