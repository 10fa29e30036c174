"""`standards record` and the answers of `job close`, as typed."""

import json
import re
from pathlib import Path

import pytest
from openpyxl import load_workbook

SAMPLES = Path(__file__).parents[2] / "sample_data"


@pytest.fixture
def shelf(shop, tmp_path):
    """A metric euro book with a small shelf, estimated and partly logged."""
    (tmp_path / "shelf.csv").write_text(
        "id,qty,length,width,grain,material\nA1,2,1016,280,length,PLY18\n"
    )
    (tmp_path / "prices.csv").write_text(
        "code,name,kind,unit,length,width,grain,price,supplier,price day\n"
        "PLY18,Birch plywood 18 mm,sheet,sheet,2440,1220,length,96,Lakeside,2025-04-01\n"
    )
    for line in (
        ["new", "--shop", "Werkraum", "--currency", "EUR", "--units", "mm"],
        ["shop", "set", "overhead_year=22000", "pay_year=56000"],
        ["material", "load", "prices.csv"],
        ["job", "new", "Hall shelf", "--parts", "shelf.csv", "--number", "J-1"],
        ["job", "count", "shelf", "DWL", "16"],
        ["job", "count", "shelf", "PKT", "20"],
        ["hours", "add", "shelf", "dowel", "1h", "--yes"],
    ):
        said = shop(*line)
        assert said.code == 0, (line, said.err)
    return shop


def test_without_a_closed_job_the_record_says_so(shelf):
    assert "No job is closed yet" in shelf("standards", "record").out


def test_closing_keeps_the_points_and_the_record_draws_them(shelf):
    closed = shelf("job", "close", "shelf", "--price", "300", "--unlogged", "PKT=DWL")
    assert closed.code == 0, closed.err
    assert re.search(r"Pocket hole, drill, 0\.25 h .*Dowel", closed.out)
    assert "J-1 is not counted" in closed.out
    assert "3 estimated lines, 2.74 h" in closed.err
    assert "Design & drawings" in closed.err
    assert "DES," not in closed.err

    left = json.loads(shelf("job", "close", "shelf", "--price", "300", "--json").out)
    assert left["record"] == {"jobs": 0, "under_four_in_five": 0, "not_counted": ["J-1"]}
    answers = [
        part
        for one in left["not_logged"] if not one["answer"]
        for part in ("--unlogged", f"{one['operation']}=DWL")
    ]  # fmt: skip
    assert shelf("job", "close", "shelf", "--price", "300", *answers).code == 0
    facts = json.loads(shelf("standards", "record", "--json").out)
    (row,) = facts["closed"]
    assert (row["job"], row["hours"], row["past_jobs"]) == ("J-1", "1.00", 0)
    assert float(row["typical"]) < float(row["safe"]) < float(row["bad"])
    story = shelf("standards", "show", "dowel").out
    (ran,) = re.findall(r"ran (\d+\.\d\d) ×", story)
    assert re.search(rf"^J-1 .* {ran} .*with .*PKT", story, re.M)
    drawn = shelf("standards", "record").out
    assert "1 of 1 closed job" in drawn
    line = next(line for line in drawn.splitlines() if line.startswith("J-1"))
    assert "█" in line
    assert line.index("t") < line.index("s") < line.index("b")


def test_hours_after_closing_are_named_beside_what_the_record_kept(shelf):
    assert shelf("job", "close", "shelf", "--price", "300").code == 0
    assert "after it was closed" not in shelf("standards", "record").out
    shelf("hours", "add", "shelf", "dowel", "2h", "--yes", "--after-close")

    # 1 h at closing, 2 h since
    (row,) = json.loads(shelf("standards", "record", "--json").out)["closed"]
    assert (row["hours"], row["after_closing"]) == ("1.00", "2.00")
    assert "J-1 stands without the 2.00 h" in shelf("standards", "record").out


def test_an_answer_is_taken_after_closing_too_and_a_wrong_one_closes_nothing(shelf):
    wrong = shelf("job", "close", "shelf", "--price", "300", "--unlogged", "PKT=RIP")
    assert wrong.code != 0
    assert "RIP has no hours" in wrong.err
    assert json.loads(shelf("standards", "record", "--json").out)["closed"] == []

    unanswered = shelf("job", "close", "shelf", "--price", "300")
    assert "--unlogged" in unanswered.err
    said = shelf("job", "close", "shelf", "--price", "300", "--unlogged", "PKT=not done", "--json")
    lines = {one["operation"]: one["answer"] for one in json.loads(said.out)["not_logged"]}
    assert lines["PKT"] == "not done"


def test_the_first_of_a_kind_says_what_first_ones_take(shelf):
    assert (
        shelf("hours", "add", "shelf", "pocket", "1h", "--class", "first time", "--yes").code == 0
    )
    assert shelf("job", "close", "shelf", "--price", "300").code == 0
    shown = shelf("standards", "show", "PKT").out
    (factor,) = re.findall(r"First of its kind: × (\d\.\d\d) \(1 such line so far\)\.", shown)
    assert 1.2 < float(factor) < 1.9  # 1.40 before any, and this one took four times as long
    assert "First of its kind" not in shelf("standards", "show", "DWL").out


def test_loaded_jobs_are_foretold_again_one_after_the_other(shelf):
    assert shelf("job", "load", str(SAMPLES / "past_jobs")).code == 0
    facts = json.loads(shelf("standards", "record", "--json").out)
    assert [row["past_jobs"] for row in facts["replayed"]] == [0, 1, 2]
    assert facts["replayed"][0]["hours"] == "29.50"


def test_jobs_known_by_their_total_are_loaded_and_say_what_they_teach(shelf, tmp_path):
    (tmp_path / "past").mkdir()
    (tmp_path / "past" / "jobs.csv").write_text(
        "job,piece,done,price,material,hours,estimated hours\n"
        "P-1,Hall shelf,2025-01-10,400,90,12,10\nP-2,Shelf,2025-02-10,,,11.6,10\n"
    )
    (tmp_path / "past" / "lines.csv").write_text("job,operation,count,hours\nP-1,ASM,50,\n")
    before = json.loads(shelf("price", "--json").out)
    loaded = shelf("job", "load", "past")
    assert loaded.code == 0, loaded.err
    words = " ".join(loaded.out.split())
    assert "total alone: P-1, P-2." in words
    assert "Without counts: P-2." in words
    assert re.search(r"price is not known.*: P-2\.", words)

    record = json.loads(shelf("standards", "record", "--json").out)
    assert record["guesses"] == {"jobs": 2, "ratio": "1.18"}
    assert [row["job"] for row in record["replayed"]] == ["P-1"]
    assert "1.18 × (2 jobs)" in shelf("standards", "record").out
    after = json.loads(shelf("price", "--json").out)
    assert after["hours"]["past_jobs"] == 1
    assert after["hours"]["p50"] != before["hours"]["p50"]  # the level moved
    assert {line["past_jobs"] for line in after["operations"]} == {0}
    assert [near["job"] for near in after["near"]] == ["P-1"]
    rough = json.loads(shelf("job", "rough", "shelf", "--json").out)
    assert (rough["hours"], rough["unpriced"]) == (["11.60", "12.00"], ["P-2"])
    assert "not in the range: P-2." in shelf("job", "rough", "shelf").out


def test_hours_that_nobody_believes_are_told_where_their_group_is_priced(shelf, tmp_path):
    (tmp_path / "past").mkdir()
    (tmp_path / "past" / "jobs.csv").write_text("job,piece,done\nP-1,Box,2025-01-10\n")
    (tmp_path / "past" / "lines.csv").write_text(
        "job,operation,count,hours\nP-1,PIN,48,60h\nP-1,DWL,16,0.7\nP-1,INS,1,70h\n"
    )
    assert shelf("job", "load", "past").code == 0
    record = json.loads(shelf("standards", "record", "--json").out)
    pins, installed = record["not_believed"]
    assert (pins["job"], pins["operations"], pins["group"]) == ("P-1", ["PIN"], "joinery")
    assert (pins["hours"], installed["operations"]) == ("60.00", ["INS"])
    price = json.loads(shelf("price", "--json").out)
    assert price["hours"]["not_believed"] == [pins]  # nothing is installed on this job
    named = f"P-1 PIN, 60.00 h against {pins['estimate']} h (joinery)"
    for command in (("price",), ("standards", "record")):
        assert named in " ".join(shelf(*command).out.split())


def test_the_close_out_workbook_draws_the_record(shelf, tmp_path):
    path = tmp_path / "close.xlsx"
    said = shelf("job", "close", "shelf", "--price", "300", "--xlsx", str(path))
    assert said.code == 0, said.err
    sheet = load_workbook(path)["Record"]
    rows = [[cell.value for cell in row] for row in sheet.iter_rows()]
    row = next(row for row in rows if row[0] == "J-1")
    assert float(row[2]) < float(row[3]) < float(row[4])
    assert float(row[5]) == 1.0
    assert len(sheet._charts) == 1
