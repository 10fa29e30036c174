"""Lines of a job that were typed one behind another: "use GLUE 2 use DISC5 10, protect 1"."""

import re
from collections.abc import Sequence
from itertools import pairwise

from ledger.book import Book
from ledger.errors import Ambiguous, BadValue, NotFound
from ledger.jobs.lines import OUTSIDE, USE, WORK
from ledger.jobs.typed_lines import AMOUNT, is_line, read_typed
from ledger.labor.standards import choose_operation, spoken_words, standards
from ledger.stock.materials import find_material, materials

KINDS = {"work": WORK, "use": USE, "material": USE, "outside": OUTSIDE, "others": OUTSIDE}
"""The words for a kind of line, as they are typed and as a list of lines shows them."""

_COMMA = re.compile(r"\s*[;,](?!\d)\s*")


def parted(book: Book, words: Sequence[str]) -> list[tuple[str, list[str]]]:
    """The lines that were typed, each with its kind; what begins no line is a note.

    A line begins at the word for its kind, at the name of an operation or the code of a material,
    and right behind an amount or a comma at a part of such a name, each with its amount.

    Raises:
        BadValue: what stands behind a line may be several things.
    """
    typed = _COMMA.sub(", ", " ".join(words)).strip(" ,").split()
    cuts = [0]
    for at in range(1, len(typed)):
        before = typed[cuts[-1] : at]
        if _is_whole(book, before) and _begins(book, typed[at:], before):
            cuts.append(at)
    return [_line(book, typed[start:end]) for start, end in pairwise([*cuts, len(typed)])]


def _line(book: Book, typed: list[str]) -> tuple[str, list[str]]:
    """The kind of a line and its words, without the one for the kind."""
    typed = [*typed[:-1], typed[-1].rstrip(",")] if typed else []
    kind, name = KINDS.get(typed[0].casefold()) if typed else None, _name(typed)
    if kind is None or _is_operation(book, name):
        is_material = name in {code.casefold() for code in materials(book)}
        return USE if is_material and not _is_operation(book, name) else WORK, typed
    return kind, typed[1:] if kind != WORK or len(typed) > 1 else typed


def _name(typed: Sequence[str]) -> str:
    """The words before the first amount; nothing where no amount follows."""
    at = next((at for at, word in enumerate(typed) if at and AMOUNT.match(word)), 0)
    return " ".join(typed[:at]).casefold()


def _is_whole(book: Book, typed: list[str]) -> bool:
    """Whether a line has its amount, so that another one may follow."""
    kind, own = _line(book, typed)
    return len(own) > 1 if kind == OUTSIDE else bool(_name(own))


def _begins(book: Book, typed: list[str], before: list[str]) -> bool:
    """Whether a further line begins with these words, behind the line so far."""
    kind, name = KINDS.get(typed[0].casefold()), _name(typed)
    if kind == OUTSIDE:
        return len(typed) > 2 and bool(AMOUNT.match(typed[1]))
    if kind and (own := _name(typed[1:])) and (kind == USE or _is_operation(book, own)):
        return True
    codes = {code.casefold() for code in materials(book)}
    if not name or _is_operation(book, name) or name in codes:
        return bool(name)
    before_kind, own_before = _line(book, before)
    is_behind = before[-1].endswith(",")
    if not is_behind and (before_kind == OUTSIDE or read_typed(own_before).rest):
        return False
    try:
        if before_kind == USE:
            find_material(book, name)
        else:
            choose_operation(standards(book), name)
    except (NotFound, Ambiguous) as unsure:
        if isinstance(unsure, NotFound) and not _may_be_slip(book, typed, name):
            return False
        raise BadValue(
            f"“{' '.join(typed)}” stands behind a line and may be a further one: {unsure} A note"
            f' is --note "{" ".join(typed)}".'
        ) from unsure
    return True


def _may_be_slip(book: Book, typed: list[str], name: str) -> bool:
    """Whether words may be meant as a line of a name that nothing has; many words are a note.

    In "left protect 1" the further line is what ends the words.
    """
    end = next((at for at, word in enumerate(typed, 1) if word.endswith(",")), len(typed))
    more = name.split()[1:]
    return len(more) < 2 and is_line(typed[:end]) and not _is_operation(book, " ".join(more))


def _is_operation(book: Book, name: str) -> bool:
    """Whether an operation is called just so."""
    return any(
        name in {word.casefold() for word in (row.code, row.name, *spoken_words(row))}
        for row in standards(book).values()
    )
