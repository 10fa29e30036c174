"""`hours`: ten seconds an entry, one line back, slips asked about, a whole log or nothing."""

import json
from datetime import date
from decimal import Decimal

import pytest
from openpyxl import load_workbook

from ledger.book import Book
from ledger.jobs.jobs import find_job
from ledger.labor.plan import save_plan

ON = "2025-05-06"


@pytest.fixture
def bed(shop, tmp_path):
    """A book with the bed in it, its hours planned."""
    shop("new", "--shop", "Quillhaven Workshop")
    shop("job", "new", "Marrow fold-down bed", "--number", "J-2507")
    hours = {"SND": "5.69", "SPR": "4.14", "SHT": "2.00", "RIP": "1.00"}
    with Book(tmp_path / "shop.sqlite", date(2025, 4, 25)) as book:
        plan = {code: Decimal(estimate) for code, estimate in hours.items()}
        save_plan(book, find_job(book, "bed"), plan)
    return shop


def test_an_entry_takes_one_line_and_says_one_line_back(bed):
    said = bed("hours", "add", "bed", "sand", "1h45", "--on", "yesterday", on=ON)

    assert said.code == 0
    entered, standing = said.out.splitlines()
    assert "J-2507 Sand raw: 1h45 on 2025-05-05" in entered
    assert "1h45 of 5h41" in standing
    assert "job 1h45 of 12h50" in standing


def test_the_list_of_a_job_says_what_other_days_have_of_it(bed):
    bed("hours", "add", "bed", "sand", "1h45", "--on", "2025-04-20", on=ON)
    bed("hours", "add", "bed", "sand", "30m", on=ON)
    assert "On other days 1h45 more of this job" in bed("hours", "list", "bed", on=ON).out
    assert "On other days" not in bed("hours", "list", on=ON).out


@pytest.mark.parametrize("duration", ["1.5", "1:30", "90m", "1h30"])
@pytest.mark.parametrize("day", ["yesterday", "mon", "-1d", "2025-05-05"])
def test_durations_and_days_are_written_as_they_are_spoken(bed, duration, day):
    said = bed("hours", "add", "sand", duration, "--on", day, on=ON)

    assert said.out.startswith("J-2507 Sand raw: 1h30 on 2025-05-05")


def test_a_working_day_is_ten_short_entries_without_a_number(bed):
    day = [
        "bed cutting 2h", "rip 30m", "sand 1h", "band 45m", "miter 20m", "again",
        "shop sweeping 15m", "filming 30m", "bed spray 1h10", "install 30m --with helper",
    ]  # fmt: skip
    codes = [
        bed(
            "hours", *(["again", "25m"] if words == "again" else ["add", *words.split()]), on=ON
        ).code
        for words in day
    ]

    assert codes == [0] * 10
    listed = bed("hours", "list", on=ON)
    assert "in all" in listed.out
    assert "7h55" in listed.out


def test_the_last_job_worked_on_is_meant_when_none_is_said(bed):
    bed("job", "new", "Oak bench", "--number", "J-2508")
    bed("hours", "add", "bed", "sand", "30m", on=ON)

    assert bed("hours", "add", "spray", "30m", on=ON).out.startswith("J-2507 Spray")


def test_an_operation_of_several_words_needs_no_quotes(bed):
    assert bed("hours", "add", "glue", "up", "1h", on=ON).out.startswith("J-2507 Assemble")
    assert bed("hours", "add", "bed", "glue", "up", "2h", on=ON).out.startswith("J-2507 Assemble")


@pytest.mark.parametrize("line", ["bed sand 1h05 rip 50m", "bed sand 1h05 bed rip 50m"])
def test_several_entries_in_one_line_are_all_entered(bed, line):
    said = bed("hours", "add", *line.split(), on=ON)
    assert said.code == 0
    assert "J-2507 Sand raw: 1h05 on 2025-05-06" in said.out
    assert "J-2507 Rip strips (table saw): 50m on 2025-05-06" in said.out
    done = json.loads(bed("hours", "job", "bed", "--json", on=ON).out)
    hours = {one["operation"]: one["hours"] for one in done["operations"]}
    # 65 ÷ 60 and 50 ÷ 60
    assert (hours["SND"], hours["RIP"]) == ("1.08", "0.83")


def test_nothing_of_a_line_is_entered_where_a_part_of_it_is_not_known(bed):
    said = bed("hours", "add", "bed", "sand", "1h05", "xyzzy", "50m", on=ON)
    assert (said.code, "xyzzy" in said.err) == (1, True)
    assert bed("hours", "add", "marrow", "1h05", "rip", "50m", on=ON).code == 1
    assert bed("hours", "add", "bed", "sand", "1h", "rip", "1h", "--json", on=ON).code == 2
    assert json.loads(bed("hours", "job", "bed", "--json", on=ON).out)["hours"] == "0.00"


def test_a_line_that_is_asked_about_posts_nothing_and_is_undone_as_a_whole(bed):
    # 6 h + 5 h + 4 h = 15 h, of which the last alone goes over 14 h
    line = ("hours", "add", "bed", "sand", "6h", "rip", "5h", "mill", "4h")

    asked = bed(*line, on=ON)
    assert (asked.code, asked.out) == (1, "")
    assert "has 15h of work for the owner" in asked.err
    assert _minutes(bed) == []

    said = bed(*line, "--yes", on=ON)
    assert said.code == 0
    assert said.out.count("the job 15h of ") == 3  # each is said once all of them stand
    assert _minutes(bed) == [360, 300, 240]
    bed("undo", on=ON)
    assert _minutes(bed) == []


def test_a_line_with_the_same_hours_twice_is_asked_about(bed):
    said = bed("hours", "add", "bed", "sand", "1h", "rip", "2h", "sand", "1h", on=ON)
    assert (said.code, "The same entry stands on 2025-05-06 already" in said.err) == (1, True)
    assert _minutes(bed) == []


def test_what_is_of_one_entry_alone_is_named_as_it_is_typed(bed):
    said = bed("hours", "add", "bed", "sand", "1h", "rip", "1h", "--from", "10:00", on=ON)
    assert (said.code, "--from and --json are of one entry alone" in said.err) == (2, True)


def _minutes(book):
    return [one["minutes"] for one in json.loads(book("hours", "list", "--json", on=ON).out)]


def test_a_group_is_split_by_the_estimate_and_says_so(bed):
    said = bed("hours", "add", "bed", "cutting", "90m", on=ON)

    entered, standing = said.out.splitlines()
    assert entered.startswith("J-2507 cutting: 1h30 on 2025-05-06")
    assert "split by the estimate" in entered
    assert "1h30 of 3h " in standing
    assert "job 1h30 of 12h50" in standing


def test_rework_stands_apart_with_part_and_cause(bed):
    bed("hours", "add", "bed", "sand", "1h", on=ON)

    said = bed("hours", "add", "bed", "pins", "2h36", "--class", "rework", "--part", "C1",
               "--cause", "handing", "--prevention", "chalk pairs", on=ON)  # fmt: skip

    assert "Shelf-pin hole (rework): 2h36" in said.out
    assert "1h of 12h50" in said.out
    assert "2h36 of rework" in said.out
    assert "rework, part C1, handing" in bed("hours", "list", on=ON).out


def test_a_helper_beside_the_owner_doubles_the_person_hours(bed):
    said = bed("hours", "add", "bed", "install", "5.5", "--with", "helper", on=ON)

    assert "Install (crew): 5h30 on 2025-05-06" in said.out
    assert "owner and helper" in said.out
    assert "11h, not foreseen" in said.out


def test_a_helper_may_have_rates_of_their_own(bed):
    said = bed("hours", "helper", "Robin", "--cost", "26.88", "--billed", "42")

    assert said.code == 0
    assert "Robin: 26.88 an hour" in said.out
    assert "Robin." in bed("hours", "add", "bed", "sand", "1h", "--by", "robin", on=ON).out


def test_what_looks_like_a_slip_is_refused_in_a_pipe_and_taken_with_yes(bed):
    bed("hours", "add", "bed", "sand", "1h45", on=ON)

    asked = bed("hours", "add", "bed", "sand", "1h45", on=ON)
    assert (asked.code, asked.out) == (1, "")
    assert "stands on 2025-05-06 already" in asked.err
    assert "--yes" in asked.err

    assert bed("hours", "add", "bed", "sand", "1h45", "--yes", on=ON).code == 0


@pytest.mark.parametrize(("answer", "code"), [("y", 0), ("n", 1)])
def test_at_a_terminal_the_question_is_asked(bed, monkeypatch, answer, code):
    monkeypatch.setattr("ledger.cli.answers.can_ask", lambda: True)
    bed("hours", "add", "bed", "assemble", "13h", on=ON)

    said = bed("hours", "add", "bed", "sand", "2h", on=ON, keys=f"{answer}\n")

    assert said.code == code
    assert "15h of work" in said.err
    assert ("So far 2h" in said.out) == (answer == "y")


def test_overlapping_times_are_asked_about(bed):
    bed("hours", "add", "bed", "sand", "2h", "--from", "8:00", on=ON)

    assert "overlaps 08:00–10:00" in bed(
        "hours", "add", "bed", "spray", "1h", "--from", "9:30", on=ON
    ).err  # fmt: skip


def test_again_repeats_the_last_entry_today(bed):
    bed("hours", "add", "bed", "sand", "1h", "--with", "helper", "--on", "yesterday", on=ON)

    said = bed("hours", "again", on=ON)

    assert "Sand raw: 1h on 2025-05-06, owner and helper" in said.out
    assert bed("hours", "again", "20m", on=ON).code == 0


def test_a_mistyped_operation_gets_the_nearest_and_a_future_day_is_refused(bed):
    assert "Nearest: sanding" in bed("hours", "add", "bed", "snading", "1h", on=ON).err
    assert "tomorrow" in bed("hours", "add", "bed", "sand", "1h", "--on", "tomorrow", on=ON).err
    assert bed("hours", "add", "1h", on=ON).code == 2


def test_a_day_without_entries_is_not_logged_rather_than_zero(bed):
    bed("hours", "add", "bed", "sand", "1h", "--on", "fri", on=ON)

    listed = bed("hours", "list", on=ON).out.splitlines()

    assert any("2025-05-05 Mon" in line and "not logged" in line for line in listed)
    assert not any("Sat" in line for line in listed)


def test_a_jobs_hours_stand_beside_its_estimate(bed):
    bed("hours", "add", "bed", "sand", "6h", on=ON)
    bed("hours", "add", "bed", "editing", "1h", on=ON)

    shown = bed("hours", "job", "bed", on=ON).out
    facts = json.loads(bed("hours", "job", "bed", "--json", on=ON).out)

    assert "19m over" in shown
    assert "not logged" in shown
    assert "apart, editing" in shown
    assert facts["operations"][0] == {"operation": "SND", "estimate": "5.69", "hours": "6.00"}
    assert facts["operations"][1]["hours"] is None
    assert (facts["estimate"], facts["hours"]) == ("12.83", "6.00")


def test_entries_as_json(bed):
    added = json.loads(bed("hours", "add", "bed", "cutting", "90m", "--json", on=ON).out)
    listed = json.loads(bed("hours", "list", "--json", on=ON).out)

    assert listed == [added]
    assert (added["what"], added["minutes"], added["split"]) == ("cutting", 90, True)


# --- a log from a file -----------------------------------------------------------------------


LOG = """day,job,operation,hours,people,class,part,cause,remark
2025-05-05,bed,rip,1.2,,,,,
,,band,1h10,,,,,"timer forgotten, from memory"
2025-05-06,,pins,2.6,,rework,C1,handing,
,,install,5.5,"owner, helper",,,,
,shop,sweeping,20m,,,,,
"""


def test_a_log_is_entered_whole(bed, tmp_path):
    (tmp_path / "may.csv").write_text(LOG, encoding="utf-8")

    said = bed("hours", "load", "may.csv", on=ON)

    assert (said.code, "may.csv: 5 lines" in said.out, "16h18" in said.out) == (0, True, True)
    listed = json.loads(bed("hours", "list", "--json", on=ON).out)
    assert [one["what"] for one in listed] == ["RIP", "EBA", "PIN", "INS", "sweeping"]
    assert listed[1]["note"] == "timer forgotten, from memory"


def test_a_log_with_bad_lines_enters_none_and_lists_them_all(bed, tmp_path):
    bad = LOG.replace("rip", "knit").replace("2.6", "six").replace(",shop,sweeping", ",barn,sand")
    (tmp_path / "may.csv").write_text(bad, encoding="utf-8")

    said = bed("hours", "load", "may.csv", on=ON)

    assert said.code == 1
    assert "3 things are wrong" in said.err
    for words in ("line 2", "knit", "line 4", "six", "line 6", "barn"):
        assert words in said.err
    assert json.loads(bed("hours", "list", "--json", on=ON).out) == []


def test_a_log_loaded_twice_is_asked_about_line_by_line(bed, tmp_path):
    (tmp_path / "may.csv").write_text(LOG, encoding="utf-8")
    bed("hours", "load", "may.csv", on=ON)

    said = bed("hours", "load", "may.csv", on=ON)

    assert said.code == 1
    assert said.err.count("already") == 6
    assert bed("hours", "load", "may.csv", "--yes", on=ON).code == 0


def test_the_template_reads_back_what_is_filled_in(bed, tmp_path):
    assert bed("hours", "template", "log.xlsx").code == 0
    workbook = load_workbook(tmp_path / "log.xlsx")
    sheet = workbook["hours"]
    headings = {cell.value: cell.column for cell in sheet[1]}
    filled = {"day": "2025-05-06", "job": "J-2507", "operation": "sand", "hours": "1:30"}
    for name, text in filled.items():
        sheet.cell(2, headings[name]).value = text
    workbook.save(tmp_path / "log.xlsx")

    loaded = bed("hours", "load", "log.xlsx", on=ON).out
    assert loaded.startswith("log.xlsx: 1 line of hours, 1h30 ")


def test_the_template_as_plain_text_reads_back_too(bed, tmp_path):
    assert bed("hours", "template", "log.csv").code == 0
    log = tmp_path / "log.csv"
    heads = log.read_text("utf-8-sig").split()[0]
    filled = {"day": "2025-05-06", "job": "J-2507", "operation": "sand", "hours": "1:30"}
    row = ",".join(filled.get(name, "") for name in heads.split(","))
    log.write_text(f"{heads}\n{row}\n", "utf-8")
    assert bed("hours", "load", "log.csv", on=ON).out.startswith("log.csv: 1 line of hours, 1h30 ")


def test_the_template_offers_open_jobs_and_words_and_keeps_text_as_text(bed, tmp_path):
    bed("hours", "template", "log.xlsx")
    workbook = load_workbook(tmp_path / "log.xlsx")

    offered = [[cell.value for cell in column] for column in workbook["note lists"].columns]

    assert offered[0][:3] == ["job", "J-2507", "shop"]
    assert {"sand", "cutting"} <= set(offered[1])
    assert len(workbook["hours"].data_validations.dataValidation) == 3
    assert workbook["hours"]["D5"].number_format == "@"


def test_rework_without_a_cause_is_taken_and_the_cause_is_missed(bed):
    silent = bed("hours", "add", "bed", "assemble", "30m", "--class", "rework")
    told = bed("hours", "add", "bed", "sand", "30m", "--class", "rework", "--cause", "dent")
    assert (silent.code, told.code) == (0, 0)
    assert "--cause" in silent.err
    assert "--cause" not in told.err


def test_a_wrong_name_of_a_job_gets_the_nearest_word_of_a_title(bed):
    said = bed("hours", "add", "bde", "sand", "1h")
    assert said.code == 1
    assert "Nearest: bed" in said.err


def test_a_log_may_hold_days_that_the_spreadsheet_knows_as_days(bed, tmp_path):
    bed("hours", "template", "log.xlsx", on=ON)
    workbook = load_workbook(tmp_path / "log.xlsx")
    workbook["hours"].cell(2, 1).value = date(2025, 5, 5)
    for column, value in enumerate(("bed", "sand", "1h"), 2):
        workbook["hours"].cell(2, column).value = value
    workbook.save(tmp_path / "log.xlsx")
    said = bed("hours", "load", "log.xlsx", on=ON)
    assert said.code == 0, said.err
    assert "2025-05-05" in bed("hours", "list", on=ON).out


@pytest.mark.parametrize(
    ("new", "mark"), [((), "26.88"), (("--currency", "EUR", "--units", "mm"), "26.88")]
)
def test_helpers_are_listed_with_what_an_hour_of_each_costs(begun, new, mark):
    shop = begun(["new", "--shop", "Workshop", *new], ["shop", "set", "helper_cost=20"])
    assert shop("hours", "helper", "Robin", "--cost", "26.88", "--billed", "42").code == 0
    assert shop("hours", "helper", "--json").facts() == [
        {"name": "helper", "cost": "20.00", "billed": "0.00"},
        {"name": "Robin", "cost": mark, "billed": "42.00"},
    ]
    assert shop("hours", "helper").out.splitlines()[2].split() == ["Robin", mark, "42.00"]
    assert (
        shop("hours", "helper", "robin").out.splitlines()[1:]
        == (shop("hours", "helper").out.splitlines()[2:])
    )
    assert shop("hours", "helper", "owner").code == 1
    assert shop("hours", "helper", "Robin", "--cost", "3").code == 2


@pytest.mark.parametrize("line", ["CO", "change orders"])
def test_the_line_of_change_orders_is_no_operation_and_says_the_class(bed, line):
    said = bed("hours", "add", "bed", line, "2h", on=ON)
    assert (said.code, _minutes(bed)) == (1, [])
    assert f"“{line}” is the line of approved change orders, no operation" in said.err
    command = said.err.strip().rpartition("for example: benchledger ")[2]
    assert command.startswith("hours add J-2507 ") and command.endswith(" 2h --class change")
    assert bed(*command.split(), on=ON).code == 0
    assert _minutes(bed) == [120]


def test_helpers_beside_an_entry_of_the_owner_alone_are_entered_by_name(bed):
    bed("hours", "add", "bed", "sand", "1h", on=ON)
    asked = bed("hours", "add", "bed", "sand", "1h", "--with", "Ann", "--with", "Jo Lee", on=ON)
    words = 'without the owner it is --by Ann and --by "Jo Lee", an entry each'
    assert (asked.code, words in asked.err) == (1, True)
    assert bed("hours", "add", "bed", "sand", "1h", "--by", "Ann", on=ON).code == 0
    # now Ann's stands as well: all of it is the same entry twice
    asked = bed("hours", "add", "bed", "sand", "1h", "--with", "Ann", on=ON)
    assert (asked.code, "--by" in asked.err) == (1, False)
