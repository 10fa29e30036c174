"""What a price takes for granted: panels glued up, joints nobody listed, lumber without waste."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction

from ledger.book.tables.materials import Material
from ledger.costing.sheet import SheetHours
from ledger.costing.woods import is_opaque, waste_advice
from ledger.designs.built import Build, BuiltJoint
from ledger.designs.counting import holes, pegs
from ledger.designs.words import woods
from ledger.labor.estimate import total_hours
from ledger.measures.rounding import half_up
from ledger.measures.spoken import how_many


def assumptions(
    title: str, build: Build, materials: Mapping[str, Material], hours: Sequence[SheetHours]
) -> Iterator[str]:
    """What the price takes for granted, a sentence each that says what would settle it.

    `title` is that of the job: a wood it names is compared with those used.
    """
    yield from build.notes
    codes = {part.material for part in build.parts}
    yield from other_wood(title, (one for code, one in materials.items() if code in codes))
    coats = dict.fromkeys(coat.material for coat in build.finish)
    yield from not_painted(title, (materials[code] for code in coats if code in materials))
    for joint in build.joints:
        if joint.is_assumed:
            lines = [line for line in hours if f"assumed for {joint.note}" in line.basis]
            cut = [line.name for line in lines if line.group != "assembly"]
            taken = total_hours(_share(line, joint) for line in lines)
            yield (
                f"Assumed: {how_many(joint.quantity, 'joint')} for {joint.note}, which no joint of"
                f" the design names ({', '.join(cut) or joint.kind}; {taken} h with assembly)."
                " List the joints, say in the column joined how a part is held, or set the usual"
                " one: benchledger shop set default_joint=dowel"
            )
    fitted = build.counts.get("fitting_minutes")
    if fitted is not None and fitted.is_assumed:
        basis = fitted.basis.replace("buttons assumed", "buttons", 1)
        yield (
            f"Assumed: {basis}. No button is priced: list them as needs with their"
            " minutes, or count fittings."
        )
    used = [part.material for part in build.parts if part.is_solid and part.cut != "bought"]
    used += [band.material for band in build.bands if band.is_solid]
    lumber = [materials[code] for code in dict.fromkeys(used)]
    advice = waste_advice(lumber, is_painted="painted" in build.tags)
    if advice:
        yield advice


def _share(line: SheetHours, joint: BuiltJoint) -> Decimal:
    """The hours of a line that are an assumed joint's, by what it has of all that is counted."""
    own = joint.quantity
    if line.group != "assembly":
        own = {"pocket": holes, "dowel": pegs}.get(joint.kind, lambda _: own)([joint])
    return half_up(Fraction(line.estimate) * min(Fraction(1), own / line.real_count), 2)


def other_wood(title: str, used: Iterable[Material]) -> Iterator[str]:
    """A wood that a title names and that none of the wood used has in its name."""
    names = [one.name for one in used if one.kind in ("lumber", "sheet")]
    there = " ".join(names).casefold()
    for wood in sorted(woods() & set(title.casefold().split())):
        if names and wood not in there:
            yield (
                f"{wood.capitalize()} is asked for, and this price is of other wood:"
                f" {'; '.join(names)}."
                f" A design that names {wood} mends it."
            )


_PAINT = re.compile(r"(?<!no )(?<!not )\b(paint(ed)?|enamell?ed|enamel)\b", re.IGNORECASE)


def not_painted(title: str, used: Iterable[Material]) -> Iterator[str]:
    """A paint that a title asks for, where every finish used is a clear one."""
    coats = [one for one in used if one.kind == "finish"]
    if coats and _PAINT.search(title) and not any(is_opaque(one) for one in coats):
        yield (
            f"Paint is asked for, and the finish in this price is clear:"
            f" {'; '.join(one.name for one in coats)}. Primer, paint and their hours are not in it."
            " A design whose finish is paint mends it."
        )
