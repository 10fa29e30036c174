"""A design as a workbook that can be filled in, changed and loaded again without loss.

One sheet for each table, the columns of the reader, every cell formatted as text so that no
spreadsheet program makes a day of `3/4`. The sheet *notes* explains; it is never read.
"""

from collections.abc import Sequence
from datetime import date
from fractions import Fraction
from pathlib import Path

from openpyxl.utils import get_column_letter

from ledger.designs import model
from ledger.designs.closing import SIGNS
from ledger.designs.edges import show_edges
from ledger.designs.scope import FIGURES
from ledger.errors import BadValue
from ledger.measures.share import parse_share, show_share
from ledger.workbooks.paper import new_workbook, save
from ledger.workbooks.readers.design_tables import COLUMNS
from ledger.workbooks.writers.to_fill_in import add_notes, add_text_sheet, listed, offer

_LEAST = {"name": 20, "value": 24, "length": 20, "width": 20, "words": 40, "basis": 40, "note": 40}
_MOST = 60
_LETTERS_A_LINE = 100
_POINTS_A_LINE = 15
_SHEETS = (
    "design", "parameters", "parts", "carried", "joints", "needs", "counts", "finish", "tags",
    "facts", "checks", "blocks", "plan", "steps", "corrections",
)  # fmt: skip
_EDGES = ("banded", "shaped")
_LISTS = {
    ("parts", "grain"): model.GRAINS,
    ("parts", "cut"): tuple(word for word in model.CUTS if word),
    ("parts", "joined"): model.JOINED,
    ("parts", "handed"): ("yes", "no"),
    ("parts", "later"): ("yes", "no"),
    ("joints", "kind"): model.JOINTS,
    ("counts", "driver"): model.DRIVERS,
    ("finish", "method"): model.METHODS,
    ("tags", "tag"): tuple(model.TAGS),
    ("checks", "sign"): tuple(SIGNS),
    ("plan", "name"): model.PLAN_LINES,
}
_NOTES: Sequence[tuple[str, str]] = (
    ("How a design is written", ""),
    ("Cells", "A size is a length as on a tape (63-11/16, 18 mm, 4' 6-1/2\") or a formula over"
     " parameters (tray_width + 2*t34). A bare number in a size means the units of the sheet"
     " design."),
    ("Parameters", "Lengths carry their unit (60 in). A parameter with a plain value can be set"
     " for each job; one with a formula is worked out. Minimum and maximum refuse what cannot be"
     " built, and the words say why."),
    ("Formulas", "+ - * / ( ), min, max, ceil, floor, round (half-up; to steps with a second"
     " value: floor(bay, 1/16 in)), if(n > 2, a, b). A fraction right before a unit is one"
     " measure: 6*1/8 in. Lengths and numbers are never added."),
    ("Parts", "length runs along the grain. grain: length (stays) or any (may turn). banded: one"
     " long, both long, one short, both short, all round, or L1 L2 W1 W2. faces: finished faces,"
     " 0 to 2. matched: a word that parts cut from one sheet share. A line whose quantity comes"
     " to 0 is left out."),
    ("Carried", "Which piece a part is carried in once it is put together (cabinet, tower): the"
     " column carried of the parts names it. The sheet carried says how many alike there are"
     " (tower, 2). So each is weighed as it is carried; without names, the whole together."),
    ("Materials", "Codes of your own price list of materials."),
    ("How it is made", "cut: sheet, board, glued (a panel of strips, as a table top; solid parts"
     " wider than their board are taken so), turned or bought ready made. shaped: rounded or"
     " profiled edges, in the words of banded (all round). tapers: tapered faces of one piece (2"
     " for a leg). sanded: 0 to 2 where it differs from faces (a drawer box: faces 0, sanded 2)."),
    ("Joined", "A joint's id names its parts (A1-A2, L1-R1 below). A part that no joint names says"
     " how it is held: loose, hardware, in A1 (it lies in that part), glued on or screwed on (one"
     " joint a piece). Solid parts that say nothing are assumed joined, and the price says so."),
    ("Joints", "pocket holes and dowels are counted by the length of each joint, dovetails across"
     " it; tenon, loose tenon, joiner tenon (handheld joiner), lap, dovetail, jig dovetail, frame"
     " (corner of a door or panel frame) and miter by the joint, so they need no"
     " length; other joints are only assembled. sizes are drawn in a plan to sell (long=3/4 in;"
     " thick=1/4 in; wide=apron - 1 in; down=1/2 in): of the tenon or lap of the part named last,"
     " or wide, deep and up of the groove in the part named first; down is from the upper edge, up"
     " from the lower one, edge from either, tenons=2 are two side by side."),
    ("Needs", "Hardware, fasteners and supplies by count, in their stock unit. minutes: what"
     " fitting one takes, about 3 a button, 5 a catch, 6 a pull or cup hinge, 15 a pair of slides,"
     " 20 a butt hinge or bed bolt; without it count fittings. Formulas may also use: "
     + ", ".join(FIGURES) + "."),
    ("Finish", "method: spray, brush or wipe (on and off: oil, wax, stain). Edging of lumber is"
     " solid edging: strips ripped from it, as thick as the parameter lip, else 1/4 in; the part's"
     " own size is without it."),
    ("Counts", "What drives hours and does not follow from the lists: what is written here wins"
     " over what would be derived. Drivers: " + ", ".join(model.DRIVERS) + "."),
    ("Tags", "What the piece contains that calls for a caution: "
     + "; ".join(f"{tag} ({words})" for tag, words in model.TAGS.items()) + "."),
    ("Facts", "Lines that a quote may say of the piece; a formula in braces is worked out:"
     " {cabinet_width} W."),
    ("Checks", "Sums that must come out (2*ply + inside = width): sizes that do not fit are"
     " refused with the sum that fails and by how much."),
    ("Blocks", "Sub-assemblies: name, block (carcass, drawer-box … or a design of your own) and"
     " what fills it in (width=36 in; ply=PLY34; times=2). Its parameters are then named"
     " name_width, its parts name-A1. A line with a version is written out already."),
    ("Plan", "What a plan to sell says: picture (a file for the cover), size ({width} W ×"
     " {height} H), for (whom it is for), tool, buy (what no list here has, a little wax), leave"
     " out (the code of a material that is your own alone, as wrap), time (in your own words),"
     " caution, conditions (of use); all but picture, size and time may stand on several lines."
     " A length or a formula in braces, {3/4 in} or {leg/2}, stands in inches and millimeters;"
     " so it does in steps, corrections and the notes of parts and joints."),
    ("Steps", "number, what is done, the parts it handles by their marks (A1, A2), a picture's file"
     " or nothing. Write lengths in braces ({3/4 in}). Where a piece has none of a step's parts,"
     " the plan says that the step is not for it."),
    ("Corrections", "What was wrong in earlier versions: versions (1, or 1-3), sizes (width > 30"
     " in; empty where all), what was wrong, what is right, parts and steps that were put right."),
    ("Your own notes", "Columns and sheets whose name begins with note or # are not read."),
)  # fmt: skip


def write_design(design: model.Design, path: Path, shop: str, day: date) -> Path:
    """Write a design as a workbook that `read_design` reads back as the same design.

    Raises:
        NotAllowed: the place cannot be written.

    """
    workbook = new_workbook(f"Design {design.name}", shop, day)
    for table in _SHEETS:
        rows = _rows_of(design, table)
        names = [column.name for column in COLUMNS[table]]
        widths = [
            _width(name, column) for name, column in zip(names, _columns(names, rows), strict=True)
        ]
        sheet = add_text_sheet(workbook, table, names, rows, widths)
        for number, name in enumerate(names, 1):
            known = _LISTS.get((table, name))
            if known is not None and sum(len(word) + 1 for word in known) <= 255:
                offer(sheet, get_column_letter(number), listed(known), 500)
    notes = add_notes(workbook, _NOTES, 100)
    for number, (_, words) in enumerate(_NOTES, 1):
        lines = 1 + len(words) // _LETTERS_A_LINE
        notes.row_dimensions[number].height = _POINTS_A_LINE * lines + 5
    return save(workbook, path)


def _columns(names: Sequence[str], rows: Sequence[Sequence[str]]) -> list[list[str]]:
    return [[row[place] for row in rows] for place in range(len(names))]


def _width(name: str, texts: Sequence[str]) -> int:
    """As wide as its longest text, within reason."""
    longest = max((len(text) for text in texts), default=0)
    return min(_MOST, max(_LEAST.get(name, 8), len(name) + 3, longest + 2))


def _rows_of(design: model.Design, table: str) -> list[list[str]]:
    """The rows of one table: each column is the field of the same name."""
    if table == "design":
        return [[name, getattr(design, name)] for name in ("name", "title", "units", "note")]
    if table == "tags":
        return [[tag, model.TAGS.get(tag, "")] for tag in sorted(design.tags)]
    names = [column.name for column in COLUMNS[table]]
    return [[_cell(name, getattr(row, name)) for name in names] for row in getattr(design, table)]


def _cell(name: str, value: object) -> str:
    """One field of a row as the reader of designs reads it back."""
    match value:
        case None | False:
            return ""
        case True:
            return "yes"
        case Fraction():
            return _show_tint(value)
        case tuple():
            return show_edges(value) if name in _EDGES else ", ".join(map(str, value))
    return str(value)


def _show_tint(share: Fraction) -> str:
    """A share so that it reads back the same: in percent where that is exact."""
    if not share:
        return ""
    try:
        exact = parse_share(show_share(share)) == share
    except BadValue:
        exact = False
    return show_share(share) if exact else f"{share.numerator}/{share.denominator}"
