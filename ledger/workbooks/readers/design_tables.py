"""The tables of a design file: their columns and other headings."""

from ledger.designs.edges import read_edges
from ledger.workbooks.headings import Column
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
    "design": (Column("name", ("what",), must=True), Column("value", must=True)),
    "parameters": (
        Column("name", ("parameter",), must=True),
        Column("value", ("default",), must=True),
        Column("minimum", ("min", "least")),
        Column("maximum", ("max", "most")),
        Column("words", ("description", "what it is")),
    ),
    "blocks": (
        Column("name", must=True),
        Column("block", ("sub-assembly", "design"), must=True),
        Column("values", ("with",)),
        Column("version"),
    ),
    "parts": (
        Column("id", ("mark",), must=True),
        Column("name", ("part", "description")),
        Column("quantity", ("qty", "pieces", "count"), must=True),
        Column("length", ("l",), must=True),
        Column("width", ("w",), must=True),
        Column("material", must=True),
        Column("thickness", ("t",)),
        Column("grain"),
        Column("banded", ("edges", "banding", "edge band")),
        Column("edging", ("edge material", "tape")),
        Column("faces", ("faces fin.", "finished faces")),
        Column("handed", ("left and right",)),
        Column("matched", ("match",)),
        Column("oversize"),
        Column("cut", ("cut from",)),
        Column("shaped", ("shaped edges", "profiled")),
        Column("tapers", ("tapered faces",)),
        Column("joined", ("held by",)),
        Column("sanded", ("faces sanded", "sanded faces")),
        Column("later", ("cut later",)),
        Column("carried", ("carried in",)),
        Column("note"),
    ),
    "carried": (
        Column("name", ("carried", "piece"), must=True),
        Column("pieces", ("quantity", "qty", "count"), must=True),
        Column("note"),
    ),
    "joints": (
        Column("id", ("joint", "mark"), must=True),
        Column("kind", ("type",), must=True),
        Column("length", must=True),
        Column("quantity", ("qty", "count"), must=True),
        Column("sizes", ("sizes of the joint",)),
        Column("note"),
    ),
    "needs": (
        Column("material", ("code", "item"), must=True),
        Column("quantity", ("qty", "count"), must=True),
        Column("minutes", ("minutes each", "min")),
        Column("basis", ("why", "words")),
    ),
    "counts": (
        Column("driver", must=True),
        Column("quantity", ("qty", "count"), must=True),
        Column("basis", ("why", "words")),
    ),
    "finish": (
        Column("material", ("code", "finish"), must=True),
        Column("coats", must=True),
        Column("method"),
        Column("tint", ("tint material", "stain")),
        Column("tint_share", ("share",)),
        Column("area"),
    ),
    "tags": (Column("tag", ("contains",), must=True), Column("words")),
    "facts": (Column("name", ("fact",), must=True), Column("words", ("value",), must=True)),
    "checks": (
        Column("sum", must=True),
        Column("sign", ("must be",), must=True),
        Column("value", must=True),
        Column("words", ("why",)),
    ),
    "plan": (Column("name", ("what",), must=True), Column("words", ("value",), must=True)),
    "steps": (
        Column("number", ("step", "no"), must=True),
        Column("words", ("what is done", "description"), must=True),
        Column("parts", ("marks", "part")),
        Column("picture", ("photo", "drawing")),
    ),
    "corrections": (
        Column("versions", ("version",), must=True),
        Column("sizes", ("for which sizes", "when")),
        Column("wrong", ("what was wrong",), must=True),
        Column("right", ("what is right",), must=True),
        Column("parts", ("marks", "part")),
        Column("steps", ("step",)),
    ),
}

EDGES: CellKind[tuple[str, ...]] = CellKind(read_edges, (), "one long")
