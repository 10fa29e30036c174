"""A dealer's price list completed: what its rows leave unsaid, taken from their words and told."""

import re
from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from fractions import Fraction

from ledger.measures.length import Length
from ledger.measures.quantity import Quantity
from ledger.measures.rounding import half_up
from ledger.measures.units import SQUARE_FOOT, SQUARE_METER, convert
from ledger.measures.units import kind as unit_kind
from ledger.measures.values import replace
from ledger.stock.materials import KINDS
from ledger.workbooks.grid import GridRow
from ledger.workbooks.headings import take_apart
from ledger.workbooks.kinds import UNIT, CellKind, choice
from ledger.workbooks.readers import price_words

_SHOWN = 3
_KIND = replace(choice("kind", KINDS), stand_in="supply")
_PACK = re.compile(r"(?:box|pack|packet|bag|tub|carton)(?: of|,)? (?P<number>[1-9]\d{0,4})", re.I)
_IN_PACKS = ("fastener", "abrasive")
_DEAR_PACK = 200
"""What a pack of screws or discs rarely comes to, in any of the usual currencies (*common
practice, no source*)."""

_ONE = Quantity.of(1)
_COUNTED = ("each", "board")
"""Units by which dealers sell a whole sheet."""


class ListFiller:
    """What the rows of one list leave unsaid; keeps the codes it made and what to tell."""

    def __init__(self, units: str, decimal_mark: str = "") -> None:
        self.units, self.decimal_mark = units, decimal_mark
        self._codes: dict[str, str] = {}
        self._guesses: dict[str, list[str]] = {}

    def titled(self, rows: Iterable[GridRow]) -> Iterator[tuple[GridRow, str]]:
        """The rows of the list, each with the title that stands above it.

        A title is a row in which one cell is filled, without figures; it speaks of what follows.
        """
        title = ""
        for row in rows:
            filled = [cell for cell in row.line.cells if not cell.empty]
            is_alone = len(filled) == 1 and len(row.columns) > 2 and not filled[0].trouble
            if is_alone and not any(map(str.isdigit, filled[0].text)):
                title = filled[0].text
                self.tell("Rows taken for titles", title)
            else:
                yield row, title

    def code(self, name: str) -> str:
        """A code of a name, in a list without codes."""
        code = self._codes.get(name.casefold(), "") or price_words.code_of(
            name, self._codes.values()
        )
        self._codes[name.casefold()] = code
        self.tell("Codes made of the names", code)
        return code

    def kind(self, row: GridRow, name: str, title: str) -> str:
        """The kind of a row, by its own word for it, by its name or by the title above it."""
        own_word = row.written("kind")
        if own_word.casefold() in KINDS:
            return row.need("kind", _KIND)
        guess = price_words.kind_of(own_word, name, title)
        if own_word and not price_words.kind_of(own_word, title):
            guess = ""
        elif not guess and self._size(row, name):
            guess = "sheet"
        if guess:
            self.tell(f"Taken for {guess} by its words", row.written("code") or name)
            return guess
        if "kind" in row.columns:
            return row.need("kind", _KIND)
        row.fault("name", f"Its kind is not said; add a column kind with one of: {_LIST}.")
        return _KIND.stand_in

    def sizes(
        self, row: GridRow, kind: str, name: str, sizes: Sequence[Length | None]
    ) -> tuple[Length | None, Length | None, Length | None]:
        """Length, width and thickness; those of a sheet also from a column size or the name."""
        length, width, thickness = sizes
        if kind != "sheet":
            return length, width, thickness
        size = None
        if length is None and width is None:
            size = self._size(row, name)
        if size is not None:
            length, width, thickness = size.length, size.width, thickness or size.thickness
            self.tell("Sheet sizes read from size or name", row.written("code") or name)
        if thickness is None and (thickness := price_words.thickness_in(name)):
            self.tell("Thickness read from the name", row.written("code") or name)
        return length, width, thickness

    def _size(self, row: GridRow, name: str) -> price_words.SheetSize | None:
        unit = row.columns["size"].unit if "size" in row.columns else ""
        texts = (f"{row.text('size')} {unit}".strip(), name)
        candidates = (price_words.size_in(text, self.units, self.decimal_mark) for text in texts)
        return next((size for size in candidates if size), None)

    def unit_and_price(
        self,
        row: GridRow,
        kind: str,
        amount_kind: CellKind[Decimal],
        sides: tuple[Length | None, Length | None],
    ) -> tuple[str, Decimal | None]:
        """The stock unit and its price; a sheet priced by its area is priced by the sheet."""
        text, slash, per = row.written("price").partition("/")
        read = CellKind(lambda _: amount_kind.read(text.strip()), amount_kind.stand_in, "12.50")
        amount = row.may("price", read if slash and price_words.unit_in(per) else amount_kind)
        if (pack := self.pack(row)) and amount is not None:
            self.tell(f"Priced by the {row.written('unit')}, kept one by one", _named(row))
            return "each", _plain(Fraction(amount) / pack)
        unit = self._unit(row, kind, price_words.unit_in(per) if slash else "")
        if kind != "sheet" or unit == "sheet":
            return unit, amount
        if unit in _COUNTED:
            return "sheet", amount
        if unit_kind(unit) == "area" and amount is not None and all(sides):
            return "sheet", self._by_area(row, amount, unit, sides)
        return unit, amount

    def pack(self, row: GridRow) -> int:
        """How many stand in a unit such as “box of 200”; 0 where it says none."""
        packed = _PACK.fullmatch(row.written("unit").strip())
        return int(packed["number"]) if packed else 0

    def weigh_pack(self, row: GridRow, kind: str, price: Decimal | None, pack: Quantity) -> None:
        """Note a pack's cost where the price of one may have been that of the pack."""
        if price is None or kind not in _IN_PACKS or pack <= _ONE:
            return
        dear = Fraction(price) * pack.fraction
        if dear > _DEAR_PACK:
            self.tell(
                f"Read as the price of one, so that a pack is {half_up(dear, 2)}", _named(row)
            )

    def _unit(self, row: GridRow, kind: str, per: str) -> str:
        if row.written("unit"):
            word = row.written("unit")
            return price_words.unit_in(word) or row.need("unit", UNIT)
        heading = row.columns["price"].heading if "price" in row.columns else ""
        guess = per or take_apart(heading).unit
        if not guess and "unit" not in row.columns:
            guess = price_words.unit_of(kind, self.units)
            if guess:
                self.tell(f"Taken as sold by {guess}", _named(row))
        if guess:
            return guess
        return row.need("unit", UNIT) if "unit" in row.columns else self._no_unit(row)

    def _no_unit(self, row: GridRow) -> str:
        row.fault("name", "Its unit is not said; add a column unit: each, gal, L, box and so on.")
        return UNIT.stand_in

    def _by_area(
        self,
        row: GridRow,
        amount: Decimal,
        unit: str,
        sides: tuple[Length | None, Length | None],
    ) -> Decimal:
        length, width = sides
        assert length is not None and width is not None
        area = length.meters * width.meters
        if unit == SQUARE_FOOT:
            area = convert(area, SQUARE_METER, SQUARE_FOOT)
        self.tell(f"Priced by {unit}, kept by the sheet", _named(row))
        return _plain(Fraction(amount) * area)

    def tell(self, what: str, of: str) -> None:
        """Note a guess, and the row that it was made for."""
        self._guesses.setdefault(what, []).append(of)

    def notes(self) -> list[str]:
        """A sentence for each guess, with the first few rows that it was made for."""
        sentences = []
        for what, names in self._guesses.items():
            rest = len(names) - _SHOWN
            more = f" and {rest} more" if rest > 0 else ""
            sentences.append(f"{what}: {', '.join(names[:_SHOWN])}{more}.")
        return sentences


def _plain(exact: Fraction) -> Decimal:
    """A price to four places, without zeros at its end."""
    price = half_up(exact, 4)
    return price.normalize() if price % 1 else price.quantize(Decimal(1))


def _named(row: GridRow) -> str:
    return row.written("code") or row.text("name")


_LIST = ", ".join(KINDS)
