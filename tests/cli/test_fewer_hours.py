"""A change that leaves something out takes hours off: what is booked, guessed, learned follows."""

import pytest


@pytest.fixture
def shop(begun):
    """A shop with nothing in it but its yearly figures."""
    return begun(["new", "--shop", "Larkhollow", "--overhead", "21000", "--pay", "52000"])


def changed(shop, job, *words):
    """A change of a job, approved."""
    shop("job", "change", job, "smaller", *words).done()
    shop("job", "change", job, "--approved", "CO-1").done()


def test_a_guess_and_what_is_booked_and_learned_are_without_the_hours_taken_off(shop):
    """30 h guessed less 10 h are 20 h, which were worked: a guess ran at 1.00, and not at 0.67."""
    for name in ("Ash", "Birch", "Cedar"):
        shop("job", "new", name, "--price", "2400", "--hours", "30").done()
        changed(shop, name, "--price", "-800", "--hours", "-10")
        (now,) = shop("today", "--json").facts()["jobs"]
        for day in ("2025-04-23", "2025-04-24"):
            shop("hours", "add", name, "repair", "10h", "--on", day, "--yes").done()
        closed = shop("job", "close", name, "--json").facts()
        assert (now["planned_hours"], closed["hours"]["guess"]) == ("20.00", "20.00")
    shop("job", "new", "Next", "--price", "2400", "--hours", "30").done()

    assert shop("price", "next", "--json").facts()["hours"]["p50"] == "30.00"


def test_hours_taken_off_a_quote_are_neither_booked_nor_planned(shop):
    """10.50 h quoted less 4 h are 6.50 h; 5 h of them worked leave 1.50 h."""
    shop("job", "new", "Fence", "--work", "repair 10h").done()
    for step in ("draft", "send", "accept"):
        shop("quote", step, "fence").done()
    before = shop("today", "--json").facts()
    shop("job", "change", "fence", "smaller", "--price", "-100", "--hours", "-4").done()
    proposed = shop("today", "--json").facts()
    shop("job", "change", "fence", "--approved", "CO-1").done()
    approved = shop("today", "--json").facts()
    shop("hours", "add", "fence", "repair", "5h").done()
    worked = shop("today", "--json").facts()
    hours = shop("job", "close", "fence", "--preview", "--json").facts()["hours"]

    planned = [one["jobs"][0]["planned_hours"] for one in (before, proposed, approved, worked)]
    assert planned == ["10.50", "10.50", "6.50", "6.50"]
    assert [one["owner_hours_left"] for one in (approved, worked)] == ["6.50", "1.50"]
    assert (hours["planned"], hours["as_changed"]) == ("10.50", "6.50")


def test_a_change_may_say_that_it_changes_no_hours_or_half_an_hour_less(shop):
    shop("job", "new", "Gate", "--price", "1000", "--hours", "10").done()
    for hours in ("0", "-0.5", "2h"):
        shop("job", "change", "gate", "smaller", "--price", "0", "--hours", hours).done()

    listed = shop("job", "change", "gate", "--json").facts()

    assert [one["hours"] for one in listed] == ["0.00", "-0.50", "2.00"]


def test_hours_and_the_job_are_compared_with_what_a_quote_has_left_as_the_close_out_does(shop):
    """10.50 h quoted less 4 h are 6h30; 2 h more of another change stand apart, as ever."""
    shop("job", "new", "Fence", "--work", "repair 10h").done()
    for step in ("draft", "send", "accept"):
        shop("quote", step, "fence").done()
    before = shop("hours", "add", "fence", "repair", "1h").done().out
    changed(shop, "fence", "--price", "-100", "--hours", "-4")
    shop("job", "change", "fence", "a latch", "--price", "90", "--hours", "2").done()
    shop("job", "change", "fence", "--approved", "CO-2").done()
    after = shop("hours", "add", "fence", "repair", "2h", "--yes").done().out
    lines = shop("hours", "job", "fence").done().out
    job, ahead = shop("job", "show", "fence").done().out, shop("job", "show", "fence", "--json")
    hours = shop("job", "close", "fence", "--preview", "--json").facts()["hours"]

    assert "the job 1h of 10h30 estimated." in before
    assert "the job 3h of 6h30 agreed now." in after
    assert "took 4h off, in no line: 8h30 in all." in lines  # the approved 2 h are one of its lines
    assert "Worked 3.00 h of 6.50 h agreed now (10.50 h priced)" in job
    assert ahead.facts()["ahead"]["hours_agreed"] == hours["as_changed"] == "6.50"


def test_a_job_in_one_sum_is_compared_with_what_is_left_of_its_guess(shop):
    """10.50 h guessed less 2 h are 8.50 h, with a quote and without one."""
    shop("job", "new", "Gate", "--price", "850", "--hours", "10.5").done()
    shop("job", "new", "Lid", "--price", "850", "--hours", "10.5").done()
    for step in ("draft", "send", "accept"):
        shop("quote", step, "gate").done()
    said = {}
    for job in ("gate", "lid"):
        changed(shop, job, "--price", "-100", "--hours", "-2")
        added = shop("hours", "add", job, "repair", "3h").done().out
        closing = shop("job", "close", job, "--preview", "--json").facts()["hours"]["guess"]
        said[job] = [added, shop("job", "show", job).done().out, closing]

    assert all("the job 3h of 8h30 guessed." in added for added, _, _ in said.values())
    assert "Worked 3.00 h of 8.50 h agreed now (10.50 h priced)" in said["gate"][1]
    assert "Worked 3.00 h of 8.50 h agreed now;" in said["lid"][1]
    assert [closing for *_, closing in said.values()] == ["8.50", "8.50"]


def test_the_hours_of_changes_are_less_by_those_taken_off(shop):
    """1.50 h more and 4 h less are 2.50 h less."""
    shop("job", "new", "Gate", "--price", "1000", "--hours", "10").done()
    for order, hours in (("CO-1", "1.5"), ("CO-2", "-4")):
        shop("job", "change", "gate", "smaller", "--price", "0", "--hours", hours).done()
        shop("job", "change", "gate", "--approved", order).done()

    assert "Hours of changes: -2.50 estimated" in shop("job", "change", "gate").done().out
