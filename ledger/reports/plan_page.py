"""What a plan to sell says: nothing of it names a client, a sponsor, a supplier, a rate or hours.

Sizes stand twice, in the edition's units first. `outlay` is the one sentence on money, and it is
empty unless the maker wants it there.
"""

from datetime import date

from msgspec import Struct

from ledger.designs.built import BuiltCorrection, BuiltStep


class TwoSizes(Struct, frozen=True):
    """One size in the units of the edition, and in the other ones."""

    first: str
    second: str


class ChosenSize(Struct, frozen=True):
    """A size or number that was chosen for this copy, and what it is."""

    name: str
    words: str
    size: TwoSizes


class PlanPart(Struct, frozen=True):
    """A line of the parts list."""

    mark: str
    name: str
    pieces: int
    size: TwoSizes
    notes: str


class PlanMaterial(Struct, frozen=True):
    """The parts of one material."""

    name: str
    parts: tuple[PlanPart, ...]


class JointDrawing(Struct, frozen=True):
    """A joint 1 to `scale` on one of its parts, so many points wide and high."""

    part: str
    scale: int
    svg: str
    width: float
    high: float


class PlanJoint(Struct, frozen=True):
    """Joints of one kind between parts: their length, or the sizes by which they are cut."""

    parts: str
    kind: str
    count: int
    size: TwoSizes
    note: str
    drawing: JointDrawing | None


class CutDiagram(Struct, frozen=True):
    """One sheet or board to scale: 1 to `scale`, its picture so many points wide and high.

    A board is true to scale along it and may be drawn wider than it is. `marks` are the parts on
    it, `beside` what found no room in the drawing, `cuts` its cuts in their order, `tools` the
    shapes of their numbers.
    """

    title: str
    size: str
    scale: int
    svg: str
    width: float
    high: float
    marks: frozenset[str]
    beside: tuple[str, ...]
    cuts: tuple[str, ...]
    tools: tuple[str, ...]
    is_board: bool


class Purchase(Struct, frozen=True):
    """What to buy of one material, in the units in which it is bought."""

    kind: str
    name: str
    quantity: str
    note: str = ""


class PlanVersion(Struct, frozen=True):
    """A version of the plan: its day, and what it put right."""

    number: int
    day: date
    words: str


class PlanPage(Struct, frozen=True):
    """A plan to sell in one edition; `units` are those that stand first.

    Its `steps` have the names of their parts besides the marks.
    """

    title: str
    version: int
    day: date
    maker: str
    contact: str
    units: str
    picture: str
    size: TwoSizes
    chosen: tuple[ChosenSize, ...]
    audience: tuple[str, ...]
    tools: tuple[str, ...]
    time: str
    cautions: tuple[str, ...]
    conditions: tuple[str, ...]
    kerf: str
    is_edged: bool
    materials: tuple[PlanMaterial, ...]
    joints: tuple[PlanJoint, ...]
    diagrams: tuple[CutDiagram, ...]
    purchases: tuple[Purchase, ...]
    outlay: str
    steps: tuple[BuiltStep, ...]
    history: tuple[PlanVersion, ...]
    corrections: tuple[BuiltCorrection, ...]

    @property
    def pictures(self) -> tuple[str, ...]:
        """The files of its pictures, each once."""
        steps = (step.picture for step in self.steps if step.applies)
        return tuple(dict.fromkeys(name for name in (self.picture, *steps) if name))
