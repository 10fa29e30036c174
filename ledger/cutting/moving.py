"""Small parts moved out of short pieces into long waste: cuts that no tool holds go away.

The last small parts of a short piece are held by nobody. Where another strip that falls anyway is
long enough, they are cut from that instead, grain kept, on the same sheets and at the same cost.
"""

from collections.abc import Iterator, Sequence

from msgspec import Struct

from ledger.cutting.apart import take_sheet_apart
from ledger.cutting.arrange import FreeRectangle
from ledger.cutting.engine import EqualParts, LaidPart, Pattern
from ledger.cutting.finish import FilledSheet, Finisher
from ledger.cutting.hardship import is_awkward
from ledger.cutting.layout import Placement
from ledger.cutting.problem import Problem
from ledger.measures.values import replace

MOST_MOVES = 40
"""So many times parts are moved at most."""

type Sheets = tuple[FilledSheet, ...]


class _Source(Struct, frozen=True):
    """A sheet with awkward cuts, and a kind of part that they free: which copies move first."""

    sheet: int
    kind: int
    boxes: tuple[int, ...]


class _Row(Struct, frozen=True):
    """So many parts in a row in what is left over on a sheet, along it or across it."""

    target: int
    room: FreeRectangle
    count: int
    along: bool


class Mover:
    """Moves parts between the sheets of one plan, as long as that leaves fewer awkward cuts."""

    def __init__(self, problem: Problem, finisher: Finisher, kinds: Sequence[EqualParts]) -> None:
        self._problem = problem
        self._finisher = finisher
        self._kinds = kinds

    def moved(self, sheets: Sheets) -> Sheets:
        """Give the plan with its small parts moved; the same plan where nothing is gained.

        Parts like those that were moved follow them where that saves a setting, for equal parts
        are best cut with one.
        """
        kinds: set[int] = set()
        for _ in range(MOST_MOVES):
            awkward = [
                number for number, sheet in enumerate(sheets)
                if self._finisher.hardship(sheet).awkward
            ]  # fmt: skip
            if not awkward and not kinds:
                break
            short = [source for number in awkward for source in self._short(sheets[number], number)]
            sources = short if awkward else list(_like(sheets, kinds))
            best = max(self._moves(sheets, sources), key=lambda one: one[0], default=None)
            if best is None or best[0] <= self._finisher.worth(sheets):
                break
            kinds |= {source.kind for source in short}
            _, sheets = best
        return sheets

    def _moves(
        self, sheets: Sheets, sources: Sequence[_Source]
    ) -> Iterator[tuple[tuple[int, ...], Sheets]]:
        """Try every move of these parts; each with its worth and sheets."""
        for source in sources:
            rows = [
                _Row(target, room, count, along)
                for target, room in _rooms(sheets)
                for count, along in self._counts(source, room)
            ]
            for way in (*([row] for row in rows), self._spread(source, rows)):
                yield from self._tried(sheets, source, way)

    def _spread(self, source: _Source, rows: Sequence[_Row]) -> list[_Row]:
        """Choose rows for all copies of a source, the least rooms first; none if they do not do."""
        chosen: list[_Row] = []
        rooms: set[tuple[int, FreeRectangle]] = set()
        left = len(source.boxes)
        for row in sorted(rows, key=lambda row: (row.room.length * row.room.width, -row.count)):
            if left and (row.target, row.room) not in rooms:
                chosen.append(replace(row, count=min(row.count, left)))
                rooms.add((row.target, row.room))
                left -= chosen[-1].count
        return [] if left else chosen

    def _tried(
        self, sheets: Sheets, source: _Source, rows: Sequence[_Row]
    ) -> Iterator[tuple[tuple[int, ...], Sheets]]:
        """Give the plan with the first copies of a source in these rows."""
        gone = set(source.boxes[: sum(row.count for row in rows)])
        parts = {
            number: [
                part
                for place, part in enumerate(_pattern(sheets[number]))
                if number != source.sheet or place not in gone
            ]
            for number in {source.sheet, *(row.target for row in rows)}
        }
        for row in rows:
            parts[row.target] += self._laid(source.kind, row)
        if not rows or not parts[source.sheet]:
            return
        changed = list(sheets)
        for number, own in parts.items():
            stock = sheets[number].stock
            changed[number] = self._finisher.arranged(stock, Pattern(stock, tuple(own)))
        yield self._finisher.worth(changed), tuple(changed)

    def _laid(self, number: int, row: _Row) -> Iterator[LaidPart]:
        """Give the parts of a row, one beside the other from a corner of its room."""
        kind = self._kinds[number]
        for place in range(row.count):
            x = row.room.x + (place * kind.length if row.along else 0)
            y = row.room.y + (0 if row.along else place * kind.width)
            yield LaidPart(number, x, y, turned=False)

    def _short(self, sheet: FilledSheet, number: int) -> Iterator[_Source]:
        """Give the kinds of parts that awkward cuts of a sheet free, the copies there first."""
        laid = self._finisher.laid(sheet)
        cuts = take_sheet_apart(self._problem, laid, 1).cuts
        places = {
            (piece.item.x_nm, piece.item.y_nm)
            for cut in cuts
            if is_awkward(cut)
            for piece in (cut.off, cut.rest)
            if piece is not None and isinstance(piece.item, Placement)
        }
        dx, dy = laid.trimmed("left"), laid.trimmed("near")
        boxes = sheet.filled.parts
        short = [place for place, box in enumerate(boxes) if (box.x + dx, box.y + dy) in places]
        for kind in sorted({boxes[place].what.kind for place in short}):
            own = [place for place, box in enumerate(boxes) if box.what.kind == kind]
            own.sort(key=lambda place: (place not in short, -boxes[place].x - boxes[place].y))
            yield _Source(number, kind, tuple(own))

    def _counts(self, source: _Source, room: FreeRectangle) -> Iterator[tuple[int, bool]]:
        """Give how many parts go into a room in a row along it, and across it."""
        kind = self._kinds[source.kind]
        if kind.length > room.length or kind.width > room.width:
            return
        for along, most in ((True, room.length // kind.length), (False, room.width // kind.width)):
            fits = min(most, len(source.boxes))
            for count in sorted({fits, (fits + 1) // 2, 1}, reverse=True):
                yield count, along


def _like(sheets: Sheets, kinds: set[int]) -> Iterator[_Source]:
    """Give all parts of these kinds, sheet by sheet."""
    for number, sheet in enumerate(sheets):
        for kind in sorted(kinds):
            boxes = enumerate(sheet.filled.parts)
            if own := tuple(place for place, box in boxes if box.what.kind == kind):
                yield _Source(number, kind, own)


def _rooms(sheets: Sheets) -> Iterator[tuple[int, FreeRectangle]]:
    """Give what is left over on each sheet, with the sheet's number."""
    for number, sheet in enumerate(sheets):
        for rest in sheet.filled.rests:
            yield number, rest


def _pattern(sheet: FilledSheet) -> list[LaidPart]:
    return [LaidPart(box.what.kind, box.x, box.y, box.what.turned) for box in sheet.filled.parts]
