"""A piece worked out for one set of values: sizes, counts and supplies, ready to be costed."""

from collections.abc import Iterable, Mapping
from fractions import Fraction

from msgspec import Struct, field

from ledger.measures.area import Area
from ledger.measures.length import Length
from ledger.measures.quantity import Quantity
from ledger.measures.rounding import half_up_whole

_NOTHING = Length(0)


class BuiltPart(Struct, frozen=True):
    """One line of the parts list with its sizes; `length` runs along the grain.

    `strips` is how many edge-glued strips make its width; `is_solid` says that it is of lumber;
    `depth` is its finished thickness, also where only its material says so; `is_faces_said` that
    its line says how many faces get finish, 0 too.
    """

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
    shaped: tuple[str, ...] = ()
    tapers: int = 0
    joined: str = ""
    sanded: int | None = None
    strips: int = 1
    is_solid: bool = False
    depth: Length | None = None
    later: bool = False
    is_faces_said: bool = True

    @property
    def area(self) -> Area:
        """One face of all pieces of the line."""
        return self.length * self.width * self.quantity

    @property
    def finish_area(self) -> Area:
        """What of all pieces of the line gets the finish; of a solid one its edges too."""
        return self._surface(self.faces)

    @property
    def sanded_area(self) -> Area:
        """What of all pieces of the line is sanded."""
        return self._surface(self.faces if self.sanded is None else self.sanded)

    @property
    def strip_width(self) -> Length:
        """The width of one of its strips, to the nanometer."""
        return Length(half_up_whole(Fraction(self.width.nm, self.strips)))

    def edges(self, names: Iterable[str]) -> Length:
        """The length of those edges on all pieces of the line."""
        of_one = (self.length if name.startswith("L") else self.width for name in names)
        return sum(of_one, Length(0)) * self.quantity

    def _surface(self, faces: int) -> Area:
        if not faces or not self.is_solid or self.depth is None:
            return self.area * faces
        around = (self.length + self.width) * 2
        return self.area * faces + around * self.depth * self.quantity


class BuiltJoint(Struct, frozen=True):
    """Joints of one kind and length (0 where it is not said), as `model.JOINTS` names them.

    `is_assumed` says that no list names them: they stand for lumber parts that must be joined;
    `is_in_box` that they are corners of drawer boxes that the design counts as boxes.
    `sizes` are by the names of `model.JOINT_SIZES`, `tenons` how many stand side by side.
    """

    id: str
    kind: str
    length: Length
    quantity: int
    note: str = ""
    is_assumed: bool = False
    sizes: Mapping[str, Length] = field(default_factory=dict)
    tenons: int = 1
    is_in_box: bool = False


class BuiltNeed(Struct, frozen=True):
    """What is needed of a material before any allowance, in its stock unit, and why.

    `exact` keeps a sixth of a lot a sixth, so that six pieces need one lot and no more.
    """

    material: str
    exact: Fraction
    basis: str
    minutes: Fraction | None = None

    @property
    def quantity(self) -> Quantity:
        """The same to a millionth of the unit."""
        return Quantity.of(self.exact)


class BuiltCount(Struct, frozen=True):
    """A driver's quantity and where it comes from.

    `entered` is true for a count that stands as typed, false for a measured one, which an
    estimate rounds half-up; `fixed` is true where the design says it, false where it was derived;
    `is_assumed` where a joint in it is assumed; `repeat` is the factor for repeating that is in
    the quantity.
    """

    quantity: Fraction
    unit: str
    basis: str
    entered: bool
    fixed: bool
    is_assumed: bool = False
    repeat: Fraction = Fraction(1)


class BuiltCoat(Struct, frozen=True):
    """Coats of one finish; `area` overrides the finished faces where it is not None."""

    material: str
    coats: int
    method: str
    tint_material: str | None = None
    tint_share: Fraction = Fraction(0)
    area: Area | None = None


class BuiltBand(Struct, frozen=True):
    """Net length and number of edges that one edging material covers.

    `is_solid` says that the edging is lumber, of which strips are `strip` wide before they are
    glued on and flushed.
    """

    material: str
    length: Length
    edges: int
    is_solid: bool = False
    strip: Length = _NOTHING


class BuiltStep(Struct, frozen=True):
    """A step of a plan, its words filled in.

    `parts` are its parts that the piece has; `applies` is false where it has none of those named.
    """

    number: int
    words: str
    parts: tuple[str, ...]
    picture: str
    applies: bool


class BuiltCorrection(Struct, frozen=True):
    """A correction of earlier versions; `touches` says whether it is of these sizes."""

    versions: tuple[int, ...]
    sizes: str
    wrong: str
    right: str
    parts: tuple[str, ...]
    steps: tuple[int, ...]
    touches: bool

    @property
    def numbers(self) -> str:
        """The versions in words."""
        return ", ".join(map(str, self.versions))


class Guide(Struct, frozen=True):
    """What a plan that is sold says besides sizes: lines by name, steps, corrections."""

    lines: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    steps: tuple[BuiltStep, ...] = ()
    corrections: tuple[BuiltCorrection, ...] = ()


class Build(Struct, frozen=True):
    """The concrete piece; `parameters` are the values in words, `facts` what a quote may say.

    `carried` says of pieces that are carried by themselves how many alike there are; one that
    parts name and that is not there is one. `notes` are sentences on what was taken for granted.
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
    notes: tuple[str, ...] = ()
    guide: Guide = field(default_factory=Guide)
