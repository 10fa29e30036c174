"""The layouts of a job: solved once, stored with what they answer, reused until that changes."""

import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from ledger.book import Book
from ledger.book.tables.ground import Material, StoredLayout
from ledger.costing.takeoff import piece_of, sheet_parts
from ledger.cutting.layout import Layout
from ledger.cutting.problem import Problem, Stock
from ledger.designs.built import Build, BuiltPart
from ledger.errors import NotAllowed
from ledger.stock.offcuts import RackPiece

type Prices = Mapping[str, Decimal]
type Progress = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Plan:
    """One material's question and its answer."""

    problem: Problem
    layout: Layout


def plans(
    book: Book,
    build: Build,
    materials: Mapping[str, Material],
    prices: Prices,
    *,
    rack: Iterable[RackPiece] = (),
    harder: bool = False,
    progress: Progress | None = None,
) -> dict[str, Plan]:
    """The layouts of a build, by material, in the order of the parts list.

    Only what is not stored yet is solved, and then stored, one deed for all. Pieces on the rack
    are taken where that costs less.
    """
    pieces = list(rack)
    asked = {
        code: _problem(book, code, parts, materials, prices, _on_rack(code, pieces))
        for code, parts in sheet_parts(build, materials).items()
    }
    found = {code: _stored(book, problem, harder) for code, problem in asked.items()}
    fresh = [code for code, layout in found.items() if layout is None]
    if fresh:
        from ledger.cutting.solve import solve

        for code in fresh:
            if progress:
                progress(f"Laying out {code} …")
            found[code] = solve(asked[code], harder=harder)
        with book.deed("layout", f"{build.title}: {', '.join(fresh)}"):
            for code in fresh:
                _store(book, asked[code], found[code], harder)
    return {code: Plan(asked[code], layout) for code, layout in found.items() if layout}


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
        kerf_nm=book.setting("kerf").nm,
        rip_first=book.setting("rip_first"),
        crosscut_capacity_nm=book.setting("crosscut_capacity").nm,
        usable_length_nm=book.setting("offcut_length").nm,
        usable_width_nm=book.setting("offcut_width").nm,
    )


def _on_rack(code: str, pieces: Iterable[RackPiece]) -> tuple[Stock, ...]:
    """The offcuts of the material, each once, at the value it carries; they need no trim."""
    return tuple(
        Stock(
            source="rack",
            length_nm=piece.length.nm,
            width_nm=piece.width.nm,
            cost=piece.full.minor,
            copies=1,
            label=f"lot {piece.lot}",
        )
        for piece in pieces
        if piece.material == code
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
        stocks.append(
            Stock(
                source="new",
                length_nm=material.length.nm,
                width_nm=material.width.nm,
                trim_nm=book.setting("trim").nm,
                cost=None if price is None else book.currency.money(price).minor,
                label=material.code,
            )
        )
    return stocks


def _stored(book: Book, problem: Problem, harder: bool) -> Layout | None:
    from ledger.cutting.engine import SOLVER_VERSION
    from ledger.cutting.record import layouts_from_dict

    row = book.last(StoredLayout, digest=problem.digest(SOLVER_VERSION))
    if row is None or (harder and row.effort != "harder"):
        return None
    return layouts_from_dict(json.loads(row.plan), digits=0)[0]


def _store(book: Book, problem: Problem, layout: Layout | None, harder: bool) -> None:
    from ledger.cutting.engine import SOLVER_VERSION
    from ledger.cutting.record import layout_to_dict

    if layout is None:
        return
    told = layout_to_dict([(problem, layout)], digits=0)
    book.post(
        StoredLayout(
            digest=problem.digest(SOLVER_VERSION),
            material=problem.material,
            solver=SOLVER_VERSION,
            effort="harder" if harder else "default",
            plan=json.dumps(told, sort_keys=True, separators=(",", ":")),
        )
    )
