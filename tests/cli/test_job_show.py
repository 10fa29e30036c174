"""`benchledger job show` and `stock issue --as-estimated`, typed."""

import json
import re
from pathlib import Path

import pytest

SAMPLES = Path(__file__).parents[2] / "sample_data"


@pytest.fixture
def tiny(stocked, tmp_path):
    """The program with a piece of ply 28 x 20 on the rack and a job that fits it."""
    (tmp_path / "tiny.csv").write_text(
        "id,qty,length,width,grain,material\nA1,1,28,20,length,PLY34\n"
    )
    for words in (
        ["stock", "issue", "J-2507", "PLY34", "1"],
        ["stock", "keep", "J-2507", "PLY34", "30x31-1/2"],
        ["job", "new", "Tiny board", "--parts", "tiny.csv", "--number", "J-2510"],
    ):
        assert stocked(*words).code == 0
    return stocked


def test_a_job_without_a_design_shows_what_it_has(started):
    assert started("job", "answer", "bed", "parking", "12").code == 0
    said = started("job", "show", "bed")
    assert said.code == 0, said.err
    assert "none yet" in said.out
    assert "12.00" in said.out
    facts = json.loads(started("job", "show", "bed", "--json").out)
    assert (facts["design"], facts["parameters"]) == ("", {})


def test_what_is_estimated_from_the_rack_is_issued_from_the_rack(tiny):
    said = tiny("stock", "issue", "tiny", "--as-estimated")
    assert said.code == 0, said.err
    assert said.out.startswith("PLY34 offcut 30 x 31-1/2: 1 issued to J-2510, ")
    again = tiny("stock", "issue", "tiny", "--as-estimated")
    assert again.out == "J-2510 has all that its estimate says.\n"


def test_what_differs_is_said_and_the_rack_left_alone(tiny):
    said = tiny("stock", "issue", "tiny", "--as-estimated", "--except", "PLY34=1")
    said_of = r"PLY34: 1 sheet .*J-2510, 96\.00 \(of it cash 0\.00\); 10 sheets left"
    assert re.search(said_of, said.out)
    wrong = tiny("stock", "issue", "tiny", "--as-estimated", "--except", "PLY34")
    assert wrong.code == 1
    assert "CODE=QTY" in wrong.err


def test_the_same_title_again_is_opened_with_a_warning(started):
    first = started("job", "new", "Hall bench")
    again = started("job", "new", "hall bench ")
    assert (first.code, again.code) == (0, 0)
    number = first.out.split()[0]
    assert f"{number} has the same title" in " ".join(again.err.split())
    assert "has the same title" not in first.err


@pytest.mark.parametrize(
    "words", [("--set", "mattress_width=54 in"), ("--design", "fold-down-bed")]
)
def test_a_job_that_is_made_so_already_says_that_nothing_changed(started, words):
    started("design", "load", str(SAMPLES / "bed"))
    started("job", "set", "bed", "--design", "fold-down-bed")
    first = started("job", "set", "bed", *words)
    entries = started("undo", "--list", "--json").out
    again = started("job", "set", "bed", *words)

    assert (first.code, again.code) == (0, 0)
    assert again.out.endswith(": nothing changed.\n")
    assert started("undo", "--list", "--json").out == entries


def test_a_closed_job_says_what_it_brought(begun):
    told = begun(
        ["new", "--shop", "Quillhaven Workshop"],
        ["shop", "set", "overhead_year=22000", "pay_year=56000", "tax_rate=6 %"],
        ["job", "new", "Stool", "--price", "600", "--hours", "4"],
        ["job", "pay", "stool", "636"],
        ["hours", "add", "stool", "assembly", "4h", "--yes"],
    )
    assert "earned" not in told("job", "show", "stool").out
    closed = told("job", "close", "stool")
    assert closed.code == 0, closed.err

    shown = " ".join(told("job", "show", "stool").out.split())
    assert "price: 600.00 before tax" in shown
    assert "paid: 636.00" in shown
    assert "hours: 4.00 h of yours" in shown
    assert "earned: 600.00, 150.00 an hour" in shown


@pytest.mark.parametrize(
    ("typed", "words"),
    [("850", "agreed: 850.00 before tax, price"), ("850 with tax", "agreed: 801.89 and 48.11 tax")],
)
def test_a_price_in_one_sum_is_shown_before_anything_is_paid_on_it(begun, typed, words):
    told = begun(
        ["new", "--shop", "Quillhaven Workshop"],
        ["shop", "set", "overhead_year=22000", "pay_year=56000", "tax_rate=6 %"],
        ["job", "new", "Gate", "--price", typed, "--hours", "9"],
    )
    shown = " ".join(told("job", "show", "gate").out.split())
    assert words in shown
    assert "price in one sum, 9h guessed" in shown
    explained = told("price", "gate", "--explain", "price").out
    assert explained.startswith(f"Agreed in one sum, {words.split()[1]}")
    assert "rounded up" not in explained


def test_a_job_shows_what_was_agreed_and_each_change(sold):
    assert json.loads(sold("job", "show", "bench", "--json").out)["changes"] == []
    for words in (
        ["job", "change", "bench", "one more shelf", "--price", "120"],
        ["job", "change", "bench", "a drawer less", "--price", "-80"],
        ["job", "change", "bench", "--approved", "CO-1"],
    ):
        assert sold(*words).code == 0, words
    facts = json.loads(sold("job", "show", "bench", "--json").out)
    assert facts["agreed"]["price"] == "2000.00"
    assert [(row["order"], row["price"], row["state"]) for row in facts["changes"]] == [
        ("CO-1", "120.00", "approved"), ("CO-2", "-80.00", "proposed"),
    ]  # fmt: skip
    text = " ".join(sold("job", "show", "bench").out.split())
    assert "2,000.00 and 108.00 tax, Q-" in text
    assert "CO-1: one more shelf, 120.00 before tax, approved" in text


def test_a_job_says_that_its_design_has_a_newer_version_until_it_is_over(tiny, tmp_path):
    assert tiny("job", "new", "Second", "--design", "J-2510").code == 0
    assert "version 2" not in tiny("job", "show", "second").out
    changed = "id,qty,length,width,grain,material\nA1,1,28,19,length,PLY34\n"
    (tmp_path / "tiny.csv").write_text(changed)
    assert tiny("job", "set", "tiny", "--parts", "tiny.csv").code == 0
    command = 'job set J-2511 --design "J-2510"'
    assert command in " ".join(tiny("job", "show", "second").out.split())
    assert "version 2 is" not in tiny("job", "show", "tiny").out

    assert tiny("job", "close", "second", "--price", "50").code == 0
    assert command not in " ".join(tiny("job", "show", "second").out.split())
    told = " ".join(tiny("price", "second").out.split())
    assert "J-2511 is closed: this is priced anew, with today's prices. What it" in told
    assert "below the typical one" not in told
    assert command not in told


def test_what_was_worked_and_taken_is_shown_until_the_job_is_closed(begun):
    """4 of the 10 bottles at 5.50, 2 h of work: said after the handing over, not after closing."""
    shop = begun(["new", "--shop", "Larkhollow", "--overhead", "21000", "--pay", "52000"])
    shop("material", "load", "--starting").done()
    shop("receipt", "add", "GLUE", "10", "5.50", "--from", "Reed").done()
    shop("job", "new", "A", "--work", "repair 3h", "--use", "GLUE 10", "--price", "800",
         "--hours", "4").done()  # fmt: skip
    shop("stock", "issue", "A", "GLUE", "4").done()
    shop("hours", "add", "A", "repair", "2h").done()
    words = "Worked 2.00 h; material 22.00 is taken."
    assert words in shop("job", "show", "A").done().out
    for state in ("ready", "handed over"):
        shop("job", "state", "A", state).done()
        said = shop("job", "show", "A").done().out
        assert words in said
        assert "left, done about" not in said
    ahead = shop("job", "show", "A", "--json").facts()["ahead"]
    assert (ahead["hours_worked"], ahead["material"]) == ("2.00", "22.00")
    assert (ahead["owner_hours_left"], ahead["done_about"]) == (None, None)
    shop("job", "close", "A").done()
    assert "Worked" not in shop("job", "show", "A").done().out
    assert shop("job", "show", "A", "--json").facts()["ahead"] is None
