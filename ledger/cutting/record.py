"""Layouts to and from the plain dictionaries that files and other programs read.

Lengths are millimeters and money is in whole units, both as decimal strings, so nothing is lost.
"""

import re
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from ledger.cutting.boards import BoardPlan
from ledger.cutting.layout import LaidSheet, Layout, Leftover, Placement
from ledger.cutting.problem import ALL_EDGES, Problem, mm, mm_fields
from ledger.cutting.record_cuts import counts_to_dict, cuts_to_dict
from ledger.cutting.sequence import CutCounts, count_cuts
from ledger.errors import BadValue
from ledger.measures.plain import plain_fields

type Json = dict[str, Any]


def layout_to_dict(
    plans: Sequence[tuple[Problem, Layout]],
    digits: int | None = 2,
    boards: Sequence[BoardPlan] = (),
    *,
    with_cuts: bool = False,
    in_m3: bool = False,
) -> Json:
    """Write the layouts of a job, one for each material, and its solid parts on rough boards.

    `digits` are those of the currency; None where there are no prices. x runs along the sheet's
    length, which is its grain, y across; the origin is a corner of the untrimmed sheet, and a
    placement's length and width are as laid. Lengths are millimeters as decimal strings. Of the
    rough boards so many are bought as `boards` says; the parts alone fill those that are drawn. A
    board has no cost here, for lumber is priced by the foot. The list of cuts of each material is
    written only where it is wanted: it follows from the rest. With `in_m3` the volumes of boards
    are also there as net_m3, needed_m3 and bought_m3.

    Shape: sheets [material, source, label, length_mm, width_mm, trim_mm, factory_edges, cost,
    placements [part, mark, x_mm, y_mm, length_mm, width_mm, turned], leftovers [x_mm, y_mm,
    length_mm, width_mm, usable]] · totals [material, sheets, fewest_possible, proven, cost,
    least_cost, yield, digest, notes] · cuts {strips, fence_settings, wide_crosscuts,
    narrow_crosscuts, breakdown, trims, stops, station_changes, clamped, no_tool} · kerf_mm ·
    boards [material, boards, net_board_feet, needed_board_feet, bought_board_feet, sheets
    [material, source, label, length_mm, width_mm, trim_mm, factory_edges, cost, placements [part,
    mark, x_mm, y_mm, length_mm, width_mm, turned], leftovers [x_mm, y_mm, length_mm, width_mm,
    usable]]] · cut_lists [material, kerf_mm, tools {rip_capacity_mm, fence_edge_mm,
    fence_least_mm, push_below_mm, crosscut_capacity_mm, miter_hold_mm, clamp_hold_mm, rail_cut_mm,
    rail_support_mm, sled_capacity_mm, fence_ratio, rail_least_mm, carry_alone_kg}, stock [piece,
    sheet, source, label, length_mm, width_mm, trim_mm, edges {left, right, near, far}], cuts
    [number, round, sheet, piece, label, length_mm, width_mm, along, run_mm, across_mm, tool, aid,
    setting_mm, setting_group, measured_from {edge, state}, lost_mm, trim, held_mm, weight_kg,
    too_heavy, out [piece, label, role, length_mm, width_mm, is, part, mark]], counts {strips,
    fence_settings, wide_crosscuts, narrow_crosscuts, breakdown, trims, stops, station_changes,
    clamped, no_tool}, setting_groups [group, tool, setting_mm, cuts], no_tool].
    """
    counts = CutCounts()
    for problem, layout in plans:
        counts += count_cuts(problem, layout)
    return {
        "sheets": [_sheet(sheet, digits) for _, plan in plans for sheet in plan.sheets],
        "totals": [_total(layout, digits) for _, layout in plans],
        "cuts": counts_to_dict(counts),
        "kerf_mm": mm(plans[0][0].kerf_nm) if plans else "0",
        "boards": [_boards(plan, in_m3=in_m3) for plan in boards],
        "cut_lists": [cuts_to_dict(*plan) for plan in plans] if with_cuts else [],
    }


def layouts_from_dict(data: Mapping[str, Any], digits: int | None = 2) -> tuple[Layout, ...]:
    """Read back what `layout_to_dict` wrote, one layout for each material."""
    try:
        kerf_nm = nm(data["kerf_mm"])
        return tuple(_read_layout(total, data, kerf_nm, digits) for total in data["totals"])
    except (KeyError, TypeError) as trouble:
        raise BadValue(
            f"This is not a layout: {trouble} is missing or of the wrong kind."
        ) from None


def nm(text: str) -> int:
    """Read a decimal number of millimeters as whole nanometers."""
    return _minor(text, 6)


def money(minor: int, digits: int) -> str:
    """Write minor units as a decimal string of the currency."""
    whole, rest = divmod(abs(minor), 10**digits)
    sign = "-" if minor < 0 else ""
    return f"{sign}{whole}.{rest:0{digits}}" if digits else f"{sign}{whole}"


_PLACE = "x y length width"


def _sheet(sheet: LaidSheet, digits: int | None) -> Json:
    return {
        **plain_fields(sheet, "material source label"),
        **mm_fields(sheet, "length width trim"),
        "factory_edges": list(sheet.factory),
        "cost": _cost(sheet.cost, digits),
        "placements": [
            {**plain_fields(part, "part mark"), **mm_fields(part, _PLACE), "turned": part.turned}
            for part in sheet.placements
        ],
        "leftovers": [
            {**mm_fields(rest, _PLACE), "usable": rest.usable} for rest in sheet.leftovers
        ],
    }


_BOARD_FOOT_M3 = 144 * Fraction(254, 10_000) ** 3
"""A board foot is 144 cubic inches of 25.4 mm each."""


def _boards(plan: BoardPlan, *, in_m3: bool) -> Json:
    feet = {"net": plan.net, "needed": plan.needed, "bought": plan.bought}
    volumes = {f"{name}_board_feet": _decimal(value, 4) for name, value in feet.items()}
    if in_m3:
        volumes |= {
            f"{name}_m3": _decimal(value * _BOARD_FOOT_M3, 6) for name, value in feet.items()
        }
    return {
        "material": plan.problem.material,
        "boards": plan.boards,
        **volumes,
        "sheets": [_sheet(board, None) for board in plan.layout.sheets],
    }


def _total(layout: Layout, digits: int | None) -> Json:
    return {
        "material": layout.material,
        "sheets": len(layout.sheets),
        **plain_fields(layout, "fewest_possible proven"),
        "cost": _cost(layout.cost, digits),
        "least_cost": _cost(layout.least_cost, digits),
        "yield": _decimal(layout.sheet_yield, 4),
        **plain_fields(layout, "digest notes"),
    }


def _decimal(value: Fraction, places: int) -> str:
    """Write a share or a quantity that is not negative to so many places, half up."""
    doubled = 2 * value.numerator * 10**places
    return money((doubled + value.denominator) // (2 * value.denominator), places)


def _read_layout(
    total: Mapping[str, Any], data: Mapping[str, Any], kerf_nm: int, digits: int | None
) -> Layout:
    material = total["material"]
    sheets = [sheet for sheet in data["sheets"] if sheet["material"] == material]
    return Layout(
        material,
        tuple(_read_sheet(sheet, digits) for sheet in sheets),
        kerf_nm,
        fewest_possible=total["fewest_possible"],
        proven=total["proven"],
        least_cost=_read_cost(total["least_cost"], digits),
        digest=total["digest"],
        notes=tuple(total["notes"]),
    )


def _read_sheet(data: Mapping[str, Any], digits: int | None) -> LaidSheet:
    return LaidSheet(
        data["material"],
        data["source"],
        nm(data["length_mm"]),
        nm(data["width_mm"]),
        nm(data["trim_mm"]),
        _read_cost(data["cost"], digits),
        data["label"],
        tuple(
            Placement(**_place(part), part=part["part"], mark=part["mark"], turned=part["turned"])
            for part in data["placements"]
        ),
        tuple(Leftover(**_place(rest), usable=rest["usable"]) for rest in data["leftovers"]),
        tuple(data.get("factory_edges", ALL_EDGES)),
    )


def _place(data: Mapping[str, Any]) -> dict[str, int]:
    return {f"{name}_nm": nm(data[f"{name}_mm"]) for name in _PLACE.split()}


def _cost(minor: int, digits: int | None) -> str | None:
    return None if digits is None else money(minor, digits)


def _read_cost(text: str | None, digits: int | None) -> int:
    return 0 if text is None or digits is None else _minor(text, digits)


def _minor(text: str, digits: int) -> int:
    """Read a decimal string as whole parts of 10 ** -digits, refusing what would be rounded."""
    match = re.fullmatch(r"(-?)(\d{1,18})(?:\.(\d+))?", text, re.ASCII)
    if not match or len(match[3] or "") > digits:
        raise BadValue(f"“{text}” is not a decimal number with at most {digits} places.")
    value = int(match[2] + (match[3] or "").ljust(digits, "0"))
    return -value if match[1] else value
