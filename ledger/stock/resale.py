"""What is bought for resale although it never becomes part of a piece.

A resale certificate covers what is sold on; what the shop uses up itself is usually taxed when it
is bought (common practice in the United States, no source; each state has its own law).
"""

from ledger.stock.documents import DocumentLine

_USED_UP = {
    "abrasive": "abrasives are",
    "supply": "supplies are",
    "blade": "blades are",
    "safety": "safety gear is",
    "tool": "tools are",
}
"""The categories that a shop uses itself, as a sentence begins of them."""


def resale_note(line: DocumentLine) -> str:
    """What to look at again where a line is marked as bought for resale; usually nothing."""
    if line.tax_kind != "resale" or line.category not in _USED_UP:
        return ""
    return (
        f"{line.words} is marked as bought for resale, but {_USED_UP[line.category]} usually used"
        " up in the shop and no part of the piece. As a rule a resale certificate does not cover"
        " that, and use tax is owed (tax kind use); your adviser and local law decide."
    )
