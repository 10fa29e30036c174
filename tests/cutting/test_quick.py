"""A parts list and one sheet size are answered without a book."""

from decimal import Decimal

import pytest

from ledger.cutting import CutPart, check_layout
from ledger.cutting.quick import Saw, quick_layout
from ledger.errors import NotAllowed

MM = 1_000_000
SAW = Saw(kerf_nm=3 * MM, trim_nm=5 * MM)
PIECES = (
    CutPart("A", "Side", 2000 * MM, 400 * MM, 4, material="PLY18"),
    CutPart("B", "Back", 2000 * MM, 800 * MM, 1, material="PLY6"),
    CutPart("C", "Shelf", 800 * MM, 300 * MM, 3, may_turn=True, material="PLY18"),
)


def test_each_material_is_laid_on_its_own_sheets_in_the_order_of_the_list() -> None:
    answer = quick_layout(PIECES, 2440 * MM, 1220 * MM, SAW)

    assert [layout.material for _, layout in answer.plans] == ["PLY18", "PLY6"]
    assert [len(layout.sheets) for _, layout in answer.plans] == [2, 1]
    for problem, layout in answer.plans:
        check_layout(problem, layout)


def test_the_answer_is_plain_data_with_lengths_in_decimal_millimeters() -> None:
    data = quick_layout(PIECES, 2440 * MM, 1220 * MM, SAW).to_dict()

    assert data["kerf_mm"] == "3"
    assert [total["material"] for total in data["totals"]] == ["PLY18", "PLY6"]
    assert {total["cost"] for total in data["totals"]} == {None}
    sheet = data["sheets"][0]
    assert (sheet["material"], sheet["source"], sheet["trim_mm"]) == ("PLY18", "new", "5")
    assert (sheet["length_mm"], sheet["width_mm"]) == ("2440", "1220")
    laid = [part["part"] for sheet in data["sheets"] for part in sheet["placements"]]
    assert sorted(laid) == sorted(["A"] * 4 + ["B"] + ["C"] * 3)
    assert set(data["cuts"]) >= {"strips", "wide_crosscuts", "narrow_crosscuts"}
    assert all(0 < Decimal(total["yield"]) < 1 for total in data["totals"])


def test_the_counts_are_those_of_all_materials_together() -> None:
    answer = quick_layout(PIECES, 2440 * MM, 1220 * MM, SAW)

    assert answer.counts.strips == answer.to_dict()["cuts"]["strips"]
    assert answer.counts.wide_crosscuts > 0
    assert answer.counts.narrow_crosscuts > 0


def test_one_bad_row_is_refused_before_anything_is_laid() -> None:
    told: list[str] = []
    bad = (*PIECES, CutPart("D", "Door", 2000 * MM, 1500 * MM, material="PLY6"))

    with pytest.raises(NotAllowed, match="D Door"):
        quick_layout(bad, 2440 * MM, 1220 * MM, SAW, progress=told.append)
    assert told == []


def test_a_list_without_rows_has_no_plan() -> None:
    answer = quick_layout([], 2440 * MM, 1220 * MM, SAW)

    assert answer.plans == ()
    assert answer.to_dict()["sheets"] == []
