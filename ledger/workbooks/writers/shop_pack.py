"""The cut list of a shop pack as a workbook: a row for each part and sheet, to sort and count with.

All else of the pack is printed: it is a paper.
"""

from pathlib import Path

from ledger.reports.shop_pack import Pack
from ledger.workbooks.paper import Look, new_workbook, save
from ledger.workbooks.writers.rows import new_page, padded

LINE = Look(wrap=True, line_below=True)

_SIZE = 9
_WIDTHS = (12, 8, 8, 10, 26, 11, 11, 8, 13, 36)
_NAMES = ("Material", "Sheet", "Pieces", "Id", "Part", "Length", "Width", "Thick", "Banded", "Note")
_FORMATS = ("", padded("0"), padded("0"))


def write_cut_list(pack: Pack, path: Path, shop: str = "", *, letter: bool = True) -> Path:
    """Write the cut list of a job, readable by its owner alone; solid parts have no sheet."""
    workbook = new_workbook(f"Cut list {pack.sheet.job}", shop, pack.sheet.as_of)
    unit = "inches" if pack.sheet.units == "inch" else "millimeters"
    rows = new_page(
        workbook, "Cut list", _WIDTHS, pack.sheet.currency,
        f"{pack.sheet.job} {pack.sheet.title}: cut list",
        f"Finished sizes in {unit}: length runs along the grain.", size=_SIZE, landscape=True,
    )  # fmt: skip
    rows.headings(_NAMES, figures=(2, 3))
    for part in pack.part_rows():
        rows.add(
            (part.material, part.sheet, part.pieces, part.mark, part.name, part.length,
             part.width, part.thick, part.edges, part.note),
            _FORMATS, LINE,
        )  # fmt: skip
    return save(workbook, path, private=True, letter=letter)
