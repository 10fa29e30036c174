"""The worked example, played through the program up to the price."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

SAMPLES = Path(__file__).parents[2] / "sample_data"


@pytest.fixture(scope="session")
def bed_book() -> dict[str, bytes]:
    """The example's book with its sheets laid out, as it stood when it was first typed."""
    return {}


@pytest.fixture
def bed(shop: Callable[..., Any], tmp_path: Path, bed_book: dict[str, bytes]) -> Callable[..., Any]:
    """The program with the example's book: prices, past jobs, sponsor's sheets, design, job."""
    path = tmp_path / "shop.sqlite"
    if bed_book:
        path.write_bytes(bed_book["bytes"])
        return shop
    steps = (
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
    for words in steps:
        said = shop(*words)
        assert said.code == 0, f"{words}: {said.err}"
    bed_book["bytes"] = path.read_bytes()
    return shop


@pytest.fixture
def bed_price(bed: Callable[..., Any]) -> dict[str, Any]:
    """The facts of the example's price."""
    facts: dict[str, Any] = json.loads(bed("price", "J-2507", "--json").out)
    return facts
