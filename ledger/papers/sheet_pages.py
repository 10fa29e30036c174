"""Sheets and boards drawn to true scale for the page at the saw, with their cuts to tick.

A unit of a drawing is a point of the print, so letters in it are as large as on any paper. The
scale is the largest usual one that fits; its print is measured at 100 %.
"""

from collections.abc import Sequence
from itertools import chain
from math import ceil

from ledger.cutting.apart import Cut
from ledger.cutting.drawing import BareDrawing, bare_svg
from ledger.cutting.layout import LaidSheet, Name
from ledger.cutting.lines import cut_lines, line_words
from ledger.cutting.sequence import cut_list
from ledger.jobs.plans import MaterialLayout
from ledger.papers.words import A4, LETTER, Words
from ledger.reports.shop_pack import Pack

SCALES = (5, 8, 10, 12, 15, 20)
"""The usual scales of a cut plan, 1 to so many; what is larger still is drawn 1 to 30, 40 …"""

ROOM = {LETTER: (720, 505), A4: (769, 488)}
"""Points of a landscape page inside the margins of the template, head and foot taken off."""

RIM, TOP = 14, 14
"""Points around a drawing for the names of its edges and numbers at its rim, and above it."""

LINE, LETTERS = 15, 50
"""Points from line to line of the list of cuts, and letters of a line of its two columns."""

SMALL_LINE, SMALL_LETTERS = 12, 75
"""The same of what stands below the list in small type."""

LEAST_BESIDE = 240
"""So many points wide the list of cuts stands beside a drawing, else below it."""

_POINT_NM = 25_400_000 / 72


def scales_of(laid: LaidSheet, size: str) -> list[int]:
    """The scales, 1 to so many, at which a sheet fits a page of a size, the largest drawing first.

    No sheet is so large that none fits.
    """
    wide, high = ROOM[size]
    return [
        scale
        for scale in chain(SCALES, range(30, 1000, 10))
        if laid.length_nm / _POINT_NM / scale <= wide - 2 * RIM
        and laid.width_nm / _POINT_NM / scale <= high - 2 * RIM - TOP
    ]


def sheet_block(
    pack: Pack,
    plan: MaterialLayout,
    number: int,
    cuts: Sequence[Cut],
    size: str,
    drawings: dict[str, str],
) -> Words:
    """The drawing of a sheet, with its list of cuts and what found no room in it.

    It is one step smaller than the page allows where the list then stands on the same page.
    """
    laid = plan.layout.sheets[number - 1]
    fitting = scales_of(laid, size)
    wide, high = ROOM[size]
    for scale in (*fitting[:2], fitting[0]):
        drawn = _drawn(pack, plan, number, scale)
        lines, small = _listed(pack, cuts), _explained(drawn)
        is_beside = wide - 2 * RIM - drawn.length >= LEAST_BESIDE
        listed = _high(lines, small)
        room = high if is_beside else 2 * (high - drawn.width - 2 * RIM - TOP)
        if listed <= room:
            break
    return {
        "kind": "drawing",
        "drawing": _picture(pack, plan, number, drawn, f"Scale 1 : {scale}", drawings),
        "lines": lines,
        "small": small,
        "beside": is_beside,
    }


def board_blocks(
    pack: Pack, plan: MaterialLayout, size: str, drawings: dict[str, str]
) -> list[Words]:
    """The rough boards of a material, one below the other, each with its cuts."""
    cuts = cut_list(plan.problem, plan.layout)
    blocks: list[Words] = []
    many = len(plan.layout.sheets)
    for number, laid in enumerate(plan.layout.sheets, start=1):
        scale = scales_of(laid, size)[0]
        drawn = _drawn(pack, plan, number, scale, "board")
        size_words = pack.size(laid.length_nm, laid.width_nm)
        words = f"Scale 1 : {scale} along the board"
        blocks.append(
            {
                "kind": "board",
                "name": f"Board {number} of {many}: {size_words}, rough",
                "drawing": _picture(pack, plan, number, drawn, words, drawings),
                "lines": _listed(pack, cuts.of_sheet(number)),
                "small": _explained(drawn),
            }
        )
    return blocks


def _drawn(
    pack: Pack, plan: MaterialLayout, number: int, scale: int, name: Name = "sheet"
) -> BareDrawing:
    units = 72 / 25.4 / scale
    return bare_svg(
        plan.problem, plan.layout, number, pack.show, units_per_mm=units, name=name, pad=RIM
    )


def _picture(
    pack: Pack,
    plan: MaterialLayout,
    number: int,
    drawn: BareDrawing,
    scale: str,
    drawings: dict[str, str],
) -> Words:
    name = f"drawing-{len(drawings) + 1}.svg"
    drawings[name] = drawn.svg
    marks = dict.fromkeys(part.mark for part in plan.layout.sheets[number - 1].placements)
    return {
        "file": name,
        "width": f"{drawn.length + 2 * RIM:.2f}",
        "height": f"{drawn.width + 2 * RIM:.2f}",
        "grain": pack.has_grain(plan.problem.material),
        "narrow": drawn.width < 70,
        "scale": scale,
        "alt": f"{plan.problem.material} {number} with the parts {', '.join(marks)}. {scale}",
    }


def _listed(pack: Pack, cuts: Sequence[Cut]) -> list[list[str]]:
    return [[line.numbers, line_words(line, pack.show)] for line in cut_lines(cuts)]


def _explained(drawn: BareDrawing) -> list[str]:
    """What stands below a list: parts without room, where the blade runs, what the signs mean."""
    beside = [f"No room in the drawing: {'  ·  '.join(drawn.beside)}"] if drawn.beside else []
    return [*beside, *drawn.running, "  ".join(drawn.legend)]


def _high(lines: Sequence[Sequence[str]], small: Sequence[str]) -> int:
    """About how many points high a list is in one column."""
    large = sum(ceil(len(words) / LETTERS) for _, words in lines)
    return LINE * large + sum(SMALL_LINE * ceil(len(words) / SMALL_LETTERS) for words in small)
