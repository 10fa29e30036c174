"""`review` as typed: an empty book, days that are none, a figure that is none."""

import json
import re
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from ledger.measures.rounding import half_up

SAMPLES = Path(__file__).parents[2] / "sample_data"
SHOP = ["shop", "set", "overhead_year=22000", "pay_year=56000"]


@pytest.fixture
def empty(begun):
    """A new book with rates and nothing in it."""
    return begun(["new", "--shop", "Larkhollow Joinery"], SHOP, on="2025-01-01")


def test_a_year_with_nothing_in_it_says_what_it_lacks(empty):
    said = empty("review", "2025", on="2025-12-31")
    assert said.code == 0
    text = " ".join(said.out.split())
    assert "closed from 2025-01-01 to 2025-12-31" in text
    assert "No quote was sent" in text
    assert "No hours were logged" in text
    assert "no rate follows from it" in text


def test_past_jobs_of_the_days_are_named_for_they_are_in_no_sum(empty):
    assert empty("job", "load", str(SAMPLES / "past_jobs"), on="2025-03-01").code == 0
    said = empty("review", "2025", "--json", on="2025-12-31")
    named = [words for words in json.loads(said.out)["missing"] if "J-" in words]
    assert [("J-2501" in words, "J-2410" in words) for words in named] == [(True, False)]


def test_typed_hours_give_the_rate_of_a_whole_year(empty):
    said = empty("review", "2025", "--overhead", "24000", "--hours", "1000", on="2026-01-05")
    text = " ".join(said.out.split())
    # 24000 ÷ 1000 + 56000 ÷ 1000
    assert "80.00 an hour the 1,000 hours typed" in text


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["25"], "is not a year"),
        (["2027"], "lies ahead"),
        (["--from", "2025-06-01", "--to", "2025-05-01"], "is before"),
        (["--hours", "0"], "--hours must be more than zero"),
        (["--overhead", "-5"], "--overhead must be more than zero"),
        (["--explain", "overheads left"], "Nearest: left, "),
    ],
)
def test_what_makes_no_sense_is_refused(empty, words, sentence):
    said = empty("review", *words, on="2025-12-31")
    assert said.code == 1
    assert sentence in said.err


@pytest.fixture
def quoted(begun):
    """A euro book whose only quote, of a starter, was sent, with no whole cents in its hours."""
    return begun(
        ["new", "--shop", "Larkhollow Joinery", "--currency", "EUR", "--units", "mm",
         "--overhead", "14400", "--pay", "42000"],
        ["material", "load", "--starting"],
        ["job", "new", "Bookcase", "--starter", "bookcase", "--size", "2400 x 2100 x 300"],
        ["quote", "draft", "bookcase"],
        ["quote", "send", "bookcase"],
    )  # fmt: skip


def test_a_sent_quote_is_shown_with_what_its_points_would_have_asked(quoted, tmp_path, pdf_text):
    screen = quoted("review", "2025")
    facts = json.loads(quoted("review", "2025", "--json").out)
    files = quoted("review", "2025", "--pdf", "r.pdf", "--xlsx", "r.xlsx")

    assert (screen.code, files.code) == (0, 0)
    tables = {one["table"]: one for block in facts["blocks"] for one in block["tables"]}
    (row,) = tables["points"]["rows"]
    typical, safe = (Decimal(amount) for amount in row["cells"][-2:])
    price = Decimal(row["cells"][1])
    assert price < typical < safe
    assert f" {half_up(Fraction(typical), 0):,} " in screen.out
    assert f"{half_up(Fraction(safe), 0):,}" in pdf_text(tmp_path / "r.pdf")
    assert f"{safe:,}" not in screen.out


@pytest.mark.parametrize(("hours", "shown"), [("15h", 9), ("150h", 9), ("900h", 8)])
def test_points_stay_a_table_on_80_columns_whatever_the_price(empty, hours, shown):
    empty("shop", "set", "selling_rate=150", on="2025-02-03")
    empty("job", "new", "Library", "--work", f"repair {hours}", on="2025-02-03")
    empty("quote", "draft", "Library", on="2025-02-03")
    for words in ("quote send Library", "quote accept Library", "hours add Library repair 10h",
                  "job close Library"):  # fmt: skip
        assert empty(*words.split(), on="2025-02-03").code == 0
    said = empty("review", "2025", on="2025-02-04")
    (line,) = [line for line in said.out.splitlines() if line.startswith("Q-2501-A")]
    assert len(line.replace(" won", "").split()) == shown
    assert max(map(len, said.out.splitlines())) <= 80


def test_an_offcut_that_was_sold_is_no_offcut_used(begun, tmp_path):
    (tmp_path / "p.csv").write_text(
        "code,name,kind,unit,length,width,thickness,price\nPLY,Birch,sheet,sheet,96,48,0.72,80\n"
    )
    shop = begun(["new", "--shop", "Larkhollow Joinery"], ["material", "load", "p.csv"])
    for words in (
        ["receipt", "add", "PLY", "2", "80", "--from", "Copper Vale Lumber", "--tax", "0"],
        ["job", "new", "Shelf", "--price", "300", "--hours", "5h"],
        ["stock", "issue", "J-2501", "PLY", "2"],
        ["stock", "keep", "J-2501", "PLY", "48x48", "48x40", "48x36", "48x24"],
        ["job", "new", "Plywood for the neighbor", "--price", "20"],
        ["stock", "issue", "J-2502", "1", "--lot", "2"],
        ["stock", "issue", "J-2502", "1", "--lot", "3"],
        ["stock", "return", "J-2502", "1", "--lot", "3"],
        ["stock", "issue", "J-2501", "1", "--lot", "4"],
        ["stock", "own-use", "1", "--lot", "5"],
    ):
        said = shop(*words)
        assert said.code == 0, said.err
    blocks = json.loads(shop("review", "2025", "--json", on="2025-12-31").out)["blocks"]
    tables = {table["table"]: table for block in blocks for table in block["tables"]}
    rows = {row["name"]: row["cells"] for row in tables["rack"]["rows"]}
    assert rows == {
        "put on the rack": [4, "61.67"], "used from it": [1, "15.00"], "sold": [1, "20.00"],
        "the shop's own use": [1, "10.00"],
    }  # fmt: skip
    said = " ".join(shop("review", "2025", on="2025-12-31").out.split())
    assert "0.38 whole sheets by area, 15.00 at the value" in said


@pytest.mark.parametrize("new", [(), ("--currency", "EUR", "--units", "mm")])
def test_a_repair_is_reviewed_beside_what_was_typed_of_it(begun, new):
    """By hand: 285.00 less 40.00 of the caner for 3.50 h, admin in them; and 120.00 for 2 h."""
    shop = begun(
        ["new", "--shop", "Workshop", "--overhead", "20000", "--pay", "48000", *new],
        ["job", "new", "Chair", "--work", "repair 3h", "--price", "285"],
        ["job", "line", "chair", "outside", "40", "caning"],
        ["job", "new", "Gate", "--price", "120", "--hours", "2"],
        ["hours", "add", "chair", "repair", "4h"],
        ["hours", "add", "gate", "repair", "1h"],
        ["job", "close", "chair", "--unlogged", "ADS=not done"],
        ["job", "close", "gate"],
    )
    blocks = shop("review", "2025", "--json").facts()["blocks"]
    ranked = [
        row
        for block in blocks
        for table in block["tables"]
        if table["table"] in ("best", "worst")
        for row in table["rows"]
    ]
    assert {row["name"]: row["cells"][1] for row in ranked} == {
        "J-2501": "70.00", "J-2502": "60.00",
    }  # fmt: skip


def test_a_quote_won_with_an_option_counts_what_was_accepted(begun):
    shop = begun(
        ["new", "--shop", "Werkraum", "--units", "mm", "--currency", "EUR", "--overhead", "14400",
         "--pay", "42000"],
        ["job", "new", "Shed", "--work", "repair 6h"],
        ["quote", "draft", "shed", "--price", "400", "--option", "Paint=80"],
        ["quote", "send", "shed"], ["quote", "accept", "shed", "--with", "Paint"],
    )  # fmt: skip
    said = " ".join(shop("review", "2025").out.split())
    # 400.00 and the 80.00 of the option; the option is on both sides of the difference
    (typical,) = re.findall(r"would have asked ([0-9.]+),", said)
    blocks = json.loads(shop("review", "2025", "--json").out)["blocks"]
    tables = {one["table"]: one for block in blocks for one in block["tables"]}
    (row,) = tables["points"]["rows"]

    assert "1 quote won at 480.00 with 80.00 of options" in said
    assert Decimal(typical) == Decimal(row["cells"][-2]) + 80
