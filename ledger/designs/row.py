"""One row of a design's table: its cells worked out, each refusal a flaw of that cell."""

from collections.abc import Callable, Iterable
from fractions import Fraction

from msgspec import Struct

from ledger.designs.cells import is_plain, show_measure
from ledger.designs.model import Flaw
from ledger.designs.scope import Scope
from ledger.designs.tree import Measure
from ledger.errors import BadValue, NotFound
from ledger.measures.area import Area
from ledger.measures.length import LONGEST_SIZE, Length
from ledger.measures.quantity import LARGEST
from ledger.measures.rounding import half_up_whole
from ledger.measures.spoken import quoted

MOST_PIECES = 10_000
_KINDS = ("a number", "a length", "an area")


class DesignRow(Struct, frozen=True):
    """A place in a table; every getter gives None where the cell is flawed, and says so."""

    scope: Scope
    table: str
    place: int

    def flaw(self, column: str, sentence: str) -> None:
        """Tell what is wrong with a cell."""
        self.scope.flaws.append(Flaw(self.table, self.place, column, sentence))

    def one_of(self, column: str, word: str, words: Iterable[str]) -> bool:
        """Whether a word is one of those allowed; otherwise it is a flaw."""
        known = tuple(words)
        if word not in known:
            self.flaw(column, str(NotFound(column, word, known)))
        return word in known

    def work[T](self, column: str, read: Callable[[], T]) -> T | None:
        """What reading the cell gives."""
        return self.scope.attempt(self.table, self.place, column, read)

    def size(self, column: str, text: str) -> Length | None:
        """A length of more than zero and at most 100 m."""
        return self.work(column, lambda: self._length(text, least=1))

    def allowance(self, column: str, text: str) -> Length | None:
        """A length of zero or more, or None where the cell is empty."""
        return self.work(column, lambda: self._length(text, least=0)) if text else None

    def area(self, column: str, text: str) -> Area | None:
        """An area of more than zero."""
        return self.work(column, lambda: self._area(text))

    def number(self, column: str, text: str) -> Fraction | None:
        """A number of zero or more."""
        return self.work(column, lambda: self._number(text))

    def pieces(self, column: str, text: str) -> int | None:
        """A whole number of pieces; none only where a formula says so."""
        return self.work(column, lambda: self._pieces(text))

    def _length(self, text: str, least: int) -> Length:
        units = self.scope.units
        value = Length(half_up_whole(self._of_power(text, 1, units)))
        if value.nm < least:
            shown = show_measure(Measure(Fraction(value.nm), 1), units)
            wanted = "a size is more than zero" if least else "it is zero or more"
            raise BadValue(f"{quoted(text)} comes to {shown}; {wanted}.")
        if value > LONGEST_SIZE:
            raise BadValue(f"{quoted(text)} is longer than 100 m; check the number and its unit.")
        return value

    def _area(self, text: str) -> Area:
        value = self._of_power(text, 2)
        if value <= 0:
            raise BadValue(f"{quoted(text)} comes to no area; write for example 30 sq ft.")
        return Area(half_up_whole(value))

    def _number(self, text: str) -> Fraction:
        number = self._of_power(text, 0)
        if not 0 <= number <= LARGEST.fraction:
            shown = show_measure(Measure(number, 0), self.scope.units)
            raise BadValue(f"{quoted(text)} comes to {shown}; a quantity is zero or more.")
        return number

    def _pieces(self, text: str) -> int:
        number = self._number(text)
        if number.denominator != 1 or number > MOST_PIECES:
            shown = show_measure(Measure(number, 0), self.scope.units)
            raise BadValue(f"{quoted(text)} comes to {shown}; write a whole number of pieces.")
        if number == 0 and is_plain(text):
            raise BadValue("There are no pieces of it; leave the line out, or write one or more.")
        return int(number)

    def _of_power(self, text: str, power: int, bare: str | None = None) -> Fraction:
        measure = self.scope.measure(text, bare)
        if measure.power != power:
            hint = "; give it a unit" if (measure.power, power) == (0, 1) else ""
            raise BadValue(f"{quoted(text)} is {measure.kind}, not {_KINDS[power]}{hint}.")
        return measure.value
