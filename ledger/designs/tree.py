"""The tree of a formula: what each node is in dimension, and what it is worth.

`power` checks a whole tree before anything is worked out, so a mistake in the branch of an `if`
that is not taken is found as well; `value` then works out only what is needed.
"""

from collections.abc import Callable
from fractions import Fraction
from math import ceil, floor
from operator import eq, ge, gt, le, lt, ne

from msgspec import Struct

from ledger.errors import BadValue
from ledger.measures.rounding import half_up_whole
from ledger.measures.spoken import quoted

TRUTH = -1
_KINDS = {0: "a number", 1: "a length", 2: "an area", TRUTH: "a comparison"}
_COMPARISONS = {"<": lt, "<=": le, ">": gt, ">=": ge, "==": eq, "!=": ne}
_ROUNDINGS: dict[str, Callable[[Fraction], int]] = {
    "ceil": ceil,
    "floor": floor,
    "round": half_up_whole,
}
_FINEST = 10**40
"""Numerators and denominators stay below this: far finer than wood, and never a long number."""


class Measure(Struct, frozen=True):
    """A value in nanometers to a power: 0 a number, 1 a length, 2 an area."""

    value: Fraction
    power: int

    @property
    def kind(self) -> str:
        """What it is, in words."""
        return _KINDS[self.power]


class UnitMissing(BadValue):
    """A plain number stands where a length is added, taken away or compared.

    `name` is the parameter that holds the number, or empty where it is written in the formula.
    """

    def __init__(self, formula: str, number: "Node", hint: str) -> None:
        super().__init__(f"{quoted(number.text)} has no unit in {quoted(formula)}: {hint}.")
        self.name = number.name if isinstance(number, Name) else ""
        self.formula = formula


type LookUp = Callable[[str], Measure]


class Literal(Struct, frozen=True):
    """A number or a measure as it is written."""

    text: str
    measure: Measure

    def power(self, look_up: LookUp) -> int:
        """0 of a number, 1 of a length, 2 of an area."""
        return self.measure.power

    def value(self, look_up: LookUp) -> Fraction:
        """The number, or the measure in nanometers or square nanometers."""
        return self.measure.value


class Name(Struct, frozen=True):
    """A parameter, or a figure derived from the parts list."""

    text: str
    name: str

    def power(self, look_up: LookUp) -> int:
        """The power of the parameter or figure."""
        return look_up(self.name).power

    def value(self, look_up: LookUp) -> Fraction:
        """The value of the parameter or figure."""
        return look_up(self.name).value


class Negated(Struct, frozen=True):
    """A value with a minus before it."""

    text: str
    inner: "Node"

    def power(self, look_up: LookUp) -> int:
        """That of the value, which is no comparison."""
        return _plain(self.inner, look_up)

    def value(self, look_up: LookUp) -> Fraction:
        """The value's opposite."""
        return -self.inner.value(look_up)


class Binary(Struct, frozen=True):
    """Two values and the sign between them."""

    text: str
    sign: str
    left: "Node"
    right: "Node"

    def power(self, look_up: LookUp) -> int:
        """Lengths multiply to an area; only alike is added or compared."""
        left, right = _plain(self.left, look_up), _plain(self.right, look_up)
        if self.sign in "*/":
            power = left + right if self.sign == "*" else left - right
            if power not in (0, 1, 2):
                verb = "multiplies" if self.sign == "*" else "divides"
                by = f"{_KINDS[left]} by {_KINDS[right]}"
                raise BadValue(f"{quoted(self.text)} {verb} {by}, which measures nothing here.")
            return power
        if left != right:
            if {left, right} == {0, 1}:
                raise self._without_unit(self.right if left else self.left)
            both = f"{_KINDS[left]} and {_KINDS[right]}"
            raise BadValue(f"{quoted(self.text)} mixes {both}; only alike can be joined.")
        return TRUTH if self.sign in _COMPARISONS else left

    def _without_unit(self, number: "Node") -> UnitMissing:
        """The refusal of a number beside a length, with the formula as it would be right."""
        if not isinstance(number, Literal):
            return UnitMissing(self.text, number, "give it one, such as 1/8 in or 3 mm")
        sides = (self.left.text, f"{self.right.text} in")
        if number is self.left:
            sides = (f"{self.left.text} in", self.right.text)
        return UnitMissing(self.text, number, f"write {f' {self.sign} '.join(sides)} (or mm)")

    def value(self, look_up: LookUp) -> Fraction:
        """The two joined by the sign; a comparison is worth one or zero."""
        left, right = self.left.value(look_up), self.right.value(look_up)
        if self.sign in _COMPARISONS:
            return Fraction(_COMPARISONS[self.sign](left, right))
        if self.sign == "/" and right == 0:
            raise BadValue(f"{quoted(self.text)} divides by zero.")
        return _bounded(self.text, _joined(self.sign, left, right))


class Call(Struct, frozen=True):
    """One of the few functions and its values."""

    text: str
    function: str
    values: tuple["Node", ...]

    def power(self, look_up: LookUp) -> int:
        """That of its values, which must be alike."""
        values = self.values
        if self.function == "if":
            if values[0].power(look_up) != TRUTH:
                raise BadValue(f"{quoted(self.text)} needs a comparison first, such as n > 2.")
            values = values[1:]
        powers = {_plain(value, look_up) for value in values}
        if len(powers) > 1:
            both = " and ".join(_KINDS[power] for power in sorted(powers))
            raise BadValue(f"{quoted(self.text)} mixes {both}; give each number its unit.")
        power = powers.pop()
        if self.function in ("ceil", "floor", "round") and len(values) == 1 and power:
            raise BadValue(
                f"{quoted(self.text)} needs a step for {_KINDS[power]}; write for example"
                f" {self.function}({self._stepped(power)})."
            )
        return power

    def _stepped(self, power: int) -> str:
        """What is rounded as it would be right: a length in steps, an area as a count."""
        text = self.values[0].text
        if power == 1:
            return f"{text}, 1/16 in"
        shown = text if isinstance(self.values[0], Name) else f"({text})"
        return f"{shown}/(12 in * 12 in)), or in metric {self.function}({shown}/(1 m * 1 m)"

    def value(self, look_up: LookUp) -> Fraction:
        """What the function makes of its values; of an `if` only the branch taken."""
        if self.function == "if":
            branch = self.values[1] if self.values[0].value(look_up) else self.values[2]
            return branch.value(look_up)
        values = [value.value(look_up) for value in self.values]
        if self.function in ("min", "max"):
            return min(values) if self.function == "min" else max(values)
        step = values[1] if len(values) == 2 else Fraction(1)
        if step <= 0:
            raise BadValue(f"{quoted(self.text)} needs a step of more than zero.")
        return _ROUNDINGS[self.function](values[0] / step) * step


type Node = Literal | Name | Negated | Binary | Call


def names_in(node: Node) -> list[str]:
    """The names a tree mentions, each once, in the order of reading."""
    names: dict[str, None] = {}
    waiting = [node]
    while waiting:
        here = waiting.pop()
        if isinstance(here, Name):
            names[here.name] = None
        elif isinstance(here, Negated):
            waiting.append(here.inner)
        elif isinstance(here, Binary):
            waiting += [here.right, here.left]
        elif isinstance(here, Call):
            waiting += reversed(here.values)
    return list(names)


def _plain(node: Node, look_up: LookUp) -> int:
    """The power of a node that must not be a comparison."""
    power = node.power(look_up)
    if power == TRUTH:
        raise BadValue(f"{quoted(node.text)} is a comparison; it may only stand first in an if.")
    return power


def _joined(sign: str, left: Fraction, right: Fraction) -> Fraction:
    if sign == "+":
        return left + right
    if sign == "-":
        return left - right
    return left * right if sign == "*" else left / right


def _bounded(text: str, value: Fraction) -> Fraction:
    if abs(value.numerator) > _FINEST or value.denominator > _FINEST:
        raise BadValue(f"{quoted(text)} comes to a number too large or too fine to be a size.")
    return value
