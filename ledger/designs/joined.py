"""Which parts the joints of a piece name, and which joints are corners of its drawer boxes."""

import re
from collections.abc import Iterable, Sequence

from ledger.designs.built import BuiltJoint, BuiltPart
from ledger.measures.values import replace

DRAWER = re.compile(r"\bdrawer", re.IGNORECASE)
_AROUND_BOX = re.compile(
    r"\b(runner|kicker|guide|rail|divider|support|bearer|stretcher|slide|case|carcas|frame)",
    re.IGNORECASE,
)
_CORNER = re.compile(r"\b(box|corner)", re.IGNORECASE)
_DOVETAILS = ("dovetail", "jig dovetail")


def is_nameless(parts: Sequence[BuiltPart], joints: Sequence[BuiltJoint]) -> bool:
    """Whether a joint names no part, so that it may be any part's."""
    named = {part.id for part in parts}
    listed = (joint for joint in joints if not joint.is_assumed)
    return any(not _named_in(joint.id, named) for joint in listed)


def _named_in(words: str, ids: Iterable[str]) -> set[str]:
    """The ids of parts that the id of a joint names, as A1 and B2 in `A1-B2 below`."""
    folded = words.casefold()
    return {one for one in ids if re.search(rf"(?<!\w){re.escape(one.casefold())}(?!\w)", folded)}


def unjoined(parts: Sequence[BuiltPart], joints: Sequence[BuiltJoint]) -> list[BuiltPart]:
    """The parts that no joint names and whose own line does not say how they are held."""
    listed = " ".join(joint.id for joint in joints if not joint.is_assumed)
    named = _named_in(listed, [part.id for part in parts])
    return [part for part in parts if not part.joined and part.id not in named]


def in_boxes(parts: Sequence[BuiltPart], joints: Sequence[BuiltJoint]) -> tuple[BuiltJoint, ...]:
    """The joints, those marked that join nothing but parts of drawer boxes.

    Building a box has its corners in it. Dovetails stay, for they are asked about: they may be all
    that the box is built of.
    """
    names = {part.id: f"{part.id} {part.name}" for part in parts}
    boxes = {one for one, words in names.items() if _is_of_box(words)}

    def is_corner(joint: BuiltJoint) -> bool:
        named = _named_in(joint.id, names)
        by_name = _is_of_box(joint.id) and bool(_CORNER.search(joint.id))
        return joint.kind not in _DOVETAILS and (named <= boxes if named else by_name)

    return tuple(replace(one, is_in_box=True) if is_corner(one) else one for one in joints)


def _is_of_box(words: str) -> bool:
    return bool(DRAWER.search(words)) and not _AROUND_BOX.search(words)
