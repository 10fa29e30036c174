"""The one of several that a name, or a part of one, means."""

from collections.abc import Callable, Iterable, Sequence

from ledger.errors import Ambiguous, NotFound


def choose[T](
    what: str,
    text: str,
    rows: Iterable[T],
    called: Callable[[T], Sequence[str]],
    shown: Callable[[T], str] | None = None,
    *,
    if_none: str = "",
    are_all: bool = False,
) -> T:
    """The one row that is called so, else the one of which a name has the text in it.

    `called` gives the names of a row, `shown` how it is offered, else by its first name.

    Raises:
        NotFound: nothing answers; first names are offered.
        Ambiguous: several answer.

    >>> choose("wood", "OA", ["ash", "oak", "poplar"], lambda wood: [wood])
    'oak'
    """
    sought = text.strip().casefold()
    names = [(row, [name.casefold() for name in called(row)]) for row in rows]
    near = [row for row, own in names if sought in own] or [
        row for row, own in names if sought and any(sought in name for name in own)
    ]
    if len(near) == 1:
        return near[0]
    if near:
        raise Ambiguous(what, text, [shown(row) if shown else called(row)[0] for row in near])
    known = [called(row)[0] for row, _ in names]
    raise NotFound(what, text, known, if_none=if_none, are_all=are_all)
