"""`clock`: on, off, show; a forgotten clock is asked about."""

import json
import time
from datetime import date

import pytest

from ledger.book import Book
from ledger.book.tables.clock import Clock

ON = "2025-05-06"
RATES = ("overhead_year=22000", "pay_year=56000", "selling_rate=70")


@pytest.fixture
def bed(shop):
    shop("new", "--shop", "Quillhaven Workshop")
    shop("job", "new", "Marrow fold-down bed", "--number", "J-2507")
    return shop


def test_the_clock_is_started_with_two_words(bed):
    said = bed("clock", "on", "bed", "spray", on=ON, at="13:00")

    assert "J-2507 SPR since 13:00" in said.out


def test_starting_on_something_else_stops_what_was_running(bed):
    bed("clock", "on", "bed", "sand", on=ON, at="08:00")

    said = bed("clock", "on", "spray", on=ON, at="09:30")

    stopped, started = said.out.splitlines()
    assert "J-2507 Sand raw: 1h30 on 2025-05-06" in stopped
    assert "J-2507 SPR since 09:30" in started


def test_a_clock_is_stopped_at_the_time_that_is_said(bed):
    bed("clock", "on", "bed", "sand", on=ON, at="13:00")

    assert bed("clock", "off", "--at", "15:40", on=ON, at="17:00").out.startswith(
        "J-2507 Sand raw: 2h40"
    )
    assert bed("clock", "show").out == "No clock is running.\n"


def test_a_clock_shows_since_when_it_runs(bed):
    bed("clock", "on", "bed", "sand", "--with", "helper", on=ON, at="13:00")

    shown = bed("clock", "show", on=ON, at="14:05")
    facts = json.loads(bed("clock", "show", "--json", on=ON, at="14:05").out)

    assert "J-2507 SND since 13:00 of 2025-05-06: 1h05" in shown.out
    assert (facts["minutes"], facts["people"]) == (65, ["owner", "helper"])
    today = json.loads(bed("today", "--json", on=ON, at="14:05").out)["clock"]
    assert (today["job"], today["minutes"]) == (facts["job"], 65) == ("J-2507", 65)


def test_yesterdays_clock_is_asked_about_until_its_end_is_said(bed):
    bed("clock", "on", "bed", "sand", on="2025-05-05", at="14:00")

    asked = bed("clock", "off", on=ON, at="07:00")
    assert asked.code == 1
    assert "ran 17h, since 14:00" in asked.err

    said = bed("clock", "off", "--at", "17:15", on=ON, at="07:00")
    assert "3h15 on 2025-05-05" in said.out


def test_a_clock_for_the_shop_needs_no_job(bed):
    bed("clock", "on", "shop", "sharpening", on=ON, at="08:00")

    assert bed("clock", "off", on=ON, at="08:20").out == "the shop sharpening: 20m on 2025-05-06.\n"


def test_a_clock_that_is_not_running_cannot_be_stopped(bed):
    said = bed("clock", "off", on=ON, at="08:00")

    assert (said.code, "No clock is running" in said.err) == (1, True)


def test_a_time_that_has_not_come_is_refused(bed):
    said = bed("clock", "on", "bed", "sand", "--at", "9:00", on=ON, at="08:00")

    assert (said.code, "has not come yet" in said.err) == (1, True)


# --- where the clocks change ---------------------------------------------------------------


@pytest.mark.parametrize(
    ("zone", "day", "on", "off", "worked"),
    [
        ("America/Chicago", "2025-03-09", "01:30-06:00", "03:10-05:00", "40m"),
        ("America/Chicago", "2025-11-02", "00:30-05:00", "01:10-06:00", "1h40"),
        ("America/Chicago", "2025-11-02", "01:10-05:00", "01:10-06:00", "1h"),
        ("Europe/Vienna", "2025-03-30", "01:30+01:00", "03:10+02:00", "40m"),
        ("Europe/Vienna", "2025-10-26", "02:50+02:00", "02:10+01:00", "20m"),
    ],
)
def test_the_minutes_are_those_that_passed(bed, zone, day, on, off, worked):
    assert bed("shop", "set", f"time_zone={zone}").code == 0
    assert bed("clock", "on", "bed", "sand", on=day, at=on).code == 0

    assert json.loads(bed("today", "--json", on=day, at=on).out)["clock"]["minutes"] == 0
    assert f": {worked}." in bed("clock", "show", on=day, at=off).out
    assert bed("clock", "off", on=day, at=off).out.startswith(f"J-2507 Sand raw: {worked} on {day}")


def test_a_computer_that_is_taken_to_another_zone_counts_on(bed, monkeypatch):
    try:
        for name, words, at, said in (
            ("America/New_York", ["clock", "on", "bed", "sand"], "15:00-05:00", "since 15:00"),
            ("America/Los_Angeles", ["clock", "off"], "13:10-08:00", "Sand raw: 1h10"),
        ):
            monkeypatch.setenv("TZ", name)
            time.tzset()
            assert said in bed(*words, on="2025-01-15", at=at).out
    finally:
        monkeypatch.undo()
        time.tzset()


def test_a_clock_of_an_older_program_counts_on(bed, tmp_path):
    assert bed("shop", "set", "time_zone=Europe/Vienna").code == 0
    with Book(tmp_path / "shop.sqlite", date(2025, 3, 30)) as book, book.entry("clock on"):
        book.post(
            Clock(job=1, activity="SND", kind="work", began="2025-03-30T01:30", people="owner")
        )

    clock = json.loads(bed("clock", "show", "--json", on="2025-03-30", at="03:10").out)
    assert (clock["since"], clock["minutes"]) == ("2025-03-30T01:30", 40)


def test_a_time_that_the_wall_clock_leaps_over_is_refused(bed):
    assert bed("shop", "set", "time_zone=America/Chicago").code == 0
    assert bed("clock", "on", "bed", "sand", on="2025-03-08", at="22:00").code == 0
    assert bed("clock", "on", "bed", "cut", on="2025-03-09", at="01:00").code == 0

    said = bed("clock", "off", "--at", "02:30", on="2025-03-09", at="12:00")
    assert said.code == 1
    assert "02:30 is no time of 2025-03-09" in said.err


@pytest.mark.parametrize("began", ["2025-04-30", "2025-03-31"])
def test_a_month_is_not_closed_while_a_clock_of_it_runs(bed, began):
    assert bed("clock", "on", "bed", "sand", on=began, at="14:00").code == 0

    said = bed("month", "2025-04", "--close", on="2025-05-02")
    assert said.code == 1
    assert f"since 14:00 of {began}" in " ".join(said.err.split())

    assert bed("clock", "off", "--at", "16:00", on="2025-05-02", at="08:00").code == 0
    assert bed("month", "2025-04", "--close", on="2025-05-02").code == 0


def test_a_clock_of_a_later_month_does_not_keep_one_open(bed):
    assert bed("clock", "on", "bed", "sand", on="2025-05-02", at="14:00").code == 0
    assert bed("month", "2025-04", "--close", on="2025-05-02").code == 0


def test_a_zone_that_there_is_not_is_refused(bed):
    said = bed("shop", "set", "time_zone=Mars/Olympus")
    assert said.code == 1
    assert "Europe/Vienna" in said.err


def test_a_job_is_not_closed_or_canceled_while_its_clock_runs(bed):
    bed("shop", "set", *RATES)
    bed("job", "line", "bed", "repair", "3h")
    bed("clock", "on", "bed", "sand", on=ON, at="08:00")

    preview = bed("job", "close", "bed", "--price", "900", "--preview", on=ON, at="09:00")
    closed = bed("job", "close", "bed", "--price", "900", on=ON, at="09:00")
    canceled = bed("job", "cancel", "bed", "--why", "moved away", on=ON, at="09:00")

    assert "J-2507 SND since 08:00 of 2025-05-06" in " ".join(preview.err.split())
    for said in (closed, canceled):
        assert said.code == 1
        assert "J-2507 SND since 08:00" in said.err
    assert bed("clock", "off", on=ON, at="09:30").code == 0
    assert bed("job", "close", "bed", "--price", "900", on=ON, at="09:40").code == 0


def test_a_clock_on_another_job_or_on_content_keeps_no_job_open(bed):
    bed("shop", "set", *RATES)
    bed("job", "line", "bed", "repair", "3h")
    bed("job", "new", "Stool", "--number", "J-2508")
    bed("clock", "on", "bed", "filming", on=ON, at="08:00")

    assert bed("job", "close", "bed", "--price", "900", on=ON, at="09:00").code == 0
    bed("clock", "on", "stool", "sand", on=ON, at="09:00")
    assert bed("job", "reopen", "bed", "--why", "handle", on=ON, at="09:10").code == 0
    assert bed("job", "close", "bed", "--price", "900", on=ON, at="09:20").code == 0


def test_an_operation_alone_is_of_the_job_that_the_clock_is_on(bed):
    bed("job", "new", "Alder stool", "--number", "J-2508")
    bed("clock", "on", "bed", "sand", on=ON, at="08:00")

    assert "J-2507 RIP" in bed("clock", "on", "rip", on=ON, at="09:30").out
    bed("hours", "add", "stool", "sand", "1h", on=ON)
    assert "J-2507 Spray: 30m" in bed("hours", "add", "spray", "30m", on=ON).out
    bed("clock", "off", on=ON, at="10:00")
    bed("hours", "add", "stool", "sand", "20m", on=ON)
    assert "J-2508 Spray: 15m" in bed("hours", "add", "spray", "15m", on=ON).out
