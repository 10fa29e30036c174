"""A piece worked out for one set of values: sizes, counts and supplies, ready to be costed."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from ledger.measures.area import Area
from ledger.measures.length import Length
from ledger.measures.quantity import Quantity


@dataclass(frozen=True, slots=True)
class BuiltPart:
    """One line of the parts list with its sizes; `length` runs along the grain."""

    id: str
    name: str
    quantity: int
    length: Length
    width: Length
    material: str
    thickness: Length | None = None
    grain: str = "length"
    banded: tuple[str, ...] = ()
    edging: str | None = None
    faces: int = 0
    handed: bool = False
    matched: str | None = None
    oversize: Length | None = None
    cut: str = ""
    note: str = ""
    carried: str = ""

    @property
    def area(self) -> Area:
        """One face of all pieces of the line."""
        return self.length * self.width * self.quantity

    @property
    def finish_area(self) -> Area:
        """The faces of all pieces of the line that get the finish."""
        return self.area * self.faces


@dataclass(frozen=True, slots=True)
class BuiltJoint:
    """Joints of one kind and length: `pocket`, `dowel` or `other`."""

    id: str
    kind: str
    length: Length
    quantity: int
    note: str = ""


@dataclass(frozen=True, slots=True)
class BuiltNeed:
    """What is needed of a material before any allowance, in its stock unit, and why."""

    material: str
    quantity: Quantity
    basis: str


@dataclass(frozen=True, slots=True)
class BuiltCount:
    """A driver's quantity and where it comes from.

    `entered` is true for a count that stands as typed, false for a measured one, which an
    estimate rounds half-up; `fixed` is true where the design says it, false where it was derived.
    """

    quantity: Fraction
    unit: str
    basis: str
    entered: bool
    fixed: bool


@dataclass(frozen=True, slots=True)
class BuiltCoat:
    """Coats of one finish; `area` overrides the finished faces where it is not None."""

    material: str
    coats: int
    method: str
    tint_material: str | None = None
    tint_share: Fraction = Fraction(0)
    area: Area | None = None


@dataclass(frozen=True, slots=True)
class BuiltBand:
    """Net length and number of edges that one edging material covers."""

    material: str
    length: Length
    edges: int


@dataclass(frozen=True, slots=True)
class Build:
    """The concrete piece; `parameters` are the values in words, `facts` what a quote may say.

    `carried` says of pieces that are carried by themselves how many alike there are; one that
    parts name and that is not there is one.
    """

    name: str
    title: str
    units: str
    parameters: Mapping[str, str]
    parts: tuple[BuiltPart, ...]
    joints: tuple[BuiltJoint, ...]
    needs: tuple[BuiltNeed, ...]
    counts: Mapping[str, BuiltCount]
    finish: tuple[BuiltCoat, ...]
    bands: tuple[BuiltBand, ...]
    finish_area: Area
    tags: frozenset[str] = frozenset()
    facts: Mapping[str, str] = field(default_factory=dict)
    carried: Mapping[str, int] = field(default_factory=dict)
