"""The cautions a piece calls for, chosen by what it contains: reminders, never permission.

Each names who decides (the local code, a licensed trade, the maker of the part). None tells what a
wall, an anchor or a person can carry, and none says that a piece meets a rule: drywall has no
density to reckon with, a pull that moves is not one that hangs still, and the book knows neither
wall nor people. Most are common practice, no source; where a rule is named, its number stands by.
"""

import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from fractions import Fraction

from msgspec import Struct

from ledger.book.tables.materials import Material
from ledger.costing.weights import Weight, heaviest_part, help_for, show_weight, weigh
from ledger.costing.woods import density_of
from ledger.designs.built import Build
from ledger.errors import BadValue
from ledger.measures.length import Length, measured_length, parse_length, show_length
from ledger.measures.values import replace


class Caution(Struct, frozen=True):
    """One caution; `for_client` says whether it stands on the client's page too."""

    about: str
    words: str
    for_client: bool = False

    def __str__(self) -> str:
        return self.words


_FOR_CLIENT = (
    ("wall_fixed", "wall fixing",
     "Fixed to the building: only into studs or masonry, with anchors their maker names for it, as"
     " the fittings' instructions and a qualified person say; never into drywall alone. Wires and"
     " pipes are looked for first. The local building code decides."),
    ("springs", "springs",
     "The springs are chosen for the weight that they move. A heavier or lighter load needs other"
     " springs: ask first. Keep the swing clear, use strap and lock, and let no child work it."),
    ("free_standing", "tipping",
     "A tall piece that stands free can tip: it is anchored to the wall, whatever it holds. Free"
     " standing storage for clothes of 27 in (686 mm) or higher, 30 lb (13.6 kg) or heavier, with"
     " 3.2 cu ft (91 L) or more inside, is a matter of 16 CFR 1261 in the US."),
    ("bunk", "bunk or loft bed",
     "Beds whose foundation lies over 30 in (760 mm) above the floor have rules of their own on"
     " guardrails and gaps: 16 CFR 1213 and 1513 in the US, EN 747 in Europe. They are looked up,"
     " not guessed."),
    ("children", "children",
     "For use by children: edges eased, gaps looked at for fingers and heads against the rule of"
     " the place, finish fully cured first."),
    ("electrical", "electrical",
     "Lamps and outlets are connected by a licensed electrician under the local electrical code."),
)  # fmt: skip

_FOR_SHOP = (
    ("springs", "charging the springs",
     "Anchor the cabinet before the springs are charged, and never try the mechanism without its"
     " load or an equal weight on it: the springs can throw the panel. Two people. What they move"
     " is the weight below with its fittings: compare it with what the mechanism's maker names."),
    ("spraying", "spraying",
     "Spray with ventilation, a respirator with the right cartridges, and nothing that can ignite"
     " near solvent finish. A hardener with isocyanate needs supplied air. Waterborne mist still"
     " needs the mask. The local fire code is the authority on where spraying may be done."),
    ("oil_finish", "oily rags",
     "Rags with drying oil or oil stain heat up by themselves: spread them flat outdoors to cure,"
     " or put them into a metal can with water. Never in a pile."),
    ("strip", "old paint and strippers",
     "Old paint may hold lead: test before sanding or scraping, and read 40 CFR 745 and the local"
     " rule, which decide. Strippers with methylene chloride are restricted (40 CFR 751); with any"
     " stripper gloves, eyes covered, fresh air, no flame. Sludge goes where the place says."),
    ("turned", "lathe",
     "Face shield and mask, no gloves or loose sleeves; a sound blank without cracks, the speed by"
     " its diameter and slow at first, the rest close and the tool on it before the wood."),
    ("glued", "solid panels",
     "Solid panels move across the grain with the seasons: never glued or screwed fast across it;"
     " buttons or slots let them move."),
    ("composite", "panels of composite wood",
     "Keep with every receipt the supplier's written formaldehyde statement (40 CFR 770 in the US)"
     " for three years, and label the finished piece as that rule asks; a panel without statement"
     " is not used."),
    ("high_blade", "high blade",
     "Panels on edge and tall bevels on the table saw: tall fence, carrier, zero-clearance insert,"
     " blade tilted away from the fence; blade back to just above the stock and guard back on"
     " afterwards."),
)  # fmt: skip

_OF_BEDS = {
    "springs":
     "The springs are chosen for this bed with this mattress. A heavier, lighter or thicker"
     " mattress needs other springs: ask first. Keep the swing clear, use strap and lock, and let"
     " no child work it.",
    "charging the springs":
     "Anchor the cabinet before the springs are charged, and never try the mechanism without the"
     " mattress or an equal weight on it: the springs can throw the panel. Two people. What they"
     " move is the weight below, its fittings and the measured mattress: compare it with what the"
     " mechanism's maker names.",
}  # fmt: skip
"""How a caution reads for a piece that is made for a mattress."""

_OUTSIDE_US = {
    "wall fixing":
     "Fixed to the building: only into masonry or studs, with anchors their maker names for it, as"
     " the fittings' instructions and a qualified person say; never into plasterboard alone. Wires"
     " and pipes are looked for first. The local building code decides.",
    "tipping":
     "A tall piece that stands free can tip: it is anchored to the wall, whatever it holds. Your"
     " country's rules on the stability of storage furniture are to be read.",
    "bunk or loft bed":
     "High beds have rules of their own on guardrails and gaps: EN 747 in Europe. They are looked"
     " up, not guessed.",
    "old paint and strippers":
     "Old paint may hold lead: test before sanding or scraping; the rules of the place decide."
     " Strippers with dichloromethane are restricted in the EU; with any stripper gloves, eyes"
     " covered, fresh air, no flame. Sludge is disposed of as the place asks.",
    "panels of composite wood":
     "Keep with every receipt what the supplier states in writing on formaldehyde; a panel without"
     " a statement is not used. The law of the place says what is to be stated and how long it is"
     " kept.",
}  # fmt: skip
"""How a caution reads in a book that is not kept in US dollars: without the rules of the US."""

ALWAYS = Caution(
    "dust, noise, eyes",
    "Dust extraction and mask, hearing and eye protection; let the finish cure before anything"
    " soft touches it.",
)


def cautions_for(
    build: Build,
    materials: Mapping[str, Material],
    units: str,
    *,
    in_us: bool = True,
    counted: Collection[str] = (),
) -> tuple[Caution, ...]:
    """The cautions of a piece, those the client reads too first; rules of the US only there.

    `counted` are the drivers of its hours: a repair has no lists that would say what is done.
    """
    tags = {*build.tags, *_done(build, materials, counted)}
    if any(materials[part.material].composite for part in build.parts):
        tags.add("composite")
    wordings = (_OF_BEDS if is_bed(build.parameters) else {}) | ({} if in_us else _OUTSIDE_US)
    cautions = [
        Caution(about, wordings.get(about, words), True)
        for tag, about, words in _FOR_CLIENT
        if tag in tags
    ]
    cautions += _scope_notes(build, weigh(build, materials), units) if in_us else []
    cautions += [
        Caution(about, wordings.get(about, words)) for tag, about, words in _FOR_SHOP if tag in tags
    ]
    if units == "mm":
        cautions = [
            replace(one, words=_METRIC_SECOND.sub(r"\2 (\1)", one.words)) for one in cautions
        ]
    return (*cautions, *_handling(build, materials, tags, units), ALWAYS)


_METRIC_SECOND = re.compile(r"([\d.]+ (?:in|lb|cu ft)) \(([\d.]+ (?:mm|kg|L))\)")


def _done(
    build: Build, materials: Mapping[str, Material], counted: Collection[str]
) -> Iterator[str]:
    """What is done to a piece that calls for a caution, whether or not a tag says so."""
    if "strip" in counted:
        yield "strip"
    if {"spindle", "bowl"} & {*counted}:
        yield "turned"
    if "spray" in counted:
        yield "spraying"
    if has_oil(build, materials) or (not build.parts and "wipe" in counted):
        yield "oil_finish"
    if any(part.cut == "glued" for part in build.parts):
        yield "glued"


def has_oil(build: Build, materials: Mapping[str, Material]) -> bool:
    """Whether the finish is a drying oil: a tag says so, or a coat by hand is called oil."""
    return "oil_finish" in build.tags or any(
        coat.method != "spray"
        and coat.material in materials
        and _OIL.search(materials[coat.material].name)
        for coat in build.finish
    )


_OIL = re.compile(r"\b(hard)?oil\b", re.IGNORECASE)


def under_stability_rule(
    height: Length, pounds: Fraction, cubic_feet: Fraction, *, attached: bool
) -> bool:
    """Whether free-standing clothes storage falls in the scope of 16 CFR 1261.

    All three limits are "at least"; a built-in that is permanently attached to the building is
    outside. It says that the rule is to be read, not what it asks.

    >>> under_stability_rule(
    ...     Length.of(27, "in"), Fraction(30), Fraction("3.2"), attached=False)
    True
    """
    tall = height >= Length.of(27, "in")
    return not attached and tall and pounds >= 30 and cubic_feet >= Fraction("3.2")


def under_bunk_rule(underside: Length) -> bool:
    """Whether a bed's foundation lies so high that 16 CFR 1213 and 1513 speak of it.

    >>> under_bunk_rule(Length.of(30, "in")), under_bunk_rule(Length.of(31, "in"))
    (False, True)
    """
    return underside > Length.of(30, "in")


def is_bed(parameters: Iterable[str]) -> bool:
    """Whether a piece with parameters of these names is made for a mattress."""
    return any(name.startswith("mattress") for name in parameters)


def _scope_notes(build: Build, weights: tuple[Weight, ...], units: str) -> list[Caution]:
    """What the sizes say about the scope of a rule, where the design names them."""
    notes = []
    underside = _length_of(build, "underside", units)
    if underside is not None and under_bunk_rule(underside):
        shown = show_length(underside, units, suffix=True)
        words = (
            f"The foundation's underside is {shown} above the floor: those rules are to be read."
        )
        notes.append(Caution("bunk or loft bed", words))
    height = _length_of(build, "overall_height", units)
    volume = build.parameters.get("enclosed_volume_cuft", "")
    if "free_standing" in build.tags and height is not None and volume:
        pounds = sum((weight.pounds * weight.pieces for weight in weights), Fraction(0))
        attached = "wall_fixed" in build.tags
        if under_stability_rule(height, pounds, Fraction(volume), attached=attached):
            words = "By height, estimated weight and volume inside, 16 CFR 1261 is to be read."
            notes.append(Caution("tipping", words))
    return notes


def _length_of(build: Build, name: str, units: str) -> Length | None:
    try:
        return parse_length(build.parameters[name], units)
    except (KeyError, BadValue):
        return None


def _handling(
    build: Build, materials: Mapping[str, Material], tags: set[str], units: str
) -> list[Caution]:
    """When one person is not enough for a part or a piece, by weight or by length."""
    notes = []
    part, weights = heaviest_part(build, materials), weigh(build, materials)
    named = [(_named(weight, len(weights)), weight) for weight in weights]
    named += [(f"Heaviest part, {part.piece}", part)] if part else []
    for name, weight in named:
        called = help_for(weight.kilograms, weight.longest)
        if called == "lift":
            notes.append(
                f"{name}: {show_weight(weight, units)}. More people are not the answer: use a lift"
                " or a dolly, or move it in parts, and with help."
            )
        elif called == "help":
            long = measured_length(weight.longest, units, suffix=True)
            notes.append(f"{name}: {show_weight(weight, units)}, {long} long. Get help.")
    is_weighed = bool(notes)
    if not notes and tags & {"heavy", "long"}:
        notes.append("Heavy or long pieces: get help, a panel lift or a dolly.")
    if notes:
        notes.append(
            "Stairs, narrow paths and carrying are harder than any lifting formula allows for."
        )
    sources = _sources(build, materials, is_weighed=is_weighed)
    return [Caution("moving weight", words) for words in (*notes, *sources)]


def _named(weight: Weight, pieces: int) -> str:
    """What is weighed; where the design names no pieces, that its parts are weighed together."""
    if weight.piece:
        name = weight.piece[:1].upper() + weight.piece[1:]
        return name if weight.pieces == 1 else f"{name}, each of {weight.pieces}"
    if pieces == 1:
        return "All parts together (the design does not say what is carried by itself)"
    return "The parts that are in no named piece, together"


def _sources(build: Build, materials: Mapping[str, Material], *, is_weighed: bool) -> list[str]:
    """Where the weights that are said come from, and what could not be weighed."""
    weights = weigh(build, materials)
    sources = list(dict.fromkeys(source for weight in weights for source in weight.sources))
    lacking = list(dict.fromkeys(code for weight in weights for code in weight.lacking))
    sentences = []
    if sources and is_weighed:
        sentences.append(f"Weights are estimated from densities: {'; '.join(sources)}.")
    bare = [code for code in lacking if density_of(materials[code]) is None]
    if bare:
        sentences.append(
            f"No density is known for {', '.join(bare)}: not weighed. Write it into the price list,"
            " columns density (kg/m³) and density_source."
        )
    if thin := [code for code in lacking if code not in bare]:
        sentences.append(f"No thickness is known for {', '.join(thin)}: not weighed.")
    return sentences
