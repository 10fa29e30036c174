"""The whole scenario as the demo tells it, typed at the program, and what it comes to.

The figures are the worked example's own, computed by hand and by script beside the program.
"""

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.slow
LAST = "2025-08-27"


@pytest.fixture
def told(shop: Callable[..., Any], story: Path, tmp_path: Path) -> Callable[..., Any]:
    """The program after the whole story; its papers lie in the folder `papers`."""
    shutil.copytree(story, tmp_path, dirs_exist_ok=True)
    return shop


def facts(told: Callable[..., Any], *words: str, on: str = LAST) -> dict[str, Any]:
    """What a command says as JSON."""
    said = told(*words, "--json", on=on)
    assert said.code == 0, said.err
    found: dict[str, Any] = json.loads(said.out)
    return found


def test_the_story_comes_to_its_figures(told: Callable[..., Any], tmp_path: Path) -> None:
    _check_close_out(facts(told, "job", "close", "bed", "--preview"))
    _check_month(facts(told, "month", "2025-05"))
    _check_papers(tmp_path / "papers")
    assert told("check", on=LAST).code == 0
    again = {row["paper"]: row["printed_again"] for row in facts(told, "quote", "check")["papers"]}
    assert again == dict.fromkeys(
        (
            "Q-2507-A",
            "I-2507-1",
            "I-2507-2",
            "I-2507-3",
            "CO-1 to Q-2507-A",
            "Q-2508-A",
            "I-2508-1",
            "I-2509-1",
        ),
        "same bytes",
    )


def _check_close_out(found: dict[str, Any]) -> None:
    assert (found["price"], found["changes"]) == ("6980.00", "120.00")
    assert (found["material"], found["material_cash"]) == ("1789.68", "1309.68")
    assert (found["offcut_credit"], found["helper"], found["other"]) == (
        "51.14", "198.91", "123.42",
    )  # fmt: skip
    assert (found["earned"], found["earned_an_hour"]) == ("5039.13", "68.75")
    assert found["after_overhead"] == "49.65"
    assert (found["earned_cash"], found["earned_cash_an_hour"]) == ("5509.23", "75.16")
    assert (found["content"], found["content_an_hour"]) == ("1855.46", "48.83")
    assert (found["in_kind_used"], found["together"]) == ("470.10", "7364.69")
    assert found["rework"] == "192.71"
    hours = found["hours"]
    assert (hours["planned"], hours["actual"]) == ("65.79", "77.20")
    assert (hours["owner"], hours["helper"]) == ("73.30", "7.40")
    assert (hours["rework"], hours["changes"]) == ("2.60", "0.90")


def _check_month(found: dict[str, Any]) -> None:
    spend = found["spend"]
    assert (spend["net"], spend["paid"], spend["landed"]) == ("1246.78", "1251.05", "1254.35")
    assert found["use_tax_due"] == "3.30"
    by_job = {row["name"]: row["landed"] for row in spend["by_job"]}
    assert by_job == {"J-2507": "1218.31", "stock": "36.04"}


def _check_papers(papers: Path) -> None:
    written = {str(path.relative_to(papers)) for path in papers.rglob("*") if path.is_file()}
    for name in (
        "quote.pdf", "quote.xlsx", "cost-sheet.xlsx", "shop-pack.pdf", "cut-list.xlsx",
        "labels.pdf", "cost-sheet.pdf", "buying-list.pdf",
        "papers-J-2507/close-out.pdf", "papers-J-2507/invoice-I-2507-3.pdf", "close-out.xlsx",
        "invoice-deposit.pdf", "invoice-stage.pdf", "invoice-final.pdf", "change-order.pdf",
        "kit-comparison.pdf", "close-out.pdf", "sponsor-brightfell.xlsx",
        "2025-05/2025-05-accountant.xlsx",
    ):  # fmt: skip
        assert name in written
