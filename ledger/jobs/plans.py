"""The layouts of a job: solved once, stored with what they answer, reused until that changes.

The plan on the wall stays as it is while parts, sheets, prices and saw stay as they are. Looking
harder keeps the better of the two plans, and the one on the wall where they are as good.
"""

import json
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import suppress
from decimal import Decimal

from msgspec import Struct

from ledger.book import Book
from ledger.book.questions.joint import Outgrown, shared_rack_lots
from ledger.book.questions.stock import still_out
from ledger.book.tables.designs import StoredLayout
from ledger.book.tables.ground import Job
from ledger.book.tables.materials import Material
from ledger.book.tables.stock import Lot
from ledger.costing.taken import piece_of, sheet_parts
from ledger.costing.woods import density_of
from ledger.cutting.check import check_layout
from ledger.cutting.engine import SOLVER_VERSION, solver_versions
from ledger.cutting.layout import SQUARE_FOOT, Layout
from ledger.cutting.problem import ALL_EDGES, METHOD, Problem, Stock
from ledger.cutting.record import layout_to_dict, layouts_from_dict
from ledger.cutting.solve import solve
from ledger.designs.built import Build, BuiltPart
from ledger.errors import NotAllowed
from ledger.jobs.shop_floor import shop_tools
from ledger.measures.values import replace
from ledger.stock.rack_pieces import RackPiece, rack

type Prices = Mapping[str, Decimal]
type Progress = Callable[[str], None]


class MaterialLayout(Struct, frozen=True):
    """What is to be cut of one material, and the layout that was found for it.

    `is_anew` says that the same parts were laid before, and that sheets, prices or saw, or the
    program's own way of laying, have changed since; `is_by_method` that only the latter did.
    """

    problem: Problem
    layout: Layout
    is_anew: bool = False
    is_by_method: bool = False


class _Known(Struct, frozen=True):
    """A stored layout, and how hard it was looked for."""

    layout: Layout
    effort: str


def plans(
    book: Book,
    build: Build,
    materials: Mapping[str, Material],
    prices: Prices,
    *,
    rack: Iterable[RackPiece] = (),
    harder: bool = False,
    progress: Progress | None = None,
    at_any_price: bool = False,
) -> dict[str, MaterialLayout]:
    """The layouts of a build, by material, in the order of the parts list.

    Only what is not stored yet is solved, and then stored, one entry for all, if the command is
    not refused. Pieces on the rack are taken where that costs less. With `at_any_price` a layout
    does that was stored when sheets had other prices: its sheets and sizes count, not its cost.

    Raises:
        NotAllowed: something would have to be solved, and `worked_out.kept_only` forbids it.
    """
    problems = problems_of(book, build, materials, prices, rack)
    known = {code: _stored(book, problem) for code, problem in problems.items()}
    if at_any_price:
        known |= {
            code: _at_other_prices(book, problems[code])
            for code, stored in known.items()
            if stored is None
        }
    effort = "harder" if harder else "default"
    if lacking := [code for code, stored in known.items() if stored is None]:
        _require_solving(book, ", ".join(lacking))
    fresh = {
        code: _solved(problems[code], stored, harder, progress)
        for code, stored in known.items()
        if stored is None or (harder and stored.effort != effort)
    }
    anew = {code for code in fresh if known[code] is None and _was_laid(book, problems[code])}
    if fresh:
        rows = [_row(problems[code], layout, effort) for code, layout in fresh.items()]
        book.worked_out.keep(f"{build.title}: {', '.join(fresh)}", rows)
    layouts = {code: stored.layout for code, stored in known.items() if stored} | fresh
    return {
        code: MaterialLayout(
            problem,
            layouts[code],
            is_anew=code in anew,
            is_by_method=code in anew and _was_laid_otherwise(book, problem),
        )
        for code, problem in problems.items()
    }


def problems_of(
    book: Book,
    build: Build,
    materials: Mapping[str, Material],
    prices: Prices,
    rack: Iterable[RackPiece] = (),
) -> dict[str, Problem]:
    """What is to be laid out of a build, by material, in the order of the parts list."""
    pieces = list(rack)
    return {
        code: _problem(book, code, parts, materials, prices, _on_rack(book, code, pieces))
        for code, parts in sheet_parts(build, materials).items()
    }


def kept_layout(book: Book, problem: Problem) -> Layout:
    """The stored answer to a problem, as of rough boards; else it is solved, and then stored."""
    stored = _stored(book, problem)
    if stored:
        return stored.layout
    _require_solving(book, problem.material)
    layout = solve(problem)
    book.worked_out.keep(problem.material, [_row(problem, layout, "default")])
    return layout


def _require_solving(book: Book, material: str) -> None:
    """Refuse to lay out now where only what is kept may be read."""
    if book.worked_out.kept_only:
        raise NotAllowed(
            f"{material}: not laid out as its job stands now."
            " Lay it out first: benchledger layout JOB"
        )


def rack_for(book: Book, job: Job, without: Iterable[int] = ()) -> list[RackPiece]:
    """The offcuts that a job may be laid on, by the number of their lots.

    Pieces it has taken already still count, and what it left over itself does not: so its plan
    stays the same while it is cut. The lots `without` are promised to others.
    """
    promised = set(without)
    own = {lot.key for lot in book.rows(Lot, job=job.key, source="offcut")}
    own |= shared_rack_lots(book, job.key)
    pieces = {
        piece.lot: piece
        for piece in rack(book)
        if piece.lot not in own and piece.lot not in promised
    }
    for out in still_out(book, job.key, book.today):
        lot = book.row(Lot, out.lot)
        if lot is not None and lot.source == "offcut" and (piece := RackPiece.of_lot(lot)):
            pieces[lot.key] = piece
    return [pieces[number] for number in sorted(pieces)]


def outgrown(book: Book, job: Job) -> Outgrown:
    """What says which materials' joint plan a job's parts outgrew; few jobs share sheets."""

    def materials() -> frozenset[str]:
        from ledger.jobs.joint_plans import outgrown_by

        return outgrown_by(book, job)

    return materials


def better_of(problem: Problem, known: Layout, candidate: Layout) -> Layout:
    """The better of two answers to one question, the known one where they are as good.

    It keeps the sharper bounds of both, so that what one of them proved stays proven.
    """
    best = candidate if _worth(problem, candidate) > _worth(problem, known) else known
    fewest = max(known.fewest_possible, candidate.fewest_possible)
    least_cost = max(known.least_cost, candidate.least_cost)
    return replace(
        best,
        fewest_possible=fewest,
        least_cost=least_cost,
        proven=len(best.sheets) == fewest and best.cost <= least_cost,
    )


def _worth(problem: Problem, layout: Layout) -> tuple[int, ...]:
    """What decides between plans: cost, sheets, cuts hard to hold, largest offcut, effort."""
    from ledger.cutting.hardship import hardship, together

    largest = layout.largest_leftover
    square_feet = largest.area // SQUARE_FOOT if largest else 0
    awkward, effort = together(hardship(problem, sheet) for sheet in layout.sheets).worth
    return -layout.cost, -len(layout.sheets), awkward, square_feet, effort


def _solved(
    problem: Problem, known: _Known | None, harder: bool, progress: Progress | None
) -> Layout:
    layout = solve(problem, harder=harder, progress=progress)
    return layout if known is None else better_of(problem, known.layout, layout)


def _problem(
    book: Book,
    code: str,
    parts: list[BuiltPart],
    materials: Mapping[str, Material],
    prices: Prices,
    rack: tuple[Stock, ...],
) -> Problem:
    return Problem(
        material=code,
        pieces=tuple(piece_of(part) for part in parts),
        stocks=(*rack, *_new_sheets(book, code, materials, prices)),
        kerf_nm=book.settings.kerf.nm,
        rip_first=book.settings.rip_first,
        tools=shop_tools(book),
        grams_per_m2=_grams_per_m2(materials.get(code)),
        usable_length_nm=book.settings.offcut_length.nm,
        usable_width_nm=book.settings.offcut_width.nm,
    )


def _grams_per_m2(material: Material | None) -> int:
    """The weight of a square meter of sheets; 0 where density or thickness is not known."""
    density = density_of(material) if material else None
    if material is None or density is None or material.thickness is None:
        return 0
    return int(density.value * material.thickness.nm / 1_000_000)


def _on_rack(book: Book, code: str, pieces: Iterable[RackPiece]) -> tuple[Stock, ...]:
    """The offcuts of the material, each once, at the value it carries.

    Only what still is a factory edge is trimmed; where nobody knows, none is.
    """
    return tuple(_rack_stock(piece, book.settings.trim.nm) for piece in pieces
                 if piece.material == code)  # fmt: skip


def _rack_stock(piece: RackPiece, trim_nm: int) -> Stock:
    words = piece.factory_edges.split()
    factory = tuple(edge for edge in ALL_EDGES if edge in words)
    stock = Stock(
        "rack", piece.length.nm, piece.width.nm, trim_nm if factory else 0, piece.full.minor, 1,
        piece.label, factory if words else ALL_EDGES,
    )  # fmt: skip
    # Its sizes are those inside the trim of its factory edges.
    return replace(
        stock,
        length_nm=stock.length_nm + stock.trimmed("left", "right"),
        width_nm=stock.width_nm + stock.trimmed("near", "far"),
    )


def _new_sheets(
    book: Book, code: str, materials: Mapping[str, Material], prices: Prices
) -> list[Stock]:
    """New sheets of the material: its own size, and the sizes listed as CODE/SIZE beside it."""
    sizes = [
        m for m in materials.values()
        if m.kind == "sheet" and (m.code == code or m.code.startswith(f"{code}/"))
    ]  # fmt: skip
    stocks = []
    for material in sizes:
        if material.length is None or material.width is None:
            raise NotAllowed(f"{material.code} {material.name} has no sheet size.")
        price = prices.get(material.code)
        along, across = material.length.nm, material.width.nm
        if material.grain == "width":
            along, across = across, along
        stocks.append(
            Stock(
                source="new",
                length_nm=along,
                width_nm=across,
                trim_nm=book.settings.trim.nm,
                cost=None if price is None else book.currency.money(price).minor,
                label=material.code,
            )
        )
    return stocks


def _stored(book: Book, problem: Problem) -> _Known | None:
    """The layout that is kept of a problem, the most capable solver's first.

    What was laid without the package that proves plans is laid anew where that is there by now,
    unless it is proven already.
    """
    for number, version in enumerate(solver_versions()):
        digest = problem.digest(version)
        fresh = [row for row in book.worked_out.rows(StoredLayout) if row.digest == digest]
        row = fresh[0] if fresh else book.last(StoredLayout, digest=digest)
        if row is not None:
            (layout,) = layouts_from_dict(json.loads(row.plan), digits=0)
            if number == 0 or layout.proven:
                return _Known(layout, row.effort)
    return None


def _at_other_prices(book: Book, problem: Problem) -> _Known | None:
    """The last layout stored that answers a problem but for what its sheets cost."""
    costs = {(stock.source, stock.label): stock.cost or 0 for stock in problem.stocks}
    for row, layout in _with_its_parts(book, problem):
        sheets = tuple(
            replace(sheet, cost=costs.get((sheet.source, sheet.label), sheet.cost))
            for sheet in layout.sheets
        )
        with suppress(NotAllowed, KeyError):
            check_layout(problem, replace(layout, sheets=sheets))
            return _Known(layout, row.effort)
    return None


def _with_its_parts(book: Book, problem: Problem) -> Iterator[tuple[StoredLayout, Layout]]:
    """The layouts stored of a material that name all parts of a problem, the newest first.

    The others are not read: in a book of years they are hundreds, and a name is found at once.
    """
    names = {json.dumps(piece.id) for piece in problem.pieces}
    for row in reversed(book.rows(StoredLayout, material=problem.material)):
        if all(name in row.plan for name in names):
            (layout,) = layouts_from_dict(json.loads(row.plan), digits=0)
            yield row, layout


def _was_laid(book: Book, problem: Problem) -> bool:
    """Whether the same parts were laid before, on other sheets, at other prices or another saw."""
    wanted = Counter(
        (piece.id, mark, *sorted((piece.cut_length_nm, piece.cut_width_nm)))
        for piece in problem.pieces
        for mark in piece.copies
    )
    for _, layout in _with_its_parts(book, problem):
        laid = Counter(
            (part.part, part.mark, *sorted((part.length_nm, part.width_nm)))
            for _, part in layout.placements()
        )
        if laid == wanted:
            return True
    return False


def _was_laid_otherwise(book: Book, problem: Problem) -> bool:
    """Whether the very same was laid before, by an older way of laying."""
    older = {
        problem.digest(version, method)
        for version in solver_versions()
        for method in range(1, METHOD)
    }
    return any(row.digest in older for row in book.rows(StoredLayout, material=problem.material))


def _row(problem: Problem, layout: Layout, effort: str) -> StoredLayout:
    body = layout_to_dict([(problem, layout)], digits=0)
    return StoredLayout(
        digest=layout.digest,
        material=problem.material,
        solver=next(
            (name for name in solver_versions() if problem.digest(name) == layout.digest),
            SOLVER_VERSION,
        ),
        effort=effort,
        plan=json.dumps(body, sort_keys=True, separators=(",", ":")),
    )
