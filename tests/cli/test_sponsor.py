"""`benchledger sponsor`, typed: from the agreement to the report, and what each refusal says."""

import json
from datetime import date
from pathlib import Path

import pytest

from ledger.book import Book
from ledger.jobs.jobs import find_job
from ledger.measures.quantity import Quantity
from ledger.stock import issue

SAMPLES = Path(__file__).parents[2] / "sample_data"
JULY = "2025-07-01"


@pytest.fixture
def bench(begun):
    """The program with prices, two jobs and Brightfell, agreed on 2025-04-10."""
    return begun(
        ["new", "--shop", "Quillhaven Workshop"],
        ["material", "load", str(SAMPLES / "materials.csv")],
        ["job", "new", "Bunk-room shelving", "--number", "J-2503"],
        ["job", "new", "Marrow fold-down bed", "--number", "J-2507", "--client", "D. Marrow"],
        ["sponsor", "add", "Brightfell Panels", "--objective", "Show a clean edge"],
        ["sponsor", "agree", "brightfell", "--supplies", "12 sheets", "--fee", "900", "--on",
         "2025-04-10", "--deliver", "1 long by 2025-06-30", "--deliver", "2 posts by 2025-06-30"],
        on="2025-04-14",
    )  # fmt: skip


def take(book_path, job, count, day, *, on_camera):
    """Issue sheets to a job."""
    with Book(book_path, date(2025, 7, 1)) as book:
        issue(book, find_job(book, job).key, "PLY34", Quantity.of(count),
              day=date.fromisoformat(day), on_camera=on_camera)  # fmt: skip


@pytest.fixture
def spring(bench, tmp_path, once):
    """The worked example up to the end of June."""
    path = tmp_path / "shop.sqlite"
    if "spring" not in once:
        live_through_spring(bench, path)
        once["spring"] = path.read_bytes()
    path.write_bytes(once["spring"])
    return bench


def live_through_spring(bench, path):
    """Sheets come, are used and shown."""

    def type_in(*words, on):
        said = bench("sponsor", *words, on=on)
        assert said.code == 0, said.err
        return said

    type_in("receive", "brightfell", "PLY34", "12", "--value", "96.00", "--document",
            "delivery note 771", "--evidence", "yard price page saved 2025-04-14",
            on="2025-04-14")  # fmt: skip
    type_in("damage", "brightfell", "PLY34", "1", "--why", "corner crushed", on="2025-04-15")
    take(path, "J-2503", 4, "2025-04-16", on_camera=False)
    take(path, "J-2507", 5, "2025-05-06", on_camera=True)
    type_in("build", "J-2507", "Fold-down bed", on="2025-05-06")
    type_in("publish", "brightfell", "Boxes", "--kind", "photo", "--build", "J-2503", "--link",
            "link-1", on="2025-05-20")  # fmt: skip
    for kind, link, on in (("long", "link-2", "2025-06-20"), ("short", "link-3", "2025-06-24")):
        type_in("publish", "brightfell", f"Bed {kind}", "--kind", kind, "--build", "J-2507",
                "--link", link, "--disclosed", "spoken", on=on)  # fmt: skip


def facts(shop, *words, on=JULY):
    said = shop("sponsor", *words, "--json", on=on)
    assert said.code == 0, said.err
    return json.loads(said.out)


@pytest.mark.parametrize(
    ("month", "opening", "used", "closing", "done"),
    [("2025-04", "0", "-4", "7", 0), ("2025-05", "7", "-5", "2", 1), ("2025-06", "2", "0", "2", 3)],
)
def test_the_report_of_each_month_closes_into_the_next(spring, month, opening, used, closing, done):
    said = facts(spring, "report", "brightfell", "--month", month)
    (line,) = said["statement"]
    assert (line["opening"]["quantity"], line["used"]["quantity"]) == (opening, used)
    assert line["closing"]["quantity"] == closing
    assert said["deliverables"]["done"] == done


def test_the_report_stands_on_a_screen_of_eighty_columns_and_warns_on_the_side(spring):
    said = spring("sponsor", "report", "brightfell", "--from", "2025-04-01", "--to", "2025-06-30",
                  on=JULY)  # fmt: skip
    assert max(len(line) for line in said.out.splitlines()) <= 80
    for words in ("Show a clean edge", "3 of 3", "1,152.00", "-864.00", "192.00",
                  "Fold-down bed (J-2507)", "corner crushed"):  # fmt: skip
        assert words in said.out
    assert "Marrow" not in said.out
    assert "link-1" in said.err
    assert "disclosure" in said.err


def test_the_month_just_ended_is_reported_where_none_is_said(spring):
    said = facts(spring, "report", "brightfell")
    assert (said["first"], said["last"]) == ("2025-06-01", "2025-06-30")
    assert facts(spring, "report", "brightfell", "--to", "2025-05-20")["first"] == "2025-05-01"


def test_the_workbook_is_written(spring, tmp_path):
    said = spring("sponsor", "report", "brightfell", "--month", "2025-05", "--xlsx", "may.xlsx",
                  on=JULY)  # fmt: skip
    assert (tmp_path / "may.xlsx").is_file()
    assert "may.xlsx" in said.err


def test_a_month_and_days_at_once_are_refused(spring):
    said = spring("sponsor", "report", "brightfell", "--month", "may", "--to", "2025-05-02",
                  on=JULY)  # fmt: skip
    assert said.code == 1
    assert "either a month" in said.err


def test_publishing_free_goods_without_disclosure_warns_until_it_is_noted(spring):
    said = spring("sponsor", "publish", "brightfell", "Bed plan", "--kind", "plan", "--build",
                  "J-2507", on=JULY)  # fmt: skip
    assert (said.code, "No disclosure is noted" in said.err) == (0, True)
    assert spring("sponsor", "disclose", "Bed plan", "--how", "on page 1", on=JULY).code == 0
    assert spring("sponsor", "disclose", "link-1", "--how", "in the caption", on=JULY).code == 0
    again = spring("sponsor", "report", "brightfell", on=JULY)
    assert "disclosure" not in again.err


def test_the_accountant_reads_income_expense_and_evidence(spring):
    april = facts(spring, "account", "--month", "2025-04")
    assert (
        april["sums"] | {"received": "1152.00", "used": "384.00", "lost": "96.00"}
        == (april["sums"])
    )
    assert april["rows"][0]["evidence"] == "yard price page saved 2025-04-14"
    assert april["rows"][0]["cash"] == "0.00"
    said = spring("sponsor", "account", "--month", "2025-04", on=JULY)
    assert "tax adviser" in said.out
    assert max(len(line) for line in said.out.splitlines()) <= 80


def test_a_sponsor_is_shown_with_promises_goods_and_publications(spring):
    said = facts(spring, "show", "brightfell")
    assert said["agreements"][0]["fee"] == "900.00"
    assert [one["left"] for one in said["goods"]] == ["2"]
    assert [one["disclosed_on"] for one in said["publications"]] == [
        None, "2025-06-20", "2025-06-24",
    ]  # fmt: skip
    assert facts(spring, "show") == [
        {"sponsor": "Brightfell Panels", "objective": "Show a clean edge", "done": 3,
         "promised": 3, "undisclosed": 1}
    ]  # fmt: skip
    for words in (["show"], ["show", "brightfell"]):
        assert "Brightfell Panels" in spring("sponsor", *words, on=JULY).out


def test_goods_can_be_sent_back_and_more_than_there_is_is_refused(spring):
    assert spring("sponsor", "return", "brightfell", "PLY34", "1", on=JULY).code == 0
    said = spring("sponsor", "return", "brightfell", "PLY34", "2", on=JULY)
    assert said.code == 1
    assert ": 1 sheet" in said.err


def test_the_own_last_price_is_the_fair_value_where_none_is_said(bench):
    said = bench("sponsor", "receive", "brightfell", "PLY34", "2", on="2025-04-14")
    assert "192.00; cash 0" in said.out.replace("\n", "")
    (row,) = facts(bench, "account", "--month", "2025-04")["rows"]
    assert (row["method"], row["value"]) == ("usual buying price", "192.00")
    assert row["evidence"].startswith("own price of 2025-04-14")


def test_a_value_without_evidence_and_panels_without_statement_are_pointed_out(bench):
    said = bench("sponsor", "receive", "brightfell", "PLY34", "2", "--value", "90",
                 on="2025-04-14")  # fmt: skip
    assert "No evidence" in said.err
    assert "compliance statement" in said.err.replace("\n", " ")


def test_a_tool_on_loan_is_used_told_of_and_sent_back(bench):
    for words in (
        ["receive", "brightfell", "Track saw", "1", "--tool", "--loan", "--value", "480"],
        ["tool", "brightfell", "saw", "--hours", "1h30", "--uses", "3", "--build", "J-2507"],
        ["tool", "brightfell", "saw", "--blades", "1", "--fault", "guard sticks"],
    ):
        said = bench("sponsor", *words, on="2025-04-14")
        assert said.code == 0, said.err
    report = facts(bench, "report", "brightfell", "--month", "2025-04")
    assert report["tools"] == [
        {"name": "Track saw", "loan": True, "here": True, "minutes": 90, "uses": 3, "blades": 1,
         "faults": ["2025-04-14: guard sticks"]}
    ]  # fmt: skip
    said = bench("sponsor", "report", "brightfell", "--month", "2025-04", on=JULY)
    assert "1h30" in said.out
    account = facts(bench, "account", "--month", "2025-04")
    assert account["sums"]["received"] == "0.00"
    assert account["loans"][0]["declared"] == "480.00"
    assert "On loan" in bench("sponsor", "account", "--month", "2025-04", on=JULY).out
    assert bench("sponsor", "return", "brightfell", "saw", "1", on=JULY).code == 0


def test_what_went_back_whole_does_not_stand_in_the_workshop(bench):
    report = ("sponsor", "report", "brightfell", "--from", "2025-04-01")
    assert bench("sponsor", "receive", "brightfell", "PLY34", "2", "--value", "96").code == 0
    assert "What is left stands in" in bench(*report).out
    assert bench("sponsor", "return", "brightfell", "PLY34", "2").code == 0

    said = bench(*report)
    assert (said.code, "sent back" in said.out, "What is left" in said.out) == (0, True, False)


def test_notes_stand_in_the_report(bench):
    for kind, words in (("photo", "edge.jpg"), ("next", "a bench"), ("code", "14 orders")):
        assert bench("sponsor", "note", "brightfell", words, "--kind", kind).code == 0
    said = bench("sponsor", "report", "brightfell", "--month", "2025-04", on=JULY).out
    for words in ("photo edge.jpg", "Next: a bench", "14 orders"):
        assert words in said


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["show", "nobody"], "No sponsor is called"),
        (["agree", "brightfell"], "what was agreed"),
        (["agree", "brightfell", "--deliver", "soon"], "should read like"),
        (["receive", "brightfell", "lathe", "1", "--value", "5"], "--tool"),
        (["receive", "brightfell", "Lathe", "1", "--tool"], "--value"),
        (["receive", "brightfell", "PLY34", "0", "--value", "5"], "more than zero"),
        (["receive", "brightfell", "PLY34", "1", "--value", "5", "--method", "guess"], "guess"),
        (["publish", "brightfell", "x", "--kind", "song"], "not a kind"),
        (["publish", "brightfell", "x", "--build", "J-9"], "No job"),
        (["disclose", "nothing", "--how", "x"], "No publication"),
        (["note", "brightfell", "x", "--kind", "song"], "not a kind"),
        (["tool", "brightfell", "saw", "--uses", "1"], "No item"),
        (["build", "J-2507", " "], "called outside"),
    ],
)
def test_a_refusal_is_a_sentence(bench, words, sentence):
    said = bench("sponsor", *words)
    assert said.code == 1
    assert sentence in said.err.replace("\n", " ")


def test_help_shows_an_example_of_each_command(bench):
    for verb in ("add", "agree", "receive", "return", "damage", "tool", "publish", "disclose",
                 "build", "note", "show", "report", "account"):  # fmt: skip
        assert "Example: benchledger sponsor" in bench("sponsor", verb, "--help").out


def test_a_title_that_may_name_a_client_is_asked_about_before_anything_is_written(shop, tmp_path):
    for words in (
        ["new", "--shop", "Quillhaven Workshop"],
        ["job", "new", "Low console", "--number", "J-1", "--client", "May Oak"],
        ["sponsor", "add", "Brightfell Panels", "--objective", "be seen"],
        ["sponsor", "agree", "Brightfell Panels", "--deliver", "1 long by 2025-06-30"],
        ["sponsor", "publish", "brightfell", "A console for May", "--build", "J-1", "--on",
         "2025-04-20"],
    ):  # fmt: skip
        said = shop(*words)
        assert said.code == 0, (words, said.err)
    report = ["sponsor", "report", "brightfell", "--from", "2025-04-01"]

    refused = shop(*report, "--xlsx", "r.xlsx")
    assert (refused.code, refused.out, (tmp_path / "r.xlsx").exists()) == (1, "", False)
    assert "(title): “May” may be a name" in " ".join(refused.err.split())
    assert shop(*report, "--json").code == 1
    assert "may be a name" in shop(*report).err, "the screen is the owner's alone"

    written = shop(*report, "--xlsx", "r.xlsx", "--yes")
    assert (written.code, (tmp_path / "r.xlsx").exists()) == (0, True)
    assert "may be a name" not in written.err
    month = shop("month", "2025-04", "--xlsx", "papers")
    assert month.code == 0
    assert "was not written" in " ".join(month.err.split())
    assert [file.name for file in (tmp_path / "papers").iterdir()] == ["2025-04-accountant.xlsx"]


def test_a_month_without_anything_is_said_and_not_written(begun, tmp_path):
    shop = begun(
        ["new", "--shop", "Quillhaven Workshop"],
        ["sponsor", "add", "Brightfell", "--objective", "Show a clean edge"],
        on="2025-04-14",
    )
    said = shop("sponsor", "report", "brightfell", "--pdf", "s.pdf", on="2025-04-20")
    assert (said.code, (tmp_path / "s.pdf").exists()) == (1, False)
    assert 'sponsor report "brightfell" --month 2025-04' in " ".join(said.err.split())
    assert "nothing to report" in shop("sponsor", "report", "brightfell", on="2025-04-20").err
