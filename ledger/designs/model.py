"""A design as it is written: rows of text and formulas, frozen.

Every size and count is kept as its text (`mattress_width + 2*gap + 2*ply`, `63-11/16`), so that a
design exported and loaded again is the same design. `build` works the texts out.
"""

from fractions import Fraction

from msgspec import Struct, field

EDGES = ("L1", "L2", "W1", "W2")
"""The two long and the two short edges of a part, as banding names them."""

GRAINS = ("length", "any")
CUTS = ("sheet", "board", "glued", "turned", "bought", "")
JOINTS = (
    "pocket", "dowel", "tenon", "loose tenon", "joiner tenon", "lap", "dovetail", "jig dovetail",
    "frame", "miter", "other",
)  # fmt: skip
BY_LENGTH = ("pocket", "dowel", "dovetail")
"""Joints counted by their length; all others are counted by the joint and need none."""

JOINED = ("loose", "hardware", "glued on", "screwed on")
"""How a part is held that no joint names; `in ID` says that it lies in another part."""

JOINT_SIZES = ("long", "thick", "wide", "deep", "down", "up", "edge", "tenons")
"""What `sizes` of a joint may say: a tenon's or lap's own, a groove's, how far from an edge."""

METHODS = ("spray", "brush", "wipe")

PLAN_LINES = (
    "picture", "size", "for", "tool", "buy", "leave out", "time", "caution", "conditions",
)  # fmt: skip
"""What the table `plan` says of a plan that is sold: each a line; picture, size and time once.

`buy` is what no list of the design has, `leave out` a material's code that no buyer needs."""

DRIVERS = (
    "part_lines", "meetings", "visits", "jobs", "service_jobs", "trips", "sheets", "strips",
    "wide_crosscuts", "narrow_crosscuts", "blanks", "board_feet", "glue_line", "panels",
    "panel_area", "veneer", "rabbet", "band", "solid_edge", "pocket_holes", "dowels", "pins",
    "tenons", "tenon_sizes", "loose_tenons", "joiner_tenons", "laps", "dovetails",
    "dovetail_width", "jig_dovetails", "frame_corners", "frame_sizes", "miter_joints", "shaped",
    "tapers", "curves", "spindle", "bowl", "joints", "opened", "repair", "drawers", "drawers_fit",
    "inset_drawers", "doors", "inset_doors", "mechanisms", "fittings", "fitting_minutes", "sand",
    "sand_painted", "sand_solid", "solid_pieces", "strip", "fill", "scuff", "spray", "sessions",
    "brush", "wipe", "hand_sessions", "mask", "rub", "pieces", "delivery", "install", "scribes",
    "trim",
)  # fmt: skip
"""What labor is estimated by; each operation's standard names one of these."""

TAGS = {
    "wall_fixed": "fixed to a wall",
    "springs": "springs or gas struts that move weight",
    "spraying": "sprayed finish",
    "oil_finish": "oil or oil-based stain",
    "composite": "panels of composite wood",
    "heavy": "pieces too heavy for one person",
    "long": "pieces longer than one person can guide",
    "high_blade": "cuts with the saw blade high or a panel on edge",
    "children": "for children",
    "bunk": "a bunk or loft bed",
    "free_standing": "a tall piece that stands free",
    "electrical": "lamps or other electrical parts",
    "painted": "an opaque finish",
}
"""What a piece may contain that calls for a caution."""


class Parameter(Struct, frozen=True):
    """A named value of the design; one that is a plain value may be set for a job."""

    name: str
    value: str
    minimum: str = ""
    maximum: str = ""
    words: str = ""


class Part(Struct, frozen=True):
    """One line of the parts list; `length` runs along the grain.

    `carried` names the piece that the part is carried in, once it is put together; `shaped` are
    the edges that are rounded or profiled; `tapers` the tapered faces of a piece; `joined` how it
    is held where no joint names it; `faces` is None where nothing is said of them; `sanded` the
    sanded faces where they are not the finished ones. What is cut `later` (a door, a drawer
    front, a back) is cut to size once its case is measured.
    """

    id: str
    name: str
    quantity: str
    length: str
    width: str
    material: str
    thickness: str = ""
    grain: str = "length"
    banded: tuple[str, ...] = ()
    edging: str = ""
    faces: int | None = 0
    handed: bool = False
    matched: str = ""
    oversize: str = ""
    cut: str = ""
    note: str = ""
    carried: str = ""
    shaped: tuple[str, ...] = ()
    tapers: str = ""
    joined: str = ""
    sanded: int | None = None
    later: bool = False


class CarriedPiece(Struct, frozen=True):
    """A piece that is carried by itself, and how many alike its parts make."""

    name: str
    pieces: str
    note: str = ""


class Joint(Struct, frozen=True):
    """Part-to-part contacts of one kind and length that are glued or screwed.

    `length` may be empty for kinds that are not of `BY_LENGTH`. `sizes` are those a plan draws
    (`long=3/4 in; thick=1/4 in`): of the tenon or lap on the part named last, of the groove in the
    part named first.
    """

    id: str
    kind: str
    length: str
    quantity: str
    note: str = ""
    sizes: str = ""


class Need(Struct, frozen=True):
    """Hardware, fasteners or supplies that the design asks for by count.

    `minutes` is what one of it takes to fit; what says none is counted as a fitting.
    """

    material: str
    quantity: str
    basis: str = ""
    minutes: str = ""


class Count(Struct, frozen=True):
    """A driver of labor that the design fixes, by number or by formula."""

    driver: str
    quantity: str
    basis: str = ""


class Coat(Struct, frozen=True):
    """Coats of one finish over the finished faces, or over an area of its own."""

    material: str
    coats: int
    method: str = "spray"
    tint: str = ""
    tint_share: Fraction = Fraction(0)
    area: str = ""


class DesignFact(Struct, frozen=True):
    """A line that a quote may say of the piece; `{…}` in it is worked out."""

    name: str
    words: str


class ClosingSum(Struct, frozen=True):
    """What must come out of a design's sizes: a formula, `=`, `<`, `<=`, `>` or `>=`, another."""

    sum: str
    sign: str
    value: str
    words: str = ""


class PlanLine(Struct, frozen=True):
    """A line of a plan that is sold, named as in `PLAN_LINES`; `{…}` in it is worked out."""

    name: str
    words: str


class Step(Struct, frozen=True):
    """A step of the work in a plan that is sold; `{…}` in its words is worked out.

    `parts` are the marks of the parts that it handles, `picture` a file's name or nothing.
    """

    number: int
    words: str
    parts: tuple[str, ...] = ()
    picture: str = ""


class Correction(Struct, frozen=True):
    """What was wrong in earlier versions, and what is right instead.

    `versions` are those at fault (`1`, `1-3`, `1, 3`); `sizes` are the conditions under which they
    are (`width > 30 in; legs = 4`), empty where always. `parts` and `steps` are the lines that were
    put right.
    """

    versions: str
    wrong: str
    right: str
    sizes: str = ""
    parts: tuple[str, ...] = ()
    steps: tuple[int, ...] = ()


class SubAssembly(Struct, frozen=True):
    """A design that stands inside another one, under a name that all its rows begin with.

    `values` fills in its parameters and materials (`width=36 in; ply=OAK34`). `version` says from
    which version its rows were written into this design; it is empty until that is done.
    """

    name: str
    block: str
    values: str = ""
    version: str = ""


class Design(Struct, frozen=True):
    """A whole design; `units` is what a bare length in it means."""

    name: str
    title: str
    units: str
    parameters: tuple[Parameter, ...] = ()
    parts: tuple[Part, ...] = ()
    joints: tuple[Joint, ...] = ()
    needs: tuple[Need, ...] = ()
    counts: tuple[Count, ...] = ()
    finish: tuple[Coat, ...] = ()
    tags: frozenset[str] = field(default_factory=frozenset)
    facts: tuple[DesignFact, ...] = ()
    note: str = ""
    carried: tuple[CarriedPiece, ...] = ()
    checks: tuple[ClosingSum, ...] = ()
    blocks: tuple[SubAssembly, ...] = ()
    plan: tuple[PlanLine, ...] = ()
    steps: tuple[Step, ...] = ()
    corrections: tuple[Correction, ...] = ()

    @property
    def materials(self) -> frozenset[str]:
        """The codes of all materials the design names."""
        named = (
            *(part.material for part in self.parts),
            *(part.edging for part in self.parts),
            *(need.material for need in self.needs),
            *(code for coat in self.finish for code in (coat.material, coat.tint)),
        )
        return frozenset(code for code in named if code)


class Flaw(Struct, frozen=True):
    """Something in a design that cannot be built: its table, row, column and a sentence."""

    table: str
    row: int
    column: str
    sentence: str
