"""`clock`: on, off, show; a forgotten clock is asked about."""

import json

import pytest

ON = "2025-05-06"


@pytest.fixture
def bed(shop):
    shop("new", "--shop", "Quillhaven Workshop")
    shop("job", "new", "Marrow fold-down bed", "--number", "J-2507")
    return shop


def test_the_clock_is_started_with_two_words(bed):
    said = bed("clock", "on", "bed", "spray", on=ON, at="13:00")

    assert said.out == "The clock is on J-2507 SPR since 13:00.\n"


def test_starting_on_something_else_stops_what_was_running(bed):
    bed("clock", "on", "bed", "sand", on=ON, at="08:00")

    said = bed("clock", "on", "spray", on=ON, at="09:30")

    assert said.out.splitlines() == [
        "J-2507 Sand raw: 1h30 on 2025-05-06.",
        "The clock is on J-2507 SPR since 09:30.",
    ]


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

    assert shown.out == "The clock is on J-2507 SND since 13:00 of 2025-05-06: 1h05.\n"
    assert (facts["minutes"], facts["people"]) == (65, ["owner", "helper"])


def test_yesterdays_clock_is_asked_about_until_its_end_is_said(bed):
    bed("clock", "on", "bed", "sand", on="2025-05-05", at="14:00")

    asked = bed("clock", "off", on=ON, at="07:00")
    assert asked.code == 1
    assert "ran 17h, since 14:00" in asked.err

    said = bed("clock", "off", "--at", "17:15", on=ON, at="07:00")
    assert said.out.startswith("J-2507 Sand raw: 3h15 on 2025-05-05.")


def test_a_clock_for_the_shop_needs_no_job(bed):
    bed("clock", "on", "shop", "sharpening", on=ON, at="08:00")

    assert bed("clock", "off", on=ON, at="08:20").out == "the shop sharpening: 20m on 2025-05-06.\n"


def test_a_clock_that_is_not_running_cannot_be_stopped(bed):
    said = bed("clock", "off", on=ON, at="08:00")

    assert (said.code, "No clock is running" in said.err) == (1, True)


def test_a_time_that_has_not_come_is_refused(bed):
    said = bed("clock", "on", "bed", "sand", "--at", "9:00", on=ON, at="08:00")

    assert (said.code, "has not come yet" in said.err) == (1, True)
