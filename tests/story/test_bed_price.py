"""The worked example: the fold-down bed of Quillhaven Workshop, priced to the last digit.

The figures are the example's own, computed by hand and by script beside the program.
"""

import json
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from ledger.cutting.engine import solver_versions

pytestmark = pytest.mark.slow

SAMPLES = Path(__file__).parents[2] / "sample_data"

HOURS = {
    "DES": ("20", "4.67"), "MTG": ("2", "2.50"), "ADM": ("1", "2.00"), "PUP": ("2", "2.50"),
    "SHT": ("10", "2.00"), "RIP": ("33", "1.27"), "XW": ("20", "1.17"), "XN": ("85", "1.22"),
    "RAB": ("28", "0.57"), "MIL": ("3", "0.73"), "EBA": ("114", "1.69"), "EBT": ("114", "1.22"),
    "SOL": ("24", "1.45"), "PKT": ("106", "0.97"), "DWL": ("16", "0.57"), "PIN": ("160", "0.92"),
    "ASM": ("51", "5.01"), "HWB": ("1", "2.75"), "HWS": ("14", "2.03"), "SND": ("276", "5.69"),
    "SBC": ("552", "2.84"), "SPR": ("828", "4.14"), "SPS": ("3", "2.83"), "PAK": ("18", "2.05"),
    "DLV": ("3.5", "3.50"), "INS": ("9.5", "9.50"),
}  # fmt: skip


def test_everything_of_the_example_in_one_price(bed_price: dict[str, Any]) -> None:
    _check_sheets(bed_price)
    _check_hours(bed_price)
    _check_money(bed_price)
    _check_lines(bed_price)
    _check_weights(bed_price)


def _check_sheets(price: dict[str, Any]) -> None:
    laid = {one["material"]: one for one in price["layout"]}
    assert {code: one["sheets"] for code, one in laid.items()} == {
        "PLY34": 5, "PLY12": 2, "PLY14": 3,
    }  # fmt: skip
    areas = [round(Decimal(laid[c]["net_area"]), 1) for c in ("PLY34", "PLY12", "PLY14")]
    assert areas == [Decimal("114.8"), Decimal("36.3"), Decimal("54.4")]
    assert laid["PLY12"]["proven"]
    assert laid["PLY14"]["proven"]
    # Exact pricing, where it is installed, excludes four sheets; area and dual bound do not.
    can_prove = len(solver_versions()) > 1
    assert laid["PLY34"]["fewest_possible"] == (5 if can_prove else 4)
    assert laid["PLY34"]["proven"] == can_prove


def _check_hours(price: dict[str, Any]) -> None:
    said = {
        line["operation"]: (format(Decimal(line["driver"]).normalize(), "f"), line["standard"])
        for line in price["operations"]
    }
    assert said == HOURS
    hours = price["hours"]
    assert (hours["estimate"], hours["owner"], hours["helper"]) == ("65.79", "59.29", "6.50")
    assert hours["past_jobs"] == 3


def _check_weights(price: dict[str, Any]) -> None:
    """Cabinet, tray and each tower: 110, 135 and 61 lb by the example's own rougher densities."""
    said = " ".join(price["cautions"])
    for words in ("Cabinet: about 121 lb", "Tray: about 142 lb", "Tower, each of 2: about 66 lb"):
        assert words in said


def _check_money(price: dict[str, Any]) -> None:
    rates, totals = price["rates"], price["totals"]
    assert (rates["overhead"], rates["pay"]) == ("19.10", "48.61")
    assert (rates["break_even"], rates["selling"]) == ("67.71", "73.00")
    assert (totals["material"], totals["hardware"]) == ("1229.60", "523.26")
    assert (totals["material_full"], totals["material_cash"]) == ("1752.86", "1272.86")
    assert [line["amount"] for line in price["build_up"]] == [
        "1475.52", "601.75", "4328.17", "273.00", "30.80", "259.69",
    ]  # fmt: skip
    assert (totals["build_up"], totals["price"]) == ("6968.93", "6980.00")
    assert (totals["earned_per_hour"], totals["earned_after_overhead"]) == ("69.99", "50.89")
    assert round(Decimal(totals["material_share"]), 2) == Decimal("0.25")


def _check_lines(price: dict[str, Any]) -> None:
    lines = {line["item"]: line for line in price["lines"]}
    charged = {code: (line["quantity"], line["full"]) for code, line in lines.items()}
    assert lines["PLY34"]["cash"] == "0.00"
    assert charged["EDGE78"] == ("84", "18.48")
    assert charged["DISC5"] == ("36", "23.40")
    assert charged["PSCREW"] == ("117", "6.32")
    assert charged["SATIN"] == ("4", "316.00")
    assert any("3.76 gal" in line["basis"] for line in lines.values())
    assert any("76.4 ft on 21 edges" in line["basis"] for line in lines.values())
    assert any("38.0 ft on 8 edges" in line["basis"] for line in lines.values())


def test_five_past_jobs_say_75_hours_and_two_of_rework(bed: Callable[..., Any]) -> None:
    bed("job", "load", str(SAMPLES / "past_jobs_spring"), on="2025-05-05")
    price = json.loads(bed("price", "bed", "--json", on="2025-05-05").out)
    hours = price["hours"]
    assert (hours["estimate"], hours["history"], hours["past_jobs"]) == ("65.79", "75.02", 5)
    assert Decimal(hours["history"]) + Decimal(hours["rework"]) == Decimal(hours["p50"])
    # Apart from this code, without the helper's column: 76.80, 83.17 and 91.78.
    said = [float(hours[point]) for point in ("p50", "p80", "p95")]
    assert said == pytest.approx([76.80, 83.17, 91.78], rel=0.006)
    assert sum(Decimal(line["history"]) for line in price["operations"]) == Decimal("75.02")
    # It took 77.2 h and 2.6 h of rework: under the safe point, over the typical one.
    assert said[0] < 79.8 < said[1]
    assert any("below the typical one" in warning for warning in price["warnings"])


def test_explain_goes_back_to_receipt_price_part_and_standard(bed: Callable[..., Any]) -> None:
    said = bed("price", "bed", "--explain", "PLY34").out
    for piece in ("A1 Cabinet side", "A2 Cabinet top", "price: 96", "markup 20 %"):
        assert piece in said
    assert "5.5 min a joint" in bed("price", "bed", "--explain", "assemble").out.replace(
        "5.50", "5.5"
    )
    assert "67.71" in bed("price", "bed", "--explain", "owner hours").out


@pytest.mark.parametrize("extent", [[], ["--all"]])
def test_the_cost_sheet_fits_eighty_columns(bed: Callable[..., Any], extent: list[str]) -> None:
    said = bed("price", "bed", *extent).out
    assert max(len(line) for line in said.splitlines()) <= 80
    for figure in ("6,980.00", "65.79", "67.71", "6,968.93"):
        assert figure in said


def test_the_short_cost_sheet_is_one_screen(bed: Callable[..., Any]) -> None:
    assert len(bed("price", "bed").out.splitlines()) <= 50


def test_forgotten_costs_stay_open_until_answered(bed: Callable[..., Any]) -> None:
    assert "samples" in bed("price", "bed").out
    bed("job", "answer", "bed", "samples", "0")
    said = bed("price", "bed").out
    assert "samples" not in said.split("Not answered yet:")[1].split(".")[0]


def test_an_answered_cost_goes_into_the_price(bed: Callable[..., Any]) -> None:
    bed("job", "answer", "bed", "storage", "100")
    assert "7,068.93" in bed("price", "bed").out
