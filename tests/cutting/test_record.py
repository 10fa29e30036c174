"""A stored layout reads back as it was, to the nanometer and the cent."""

import json
from fractions import Fraction

import pytest

from ledger.cutting import CutPart, Problem, Stock, solve
from ledger.cutting.boards import plan_boards
from ledger.cutting.record import layout_to_dict, layouts_from_dict, money, nm
from ledger.errors import BadValue

MM = 1_000_000


def problem(material: str) -> Problem:
    """One material with a rack piece, a pair and a split group."""
    pieces = (
        CutPart("A", "Side", 600 * MM + 1, 300 * MM, 2, marks=("A-L", "A-R")),
        CutPart("F", "Face", 2000 * MM, 800 * MM, 2, group="faces"),
    )
    stocks = (
        Stock("new", 2440 * MM, 1220 * MM, 6_350_000, 9650),
        Stock("rack", 700 * MM, 650 * MM, 0, 5, 1, "R-7"),
    )
    return Problem(material, pieces, stocks, 3_175_000)


@pytest.mark.parametrize("digits", [0, 2, 3])
def test_layouts_survive_the_way_to_json_and_back(digits: int) -> None:
    plans = [(asked, solve(asked)) for asked in (problem("PLY"), problem("MDF"))]

    text = json.dumps(layout_to_dict(plans, digits))

    assert layouts_from_dict(json.loads(text), digits) == tuple(layout for _, layout in plans)


def test_money_and_lengths_are_decimal_strings() -> None:
    asked = problem("PLY")
    data = layout_to_dict([(asked, solve(asked))])

    assert data["kerf_mm"] == "3.175"
    assert data["totals"][0]["cost"] in {"193.00", "193.05"}
    assert all(isinstance(sheet["cost"], str) for sheet in data["sheets"])


def test_rough_boards_stand_beside_the_sheets_with_the_feet_that_are_bought() -> None:
    rail = CutPart("R", "Rail", 1000 * MM, 60 * MM, 3, material="ASH")
    board = Stock("new", 2400 * MM, 150 * MM, 0, 2040)
    plan = plan_boards([rail], board, 25_400_000, kerf_nm=3 * MM, waste=Fraction(2, 3))

    (told,) = layout_to_dict([], boards=[plan])["boards"]

    assert (told["material"], told["boards"]) == ("ASH", 2)
    assert [board["cost"] for board in told["sheets"]] == [None]
    # 3 × 1000 × 60 × 25.4 mm³ and 2400 × 150 × 25.4 mm³, at 2,359,737.216 mm³ a board foot
    feet = [told[f"{name}_board_feet"] for name in ("net", "needed", "bought")]
    assert feet == ["1.9375", "5.8125", "7.7500"]
    (metric,) = layout_to_dict([], boards=[plan], in_m3=True)["boards"]
    cubic = [metric[f"{name}_m3"] for name in ("net", "needed", "bought")]
    assert cubic == ["0.004572", "0.013716", "0.018288"]
    assert not [key for key in told if "m3" in key]
    assert [place["part"] for sheet in told["sheets"] for place in sheet["placements"]] == ["R"] * 3


def test_money_is_written_with_the_digits_of_its_currency() -> None:
    assert [money(12345, 2), money(12345, 0), money(5, 3), money(-5, 2)] == [
        "123.45",
        "12345",
        "0.005",
        "-0.05",
    ]


@pytest.mark.parametrize("text", ["", "1,5", "1.2345678", "1e3", "٣", "--1", "1."])
def test_a_length_that_is_no_decimal_number_is_refused(text: str) -> None:
    with pytest.raises(BadValue, match="decimal"):
        nm(text)


def test_what_is_no_layout_is_refused() -> None:
    with pytest.raises(BadValue, match="not a layout"):
        layouts_from_dict({"kerf_mm": "3", "totals": [{"material": "PLY"}], "sheets": []})
