"""Which orders hold a version of a plan with a fault that a later version names."""

from collections.abc import Iterator
from datetime import date

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.designs import DesignVersion
from ledger.book.tables.income import Income, PlanSale
from ledger.designs.build import build
from ledger.designs.built import BuiltCorrection
from ledger.designs.expanding import read_values
from ledger.designs.model import Design
from ledger.designs.store import design_of, find_version, versions
from ledger.errors import LedgerError
from ledger.measures.values import replace


class FaultyCopy(Struct, frozen=True):
    """An order whose plan has faults; where its sizes are not known, any correction may be of it.

    `sizes` are as they were noted, empty where they were not.
    """

    order: str
    day: date
    version: int
    sizes: str
    corrections: tuple[BuiltCorrection, ...]


class Errata(Struct, frozen=True):
    """The corrections in the newest version of a design, and the orders that need them."""

    row: DesignVersion
    design: Design
    corrections: tuple[BuiltCorrection, ...]
    copies: tuple[FaultyCopy, ...]
    sold: int
    """How many orders are noted in all."""


def errata_of(book: Book, name: str) -> Errata:
    """The corrections of a design's newest version and the orders with a version at fault."""
    row = find_version(book, name)
    design = design_of(row)
    numbers = {version.key: version.version for version in versions(book, row.name)}
    sales = [sale for sale in book.rows(PlanSale) if sale.design_version in numbers]
    days = {income.key: income.day for income in book.rows(Income)} if sales else {}
    copies = (
        FaultyCopy(
            sale.reference,
            days[sale.income],
            numbers[sale.design_version],
            sale.sizes,
            tuple(_touching(design, sale, numbers[sale.design_version], book.units)),
        )
        for sale in sales
    )
    return Errata(
        row=row,
        design=design,
        corrections=build(design, {}, book.units).guide.corrections,
        copies=tuple(copy for copy in copies if copy.corrections),
        sold=len(sales),
    )


def _touching(
    design: Design, sale: PlanSale, version: int, units: str
) -> Iterator[BuiltCorrection]:
    """The corrections that a copy needs.

    Sizes that were not noted, or that the newest version no longer takes, exclude nothing.
    """
    is_known = bool(sale.sizes)
    try:
        values = read_values(sale.sizes)
        lines = build(design, values, units).guide.corrections
    except LedgerError:
        is_known, lines = False, build(design, {}, units).guide.corrections
    for line in lines:
        if version in line.versions and (line.touches or not is_known):
            yield replace(line, touches=True)
