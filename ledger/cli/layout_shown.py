"""A layout as `benchledger layout` shows it: drawings, cuts in the order of work, what they count.

Also its files: a drawing of every sheet and board.
"""

import sys
from collections.abc import Callable, Container, Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

import typer
from msgspec import Struct, field

from ledger.cli import voice
from ledger.cli.printed import require_folder_name
from ledger.cutting.boards import BoardPlan
from ledger.cutting.layout import LaidSheet, Layout, Name, proof_words
from ledger.cutting.lines import cut_lines, line_words, stations
from ledger.cutting.problem import Problem, Show
from ledger.cutting.sequence import CutCounts, count_cuts, cut_list, cut_notes
from ledger.errors import NotAllowed
from ledger.measures.length import Length, show_length
from ledger.measures.rounding import half_up, trimmed
from ledger.measures.spoken import how_many
from ledger.measures.units import convert, show_bought

if TYPE_CHECKING:
    from ledger.costing.taken import Taken

WIDEST = 80
"""Columns of a drawing, however wide the page is."""


class LayoutView(Struct, frozen=True):
    """The plans to show: by material, in which units, with how many digits of money (or none).

    `day` is that of the drawings, `thick` how thick a material is; `plain` ones have no grain.
    """

    plans: Sequence[tuple[Problem, Layout]]
    units: str
    digits: int | None = None
    title: str = ""
    reach: Length | None = None
    boards: Sequence[BoardPlan] = ()
    lumber: "Sequence[tuple[Taken, str]]" = ()
    day: str = ""
    thick: Mapping[str, Length] = field(default_factory=dict)
    plain: Container[str] = ()


class JobFiles(Struct, frozen=True):
    """The files of a job to write, and at which label of a sheet its labels begin."""

    svg: Path | None
    pdf: Path | None
    xlsx: Path | None
    labels: Path | None
    first: int
    proof: bool

    def __post_init__(self) -> None:
        if (self.first != 1 or self.proof) and not self.labels:
            raise typer.BadParameter("--from and --proof go with --labels FILE")


def spelled_in(units: str, *, suffix: bool = False) -> Callable[[int], str]:
    """How nanometers are spelled in inches or millimeters."""
    return lambda nm: show_length(Length(nm), units, suffix=suffix)


def show_all(laid: LayoutView) -> None:
    """Show every plan with its cuts in the order of work, and what they come to."""
    counts = []
    for problem, layout in laid.plans:
        _show_one(problem, layout, laid)
        show_cuts(problem, layout, spelled_in(laid.units), "[ ]" if _speaks_ascii() else "☐")
        counts.append(count_cuts(problem, layout))
        voice.say(counted(counts[-1]))
    if len(counts) > 1:
        voice.heading(f"In all: {counted(sum(counts, CutCounts()))}")
    if not laid.plans and (laid.boards or laid.lumber):
        voice.say("No sheets: solid wood only.")
    for plan in laid.boards:
        _show_boards(plan, laid)
    for line, unit in laid.lumber:
        voice.heading(f"{line.material}: {show_bought(line.charged, unit)} to buy")
        voice.say(f"{line.basis}.")


def _show_boards(plan: BoardPlan, laid: LayoutView) -> None:
    """Solid parts on their rough boards, and how many are bought for them."""
    bought, net = (_volume(feet, laid.units) for feet in (plan.bought, plan.net))
    voice.heading(
        f"{plan.problem.material}: {how_many(plan.boards, 'rough board')},"
        f" {bought} {'board feet' if laid.units == 'inch' else 'm³'} bought for {net} net"
    )
    for number, board in enumerate(plan.layout.sheets, start=1):
        _sketch(plan.problem, board, number, laid, "board")
    if plan.boards > plan.laid:
        voice.note(f"The parts fill {plan.laid}; the rest is for knots, sapwood and wind.")


def _volume(board_feet: Fraction, units: str) -> Decimal:
    """Board feet to the hundredth, or cubic meters to the deciliter."""
    if units == "inch":
        return half_up(board_feet, 2)
    return trimmed(half_up(convert(board_feet, "bd ft", "m³"), 4))


def _show_one(problem: Problem, layout: Layout, laid: LayoutView) -> None:
    used = half_up(layout.sheet_yield * 100, 0)
    sheets = how_many(len(layout.sheets), "sheet")
    proof = proof_words(problem, layout)
    voice.heading(f"{problem.material or 'Parts'}: {sheets} ({proof}), {used} % used")
    for number, sheet in enumerate(layout.sheets, start=1):
        _sketch(problem, sheet, number, laid, "sheet")
    for words in cut_notes(problem, layout, laid.reach.nm if laid.reach else None):
        voice.note(words)


def _sketch(problem: Problem, sheet: LaidSheet, number: int, laid: LayoutView, name: Name) -> None:
    from ledger.cutting.sketch import sketch

    show = spelled_in(laid.units)
    page = min(voice.width(), WIDEST)
    lines = sketch(
        problem, sheet, number, show, page, ascii_only=_speaks_ascii(), name=name,
        has_grain=problem.material not in laid.plain,
    )  # fmt: skip
    for line in lines:
        voice.say(line)


def _speaks_ascii() -> bool:
    """Whether the terminal has no frames and blocks to draw with."""
    return "utf" not in (getattr(sys.stdout, "encoding", None) or "utf-8").casefold()


def draw_sheets(laid: LayoutView, folder: Path) -> None:
    """Write a drawing of every sheet and board into a folder."""
    from ledger.cutting.drawing import PageHead, sheet_svg

    require_folder_name(folder)
    show = spelled_in(laid.units)
    units = f"All sizes in {'inches' if laid.units == 'inch' else 'millimeters'}."
    notes = tuple(filter(None, (laid.day and f"{laid.day}.", units)))
    taken: set[str] = set()
    boards = [(plan.problem, plan.layout) for plan in laid.boards]
    named: tuple[tuple[Name, Sequence[tuple[Problem, Layout]]], ...] = (
        ("sheet", laid.plans), ("board", boards)
    )  # fmt: skip
    for what, plans in named:
        for problem, layout in plans:
            name = _file_name(problem.material, taken)
            thickness = laid.thick.get(problem.material)
            head = PageHead(laid.title, notes, show(thickness.nm) if thickness else "")
            for number in range(1, len(layout.sheets) + 1):
                drawing = sheet_svg(problem, layout, number, show, head, what)
                _write(folder / f"{name}-{number:02}.svg", drawing)


def _write(path: Path, drawing: str) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(drawing, encoding="utf-8")
    except OSError as trouble:
        reason = trouble.strerror or "it failed"
        raise NotAllowed(f"{path} cannot be written ({reason}).") from trouble
    voice.note(f"Drawing: {path}")


def _file_name(name: str, taken: set[str]) -> str:
    """A material's code as a file name of its own that cannot leave its folder."""
    plain = "".join(c if c.isalnum() or c in "-_" else "-" for c in name)[:60] or "sheet"
    chosen, number = plain, 2
    while chosen.casefold() in taken:
        chosen, number = f"{plain}-{number}", number + 1
    taken.add(chosen.casefold())
    return chosen


def show_cuts(problem: Problem, layout: Layout, show: Show, box: str) -> None:
    """Say the cuts of a material in the order of work, with a box to tick before each line."""
    for station in stations(cut_list(problem, layout).cuts):
        voice.say(station.name)
        for line in cut_lines(station.cuts):
            voice.say(f"  {box} {line.numbers:>5}  {line_words(line, show)}")


def counted(cuts: CutCounts) -> str:
    """Say the counts that drive the hours in a sentence."""
    words = (
        f"{how_many(cuts.breakdown, 'break-down cut')}, {how_many(cuts.strips, 'strip')},"
        f" {how_many(cuts.fence_settings, 'fence setting')}, {cuts.wide_crosscuts} wide and"
        f" {how_many(cuts.narrow_crosscuts, 'narrow crosscut')}, {how_many(cuts.stops, 'stop')}"
    )
    if cuts.clamped:
        words += f", {cuts.clamped} clamped"
    if cuts.no_tool:
        words += f", {cuts.no_tool} that no tool fits"
    return f"{words}."
