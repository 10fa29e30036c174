"""How many pieces a description asks for: `six chairs`, `chairs x 6`, `a pair of desks`. Pure.

A number before a noun in the singular is no number of pieces (`6 drawer dresser`), nor is a size.
"""

import re

from ledger.measures.sizes import is_size_word
from ledger.measures.spoken import plain_signs

_WORDS = (
    "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
    "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen", "twenty",
)  # fmt: skip
_NUMBER_OF = {word: number for number, word in enumerate(_WORDS, 2)}
_NUMBER_OF |= {"pair of": 2, "couple of": 2, "half dozen": 6, "half a dozen": 6, "dozen": 12}
_FIRST = re.compile(
    r"(?:(?:an? )?(?:set|batch|run) of )?(?:an? (?=pair|couple|half|dozen))?"
    rf"(?P<number>[0-9]{{1,3}}|{'|'.join(_NUMBER_OF)})(?: ?[x×])? +(?P<rest>.*)"
)
_AFTER = re.compile(
    r"(?P<noun>[a-z]+) ?(?P<by>[x×*,]) ?(?P<number>[0-9]{1,3})(?: (?:pieces|pcs))?"
    r"(?= +(?P<next>[a-z]+)(?: +(?P<then>[a-z]+))?|,|$)"
)
_NO_NOUNS = ("closed", "down", "extended", "folded", "open", "out", "shut", "up")
"""What is said of a size of a piece that moves, as `38 open x 29`."""
_STOP = re.compile(r"[0-9,;(]|(?<!-)\b(?:and|at|by|for|from|in|of|with)\b")


def pieces_said(text: str) -> tuple[int, str]:
    """The number of pieces and the description of one of them; 1 where no number is said.

    >>> pieces_said("six chairs 18x20x32"), pieces_said("Chairs x 6 in oak")
    ((6, 'chairs 18x20x32'), (6, 'chairs in oak'))
    >>> pieces_said("two 8 ft tables"), pieces_said("a pair of nightstands")
    ((2, '8 ft tables'), (2, 'nightstands'))
    >>> pieces_said("6 drawer dresser"), pieces_said("8 ft bench"), pieces_said("six foot bench")
    ((1, '6 drawer dresser'), (1, '8 ft bench'), (1, 'six foot bench'))
    >>> pieces_said("bench x 8 ft"), pieces_said("chairs, 6")
    ((1, 'bench x 8 ft'), (6, 'chairs'))
    >>> pieces_said("desk x 2 drawers"), pieces_said("half a dozen stools in ash")
    ((1, 'desk x 2 drawers'), (6, 'stools in ash'))
    >>> pieces_said("table 34 x 38 open x 29")
    (1, 'table 34 x 38 open x 29')
    """
    plain = plain_signs(text)
    first = _FIRST.fullmatch(plain)
    if first and _counts(first["number"], first["rest"]):
        return _NUMBER_OF.get(first["number"]) or int(first["number"]), first["rest"]
    after = _AFTER.search(plain)
    if after is None or not _is_number(after):
        return 1, text
    return int(after["number"]), plain[: after.end("noun")] + plain[after.end() :]


def _is_number(after: re.Match[str]) -> bool:
    """Whether what follows a noun is how many of it there are, and no size."""
    is_of_wood = after["next"] == "in" and not is_size_word(after["then"] or "in")
    is_size = is_size_word(after["noun"]) or (is_size_word(after["next"] or "") and not is_of_wood)
    if (
        is_size
        or after["noun"] in _NO_NOUNS
        or after["next"] in ("x", "by")
        or _is_plural(after["next"] or "")
        or not int(after["number"])
    ):
        return False
    return after["by"] != "," or (_is_plural(after["noun"]) and not after["next"])


def _counts(number: str, rest: str) -> bool:
    """Whether a number at the beginning counts the pieces named after it."""
    if rest[:1].isdigit():
        return number in _NUMBER_OF
    named = _STOP.split(rest, maxsplit=1)[0].split()
    if not named or is_size_word(named[0]) or number.strip("0") == "":
        return False
    return len(named) == 1 or _is_plural(named[-1])


def _is_plural(noun: str) -> bool:
    return noun.endswith("s") and not noun.endswith("ss")
