"""A fault in a plan that was sold: who holds it, what to write to them, the corrected pages."""

import json
import shutil
from pathlib import Path

import pytest

from tests.papers.conftest import ReadBack

SAMPLES = Path(__file__).parents[2] / "sample_data"
ERRATA = ["design", "errata", "side"]


@pytest.fixture
def sold(begun, tmp_path):
    """Three orders of version 1: a thin leg, a leg as designed, sizes that nobody noted."""
    for version in ("first", "corrected"):
        for source in ("side_table", f"side_table_{version}"):
            shutil.copytree(SAMPLES / source, tmp_path / version, dirs_exist_ok=True)
    sale = ["job", "income", "table", "plans", "24.00", "--fee", "1.92"]
    return begun(
        ["new", "--shop", "Quillhaven Workshop"],
        ["material", "load", str(SAMPLES / "side_table_materials.csv")],
        ["design", "load", str(tmp_path / "first")],
        ["job", "new", "Table", "--design", "side"],
        [*sale, "--order", "A-1", "--set", "leg=1-3/8 in"],
        [*sale, "--order", "A-2", "--set", "leg=1-1/2 in"],
        [*sale, "--order", "A-3"],
    )


def orders(sold) -> dict[str, int]:
    """How many corrections each order needs."""
    listed = json.loads(sold(*ERRATA, "--json").out)
    return {row["order"]: len(row["wrong"]) for row in listed["orders"]}


def test_the_orders_with_a_fault_are_those_of_the_version_and_the_sizes(sold):
    assert orders(sold) == {}
    assert sold("design", "load", "corrected").code == 0
    late = ["job", "income", "table", "plans", "24", "--order", "A-4", "--set", "leg=1-3/8 in"]
    assert sold(*late).code == 0

    assert orders(sold) == {"A-1": 2, "A-2": 1, "A-3": 2}
    listed = json.loads(sold(*ERRATA, "--json").out)
    assert listed["orders_noted"] == 4
    assert [row["sizes"] for row in listed["orders"]] == ["leg=1-3/8 in", "leg=1-1/2 in", None]
    assert listed["corrections"][0]["right"] == "15 in (381 mm) deep: trim it, or make it new."


def test_it_says_what_to_write_to_whom(sold):
    sold("design", "load", "corrected")
    out = " ".join(sold(*ERRATA).out.split())

    both, one = out.index("To write to A-1, A-3"), out.index("To write to A-2")
    assert "This is so for leg under 1-1/2 in (38 mm)." in out[both:one]
    assert "This is so for" not in out[one:]
    assert "The drawer bottom was listed 1 in (25.5 mm) too deep" in out[one:]


def test_the_corrected_pages_have_what_was_put_right_and_nothing_else(
    sold, tmp_path, inside_margins
):
    sold("design", "load", "corrected")
    assert sold(*ERRATA, "--pdf", "pages.pdf", "--units", "mm", "--order", "a-1").code == 0
    pdf = ReadBack((tmp_path / "pages.pdf").read_bytes())

    assert not inside_margins(pdf)[:3]
    assert "Version 1, leg under 38 mm (1-1/2 in)" in pdf.text
    assert "This copy's sizes are among them." in pdf.text
    assert "D4 Drawer bottom 1 471.5 × 381 × 9.5" in pdf.text
    assert "20.5 mm (13/16 in) deep" in pdf.text
    assert "Side apron" not in pdf.text
    assert "leg 35 mm · apron 114.5 mm" in pdf.text
    assert "Poplar 4/4, rough, board 1 of 2" in pdf.text
    assert "Walnut 4/4 FAS, rough, board" not in pdf.text
    assert sold(*ERRATA, "--pdf", "p.pdf", "--order", "A-9").err.count("order at fault") == 1
    assert "Version 2, April 2025" in pdf.pages[0]


def test_the_next_plan_carries_its_corrections(sold, tmp_path):
    sold("design", "load", "corrected")
    written = sold("design", "plan", "side", "--pdf", "plan.pdf", "--pictures",
                   str(SAMPLES / "side_table"))  # fmt: skip
    text = ReadBack((tmp_path / "plan.pdf").read_bytes()).text

    assert written.code == 0
    assert (
        "Version 1, all sizes Was wrong: The drawer bottom was listed 1 in (25.5 mm) too deep"
        in text
    )
    assert "Version 1, leg under 1-1/2 in (38 mm)" in text
    assert "This copy's sizes are not among them." in text
    assert "D4 Drawer bottom 1 18-5/16 × 15 × 3/8" in text
    assert "{" not in text, "a size that was not worked out"


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (["tips", "5", "--order", "B-1"], "Orders are noted with plans that were sold"),
        (["plans", "5", "--order", "a-1"], "The order a-1 is noted already."),
        (["plans", "5", "--order", "B-1", "--order", "B-1"], "The order B-1 is noted already."),
        (["plans", "5", "--order", "B-1", "--set", "leg=9 in"], "it must be at most 1-3/4 in"),
        (["plans", "5", "--order", "B-1", "--version", "7"], "No version of walnut-side-table"),
    ],
)
def test_orders_that_cannot_be_noted_are_refused_with_their_income(sold, more, words):
    result = sold("job", "income", "table", *more)

    assert result.code == 1
    assert words in " ".join(result.err.split())
    assert sold("job", "income", "table").out.count("24.00") == 3


def test_a_version_that_was_sold_is_not_undone(sold):
    number = json.loads(sold("undo", "--list", "--json").out)
    loaded = next(row for row in number if "design load" in str(row))
    refused = sold("undo", str(loaded["entry"]), "--why", "wrong")

    assert refused.code == 1
    assert sold("check").code == 0


def test_what_plans_brought_after_fees_stands_in_the_close_out_and_the_year(sold):
    assert sold("shop", "set", "overhead_year=22000", "pay_year=56000").code == 0
    closed = sold("job", "close", "table", "--preview", "--price", "900", "--json")

    assert closed.code == 0, closed.err
    assert "66.24" in closed.out
    assert "Beside the commissions, plans: 72.00, 66.24 after fees." in sold("year", "2025").out
