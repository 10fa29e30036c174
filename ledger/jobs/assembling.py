"""What a job is made of, worked out on today's prices: build, materials, prices, layouts."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from ledger.book import Book
from ledger.book.tables.designs import DesignVersion
from ledger.book.tables.ground import Job, Material
from ledger.cutting.sequence import CutCounts, count_cuts
from ledger.designs.build import build as work_out
from ledger.designs.built import Build
from ledger.designs.store import load_version
from ledger.errors import NotAllowed
from ledger.jobs.jobs import basis_of
from ledger.jobs.plans import MaterialLayout, Progress, plans, rack_for
from ledger.jobs.shop_rates import wood_of
from ledger.stock.materials import materials
from ledger.stock.offcuts import RackPiece
from ledger.stock.prices import CostPrice, current_prices


@dataclass(frozen=True, slots=True)
class Assembled:
    """What a job is made of, worked out: the build, its materials, prices and layouts."""

    version: DesignVersion
    build: Build
    materials: Mapping[str, Material]
    prices: Mapping[str, CostPrice]
    plans: Mapping[str, MaterialLayout]
    rack: Mapping[str, RackPiece]
    """The pieces of the rack that layouts may be cut from, by the label they carry there."""

    @property
    def cuts(self) -> CutCounts:
        """The cuts of all layouts together."""
        counts = (count_cuts(plan.problem, plan.layout) for plan in self.plans.values())
        return sum(counts, CutCounts())


def assemble(
    book: Book,
    job: Job,
    *,
    harder: bool = False,
    progress: Progress | None = None,
    without: Iterable[int] = (),
) -> Assembled:
    """Work out a job's design on today's prices and lay it out; lots `without` are not touched.

    Raises:
        NotAllowed: the job has no design, or a material it names is not in the price list.
    """
    basis = basis_of(book, job)
    version, design = load_version(book, basis.design)
    known = materials(book)
    missing = sorted(design.materials - known.keys())
    if missing:
        raise NotAllowed(
            f"The design “{design.name}” names {', '.join(missing)}, not in the price list."
            " Load a list that has them: benchledger material load FILE"
        )
    built = work_out(design, basis.parameters, book.units, wood_of(book))
    prices = current_prices(book)
    amounts = {code: price.amount for code, price in prices.items()}
    on_rack = {piece.label: piece for piece in rack_for(book, job, without)}
    laid = plans(
        book, built, known, amounts, rack=on_rack.values(), harder=harder, progress=progress
    )
    return Assembled(version, built, known, prices, laid, on_rack)
