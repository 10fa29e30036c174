"""What comes to a job after it was closed or canceled: asked for a word, then shown as late."""

import json

import pytest

PARTS = "id,qty,length,width,grain,material\nA1,2,30,6,length,ASH\n"
PRICES = (
    "code,name,kind,unit,length,width,thickness,price,allowance,allowance_on\n"
    "ASH,Ash 4/4,lumber,bd ft,96,8,1,8,25 %,bought\nOIL,Hard oil,finish,can,,,,24,,\n"
)
CLOSED, LATER = "2025-05-20", "2025-06-03"
LATE = {
    "receipt": ["receipt", "add", "OIL", "1", "24", "--from", "Copper Vale", "--to", "stool"],
    "issue": ["stock", "issue", "stool", "OIL", "1"],
    "hours": ["hours", "add", "stool", "sand", "45m"],
    "load": ["hours", "load", "log.csv"],
    "clock": ["clock", "on", "stool", "sand", "--at", "9:00"],
    "cost": ["job", "add-cost", "stool", "miles", "20", "0.70", "--actual"],
    "spoiled": ["job", "spoiled", "stool", "5", "--note", "a split seat"],
    "scrap": ["stock", "scrap", "OIL", "1", "--why", "skinned over", "--job", "stool"],
}


@pytest.fixture
def stool(begun, tmp_path):
    """A solid ash stool, oiled: a can of oil and two hours in it, closed on 2025-05-20."""
    (tmp_path / "parts.csv").write_text(PARTS)
    (tmp_path / "prices.csv").write_text(PRICES)
    (tmp_path / "log.csv").write_text(f"day,job,operation,duration\n{LATER},stool,sand,45m\n")
    return begun(
        ["new", "--shop", "Quillhaven Workshop"],
        ["shop", "set", "overhead_year=22000", "pay_year=56000"],
        ["material", "load", "prices.csv"],
        ["job", "new", "Ash stool", "--parts", "parts.csv"],
        ["receipt", "add", "OIL", "4", "24", "--from", "Copper Vale"],
        ["stock", "issue", "stool", "OIL", "1"],
        ["hours", "add", "stool", "sand", "2h"],
        ["job", "pay", "stool", "250"],
        on=CLOSED,
    )


@pytest.fixture
def closed(stool):
    said = stool("job", "close", "stool", "--price", "400", on=CLOSED)
    assert said.code == 0, said.err
    return stool


def facts(shop, *words, on=LATER):
    said = shop(*words, "--json", on=on, at="12:00")
    assert said.code == 0, said.err
    return json.loads(said.out)


def late_of(shop, on=LATER):
    """The late cost, the same in `job show`, the close-out, the month and the year."""
    late = facts(shop, "job", "show", "stool", on=on)["late_cost"]
    assert facts(shop, "job", "close", "stool", "--price", "400", on=on)["late_cost"] == late
    rows = [] if late is None else [late]
    assert facts(shop, "month", on[:7], on=on)["late_cost"] == rows
    assert facts(shop, "year", on[:4], on=on)["late_cost"] == rows
    return late


@pytest.mark.parametrize("sort", LATE)
def test_a_closed_job_takes_nothing_without_the_word(closed, sort):
    refused = closed(*LATE[sort], on=LATER, at="12:00")

    assert refused.code == 1
    assert "--after-close" in refused.err
    assert "job reopen J-2501" in refused.err
    assert late_of(closed) is None
    late = closed(*LATE[sort], "--after-close", on=LATER, at="12:00")
    assert (late.code, "did nothing" in late.err) == (0, False)


@pytest.mark.parametrize("sort", LATE)
def test_a_canceled_job_takes_nothing_without_the_word(stool, sort):
    assert stool("job", "cancel", "stool", "--why", "moved", "--stage", "after cut").code == 0
    refused = stool(*LATE[sort], on=LATER, at="12:00")

    assert (refused.code, "--after-close" in refused.err) == (1, True)
    assert stool(*LATE[sort], "--after-close", on=LATER, at="12:00").code == 0


@pytest.mark.parametrize("sort", LATE)
def test_of_an_open_job_it_is_said_that_the_word_did_nothing(stool, sort):
    word = "J-2501 is open: --after-close did nothing, and this is no late cost."
    told = stool(*LATE[sort], "--after-close", on=LATER, at="12:00")
    untold = stool("hours", "add", "stool", "sand", "10m", on=LATER)

    assert (told.code, " ".join(told.err.split()).count(word)) == (0, 1)
    assert "--after-close" not in untold.err


def test_late_cost_moves_the_account_and_is_shown_everywhere(closed):
    before = facts(closed, "job", "close", "stool", "--price", "400")
    for sort in ("receipt", "issue", "hours", "cost"):
        assert closed(*LATE[sort], "--after-close", on=LATER).code == 0
    late = late_of(closed)

    assert (late["material"], late["owner_minutes"], late["other"]) == ("48.00", 45, "14.00")
    assert late["owner"] == "50.78"  # 0.75 h at the break-even rate of 67.71
    assert late["cost"] == "112.78"
    after = facts(closed, "job", "close", "stool", "--price", "400")
    assert (before["material"], after["material"]) == ("24.00", "72.00")
    assert float(before["earned"]) - float(after["earned"]) == pytest.approx(48 + 14)


def test_what_comes_back_late_is_shown_without_a_word(closed):
    assert closed("stock", "return", "stool", "OIL", "1", on=LATER).code == 0

    assert late_of(closed)["cost"] == "-24.00"


def test_what_was_entered_late_for_an_earlier_day_counts_on_the_day_of_closing(stool):
    assert stool("job", "close", "stool", "--price", "400", on="2025-06-02").code == 0
    words = ["stock", "issue", "stool", "OIL", "1", "--on", "2025-05-30", "--after-close"]
    assert stool(*words, on=LATER).code == 0

    may = facts(stool, "month", "2025-05")  # it was in progress then, and its cost is
    assert (may["late_cost"], may["work_in_progress"][0]["material"]) == ([], "48.00")
    assert late_of(stool)["cost"] == "24.00"


def test_opened_and_closed_again_nothing_is_late(closed):
    assert closed(*LATE["issue"], "--after-close", on=LATER).code == 0
    assert closed("job", "reopen", "stool", "--why", "oil", on=LATER).code == 0
    assert closed(*LATE["hours"], on=LATER).code == 0
    assert closed("job", "close", "stool", "--price", "400", on=LATER).code == 0

    assert late_of(closed) is None


def test_content_and_the_fee_of_the_last_payment_need_no_word(closed):
    assert closed("hours", "add", "stool", "editing", "1h", on=LATER).code == 0
    paid = closed("job", "pay", "stool", "100", "--by", "card", "--fee", "3.20", on=LATER)

    assert paid.code == 0
    assert (late_of(closed)["other"], late_of(closed)["owner_minutes"]) == ("3.20", 0)


def test_a_receipt_file_names_the_jobs_that_are_over_and_posts_nothing(closed, tmp_path):
    (tmp_path / "r.csv").write_text(
        "receipt,day,supplier,material,qty,unit price,goes to\n"
        f"R-1,{LATER},Copper Vale,OIL,1,24,stool\n"
    )
    refused = closed("receipt", "load", "r.csv", on=LATER)

    assert (refused.code, "J-2501 is closed" in refused.err) == (1, True)
    assert len(facts(closed, "receipt", "list")) == 1


def test_closing_says_what_is_still_unpaid(begun, tmp_path):
    (tmp_path / "parts.csv").write_text(PARTS)
    (tmp_path / "prices.csv").write_text(PRICES)
    shop = begun(
        ["new", "--shop", "Quillhaven Workshop"],
        ["shop", "set", "overhead_year=22000", "pay_year=56000"],
        ["material", "load", "prices.csv"],
        ["job", "new", "Ash stool", "--parts", "parts.csv"],
        ["quote", "draft", "stool", "--price", "400"],
        ["quote", "send", "stool"],
        ["quote", "accept", "stool"],
        ["job", "pay", "stool", "250"],
        ["hours", "add", "stool", "assemble", "2h", "--yes"],
    )

    open_yet = shop("job", "close", "stool").done()
    assert "150.00 to pay" in open_yet.err
    assert "the client has not paid yet" in " ".join(open_yet.err.split())
    assert facts(shop, "job", "close", "stool")["unpaid"] == "150.00"

    shop("job", "pay", "stool", "150").done()
    paid = shop("job", "close", "stool").done()
    assert "to pay" not in paid.err
    assert "not paid yet" not in " ".join(paid.err.split())


def test_a_job_that_is_over_enters_no_state_by_hand(closed):
    refused = closed("job", "state", "stool", "building", on=LATER)

    assert (refused.code, "job reopen" in refused.err) == (1, True)


def test_a_canceled_job_is_opened_again_where_it_had_come_to(stool):
    stool("job", "state", "stool", "building", on=CLOSED)
    assert stool("job", "cancel", "stool", "--why", "moved", on=CLOSED).code == 0
    assert facts(stool, "today")["to_settle"][0]["back"] == "250.00"
    assert stool("job", "close", "stool", "--price", "400", "--preview", on=LATER).code == 0
    assert stool("job", "reopen", "stool", "--why", "they came back", on=LATER).code == 0

    assert facts(stool, "job", "state", "stool")["state"] == "building"
    assert facts(stool, "today")["to_settle"] == []


def test_hours_that_have_no_rate_are_not_silent(begun, tmp_path):
    shop = begun(["new", "--shop", "Quillhaven Workshop"], ["job", "new", "Chair repair"])
    assert shop("job", "cancel", "chair", "--why", "sold", on=CLOSED).code == 0
    assert shop("hours", "add", "chair", "sand", "45m", "--after-close", on=LATER).code == 0

    said = shop("job", "show", "chair", on=LATER).out
    assert "45m at no rate yet" in " ".join(said.split())


def test_what_came_and_went_again_is_no_late_cost(closed):
    assert closed(*LATE["issue"], "--after-close", on=LATER).code == 0
    assert closed("stock", "return", "stool", "OIL", "1", on=LATER).code == 0

    assert late_of(closed) is None


def test_a_job_opened_again_is_not_said_to_be_handed_over_until_it_is(closed):
    assert closed("job", "reopen", "stool", "--why", "oil", on=LATER).code == 0
    listed = [closed(*words, on=LATER).out for words in (["job", "list"], ["today"])]
    assert [("open again" in out, "handed over" in out) for out in listed] == [(True, False)] * 2
    assert closed("job", "state", "stool", "handed over", on=LATER).code == 0
    assert "handed over" in closed("job", "list", on=LATER).out
