"""The tables of a design file: their columns and other headings."""

from ledger.designs.edges import read_edges
from ledger.workbooks.headings import Column, columns_of
from ledger.workbooks.kinds import CellKind

UNITS = {
    "inch": "inch", "inches": "inch", "in": "inch",
    "mm": "mm", "millimeter": "mm", "millimeters": "mm", "metric": "mm",
}  # fmt: skip
TABLES: dict[str, tuple[str, ...]] = {
    "design": ("about",),
    "parameters": ("parameter",),
    "blocks": ("block", "sub-assemblies", "sub-assembly"),
    "parts": ("parts list", "part"),
    "carried": ("pieces carried",),
    "joints": ("joint",),
    "needs": ("materials needed", "hardware", "supplies"),
    "counts": ("operations", "operation counts", "drivers"),
    "finish": ("finishing", "coats"),
    "tags": ("contains", "cautions"),
    "facts": ("fact",),
    "checks": ("check", "closing sums", "sums"),
    "plan": ("plan to sell", "the plan"),
    "steps": ("step", "work steps"),
    "corrections": ("correction", "errata"),
}
"""Each table of a design and what else its sheet or file may be called."""

COLUMNS: dict[str, tuple[Column, ...]] = {
    "design": columns_of("name* = what; value*"),
    "parameters": columns_of(
        "name* = parameter; value* = default; minimum = min, least; maximum = max, most; "
        "words = description, what it is"
    ),
    "blocks": columns_of("name*; block* = sub-assembly, design; values = with; version"),
    "parts": columns_of(
        "id* = mark; name = part, description; quantity* = qty, pieces, count; length* = l; "
        "width* = w; material*; thickness = t; grain; banded = edges, banding, edge band; "
        "edging = edge material, tape; faces = faces fin., finished faces; "
        "handed = left and right; matched = match; oversize; cut = cut from; "
        "shaped = shaped edges, profiled; tapers = tapered faces; joined = held by; "
        "sanded = faces sanded, sanded faces; later = cut later; carried = carried in; note"
    ),
    "carried": columns_of("name* = carried, piece; pieces* = quantity, qty, count; note"),
    "joints": columns_of(
        "id* = joint, mark; kind* = type; length*; quantity* = qty, count; "
        "sizes = sizes of the joint; note"
    ),
    "needs": columns_of(
        "material* = code, item; quantity* = qty, count; minutes = minutes each, min; "
        "basis = why, words"
    ),
    "counts": columns_of("driver*; quantity* = qty, count; basis = why, words"),
    "finish": columns_of(
        "material* = code, finish; coats*; method; tint = tint material, stain; "
        "tint_share = share; area"
    ),
    "tags": columns_of("tag* = contains; words"),
    "facts": columns_of("name* = fact; words* = value"),
    "checks": columns_of("sum*; sign* = must be; value*; words = why"),
    "plan": columns_of("name* = what; words* = value"),
    "steps": columns_of(
        "number* = step, no; words* = what is done, description; parts = marks, part; "
        "picture = photo, drawing"
    ),
    "corrections": columns_of(
        "versions* = version; sizes = for which sizes, when; wrong* = what was wrong; "
        "right* = what is right; parts = marks, part; steps = step"
    ),
}

EDGES: CellKind[tuple[str, ...]] = CellKind(read_edges, (), "one long")
