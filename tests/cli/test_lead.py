"""A quote whose weeks can't be kept says so, when it is drafted and before it is sent."""

import json

import pytest


@pytest.fixture
def booked(begun):
    """A book at 24 billable hours a week, with an agreed job of 96 hours and one asked for."""
    return begun(
        ["new", "--shop", "Larkhollow Joinery"],
        ["shop", "set", "overhead_year=22000", "pay_year=56000", "selling_rate=73",
         "days_off=2025-05-12 to 2025-05-16"],
        ["job", "new", "Elm bench", "--price", "9000", "--hours", "96h"],
        ["quote", "draft", "J-2501"], ["quote", "send", "J-2501"], ["quote", "accept", "J-2501"],
        ["job", "pay", "J-2501", "4500"],
        ["job", "new", "Ash stool", "--price", "5000", "--hours", "72h"],
        on="2025-04-25",
    )  # fmt: skip


def text(said):
    return " ".join((said.out + said.err).split())


def test_weeks_follow_from_what_is_booked(booked):
    # 168 h are seven weeks of 24 h from Friday on, and one week is off: 19 June
    said = booked("quote", "draft", "J-2502", "--json")
    quote = json.loads(said.out)
    assert any("8 weeks, not the usual 6" in one for one in quote["warnings"])
    assert "8 weeks" in text(booked("quote", "text", "J-2502"))


def test_weeks_that_cannot_be_kept_are_said_before_sending(booked):
    assert "Draft it with --weeks 8" in text(booked("quote", "draft", "J-2502", "--weeks", "5"))
    said = booked("quote", "send", "J-2502")
    assert said.code == 0
    assert "The 5 weeks" in said.err.replace("\n", " ")


def test_a_running_job_shows_what_is_left_and_its_day(booked):
    assert booked("hours", "add", "J-2501", "assemble", "6h").code == 0
    ahead = json.loads(booked("job", "show", "J-2501", "--json").out)["ahead"]
    # 90 h are 18.75 days of 4.8 h from Friday 25 April on, the week of 12 May off
    assert (ahead["owner_hours_left"], ahead["done_about"]) == ("90.00", "2025-05-28")
    assert (ahead["promised"], ahead["days_late"]) == ("2025-06-06", 0)
    today = json.loads(booked("today", "--json").out)
    assert [week["free"] for week in today["weeks"]][:4] == ["4.8", "24.0", "24.0", "0.0"]
