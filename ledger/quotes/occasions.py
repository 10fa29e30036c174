"""What is true of a piece or a repair, so that a paper says of it only that.

Each occasion is a mark of `book.wordings.MARKS`: derived from the design's lists, the hours that
are in the price, and the names of the deliverables.
"""

import re
from collections.abc import Iterable, Mapping

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.book.tables.materials import Material
from ledger.costing.cautions import has_oil, is_bed
from ledger.costing.sheet import CostSheet
from ledger.costing.woods import is_painted
from ledger.designs.build import build
from ledger.designs.built import Build
from ledger.designs.store import load_version
from ledger.jobs.answers import answers_of
from ledger.jobs.jobs import basis_of
from ledger.jobs.lines import is_work_order
from ledger.jobs.shop_floor import wood_of
from ledger.labor.standards import standards
from ledger.measures.money import Money
from ledger.quotes.terms import is_fitted, is_service
from ledger.stock.materials import materials

_COATS = frozenset({"spray", "brush", "wipe"})
_REPAIRS = frozenset({"repair", "opened", "strip"})
_REPAIR = re.compile(
    r"\b(repair|re-?glu|refinish|re-?stor|re-?cane|re-?cord|re-?upholster|re-?furbish"
    r"|re-?veneer|strip(ping)?\b|mend|fix(ing)?\b|touch[- ]?up|french polish)",
    re.IGNORECASE,
)
_OUTDOORS = re.compile(
    r"\b(outdoors?|outside|exterior|garden|backyard|patio|terrace|balcony|deck(ing)?|pergola"
    r"|trellis|arbor|veranda|potting|planters?|bee-?hives?|hives?|bird ?house|gates?(?![- ]?leg)"
    r"|adirondack)\b",
    re.IGNORECASE,
)
_INDOORS = re.compile(
    r"\b(indoors?|inside|interior|garden (room|apartment|flat)|(baby|stair|safety|dog) gates?)\b",
    re.IGNORECASE,
)
_BARE_PANEL = re.compile(r"\b(MDF|HDF|melamine|hardboard|particle|chipboard)", re.IGNORECASE)


def occasions_of(
    book: Book, job: Job, sheet: CostSheet, deliverables: Iterable[str]
) -> frozenset[str]:
    """The marks that hold for a job, as it is priced and as its parts are named to the client."""
    names = list(deliverables)
    titles = [job.title, *names]
    counted = _counted(book, sheet)
    is_named = {
        "fitted": any(is_fitted(name) for name in names),
        "brought": any(is_service(name) for name in names),
    }
    is_coated = bool(counted & _COATS) or any(line.kind == "finish" for line in sheet.lines)
    if is_work_order(book, job):
        is_installed = is_named["fitted"] or "install" in counted
        held = {"service": True, "coated": is_coated, "installed": is_installed,
                "repair": bool(counted & _REPAIRS) or is_repair(titles)}  # fmt: skip
    else:
        basis, known = basis_of(book, job), materials(book)
        design = load_version(book, basis.design)[1]
        titles.append(design.title)
        piece = build(design, basis.parameters, book.units, wood_of(book))
        is_hung_here = "wall_fixed" in piece.tags and not is_hung_by_client(book, job, sheet)
        is_on_site = is_hung_here or is_named["fitted"]
        is_installed = is_on_site or "install" in counted
        held = {
            "site": is_on_site,
            "loose": not is_on_site,
            "installed": is_installed,
            "measured": "meetings" in counted,
            "drawn": True,
            "coated": is_coated,
            "fittings": any(line.kind == "hardware" for line in sheet.lines),
            **_of_piece(piece, known),
        }
    is_brought = is_installed or is_named["brought"] or "delivery" in counted
    is_collected = not is_brought and "visits" not in counted
    coats = [line.words for line in sheet.lines if line.kind == "finish"]
    held["outdoors"] = stands_outdoors(titles) or (
        stands_outdoors(coats) and not _INDOORS.search(" | ".join(titles))
    )
    held |= {"delivery": is_brought, "delivered": is_brought, "collected": is_collected}
    is_fitting = "install" in counted and not is_named["fitted"]
    is_carrying = "delivery" in counted or (is_fitting and not is_work_order(book, job))
    held |= {"fitted": is_fitting, "carried": is_carrying and not is_named["brought"]}
    return frozenset(mark for mark, holds in held.items() if holds)


def is_repair(titles: Iterable[str]) -> bool:
    """Whether what a job is called says that a piece of the client's is repaired or renewed.

    >>> is_repair(["Reglue six chairs"]), is_repair(["Refinish dresser"]), is_repair(["Gate"])
    (True, True, False)
    """
    return any(_REPAIR.search(title) for title in titles)


def stands_outdoors(titles: Iterable[str]) -> bool:
    """Whether what a piece or its finish is called says that it stands outdoors.

    >>> stands_outdoors(["Bench for the terrace"]), stands_outdoors(["Bee hives"])
    (True, True)
    >>> stands_outdoors(["Potting bench"]), stands_outdoors(["Steps to the deck"])
    (True, True)
    >>> stands_outdoors(["Exterior oil"]), stands_outdoors(["Interior and exterior oil"])
    (True, False)
    >>> stands_outdoors(["Gate-leg table"]), stands_outdoors(["Bookcase, garden room"])
    (False, False)
    """
    words = " | ".join(titles)
    return bool(_OUTDOORS.search(words)) and not _INDOORS.search(words)


def is_hung_by_client(book: Book, job: Job, sheet: CostSheet) -> bool:
    """Whether installation is answered with none, and no hours of it are in the price."""
    cost, _ = answers_of(book, job).get("installation", (None, ""))
    return cost == Money(0) and "install" not in _counted(book, sheet)


def _counted(book: Book, sheet: CostSheet) -> set[str]:
    """The drivers of the operations that have hours in the price."""
    known = standards(book)
    lines = (line for line in sheet.hours if line.estimate and line.operation in known)
    return {known[line.operation].driver for line in lines}


def _of_piece(piece: Build, known: Mapping[str, Material]) -> dict[str, bool]:
    """What the lists of a piece say of its wood, its finish and what it is for."""
    solid = any(part.is_solid for part in piece.parts) or any(one.is_solid for one in piece.bands)
    used = (known[part.material] for part in piece.parts if part.material in known)
    veneer = any(one.kind == "sheet" and not _BARE_PANEL.search(one.name) for one in used)
    return {
        "bed": is_bed(piece.parameters),
        "springs": "springs" in piece.tags,
        "wall_fixed": "wall_fixed" in piece.tags,
        "solid": solid,
        "veneer": veneer,
        "wood": solid or veneer,
        "painted": is_painted(piece, known),
        "oil_finish": has_oil(piece, known),
    }
