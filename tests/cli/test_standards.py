"""`standards`: the list, the story of one operation, changes and marks."""

import json
import re
from datetime import date

import pytest

from ledger.book import Book
from ledger.labor.past import PastJobRow, PastLineRow, save_past_jobs
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity

# Sanding in five past jobs of the invented workshop: day, square feet, minutes taken.
SANDED = {
    "J-2410": (date(2024, 10, 21), 92, 150),
    "J-2412": (date(2024, 12, 13), 104, 192),
    "J-2501": (date(2025, 2, 7), 70, 120),
    "J-2503": (date(2025, 4, 20), 168, 246),
    "J-2504": (date(2025, 4, 24), 44, 78),
}


@pytest.fixture
def taught(shop, tmp_path):
    shop("new", "--shop", "Quillhaven Workshop")
    rows = [
        PastJobRow(number, "A piece", done, Money(100000), Money(10000),
                   (PastLineRow("sand", Quantity.of(count), minutes),))
        for number, (done, count, minutes) in SANDED.items()
    ]  # fmt: skip
    with Book(tmp_path / "shop.sqlite", date(2025, 4, 25)) as book:
        save_past_jobs(book, rows)
    return shop


def test_the_list_shows_standards_by_group_with_what_was_learned(taught):
    listed = taught("standards", "list").out

    assert "out of shop" in listed
    line = next(line for line in listed.splitlines() if line.startswith("SND"))
    assert line.split() == ["SND", "Sand", "raw", "1.2", "sq", "ft", "10", "1.26", "5", "1.280"]


def test_the_story_of_an_operation_has_its_jobs_a_chart_and_the_drift(taught):
    shown = taught("standards", "show", "sand").out

    assert "10 min set-up + 1.2 min a sq ft" in shown
    line = next(line for line in shown.splitlines() if line.startswith("J-2412"))
    assert line.split()[:5] == ["J-2412", "2024-12-13", "2.25", "3.20", "1.42"]
    assert "█" * 14 in line
    said = " ".join(shown.split())
    assert re.search(r"ran 1\.26 × .*5 jobs; counted as 1\.28", said)
    assert "2.08 h become 2.66 h." in said
    assert "2 jobs took 1.34 ×" in " ".join(shown.split())


def test_a_mark_leaves_what_was_before_out_and_says_why(taught):
    assert taught("standards", "mark", "sand", "--on", "2025-04-20").code == 0

    shown = taught("standards", "show", "sand").out
    facts = json.loads(taught("standards", "show", "sand", "--json").out)

    assert shown.count("left out") == 3
    assert "No ratio of its own, before the mark of 2025-04-20: J-2410, J-2412, J-2501." in shown
    assert "afresh from 2025-04-20" in shown
    assert (facts["jobs"], facts["hours_taken"]) == (2, "5.40")
    assert facts["story"][0]["left_out"] == "before the mark of 2025-04-20"


def test_an_operation_without_hours_says_so(taught):
    said = " ".join(taught("standards", "show", "spray").out.split())
    assert re.search(r"no hours of its own.*finish.* 1\.24", said)


def test_without_a_job_the_published_figure_is_said_to_be_one(shop):
    shop("new", "--shop", "Quillhaven Workshop")
    said = " ".join(shop("standards", "show", "spray").out.split())
    assert "1.203, a published figure" in said


def test_a_changed_standard_counts_from_now_on_and_is_taught_anew(taught):
    said = taught("standards", "set", "sand", "--minutes", "1.4", "--setup", "12")
    facts = json.loads(taught("standards", "list", "--json").out)

    sand = next(row for row in facts if row["code"] == "SND")
    assert "SND Sand raw: 12 min set-up + 1.4 min" in said.out
    assert (sand["minutes"], sand["setup"], sand["helper_share"]) == ("1.4", "12", "0 %")
    assert sand["hours_estimated"] == "12.16"
    assert sand["hours_taken"] == "13.10"


@pytest.mark.parametrize("minutes", ["fast", "-1", "1.234", "nan", "1e9"])
def test_minutes_that_are_none_are_refused(taught, minutes):
    said = taught("standards", "set", "sand", f"--minutes={minutes}")

    assert (said.code, "is not a number of minutes" in said.err) == (1, True)


def test_a_change_of_nothing_is_a_mistyped_command(taught):
    assert taught("standards", "set", "sand").code == 2


def test_a_mark_ahead_is_refused(taught):
    said = taught("standards", "mark", "sand", "--on", "2025-04-26")

    assert (said.code, "2025-04-26" in said.err) == (1, True)


CARVE = ["standards", "add", "crw", "Carve by hand", "--group", "joinery", "--minutes", "12",
         "--unit", "motif", "--setup", "15", "--spoken", "carve, carving"]  # fmt: skip


def test_an_operation_of_ones_own_is_listed_counted_and_logged(taught, tmp_path):
    (tmp_path / "parts.csv").write_text(
        "id,qty,length,width,grain,material\nA1,2,40,11,length,PLY34\n"
    )
    said = taught(*CARVE)
    assert (said.code, said.out) == (0, "CRW Carve by hand: 15 min set-up + 12 min a motif.\n")
    assert "benchledger job count JOB CRW" in " ".join(said.err.split())

    assert taught("job", "new", "Carved chest", "--parts", "parts.csv").code == 0
    assert taught("job", "count", "chest", "carving", "5").code == 0
    assert taught("hours", "add", "carve", "30m").code == 0
    facts = json.loads(taught("standards", "list", "--json").out)
    hours = json.loads(taught("hours", "job", "chest", "--json").out)

    assert [row["code"] for row in facts if row["group"] == "joinery"][-1] == "CRW"
    assert "CRW" in json.dumps(hours)


@pytest.mark.parametrize(
    ("changed", "wrong"),
    [
        ({"crw": "c r v"}, "is no code"),
        ({"crw": "snd"}, "SND Sand raw already exists"),
        ({"carve, carving": "cutting"}, "There is a group cutting already"),
        ({"carve, carving": "carve, glue up"}, "ASM Assemble & square already exists"),
        ({"joinery": "carpentry"}, "No group is called “carpentry”. There is: assembly, cutting"),
        ({"12": "quick"}, "is not a number of minutes"),
        ({"motif": " "}, "minutes of zero or more for a unit"),
    ],
)
def test_an_operation_that_cannot_be_told_from_another_or_counted_is_refused(
    taught, changed, wrong
):
    said = taught(*[changed.get(word, word) for word in CARVE])

    assert said.code == 1
    assert wrong in " ".join(said.err.split())


def test_an_operation_is_counted_by_what_designs_count_and_by_nothing_else(taught):
    assert taught(*CARVE, "--driver", "joints").err == ""
    said = taught(*[{"crw": "CRW", "Carve by hand": "Carve more", "carve, carving": ""}.get(w, w)
                    for w in CARVE], "--driver", "motifs")  # fmt: skip

    assert (said.code, "driver is called “motifs”" in " ".join(said.err.split())) == (1, True)


def test_a_word_given_to_an_operation_stands_for_no_other(taught):
    said = taught("standards", "set", "rip", "--spoken", "strips, Sanding")
    assert (said.code, "SND Sand raw already exists" in said.err) == (1, True)
    assert taught("standards", "set", "sand", "--spoken", "Sanding, Smoothing").code == 0
    assert taught("standards", "show", "smoothing").out.startswith("SND")
