"""What is due as a calendar: the same bytes again, no money, and what it says read back."""

import re

from icalendar import Calendar


def test_what_is_due_is_written_for_a_phones_calendar(shop, tmp_path):
    shop("new", "--shop", "Quillhaven Workshop")
    shop("sponsor", "add", "Brightfell Panels; Söhne, and other makers of a very long name indeed")
    agreed = shop("sponsor", "agree", "Brightfell", "--fee", "500", "--deliver",
                  "2 long by 2025-06-30")  # fmt: skip
    assert agreed.code == 0, agreed.err
    for name in ("a.ics", "b.ics"):
        assert shop("today", "--ics", name).code == 0

    content = (tmp_path / "a.ics").read_bytes()
    assert content == (tmp_path / "b.ics").read_bytes()
    assert all(len(line) <= 75 for line in content.split(b"\r\n"))
    assert b"500" not in content
    (event,) = Calendar.from_ical(content).walk("VEVENT")
    assert str(event["summary"]).startswith("2 long")
    assert "Söhne, and other" in str(event["summary"])
    assert str(event["dtstart"].dt) == "2025-06-30"
    assert re.fullmatch(r"due-[0-9a-f]{20}-1@benchledger", event["uid"])
    assert [alarm["trigger"].dt.days for alarm in event.walk("VALARM")] == [-3]


def test_a_calendar_without_a_day_is_written_and_said_to_have_none(shop, tmp_path):
    shop("new", "--shop", "Quillhaven Workshop")
    said = " ".join(shop("today", "--ics", "none.ics").out.split())
    assert said == "Nothing is due; none.ics is written, a calendar without a day in it."
    assert Calendar.from_ical((tmp_path / "none.ics").read_bytes()).walk("VEVENT") == []

    shop("sponsor", "add", "Brightfell Panels")
    shop("sponsor", "agree", "Brightfell", "--fee", "500", "--deliver", "2 long by 2025-06-30")
    said = " ".join(shop("today", "--ics", "none.ics").out.split())
    assert said.startswith("What is due stands in none.ics; send it")
