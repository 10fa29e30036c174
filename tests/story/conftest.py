"""The worked example, played through the program up to the price."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

SAMPLES = Path(__file__).parents[2] / "sample_data"


@pytest.fixture
def bed(begun: Callable[..., Any]) -> Callable[..., Any]:
    """The program with the example's book: prices, past jobs, sponsor's sheets, design, job.

    The job is priced once, so that its sheets are laid out.
    """
    return begun(
        ["new", "--shop", "Quillhaven Workshop"],
        ["shop", "load", str(SAMPLES / "shop.csv")],
        ["material", "load", str(SAMPLES / "materials.csv")],
        ["job", "load", str(SAMPLES / "past_jobs")],
        ["receipt", "load", str(SAMPLES / "sponsor_receipts.csv")],
        ["design", "load", str(SAMPLES / "bed")],
        ["job", "new", "Marrow fold-down bed", "--design", "fold-down-bed",
         "--client", "D. Marrow", "--number", "J-2507"],
        ["job", "add-cost", "J-2507", "miles", "44"],
        ["job", "count", "J-2507", "RIP", "33", "--note", "on the drawn cut plan"],
        ["job", "count", "J-2507", "XW", "20", "--note", "on the drawn cut plan"],
        ["job", "count", "J-2507", "XN", "85", "--note", "on the drawn cut plan"],
        ["price", "J-2507"],
    )  # fmt: skip


@pytest.fixture
def bed_price(bed: Callable[..., Any]) -> dict[str, Any]:
    """The facts of the example's price."""
    facts: dict[str, Any] = json.loads(bed("price", "J-2507", "--json").out)
    return facts
