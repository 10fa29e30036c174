"""`benchledger today`: what is open on one page, each part only where it has something to say."""

import json
import os
import subprocess
import sys
from datetime import date
from decimal import Decimal
from pathlib import Path
from types import SimpleNamespace

import pytest

from ledger.book import Book
from ledger.cli import today_shown
from ledger.jobs.jobs import find_job
from ledger.labor.plan import save_plan
from ledger.measures.quantity import Quantity
from ledger.reports.still_to_buy import ToBuy

SAMPLES = Path(__file__).parents[2] / "sample_data"


@pytest.fixture
def empty(shop):
    """The program with a book of nothing."""
    assert shop("new", "--shop", "Quillhaven Workshop").code == 0
    return shop


@pytest.fixture(scope="module")
def kept():
    """The bytes of books that were typed once, by name."""
    return {}


def typed_once(kept, name, shop, path, commands):
    """Type commands the first time; later tests get a copy of the book as it stood then."""
    if name not in kept:
        for words in commands:
            said = shop(*words)
            assert said.code == 0, said.err
        kept[name] = path.read_bytes()
    path.write_bytes(kept[name])
    return shop


@pytest.fixture
def sent(shop, tmp_path, kept):
    """The program with a small job whose quote was sent on 2025-04-25."""
    (tmp_path / "shelves.csv").write_text(
        "id,qty,length,width,grain,material\nA1,2,40,11,length,PLY34\nA2,3,30,11,length,PLY34\n"
    )
    commands = (
        ["new", "--shop", "Quillhaven Workshop"],
        ["shop", "load", str(SAMPLES / "shop.csv")],
        ["material", "load", str(SAMPLES / "materials.csv")],
        ["job", "new", "Marrow shelves", "--parts", "shelves.csv", "--client", "D. Marrow"],
        ["quote", "draft", "shelves", "--price", "2000"],
        ["quote", "send", "shelves"],
    )
    return typed_once(kept, "sent", shop, tmp_path / "shop.sqlite", commands)


@pytest.fixture
def won(sent, tmp_path, kept):
    """The program with the small job won on 2025-04-25."""
    accept = [["quote", "accept", "shelves"]]
    return typed_once(kept, "won", sent, tmp_path / "shop.sqlite", accept)


@pytest.fixture
def planned(empty, tmp_path):
    """A book with a job of 12.00 hours planned, sheets half a helper's work."""
    empty("job", "new", "Marrow shelves", "--number", "J-2501")
    empty("shop", "set", "helper_cost=20", "helper_billed=30")
    empty("standards", "set", "sheets", "--helper", "50%")
    with Book(tmp_path / "shop.sqlite", date(2025, 4, 25)) as book:
        plan = {"SND": Decimal("8.00"), "SHT": Decimal("4.00")}
        save_plan(book, find_job(book, "shelves"), plan)
    return empty


def facts(shop, **when):
    return json.loads(shop("today", "--json", **when).out)


def test_an_empty_book_says_in_one_sentence_how_to_begin(empty):
    said = empty("today")

    assert (said.code, said.err) == (0, "")
    assert said.out.count(".\n") == 1
    assert "material load FILE" in said.out
    assert "job new" in said.out


def test_a_book_in_which_nothing_is_open_says_so(empty):
    assert empty("material", "load", str(SAMPLES / "materials.csv")).code == 0

    assert empty("today").out.splitlines()[1:] == ["Nothing is open."]


def test_parts_without_anything_are_left_out(empty):
    empty("job", "new", "Marrow shelves")

    lines = empty("today").out.splitlines()
    assert lines[0] == "Quillhaven Workshop, 2025-04-25"
    assert len(lines) == 3
    assert lines[2].split() == ["J-2501", "Marrow", "shelves", "open"]


def test_the_clock_that_runs_is_said_first(empty):
    empty("job", "new", "Marrow shelves")
    empty("clock", "on", "shelves", "sand", at="08:00")

    said = empty("today", at="09:30")
    assert said.out.splitlines()[1] == (
        "The clock is on J-2501 SND since 08:00 of 2025-04-25: 1h30."
    )


def test_weeks_booked_are_the_owners_hours_left_by_the_billable_week(planned):
    planned("hours", "add", "shelves", "sand", "1h")

    found = facts(planned)
    assert found["hours_a_week"] == "24.00"  # 1920 h a year, 60 % of it, in 48 weeks
    assert found["owner_hours_left"] == "9.00"  # 8 + 4 less half of 4, less the hour worked
    assert found["weeks_booked"] == "0.4"
    assert "9.00 hours of yours, 0.4 weeks" in planned("today").out


def test_what_a_helper_did_of_the_owners_hours_is_not_left_and_rework_is(planned):
    planned("hours", "add", "shelves", "sand", "1h", "--by", "helper")
    planned("hours", "add", "shelves", "sand", "1h", "--class", "rework", "--cause", "a drip")

    assert facts(planned)["owner_hours_left"] == "9.00"


def test_hours_beyond_a_lines_estimate_leave_the_other_line_to_come(planned):
    for _ in range(2):
        planned("hours", "add", "shelves", "sand", "8h", "--yes")

    found = facts(planned)
    assert (found["jobs"][0]["minutes"], found["owner_hours_left"]) == (960, "2.00")


def test_a_job_nobody_planned_hours_for_is_named_and_not_counted(planned):
    planned("job", "new", "A stool")

    said = planned("today")
    assert "no price is agreed yet: J-2502." in said.err
    assert facts(planned)["owner_hours_left"] == "10.00"


def test_an_agreed_job_without_hours_is_said_to_lack_them(planned):
    planned("shop", "set", "overhead_year=22000", "pay_year=56000")
    planned("job", "new", "A stool", "--price", "285")
    planned("job", "pay", "stool", "100", "--by", "check")

    assert "no hours are planned yet: J-2502" in planned("today").err


def test_a_job_that_is_paid_in_full_has_no_deposit(won):
    won("job", "pay", "J-2501", "100", "--by", "check")
    assert "deposit paid" in won("today").out
    due = json.loads(won("job", "pay", "J-2501", "--json").out)["due"]
    won("job", "pay", "J-2501", due, "--by", "check")

    said = won("today").out

    assert "paid in full" in said
    assert "deposit paid" not in said


@pytest.mark.parametrize(
    ("day", "words"),
    [("2025-05-18", "7 days left"), ("2025-05-24", "1 day left"), ("2025-05-25", "0 days left"),
     ("2025-05-26", "expired"), ("2025-06-08", "expired")],
)  # fmt: skip
def test_a_quote_about_to_expire_is_shown_until_a_fortnight_after(sent, day, words):
    assert f"2025-05-25, {words}" in sent("today", on=day).out


@pytest.mark.parametrize("day", ["2025-05-17", "2025-06-09"])
def test_a_quote_that_has_time_or_is_long_gone_is_left_out(sent, day):
    assert facts(sent, on=day)["quotes"] == []


def test_money_on_a_quote_keeps_it_in_view_until_it_expires(sent):
    sent("job", "pay", "J-2501", "100", "--by", "check")
    assert [quote["state"] for quote in facts(sent, on="2025-05-10")["quotes"]] == ["sent"]
    assert facts(sent, on="2025-06-09")["quotes"] == []


def test_the_next_payment_still_open_is_shown(won):
    assert facts(won)["payments"] == [
        {"job": "J-2501", "payment": "On acceptance", "open": "1060.00"}
    ]
    won("job", "pay", "shelves", "1000")

    assert "On acceptance  60.00" in won("today").out


def test_what_a_won_job_lacks_is_what_its_quote_counted_less_stock(won):
    lacking = {row["material"]: row["quantity"] for row in facts(won)["to_buy"]}
    assert lacking["PLY34"] == "1"

    bought = won("receipt", "add", "PLY34", "1", "96", "--from", "Copper Vale Lumber")
    assert bought.code == 0, bought.err
    after = {row["material"]: row["quantity"] for row in facts(won)["to_buy"]}
    assert after == {code: quantity for code, quantity in lacking.items() if code != "PLY34"}


def test_goods_on_hand_cover_one_job_only(won):
    won("job", "new", "Second shelves", "--parts", "shelves.csv")
    for verb in ("draft", "send", "accept"):
        assert won("quote", verb, "second").code == 0
    bought = won("receipt", "add", "PLY34", "1", "96", "--from", "Copper Vale Lumber")
    assert bought.code == 0, bought.err

    short = [row["job"] for row in facts(won)["to_buy"] if row["material"] == "PLY34"]
    assert short == ["J-2502"]


def test_a_quote_that_is_not_accepted_asks_nobody_to_buy(sent):
    assert facts(sent)["to_buy"] == []


def test_prices_older_than_the_shop_trusts_are_named_with_their_day(sent):
    assert facts(sent)["old_prices"] == []

    late = facts(sent, on="2025-07-14")["old_prices"]
    assert late == [{"material": "PLY34", "day": "2025-04-14", "jobs": ["J-2501"]}]
    assert "90 days: PLY34 (2025-04-14)" in sent("today", on="2025-07-14").out


def test_what_was_promised_to_sponsors_is_shown_and_late_is_said(empty):
    empty("sponsor", "add", "Brightfell Panels")
    empty("sponsor", "agree", "Brightfell", "--deliver", "2 post by 2025-04-30")
    empty("job", "new", "Marrow shelves")

    assert "Brightfell Panels  2 post  2025-04-30\n" in empty("today").out
    assert "2025-04-30, late" in empty("today", on="2025-05-02").out


def test_months_that_are_over_are_named_until_they_are_closed(empty):
    empty("job", "new", "Marrow shelves")

    assert facts(empty)["open_months"] == []
    assert "Not closed yet: 2025-04 to 2025-05" in empty("today", on="2025-06-02").out
    empty("month", "2025-04", "--close", on="2025-06-02")
    assert facts(empty, on="2025-06-02")["open_months"] == ["2025-05"]


def test_it_posts_nothing(won):
    before = won("undo", "--list", "--json").out
    won("today")

    assert won("undo", "--list", "--json").out == before


def test_it_starts_without_the_solver_and_the_workbooks():
    heavy = ("packingsolver", "openpyxl", "numpy", "scipy", "pint", "babel")
    code = f"import ledger.cli.today_shown, sys; print([n for n in {heavy} if n in sys.modules])"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True,
                         env=os.environ)  # fmt: skip
    assert ran.stdout == "[]\n"


def test_hours_that_are_booked_and_hours_of_what_is_not_agreed_stand_apart(planned):
    planned("job", "new", "Gate", "--price", "640", "--hours", "12")
    open_ended = planned("today").out
    planned("job", "pay", "gate", "320")
    said = planned("today").out

    assert "Booked" not in open_ended
    assert "Booked: 12.00 hours of yours, 0.5 weeks" in said
    begun = next(line for line in said.split("\n") if "nothing agreed, billed or paid" in line)
    assert begun.startswith("Planned, and nothing agreed, billed or paid yet: 10.00 hours")
    assert facts(planned)["owner_hours_left"] == "22.00"
    assert facts(planned)["jobs"][1]["planned_hours"] == "12.00"


def test_what_to_buy_names_a_command_that_can_be_typed(won, capsys):
    assert "job buying-list J-2501" in won("today").err

    row = ToBuy("J-2501 + J-2502", "PLY34", "Ply", Quantity.of(2), "sheet")
    today_shown._say_buying(SimpleNamespace(to_buy=[row], jobs=[]))
    assert "benchledger job buying-list --won\n" in capsys.readouterr().err
    assert won("job", "buying-list", "--won").code == 0


def test_a_job_with_a_price_in_one_sum_is_not_said_to_have_none(planned):
    planned("job", "new", "Gate", "--price", "640")
    said = planned("today").err

    assert "no hours are planned yet: J-2502" in " ".join(said.split())
    assert "no price is agreed yet" not in said
