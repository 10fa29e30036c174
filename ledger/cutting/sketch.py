"""The cut plan as a block drawing for a plain terminal, to scale as far as letters allow."""

from collections import Counter

from ledger.cutting.layout import LaidSheet, Leftover, Name, Placement
from ledger.cutting.problem import Problem, Show, show_mm

_LINES = {"corner": "┼", "flat": "─", "upright": "│", "rest": "░"}
_ASCII = {"corner": "+", "flat": "-", "upright": "|", "rest": "."}

LONGEST_MARK = 20
"""Letters of a part's mark below the drawing."""

MOST_STRIPS = 6
"""A narrow board is drawn wider than it is, so that up to so many strips have their names."""


def sketch(
    problem: Problem,
    sheet: LaidSheet,
    number: int,
    show: Show = show_mm,
    columns: int = 80,
    ascii_only: bool = False,
    name: Name = "sheet",
    has_grain: bool = True,
) -> list[str]:
    """Draw one sheet or board in lines of at most `columns` letters, the grain to the right.

    What finds no room in the drawing stands below it; those lines may be longer than `columns`
    where a size would not fit otherwise.
    """
    signs = _ASCII if ascii_only else _LINES
    board = _Board(sheet, columns, signs)
    unnamed: Counter[tuple[str, str, str]] = Counter()
    for rest in sheet.leftovers:
        board.frame(rest)
        board.hatch(rest)
    for part in sheet.placements:
        board.frame(part)
    for part in sheet.placements:
        size = f"{show(part.length_nm)} x {show(part.width_nm)}"
        if not board.label(part, part.mark, size):
            unnamed[part.mark, problem.by_id[part.part].own_name, size] += 1
    for rest in sheet.leftovers:
        size = f"{show(rest.length_nm)} x {show(rest.width_nm)}"
        if rest.usable and not board.label(rest, "keep", size):
            unnamed["keep", "", size] += 1
    kind = "rough" if name == "board" else "new"
    kind = f"rack {sheet.label}".strip() if sheet.source == "rack" else kind
    size = f"{show(sheet.length_nm)} x {show(sheet.width_nm)}"
    grain = f"grain {'<->' if ascii_only else '↔'}" if has_grain else "no grain"
    after = f"{kind}, {size}, {grain}"
    called = f"{name.capitalize()} {number}"
    material = _short(sheet.material, columns - len(f"{called}: , {after}"))
    head = f"{called}: {f'{material}, ' if material else ''}{after}"
    below = [_line(*key, count, columns) for key, count in unnamed.items()]
    text = [head, *board.lines(), *below]
    return [_plain(line, ascii_only) for line in text]


def _line(mark: str, name: str, size: str, count: int, columns: int) -> str:
    """Name a part below the drawing; a long name is cut short, so that its size is read."""
    after = f", {size} ({count} times)" if count > 1 else f", {size}"
    mark = _short(mark, LONGEST_MARK)
    room = columns - len(f"  {mark} {after}")
    return f"  {' '.join(filter(None, (mark, _short(name, room))))}{after}"


def _short(name: str, room: int) -> str:
    return name if len(name) <= room else f"{name[: max(room - 3, 0)]}..."


class _Board:
    """A sheet of squared paper: letters twice as high as wide."""

    def __init__(self, sheet: LaidSheet, columns: int, signs: dict[str, str]) -> None:
        self.signs = signs
        self.sheet = sheet
        self.wide = max(columns - 1, 10)
        strips = len({part.y_nm for part in sheet.placements})
        least = 2 * min(strips, MOST_STRIPS) + 2
        self.high = max(self.wide * sheet.width_nm // (2 * sheet.length_nm), least)
        if self.high > 2 * self.wide:
            self.high = 2 * self.wide
        self.grid = [[" "] * (self.wide + 1) for _ in range(self.high + 1)]
        self._rectangle(0, 0, self.wide, self.high)

    def frame(self, item: Placement | Leftover) -> None:
        """Draw the outline of a part or a leftover."""
        self._rectangle(*self._cells(item))

    def hatch(self, item: Leftover) -> None:
        """Fill the inside of a leftover."""
        left, top, right, bottom = self._cells(item)
        for y in range(top + 1, bottom):
            for x in range(left + 1, right):
                self.grid[y][x] = self.signs["rest"]

    def label(self, item: Placement | Leftover, *words: str) -> bool:
        """Write into the middle of an item; False where even its id finds no room."""
        left, top, right, bottom = self._cells(item)
        room, rows = right - left - 1, bottom - top - 1
        one_row = " ".join(words)
        if rows < 1 or len(words[0]) > room:
            return False
        if rows >= len(words) and max(map(len, words)) <= room:
            text: tuple[str, ...] = words
        else:
            text = (one_row,) if len(one_row) <= room else words[:1]
        y = top + 1 + (rows - len(text)) // 2
        for at, line in enumerate(text):
            x = left + 1 + (room - len(line)) // 2
            self.grid[y + at][x : x + len(line)] = line
        return len(text) == len(words) or text == (one_row,)

    def lines(self) -> list[str]:
        """Give the finished drawing."""
        return ["".join(row).rstrip() for row in self.grid]

    def _cells(self, item: Placement | Leftover) -> tuple[int, int, int, int]:
        """Give left, top, right and bottom in letters; y runs upward from the near edge."""
        length, width = self.sheet.length_nm, self.sheet.width_nm
        left = _nearest(item.x_nm * self.wide, length)
        right = _nearest((item.x_nm + item.length_nm) * self.wide, length)
        bottom = self.high - _nearest(item.y_nm * self.high, width)
        top = self.high - _nearest((item.y_nm + item.width_nm) * self.high, width)
        return left, top, right, bottom

    def _rectangle(self, left: int, top: int, right: int, bottom: int) -> None:
        for x in range(left, right + 1):
            self._put(x, top, "flat")
            self._put(x, bottom, "flat")
        for y in range(top, bottom + 1):
            self._put(left, y, "upright")
            self._put(right, y, "upright")
        for x in (left, right):
            for y in (top, bottom):
                self.grid[y][x] = self.signs["corner"]

    def _put(self, x: int, y: int, line: str) -> None:
        """Draw a piece of line; where lines cross there is a corner."""
        crossing = {self.signs["corner"], self.signs["upright" if line == "flat" else "flat"]}
        at = self.grid[y][x]
        self.grid[y][x] = self.signs["corner"] if at in crossing else self.signs[line]


def _nearest(value: int, whole: int) -> int:
    return (2 * value + whole) // (2 * whole)


def _plain(line: str, ascii_only: bool) -> str:
    """Keep control signs and, if asked, everything beyond ASCII out of the terminal."""
    shown = "".join(sign if sign.isprintable() else "?" for sign in line)
    return shown.encode("ascii", "replace").decode() if ascii_only else shown
