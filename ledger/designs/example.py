"""A small bookcase in which every table has a line, to start a design of one's own from."""

from collections.abc import Mapping
from fractions import Fraction

from ledger.designs.model import (
    CarriedPiece,
    Coat,
    Count,
    Design,
    DesignFact,
    Joint,
    Need,
    Parameter,
    Part,
)
from ledger.measures.values import replace

_FEET = (("1 ft", "4 ft"), ("1 ft", "8 ft"), ("6 in", "2 ft"))
_MM = (("300 mm", "1200 mm"), ("300 mm", "2400 mm"), ("150 mm", "600 mm"))
"""The least and the most of width, height and depth."""


def example(units: str) -> Design:
    """The bookcase, in inches or millimeters."""
    inch = units == "inch"
    return Design(
        name="bookcase",
        title="Open bookcase",
        units=units,
        note="An example: change it, give it another name and load it.",
        parameters=(
            Parameter(
                "width", "36 in" if inch else "900 mm", *(_FEET if inch else _MM)[0], "outside"
            ),
            Parameter(
                "height", "72 in" if inch else "1800 mm", *(_FEET if inch else _MM)[1], "outside"
            ),
            Parameter(
                "depth", "12 in" if inch else "300 mm", *(_FEET if inch else _MM)[2], "of the sides"
            ),
            Parameter("ply", "23/32 in" if inch else "18 mm", words="measured thickness"),
            Parameter("shelves", "4", "0", "10", "between bottom and top"),
            Parameter("inside", "width - 2*ply", words="between the sides"),
        ),
        parts=(
            _part("A1", "Side", "2", "height", handed=True),
            _part("A2", "Top and bottom", "2", "inside"),
            _part("A3", "Shelf", "shelves", "inside"),
        ),
        joints=(Joint("A1-A2-A3", "pocket", "depth", "2 * (shelves + 2)", "sides to shelves"),),
        needs=(Need("PSCREW", "pocket_holes", "one a pocket hole"),),
        counts=(Count("pieces", "1", "moved in one piece"), Count("jobs", "1")),
        finish=(Coat("SATIN", 3, "spray", "STAIN", Fraction(1, 20)),),
        tags=frozenset({"wall_fixed", "spraying", "composite"}),
        facts=(DesignFact("overall size", "{width} W × {height} H × {depth} D"),),
        carried=(CarriedPiece("bookcase", "1", "carried in one piece"),),
    )


def example_of(units: str, codes: Mapping[str, str]) -> Design:
    """The bookcase with materials of a shop's own: a code by each kind it has.

    What it has no kind for is left out of the bookcase; without a sheet it stays as it is.
    """
    design, sheet = example(units), codes.get("sheet", "")
    if not sheet:
        return design
    edging = codes.get("edging", "")
    return replace(
        design,
        parts=tuple(
            replace(part, material=sheet, edging=edging, banded=part.banded if edging else ())
            for part in design.parts
        ),
        needs=tuple(replace(one, material=codes["fastener"]) for one in design.needs)
        if "fastener" in codes
        else (),
        finish=tuple(
            replace(coat, material=codes["finish"], tint="", tint_share=Fraction(0))
            for coat in design.finish
        )
        if "finish" in codes
        else (),
    )


def _part(mark: str, name: str, quantity: str, length: str, *, handed: bool = False) -> Part:
    return Part(
        id=mark,
        name=name,
        quantity=quantity,
        length=length,
        width="depth",
        thickness="ply",
        material="PLY34",
        banded=("L1",),
        edging="EDGE78",
        faces=2,
        handed=handed,
        carried="bookcase",
    )
