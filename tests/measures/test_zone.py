"""The shop's wall clock and the moments it stands for, where the clocks change.

The days of change are those of the tz database (IANA): 2025-03-09 and 2025-11-02 in Chicago,
2025-03-30 and 2025-10-26 in Vienna.
"""

import os
import time
from datetime import UTC, datetime, timedelta

import pytest

from ledger.errors import BadValue
from ledger.measures.zone import Zone

CHANGES = [
    ("America/Chicago", "2025-03-09T01:30", "2025-03-09T03:10", 40),
    ("America/Chicago", "2025-11-01T23:00", "2025-11-02T02:00", 240),
    ("Europe/Vienna", "2025-03-30T01:30", "2025-03-30T03:10", 40),
    ("Europe/Vienna", "2025-10-26T01:00", "2025-10-26T04:00", 240),
    ("Asia/Kolkata", "2025-03-30T01:30", "2025-03-30T03:10", 100),
    ("Australia/Lord_Howe", "2025-04-06T00:00", "2025-04-06T03:00", 210),
]


@pytest.fixture(params=["named", "computer's"])
def zone_of(request, monkeypatch):
    """A zone by its name, or the computer's, which is that one."""

    def made(name):
        if request.param == "named":
            return Zone(name)
        monkeypatch.setenv("TZ", name)
        time.tzset()
        return Zone()

    yield made
    os.environ.pop("TZ", None)
    time.tzset()


@pytest.mark.parametrize(("name", "began", "ended", "minutes"), CHANGES)
def test_minutes_are_those_that_passed(zone_of, name, began, ended, minutes):
    zone = zone_of(name)
    first, last = (zone.moment(datetime.fromisoformat(text)) for text in (began, ended))
    assert last - first == timedelta(minutes=minutes)


@pytest.mark.parametrize("name", ["America/Chicago", "Europe/Vienna"])
def test_each_moment_of_a_year_comes_back(zone_of, name):
    zone = zone_of(name)
    for number in range(0, 365 * 48, 7):
        moment = datetime(2025, 1, 1, tzinfo=UTC) + timedelta(minutes=30 * number)
        wall = zone.wall(moment)
        assert zone.moment(wall) == moment
        assert zone.shows(wall)


def test_times_that_are_leapt_over_are_not_shown(zone_of):
    zone = zone_of("America/Chicago")
    assert not zone.shows(datetime(2025, 3, 9, 2, 30))
    assert zone.shows(datetime(2025, 3, 9, 3, 0))


@pytest.mark.parametrize("name", ["Mars/Olympus", "../etc/passwd", "/etc/localtime", "x" * 300])
def test_what_is_no_zone_is_refused(name):
    with pytest.raises(BadValue, match="is no time zone"):
        Zone(name).check()
