"""A rough price for the first telephone call."""

import json
from pathlib import Path

import pytest

SAMPLES = Path(__file__).parents[2] / "sample_data"


@pytest.fixture
def lived(begun):
    """The program with the past jobs of the sample shop."""
    return begun(
        ["new", "--shop", "Quillhaven Workshop"],
        ["shop", "load", str(SAMPLES / "shop.csv")],
        ["job", "load", str(SAMPLES / "past_jobs")],
    )


def test_a_piece_is_priced_as_a_range_from_the_nearest_jobs_with_reasons(lived):
    said = lived("job", "rough", "media", "console", "60x18x22")

    assert said.code == 0
    first, heads, nearest = said.out.splitlines()[:3]
    assert first.startswith("media console 60x18x22: between ")
    assert heads.split() == ["near", "price", "hours", "scaled", "why"]
    assert nearest.startswith("J-2412")
    assert said.err.splitlines() == [
        "Read as 60 × 18 × 22 in.",
        "A range for the telephone. The quote comes from a parts list.",
    ]


@pytest.mark.parametrize(("new", "long", "short", "part"), [
    ([], "bench 108 x 18 x 17 in", "bench 90 x 18 x 17 in", "108 in"),
    (["--currency", "EUR", "--units", "mm"], "bench 2700 x 450 x 430 mm",
     "bench 2200 x 450 x 430 mm", "2700 mm"),
])  # fmt: skip
def test_a_piece_longer_than_the_boards_has_a_price_that_says_so(begun, new, long, short, part):
    shop = begun(
        ["new", "--shop", "Quillhaven Workshop", *new],
        ["shop", "set", "overhead_year=22000", "pay_year=56000"],
        ["material", "load", "--starting"],
    )
    said = shop("job", "rough", *long.split(), "--json").facts()
    (note,) = [one for one in said["notes"] if "longest part" in one]
    assert f"Its longest part is {part}, and a board of " in note
    within = shop("job", "rough", *short.split(), "--json").facts()
    assert not any("longest part" in one for one in within["notes"])
    assert float(said["low"]) > float(within["low"]) > 0
    # the longer boards were of the telephone alone: the next job is told that its boards are short
    taken = shop("job", "new", "Bench", "--starter", "bench", "--size", long.partition(" ")[2])
    assert "take boards of" in taken.out + taken.err


def test_the_range_is_read_by_other_programs(lived):
    facts = json.loads(lived("job", "rough", "media", "console", "60x18x22", "--json").out)

    assert set(facts) == {"piece", "pieces", "low", "high", "made_of", "read", "near", "hours",
                          "unpriced", "source", "notes"}  # fmt: skip
    assert len(facts["hours"]) == 2
    assert facts["unpriced"] == []
    assert float(facts["low"]) < float(facts["high"])
    assert facts["near"][0] == "J-2412"


def test_a_piece_of_no_known_kind_says_that_size_alone_speaks(lived):
    said = lived("job", "rough", "pulpit", "60x18x22")

    assert said.code == 0
    assert "No past job is of this kind" in said.err


@pytest.mark.parametrize(
    ("size", "answer"), [("8 x 7 x 12 ft", "12 ft deep?"), ("72-36-12", "may be a range")]
)
def test_a_size_in_doubt_is_asked_back_and_not_priced(lived, size, answer):
    said = lived("job", "rough", "bookcase", size)

    assert said.code != 0
    assert answer in said.err
    assert not said.out


def test_a_bare_number_of_hours_of_a_whole_job_is_hours(begun):
    rates = ["overhead_year=22000", "pay_year=56000", "selling_rate=70"]
    shop = begun(["new", "--shop", "Quillhaven Workshop"], ["shop", "set", *rates])

    said = json.loads(shop("job", "rough", "drawer repair", "--hours", "60", "--json").out)

    assert (said["low"], said["source"]) == ("4200.00", "hours")
    words = shop("job", "rough", "drawer repair", "--hours", "60")
    assert "4,200.00" in words.out
    assert ("A price for the telephone" in words.err, "No size" in words.err) == (True, False)
    assert shop("job", "new", "Drawer", "--price", "285", "--hours", "30").code == 0
    assert "30.00 h in all" in shop("price", "drawer").out


@pytest.mark.parametrize("new", [[], ["--currency", "EUR", "--units", "mm", "--tax", "vat"]])
def test_a_past_job_has_its_change_orders_in_price_and_hours(begun, new):
    """4,000.00 and a change of 210.00; 10 h and 1 h 30 on it; the review has it so."""
    shop = begun(
        ["new", "--shop", "Quillhaven Workshop", *new],
        ["shop", "set", "overhead_year=22000", "pay_year=56000"],
        ["job", "new", "Wall of library cases", "--price", "4000", "--hours", "12"],
        ["quote", "draft", "library"],
        ["quote", "send", "library"],
        ["quote", "accept", "library"],
        ["job", "change", "library", "one shelf more", "--price", "210", "--hours", "1"],
        ["job", "change", "library", "--approved", "CO-1"],
        ["hours", "add", "library", "asm", "10h"],
        ["hours", "add", "library", "asm", "1h30", "--class", "change order"],
        ["job", "close", "library"],
    )

    said = shop("job", "rough", "bookcase").out

    (row,) = [line for line in said.splitlines() if line.startswith("J-")]
    assert "4,210.00  11.50" in row
    assert "also: bookcase" in row
    assert "bookcase     1  4,210.00   11.50" in shop("review", "2025").out


@pytest.mark.parametrize("new", [[], ["--currency", "EUR", "--units", "mm", "--tax", "vat"]])
def test_the_hours_of_a_past_job_are_the_same_on_the_telephone_and_beside_a_price(begun, new):
    """6 h, 3 h on a change, 2 h of rework; 1 h of rework more once it was closed."""
    shop = begun(
        ["new", "--shop", "Quillhaven Workshop", *new],
        ["shop", "set", "overhead_year=22000", "pay_year=56000"],
        ["job", "new", "Ash stool", "--price", "500", "--hours", "6"],
        ["quote", "draft", "stool"],
        ["quote", "send", "stool"],
        ["quote", "accept", "stool"],
        ["job", "change", "stool", "one shelf more", "--price", "200", "--hours", "3"],
        ["job", "change", "stool", "--approved", "CO-1"],
        ["hours", "add", "stool", "asm", "6h"],
        ["hours", "add", "stool", "asm", "3h", "--class", "change order"],
        ["hours", "add", "stool", "asm", "2h", "--class", "rework", "--cause", "slip"],
        ["job", "close", "stool"],
        ["job", "new", "Probe", "--price", "900", "--hours", "10"],
    )

    def hours():
        (row,) = [line for line in shop("job", "rough", "stool").out.splitlines() if "J-2" in line]
        (near,) = json.loads(shop("price", "probe", "--json").out)["near"]
        assert row.split()[3:5] == ["700.00", near["hours"]]
        assert near["hours"] in shop("price", "probe").out
        return [*json.loads(shop("job", "rough", "stool", "--json").out)["hours"], near["hours"]]

    assert hours() == ["11.00", "11.00", "11.00"]
    late = shop("hours", "add", "stool", "asm", "1h", "--class", "rework", "--after-close")
    assert (late.code, hours()) == (0, ["12.00", "12.00", "12.00"])
