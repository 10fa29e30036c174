"""Closing sums: what a design's sizes must come to, and by how much they miss it."""

from collections.abc import Callable
from fractions import Fraction
from operator import eq, ge, gt, le, lt

from ledger.designs.cells import show_measure
from ledger.designs.model import ClosingSum
from ledger.designs.scope import Scope
from ledger.designs.tree import Measure
from ledger.errors import BadValue
from ledger.measures.spoken import quoted

SIGNS: dict[str, Callable[[Fraction, Fraction], bool]] = {
    "=": eq, "<": lt, "<=": le, ">": gt, ">=": ge,
}  # fmt: skip
"""How the two sides of a closing sum may stand to each other."""
_MUST_BE = {"=": "", "<": "less than ", "<=": "at most ", ">": "more than ", ">=": "at least "}


def require_closed(scope: Scope, check: ClosingSum) -> None:
    """Refuse a sum that does not close.

    Raises:
        BadValue: with both sides, and by how much they differ.

    """
    left, right = (scope.measure(text) for text in (check.sum, check.value))
    if left.power != right.power:
        raise BadValue(
            f"{quoted(check.sum)} is {left.kind}, but {quoted(check.value)} is {right.kind}."
        )
    if SIGNS[check.sign](left.value, right.value):
        return
    over = left.value - right.value
    came, wanted, difference = (
        show_measure(measure, scope.units)
        for measure in (left, right, Measure(abs(over), left.power))
    )
    how = f"{difference} too {'much' if over > 0 else 'little'}" if over else "just that"
    why = f"{check.words}: " if check.words else ""
    raise BadValue(
        f"{why}{check.sum} comes to {came}; it must be {_MUST_BE[check.sign]}{check.value},"
        f" {wanted}: {how}."
    )
