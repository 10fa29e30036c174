"""What each room adds to undoing and checking; asked only when one undoes or checks."""

import importlib.util
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from ledger.book import Book
    from ledger.book.check import BookCheck
    from ledger.book.journal import ReversalRule

REVERSAL_RULES = (
    "ledger.stock.rules:REVERSAL_RULES",
    "ledger.sponsors.rules:REVERSAL_RULES",
    "ledger.labor.rules:REVERSAL_RULES",
    "ledger.jobs.rules:REVERSAL_RULES",
    "ledger.quotes.rules:REVERSAL_RULES",
)
"""Rules `(book, deed)` that raise where the book would not tie once the deed is taken back."""

CHECKS = (
    ("What is on hand is what lots and movements say", "ledger.stock.rules:faults"),
    ("What was agreed and published is for a sponsor", "ledger.sponsors.rules:unknown_sponsors"),
    ("Sent quotes are as they were sent", "ledger.cli.rooms:altered_quotes"),
    ("Sent invoices are as they were sent", "ledger.quotes.invoice:altered_invoices"),
)
"""Statements that should hold, each with a function `(book)` that says what is wrong."""


def reversal_rules() -> "list[ReversalRule]":
    """The rules of all rooms that have some."""
    return [rule for place in REVERSAL_RULES for rule in _standing_at(place, ())]


def checks() -> "list[tuple[str, BookCheck]]":
    """The checks of all rooms that have some."""
    found = [(name, _standing_at(place, None)) for name, place in CHECKS]
    return [(name, check) for name, check in found if check is not None]


def altered_quotes(book: "Book") -> list[str]:
    """What is wrong with the frozen pages of quotes, a sentence each."""
    from ledger.quotes.check import check_quotes

    return [f"{page.name}: {fault}." for page in check_quotes(book) for fault in page.faults]


def _standing_at(place: str, otherwise: Sequence[Callable[..., Any]] | None) -> Any:
    module, attribute = place.split(":")
    if importlib.util.find_spec(module) is None:
        return otherwise
    return getattr(importlib.import_module(module), attribute, otherwise)
