"""What a job is made of, worked out on today's prices: build, materials, prices, layouts."""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from fractions import Fraction
from functools import cached_property

from msgspec import Struct

from ledger.book import Book
from ledger.book.tables.counts import JobLine
from ledger.book.tables.ground import Job, JobBasis
from ledger.book.tables.materials import Material
from ledger.costing.taken import Taken
from ledger.cutting.problem import Problem
from ledger.cutting.sequence import CutCounts, count_cuts
from ledger.designs.build import build as work_out
from ledger.designs.built import Build, BuiltCount
from ledger.designs.store import find_version, load_version
from ledger.errors import NotAllowed
from ledger.jobs.jobs import SHUT, basis_of, state_of
from ledger.jobs.lines import ADMIN, OFFICE, USE, WORK, is_work_order, lines_of
from ledger.jobs.pieces import in_pieces
from ledger.jobs.plans import MaterialLayout, Progress, plans, problems_of, rack_for
from ledger.jobs.shop_floor import wood_of
from ledger.labor.standards import standards
from ledger.measures.area import Area
from ledger.measures.values import replace
from ledger.stock.materials import materials
from ledger.stock.prices import CostPrice, current_prices
from ledger.stock.rack_pieces import RackPiece

WORK_ORDER = "work order"
AGREED = "agreed price"
"""What stands in place of a design's name: a job has typed lines, or nothing but its price."""

ORDERS = (WORK_ORDER, AGREED)


class Assembled(Struct, frozen=True, dict=True):
    """What a job is made of, worked out: the build, its materials, prices and layouts.

    `source` names the design's version, or says that it is a work order; `one` is a single piece of
    the `pieces` that the build is of, `uses` the material of typed lines.
    """

    source: str
    build: Build
    one: Build
    pieces: int
    uses: tuple[Taken, ...]
    materials: Mapping[str, Material]
    prices: Mapping[str, CostPrice]
    plans: Mapping[str, MaterialLayout]
    rack: Mapping[str, RackPiece]
    """The pieces of the rack that layouts may be cut from, by the label they carry there."""

    @property
    def amounts(self) -> dict[str, Decimal]:
        """What a stock unit of each material costs today."""
        return {code: price.amount for code, price in self.prices.items()}

    @cached_property
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
    at_any_price: bool = False,
) -> Assembled:
    """Work out a job's design on today's prices and lay it out; lots `without` are not touched.

    With `at_any_price` layouts that were kept at other prices do, where only sizes and quantities
    count. A work order has nothing to lay out: its lines say what it takes.

    Raises:
        NotAllowed: the job has neither design nor lines, or a material it names is not in the price
            list.
    """
    made = _not_laid(book, job)
    if made.source in ORDERS:
        return made
    on_rack = {piece.label: piece for piece in rack_for(book, job, without)}
    laid = plans(
        book, made.build, made.materials, made.amounts, rack=on_rack.values(), harder=harder,
        progress=progress, at_any_price=at_any_price,
    )  # fmt: skip
    return replace(made, plans=laid, rack=on_rack)


def problems_now(book: Book, job: Job) -> dict[str, Problem]:
    """What is to be laid out of a job as it stands now, by material; nothing is laid out for it.

    Raises:
        NotAllowed: as `assemble`.
    """
    made = _not_laid(book, job)
    return problems_of(book, made.build, made.materials, made.amounts, rack_for(book, job))


def built_of(book: Book, job: Job) -> Build:
    """What a job is built of, at a glance: nothing is laid out for it.

    Raises:
        NotAllowed: as `assemble`.
    """
    return _not_laid(book, job).build


def _not_laid(book: Book, job: Job) -> Assembled:
    """What a job is made of, before anything is laid out."""
    uses = tuple(_used(line) for line in lines_of(book, job, USE))
    if is_work_order(book, job):
        build = _without_design(book, job)
        known, prices = materials(book), current_prices(book)
        source = WORK_ORDER if lines_of(book, job) else AGREED
        return Assembled(source, build, build, 1, uses, known, prices, {}, {})
    basis = basis_of(book, job)
    version, design = load_version(book, basis.design)
    known = materials(book)
    missing = sorted(design.materials - known.keys())
    if missing:
        raise NotAllowed(
            f"The design “{design.name}” names {', '.join(missing)}, not in the price list."
            " Load a list that has them: benchledger material load FILE"
        )
    one = work_out(design, basis.parameters, book.units, wood_of(book))
    built = in_pieces(one, basis.pieces, book.settings.repeat)
    source = f"{version.name} version {version.version}"
    return Assembled(
        source, built, one, basis.pieces, uses, known, current_prices(book), {}, {}
    )  # fmt: skip


def newer_version_note(book: Book, job: Job) -> tuple[str, ...]:
    """A sentence where the job goes by another version of its design than the newest."""
    basis = book.last(JobBasis, job=job.key)
    if basis is None or state_of(book, job) in SHUT:
        return ()
    own, _ = load_version(book, basis.design)
    newest = find_version(book, own.name)
    if newest.version == own.version:
        return ()
    return (
        f"Priced by version {own.version}; version {newest.version} is in the book:"
        f' benchledger job set {job.number} --design "{own.name}"',
    )


def over_note(book: Book, job: Job, *, is_learned: bool) -> tuple[str, ...]:
    """A sentence where a job is over: its price is no longer asked of anybody.

    `is_learned` says that other jobs stand behind its hours.
    """
    state = state_of(book, job)
    if state not in SHUT:
        return ()
    learned = " and what other jobs taught" if is_learned else ""
    return (
        f"{job.number} is {state}: this is priced anew, with today's prices{learned}."
        f" What it brought: benchledger job show {job.number}",
    )


def _used(line: JobLine) -> Taken:
    """A typed line of material: what was typed is needed and charged, without allowance."""
    return Taken(line.name, line.quantity, line.quantity, line.words or "as typed")


def _without_design(book: Book, job: Job) -> Build:
    """A build of nothing but the counts that every work order has: the admin of a small job."""
    counts = {}
    lines, known = lines_of(book, job, WORK), standards(book)
    drivers = {known[line.name].driver for line in lines if line.name in known}
    if lines and not drivers & {ADMIN, OFFICE}:
        basis = "quote, order and invoice of a work order"
        counts[ADMIN] = BuiltCount(Fraction(1), "job", basis, True, False)
    return Build(
        name="", title=job.title, units=book.units, parameters={}, parts=(), joints=(), needs=(),
        counts=counts, finish=(), bands=(), finish_area=Area(0),
    )  # fmt: skip
