"""The list of cuts as plain data: each with the piece it takes, its tool, and the pieces it makes.

Whole nanometers inside, decimal strings of millimeters outside. Ids of pieces are never used twice
in a list: what stays gets a new one. A list can be executed from this data alone.
"""

from collections.abc import Iterable, Iterator
from typing import Any

from ledger.cutting.apart import Cut, CutPiece
from ledger.cutting.layout import LaidSheet, Layout, Leftover
from ledger.cutting.problem import ALL_EDGES, Problem, mm, mm_fields
from ledger.cutting.sequence import CutCounts, cut_list, setting_groups
from ledger.cutting.tools import RAIL_LEAST
from ledger.measures.plain import plain_fields

type Json = dict[str, Any]

_LENGTHS = (
    "rip_capacity", "fence_edge", "fence_least", "push_below", "crosscut_capacity", "miter_hold",
    "clamp_hold", "rail_cut", "rail_support", "sled_capacity",
)  # fmt: skip


def cuts_to_dict(problem: Problem, layout: Layout) -> Json:
    """Write the list of cuts of one material.

    The shape stands at `layout_to_dict`: `measured_from` is null for a cut that trims, and
    `weight_kg` is null where no weight is known.
    """
    plan = cut_list(problem, layout)
    ids = _Ids()
    stock = [
        _stock(sheet, start, ids, number)
        for number, (sheet, start) in enumerate(
            zip(layout.sheets, plan.starts, strict=True), start=1
        )
    ]
    groups = list(setting_groups(plan.cuts))
    group_of = {cut.number: at for at, group in enumerate(groups, start=1) for cut in group}
    return {
        "material": problem.material,
        "kerf_mm": mm(problem.kerf_nm),
        "tools": _tools(problem),
        "stock": stock,
        "cuts": [_cut(problem, layout, cut, ids, group_of[cut.number]) for cut in plan.cuts],
        "counts": counts_to_dict(plan.counts),
        "setting_groups": [_group(number, group) for number, group in enumerate(groups, start=1)],
        "no_tool": [cut.number for cut in plan.cuts if cut.tool == "none"],
    }


def counts_to_dict(counts: CutCounts) -> Json:
    """Write what drives the hours."""
    return {name: getattr(counts, name) for name in CutCounts.__struct_fields__}


class _Ids:
    """Gives each piece of a list its id, in the order in which they appear."""

    def __init__(self) -> None:
        self._known: dict[tuple[int, int], str] = {}

    def of(self, sheet: int, piece: CutPiece) -> str:
        """Give the id of a piece."""
        return self._known.setdefault((sheet, piece.key), f"P{len(self._known) + 1}")


def _tools(problem: Problem) -> Json:
    tools = problem.tools
    least = [mm(side) for side in RAIL_LEAST]
    return {
        **{f"{name}_mm": mm(getattr(tools, name)) for name in _LENGTHS},
        "fence_ratio": str(tools.fence_ratio),
        "rail_least_mm": least,
        "carry_alone_kg": _kg(tools.carry_alone),
    }


def _stock(sheet: LaidSheet, start: CutPiece, ids: _Ids, number: int) -> Json:
    raw = set(sheet.factory) if sheet.trim_nm else set()
    return {
        "piece": ids.of(number, start),
        "sheet": number,
        **plain_fields(sheet, "source label"),
        **mm_fields(sheet, "length width trim"),
        "edges": {edge: "factory" if edge in raw else "cut" for edge in ALL_EDGES},
    }


def _cut(problem: Problem, layout: Layout, cut: Cut, ids: _Ids, group: int) -> Json:
    shape = cut.shape
    return {
        **plain_fields(cut, "number round sheet"),
        "piece": ids.of(cut.sheet, cut.of),
        "label": cut.of.label,
        "length_mm": mm(cut.of.length),
        "width_mm": mm(cut.of.width),
        "along": "length" if cut.way == "rip" else "width",
        "run_mm": mm(shape.run),
        "across_mm": mm(shape.across),
        "tool": cut.tool.replace(" ", "_"),
        "aid": cut.aid.replace(" ", "_") or None,
        "setting_mm": mm(cut.setting_nm),
        "setting_group": group,
        "measured_from": _measured_from(layout.sheets[cut.sheet - 1], cut),
        "lost_mm": mm(cut.lost_nm),
        "trim": cut.trim or None,
        "held_mm": mm(shape.held),
        "weight_kg": _kg(cut.grams) if problem.grams_per_m2 else None,
        "too_heavy": shape.too_heavy,
        "out": list(_out(cut, ids)),
    }


def _measured_from(sheet: LaidSheet, cut: Cut) -> Json | None:
    """Say from which edge the setting is measured, and whether it is a cut or a factory edge."""
    if cut.trims:
        return None
    near = cut.setting_nm == cut.size_nm
    if cut.way == "rip":
        edge, at_end = ("near", cut.of.near == 0) if near else ("far", cut.of.far == sheet.width_nm)
    else:
        edge, at_end = (
            ("left", cut.of.left == 0) if near else ("right", cut.of.right == sheet.length_nm)
        )
    raw = at_end and edge in sheet.factory and sheet.trim_nm > 0
    return {"edge": edge, "state": "factory" if raw else "cut"}


def _out(cut: Cut, ids: _Ids) -> Iterator[Json]:
    for role, piece in (("off", cut.off), ("rest", cut.rest)):
        if piece is None:
            continue
        row: Json = {
            "piece": ids.of(cut.sheet, piece),
            "label": piece.label,
            "role": role,
            "length_mm": mm(piece.length),
            "width_mm": mm(piece.width),
            "is": piece.kind,
            "part": None,
            "mark": None,
        }
        if piece.item is not None and not isinstance(piece.item, Leftover):
            row |= {"part": piece.item.part, "mark": piece.item.mark}
        yield row


def _group(number: int, cuts: Iterable[Cut]) -> Json:
    cuts = list(cuts)
    return {
        "group": number,
        "tool": cuts[0].tool.replace(" ", "_"),
        "setting_mm": mm(cuts[0].setting_nm),
        "cuts": [cut.number for cut in cuts],
    }


def _kg(grams: int) -> str:
    whole, rest = divmod(grams, 1000)
    return f"{whole}.{rest:03}"
