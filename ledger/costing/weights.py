"""What pieces weigh by estimate, and when one person is not enough.

A piece is what is carried by itself, as the design names it for each part; parts that name none go
together, and where no part names one that is the whole. Alike pieces share the weight of their
parts evenly. A weight is volume × density; where a part's density or thickness is not known the
piece is marked as short of it. Nothing here says what anybody can lift: it says when help is called
for, and when even help is not the answer.

The measure: the load constant of the revised NIOSH lifting equation (23 kg or 51 lb, Applications
Manual 94-110) is what it recommends at most for one person under the best conditions; real lifts
are worse. A load is never divided by it: a team of two does about two thirds of what its members
do alone, a team of three about half (HSE, L23, paragraph 120), so a third pair of hands hardly
helps and more do not. Beyond that a lift, a dolly or taking the piece apart is called for.
"""

from collections.abc import Iterable, Mapping
from fractions import Fraction

from msgspec import Struct

from ledger.book.tables.materials import Material
from ledger.costing.woods import density_of
from ledger.designs.built import Build, BuiltPart
from ledger.measures.grouped import grouped
from ledger.measures.length import Length
from ledger.measures.rounding import half_up_whole

LOAD_CONSTANT = Fraction(23)
"""Kilograms; NIOSH 94-110, for one person under the best conditions."""

TEAM_SHARES = {1: Fraction(1), 2: Fraction(2, 3), 3: Fraction(1, 2)}
"""What a team does, as a share of the sum of what its members do alone (HSE L23, 120)."""

LONG = Length.of(7, "ft")
"""From this length on a part wants a second pair of hands: common practice, no source."""

_POUND = Fraction("0.45359237")
_NM3 = 10**27  # cubic nanometers in a cubic meter


class Weight(Struct, frozen=True):
    """The estimated weight of one piece in kilograms; `lacking` are materials of unknown weight.

    `pieces` are so many alike; a weight without a `piece` is that of parts the design puts in none.
    """

    piece: str
    kilograms: Fraction
    longest: Length
    sources: tuple[str, ...] = ()
    lacking: tuple[str, ...] = ()
    pieces: int = 1

    @property
    def pounds(self) -> Fraction:
        """The weight in pounds."""
        return self.kilograms / _POUND


def weigh(build: Build, materials: Mapping[str, Material]) -> tuple[Weight, ...]:
    """The estimated weight of every piece of a build that is carried by itself."""
    pieces = grouped(build.parts, lambda part: part.carried)
    return tuple(
        _weight(name, parts, materials, alike=build.carried.get(name, 1))
        for name, parts in pieces.items()
    )


def whole_weight(build: Build, materials: Mapping[str, Material]) -> Weight | None:
    """The estimated weight of all parts of a build together; None where it has none."""
    return _weight("", list(build.parts), materials) if build.parts else None


def heaviest_part(build: Build, materials: Mapping[str, Material]) -> Weight | None:
    """The heaviest single part, as it is carried through the shop, or None."""
    alone = (_weight(part.name, [part], materials, single=True) for part in build.parts)
    return max(alone, key=lambda weight: weight.kilograms, default=None)


def team_capacity(alone: Iterable[Fraction]) -> Fraction | None:
    """What a team is said to do together, from what each does alone; None beyond three people.

    >>> team_capacity([Fraction("32.33")] * 2), team_capacity([Fraction("32.33")] * 4)
    (Fraction(3233, 75), None)
    """
    members = list(alone)
    share = TEAM_SHARES.get(len(members))
    return None if share is None else sum(members) * share


def help_for(kilograms: Fraction, longest: Length, alone: Fraction = LOAD_CONSTANT) -> str:
    """What a load calls for: nothing said, `help`, or a `lift` (a dolly, or taking it apart).

    `alone` is what one person is said to do in the case at hand; never a count of people.

    >>> [help_for(Fraction(kilos), Length.of(1, "m")) for kilos in (10, 30, 60)]
    ['', 'help', 'lift']
    """
    teams = (team_capacity([alone] * people) for people in TEAM_SHARES)
    if kilograms > max(team for team in teams if team is not None):
        return "lift"
    return "help" if kilograms > alone or longest > LONG else ""


def show_weight(weight: Weight, units: str) -> str:
    """A weight in words, whole pounds or kilograms, marked as the estimate it is."""
    if not weight.kilograms and weight.lacking:
        return "weight not known"
    value = weight.pounds if units == "inch" else weight.kilograms
    unit = "lb" if units == "inch" else "kg"
    least = "at least " if weight.lacking else "about "
    return f"{least}{half_up_whole(value)} {unit} (estimate)"


def _weight(
    name: str,
    parts: list[BuiltPart],
    materials: Mapping[str, Material],
    *,
    single: bool = False,
    alike: int = 1,
) -> Weight:
    mass = Fraction(0)
    sources: dict[str, None] = {}
    lacking: dict[str, None] = {}
    for part in parts:
        material = materials[part.material]
        thickness = part.thickness or material.thickness
        density = density_of(material)
        if thickness is None or density is None:
            lacking[material.code] = None
            continue
        count = 1 if single else part.quantity
        volume = Fraction(part.length.nm * part.width.nm * thickness.nm * count, _NM3)
        mass += volume * density.value
        sources[density.source] = None
    longest = max(part.length for part in parts)
    return Weight(name, mass / alike, longest, tuple(sources), tuple(lacking), alike)
