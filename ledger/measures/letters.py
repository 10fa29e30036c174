"""Letters that no name may hold, and those by which a spreadsheet takes a text for a formula."""

import re

FORMULA_STARTERS = tuple("=+-@\t\r\n＝＋－＠")
"""First letters of a formula, the wide ones too (OWASP, *CSV Injection*)."""

UNSEEN = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ufffe\uffff"
    "\ud800-\udfff]"
)
"""Control signs (tab and line ends aside), marks that turn the direction of writing, no letters."""


def unseen(text: str) -> str:
    r"""The first sign of a text that cannot be seen, by its number; empty where there is none.

    >>> unseen("bell\x07"), unseen("gnp\u202e.exe"), unseen("oak, 4/4")
    ('U+0007', 'U+202E', '')
    """
    match = UNSEEN.search(text)
    return f"U+{ord(match[0]):04X}" if match else ""


def file_name(text: str) -> str:
    """A name as a part of a file's name: letters and figures only, never a way out of the folder.

    >>> file_name("Brightfell Panels"), file_name("../a/b"), file_name("…")
    ('Brightfell-Panels', 'a-b', 'sponsor')
    """
    return re.sub(r"[\W_]+", "-", text).strip("-")[:60] or "sponsor"
