"""How the edges of a part are spelled: by marks, or in words such as both long."""

from ledger.errors import BadValue
from ledger.measures.spoken import quoted

_SPOKEN = {
    "one long": ("L1",), "both long": ("L1", "L2"), "two long": ("L1", "L2"), "one short": ("W1",),
    "both short": ("W1", "W2"), "two short": ("W1", "W2"), "all round": ("L1", "L2", "W1", "W2"),
    "all": ("L1", "L2", "W1", "W2"), "none": (), "-": (),
}  # fmt: skip
_MARKS = ("L1", "L2", "W1", "W2")


def read_edges(text: str) -> tuple[str, ...]:
    """Read which edges are banded, by marks or in words, into marks in their order.

    >>> read_edges("one long"), read_edges("W1 L1"), read_edges("both long, one short")
    (('L1',), ('L1', 'W1'), ('L1', 'L2', 'W1'))
    >>> read_edges("L3")
    Traceback (most recent call last):
    ledger.errors.BadValue: “L3” is not an edge; write L1, L2, W1, W2, or words such as one long, \
both short, all round.
    """
    edges: set[str] = set()
    for phrase in text.replace("+", ",").replace(";", ",").replace(" and ", ",").split(","):
        words = " ".join(phrase.split()).casefold()
        if words in _SPOKEN:
            edges.update(_SPOKEN[words])
            continue
        for mark in words.upper().split():
            if mark not in _MARKS:
                hint = "write L1, L2, W1, W2, or words such as one long, both short, all round"
                raise BadValue(f"{quoted(mark)} is not an edge; {hint}.")
            edges.add(mark)
    return tuple(mark for mark in _MARKS if mark in edges)


def show_edges(edges: tuple[str, ...]) -> str:
    """Say in words which edges are banded, or by marks where words would be longer.

    >>> show_edges(("L1", "L2")), show_edges(("L1", "W2")), show_edges(())
    ('both long', 'L1 W2', '')
    """
    name = next((words for words, marks in _SPOKEN.items() if marks == edges and marks), "")
    return name or " ".join(edges)
