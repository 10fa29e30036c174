"""What names mean while a design is worked out: parameters, then figures of the parts list."""

import re
from collections.abc import Callable, Mapping
from functools import partial

from ledger.designs.cells import is_plain, read_cell, show_measure
from ledger.designs.formula import FUNCTIONS, UNITS, evaluate
from ledger.designs.model import Design, Flaw, Parameter
from ledger.designs.tree import Measure, UnitMissing, names_in
from ledger.errors import BadValue, LedgerError, NotFound
from ledger.measures.length import Length
from ledger.measures.rounding import half_up_whole
from ledger.measures.spoken import quoted

FIGURES = (
    "part_lines", "pieces_cut", "joints", "pocket_holes", "dowels", "band_length", "band_edges",
    "finish_area", "coats", "discs",
)  # fmt: skip
"""Names that needs, counts and facts may use besides the parameters."""

_NAME = re.compile(r"[a-z][a-z0-9_]*")


class _Told(LedgerError):
    """A cell rests on another one that is flawed and has been told already."""


class Scope:
    """The values of one design, worked out in the order they need one another, and its flaws."""

    def __init__(self, design: Design, values: Mapping[str, str]) -> None:
        self.units = design.units
        self.part_lines = design.parts
        self.flaws: list[Flaw] = []
        self._parameters = {row.name: row for row in reversed(design.parameters)}
        self._places = {row.name: place for place, row in reversed([*enumerate(design.parameters)])}
        self._values = {name.strip().lower(): text for name, text in values.items()}
        self._known: dict[str, Measure | None] = {}
        self._figures: Mapping[str, Measure] = {}
        for name in self._values:
            if name not in self._parameters:
                raise NotFound("parameter", name, self._parameters)
        for place, row in enumerate(design.parameters):
            self._check_name(place, row)
        for row in design.parameters:
            self._settle(row.name)
        for place, row in enumerate(design.parameters):
            self._check_limits(place, row)

    def add_figures(self, figures: Mapping[str, Measure]) -> None:
        """From now on these names may be used too."""
        self._figures = figures

    def shown(self, units: str) -> dict[str, str]:
        """The parameters in words, in the order of the design."""
        known = ((name, self._known[name]) for name in reversed(self._parameters))
        return {name: show_measure(value, units) for name, value in known if value is not None}

    def attempt[T](self, table: str, row: int, column: str, work: Callable[[], T]) -> T | None:
        """What the work gives; a refusal becomes a flaw of that cell, and nothing is given."""
        try:
            return work()
        except _Told:
            return None
        except UnitMissing as wrong:
            self.flaws.append(self._at_its_cell(wrong) or Flaw(table, row, column, str(wrong)))
            self._known |= {wrong.name: None} if wrong.name in self._places else {}
            return None
        except LedgerError as wrong:
            self.flaws.append(Flaw(table, row, column, str(wrong)))
            return None

    def _at_its_cell(self, wrong: UnitMissing) -> Flaw | None:
        """The flaw at the cell of the parameter that holds the number, for it is mended there.

        The parameter is unknown from then on, so that no further row tells the same again.
        """
        place = self._places.get(wrong.name)
        return None if place is None else Flaw("parameters", place, "value", str(wrong))

    def measure(self, text: str, bare: str | None = None) -> Measure:
        """Work out a cell."""
        return evaluate(read_cell(text, bare), self.look_up)

    def look_up(self, name: str) -> Measure:
        """What a name means.

        Raises:
            NotFound: nothing has that name.
            BadValue: it is known later only.

        """
        if name in self._figures:
            return self._figures[name]
        if name in self._known:
            value = self._known[name]
            if value is None:
                raise _Told
            return value
        if name in FIGURES:
            raise BadValue(f"{name} comes from the parts list; needs, counts and facts may use it.")
        raise NotFound("parameter", name, [*self._parameters, *self._figures])

    def length_of(self, name: str) -> Length | None:
        """A parameter that is a length of more than zero; None where there is none such."""
        value = self._known.get(name)
        if value is None or value.power != 1 or value.value <= 0:
            return None
        return Length(half_up_whole(value.value))

    def _settle(self, name: str) -> None:
        """Work out a parameter after all that it needs; without recursion, however long the row."""
        path = [name]
        while path:
            last = path[-1]
            waiting = [] if last in self._known else self._needed(last)
            if last in self._known:
                path.pop()
            elif not waiting:
                self._known[last] = self.attempt(
                    "parameters", self._places[last], "value", partial(self._value, last)
                )
            elif waiting[0] in path:
                circle = " → ".join([*path[path.index(waiting[0]) :], waiting[0]])
                message = f"{circle}: these parameters go round in a circle; give one a value."
                self.flaws.append(Flaw("parameters", self._places[last], "value", message))
                self._known[last] = None
            else:
                path.append(waiting[0])

    def _needed(self, name: str) -> list[str]:
        """The parameters that must be known before this one."""
        try:
            names = names_in(read_cell(self._parameters[name].value))
        except LedgerError:
            return []  # told when it is worked out
        return [n for n in names if n in self._parameters and n not in self._known]

    def _value(self, name: str) -> Measure:
        row = self._parameters[name]
        if row.name not in self._values:
            return self.measure(row.value)
        text = self._values[row.name]
        if not is_plain(row.value):
            raise BadValue(f"{row.name} is worked out ({row.value}); it cannot be set.")
        if not is_plain(text):
            raise BadValue(
                f"{row.name} takes a plain value such as {row.value}, not {quoted(text)}."
            )
        default = self.measure(row.value)
        value = self.measure(text, self.units if default.power == 1 else None)
        if value.power != default.power:
            raise BadValue(f"{row.name} is {default.kind}, but {quoted(text)} is {value.kind}.")
        return value

    def _check_name(self, place: int, row: Parameter) -> None:
        if self._places[row.name] != place:
            sentence = f"{row.name} stands twice; a parameter has one line."
        elif not _NAME.fullmatch(row.name):
            sentence = f"{quoted(row.name)} is no name; use small letters, digits and _."
        elif row.name in {*FUNCTIONS, *UNITS, *FIGURES, "sq"}:
            sentence = f"{row.name} means something else in a formula; choose another name."
        else:
            return
        self.flaws.append(Flaw("parameters", place, "name", sentence))

    def _check_limits(self, place: int, row: Parameter) -> None:
        value = self._known.get(row.name)
        for column, bound, sign in (("minimum", row.minimum, 1), ("maximum", row.maximum, -1)):
            if not bound or value is None:
                continue
            limit = self.attempt("parameters", place, column, partial(self._limit, bound, value))
            if limit is not None and sign * (value.value - limit.value) < 0:
                message = f"{row.name} is {show_measure(value, self.units)}; it must be at"
                most = f"{'least' if sign > 0 else 'most'} {show_measure(limit, self.units)}"
                why = f" ({row.words})" if row.words else ""
                self.flaws.append(Flaw("parameters", place, "value", f"{message} {most}{why}."))

    def _limit(self, text: str, value: Measure) -> Measure:
        limit = self.measure(text, self.units if value.power == 1 else None)
        if limit.power != value.power:
            raise BadValue(f"{quoted(text)} is {limit.kind}, but the value is {value.kind}.")
        return limit
