"""Entries as a device sends them: once, at the moment of the tap, and told to whom they concern."""

import json
import re
import threading

import pytest

from ledger.book.questions.entries import last_entries
from ledger.book.tables.clock import Clock
from ledger.book.tables.labor import Work
from ledger.book.tables.page import PageEntry
from ledger.jobs.jobs import new_job
from ledger.labor.log import TimeEntry
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.pages.screens import SCREENS
from ledger.stock.opening import OpeningRow, open_stock
from ledger.upkeep.undo import take_back
from ledger.verbs import hours

SAND = {"job": "bed", "what": "SND", "duration": "1h45"}
HOUR = 3_600_000


@pytest.fixture
def stocked(page):
    with page.read() as book:
        open_stock(book, [OpeningRow("EDGE78", Quantity.of(100), Money(2200), Money(2200))])
    return page


def works(page):
    with page.read() as book:
        return [(row.operation, row.person, str(row.day), row.minutes) for row in book.rows(Work)]


def test_hours_are_posted_in_the_name_of_the_device_and_answered_without_money(page):
    answer = page.post("hours", **SAND)

    assert answer.status == 200
    assert re.match(r"J-2507 .*: 1h45 on 2025-04-25\. So far 1h45 of \d+h\d\d\.", answer.text)
    assert works(page) == [("SND", "owner", "2025-04-25", 105)]
    with page.read() as book:
        entry, stands = last_entries(book, 1)[0]
        assert (entry.who, entry.verb, entry.words) == ("Tablet", "hours add", "J-2507 SND 1h45")
        assert stands
        assert [row.words for row in book.rows(PageEntry)] == [answer.text]


def test_the_same_key_is_posted_once_also_after_it_was_taken_back_at_the_desk(page):
    first = page.post("hours", **SAND, key="the-same-key-each-time")
    again = page.post("hours", **SAND, key="the-same-key-each-time")
    with page.read() as book:
        take_back(book, None, "typed twice")
    late = page.post("hours", **SAND, key="the-same-key-each-time")

    assert first.text == again.text == late.text
    assert works(page) == []


def test_a_question_is_asked_and_passes_with_the_same_key(page):
    page.post("hours", **SAND)
    asked = page.post("hours", **SAND, key="asked-about-once-1234")
    sure = page.post("hours", **SAND, key="asked-about-once-1234", sure="1")

    assert (asked.status, sure.status) == (409, 200)
    assert len(works(page)) == 2


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({**SAND, "job": "chest"}, "No job is called"),
        ({**SAND, "duration": ""}, "Say how long"),
        ({**SAND, "day": "2025-04-28"}, "lies after today"),
        ({**SAND, "key": "short"}, "without its key"),
        ({**SAND, "tapped": "x"}, "without its moment"),
    ],
)
def test_a_refusal_stays_one_and_nothing_is_posted(page, fields, sentence):
    answer = page.post("hours", **fields)

    assert answer.status == 422
    assert sentence in answer.text
    assert works(page) == []


def test_a_book_in_trouble_may_be_sent_to_again(page):
    aside = page.book.with_name("aside")
    page.token()
    page.book.rename(aside)
    assert page.post("hours", **SAND, key="sent-while-it-was-away").status == 503
    aside.rename(page.book)
    assert page.post("hours", **SAND, key="sent-while-it-was-away").status == 200


def test_the_clock_runs_from_the_moment_of_the_tap_not_of_the_sending(page):
    page.clock.wait(minutes=50)  # tapped at 9:00, sent at 9:50 of a device that is a year behind
    answer = page.post("clock-on", job="bed", what="SND", tapped="1000", sent=str(1000 + 3_000_000))

    assert "J-2507 Sand raw (SND) since 09:00" in answer.text
    page.clock.wait(minutes=10)
    stopped = page.post("clock-off")
    assert stopped.text.startswith("J-2507")
    assert works(page) == [("SND", "owner", "2025-04-25", 60)]


def test_an_entry_of_before_midnight_counts_for_the_day_it_was_tapped(page):
    page.clock.wait(hours=16)  # 1:00 of the next day
    page.post("hours", **SAND, tapped="0", sent=str(2 * HOUR))
    page.post("hours", **SAND, tapped=str(5 * HOUR), sent="0")  # its clock went backward

    assert [day for _, _, day, _ in works(page)] == ["2025-04-25", "2025-04-26"]


def test_material_is_taken_and_given_back(stocked):
    taken = stocked.post("issue", job="bed", material="EDGE78", quantity="88")
    back = stocked.post("give-back", job="bed", material="EDGE78", quantity="12 ft")
    short = stocked.post("issue", job="bed", material="EDGE78", quantity="500")

    assert taken.text == (
        "EDGE78: 88 ft taken to J-2507, 12 ft left. EDGE78: 4 ft more than the estimate's 84 ft."
    )
    assert back.text == "EDGE78: 12 ft back from J-2507, 24 ft left."
    assert short.status == 422


def test_a_spoiled_part_and_its_rework_are_one_entry(page):
    answer = page.post("spoiled", job="bed", part="C1", cause="cut short", what="SND",
                       duration="30m")  # fmt: skip

    assert "part C1 spoiled, cut short." in answer.text
    assert "no figure yet" in answer.text
    with page.read() as book:
        (work,) = book.rows(Work)
        assert (work.kind, work.part, work.cause) == ("rework", "C1", "cut short")
        assert last_entries(book, 1)[0][0].id == work.entry
    refused = page.post("spoiled", job="bed", part="C1", cause="cut short", what="no such",
                        duration="30m")  # fmt: skip
    assert refused.status == 422


def test_a_device_takes_back_its_own_last_entry_and_nothing_else(page):
    page.post("hours", **SAND)
    number = re.search(r'name="entry" value="(\d+)"', page.facts("now").text)[1]
    with page.read() as book:  # the desk posts something after it
        target = hours.read_target(book, ["bed", "RIP"])
        hours.enter(book, TimeEntry(target.job, target.activity, 20, book.today),
                    hours.plan_for(book, target.job))  # fmt: skip
    other = page.post("undo", device="Phone", entry=number)
    undone = page.post("undo", entry=number, key="taken-back-just-once")
    again = page.post("undo", entry=number, key="taken-back-just-once")
    late = page.post("undo", entry=number)

    assert (other.status, undone.status, late.status) == (422, 200, 422)
    assert undone.text == again.text
    assert undone.text.startswith("Taken back: J-2507")
    assert [operation for operation, *_ in works(page)] == ["RIP"]
    assert 'name="entry"' not in page.facts("now").text


def test_a_helper_enters_their_own_hours_and_leaves_the_clock_of_others_alone(page):
    ann = {"device": "Ann's phone", "person": "Ann"}
    page.post("clock-on", job="bed", what="SND")

    assert page.post("hours", **SAND, **ann).status == 200
    assert works(page) == [("SND", "Ann", "2025-04-25", 105)]
    for action in ("clock-off", "clock-on"):
        refused = page.post(action, job="bed", what="RIP", **ann)
        assert refused.status == 422
        assert "somebody else" in refused.text
    page.post("clock-off")
    page.clock.wait(minutes=1)
    assert page.post("clock-on", job="bed", what="RIP", **ann).status == 200
    with page.read() as book:
        assert book.rows(Clock)[-1].people == "Ann"


def test_no_answer_for_a_helper_has_money_client_or_hours_of_others(stocked):
    stocked.post("hours", **{**SAND, "duration": "3h17"})
    ann = {"device": "Ann's phone", "person": "Ann"}
    answers = [stocked.facts(screen, **ann).text for screen in SCREENS if screen != "job"]
    answers.append(stocked.ask("GET", "/facts/job?job=bed", **stocked.cookie(**ann)).text)
    answers += [
        stocked.post("hours", **SAND, **ann).text,
        stocked.post("issue", job="bed", material="EDGE78", quantity="8", **ann).text,
        stocked.post("issue", job="bed", material="EDGE78", quantity="800", **ann).text,
    ]
    shown = " ".join(answers)
    assert "J-2507" in shown
    assert not re.search(r"D\. Marrow|3h17|\$|USD|\d\.\d\d\b|rate|price", shown)


def test_the_owner_sees_a_jobs_hours_as_bars_beside_its_plan(page):
    page.post("hours", **{**SAND, "duration": "20h"}, sure="1")
    shown = page.ask("GET", "/facts/job?job=bed", **page.cookie()).text

    assert re.search(r"[Ss]and[^<]*</span>.{0,40}20h of \d+h\d\d, \d+h\d\d over", shown, re.DOTALL)
    assert 'class="planned"' in shown
    assert "D. Marrow" not in shown
    assert page.ask("GET", "/facts/job?job=chest", **page.cookie()).status == 422


def test_what_was_worked_on_last_comes_first_and_each_once(page):
    for what in ("SND", "RIP", "SND"):
        page.post("hours", job="bed", what=what, duration="30m", sure="1")
    shown = page.facts("now").text

    assert re.findall(r'name="what" value="(\w+)"', shown) == ["SND", "RIP"]


def test_posts_of_many_devices_and_of_the_desk_are_each_posted_once(page):
    page.post("hours", job="bed", what="RIP", duration="5m")
    tokens = [page.cookie(f"Tablet {number}") for number in range(4)]
    answers = []

    def send(number):
        for turn in range(5):
            answer = page.post("hours", device=f"Tablet {number}", job="bed", what="SND",
                               duration=f"{number * 5 + turn + 1}m",
                               key=f"key-of-device-{number}-turn-{turn}")  # fmt: skip
            answers.append(answer.status)

    threads = [threading.Thread(target=send, args=(number,)) for number in range(len(tokens))]
    for one in threads:
        one.start()
    for one in threads:
        one.join()
    assert answers == [200] * 20
    assert sorted(minutes for what, *_, minutes in works(page) if what == "SND") == [*range(1, 21)]


def test_only_a_job_with_parts_of_sheets_offers_its_cut_plan(page):
    with page.read() as book:
        repair = new_job(book, "Chair repair").number

    assert "/plan#" in page.facts("job?job=bed").text
    assert "/plan#" not in page.facts(f"job?job={repair}").text


def test_the_list_of_entries_names_the_device_of_each(page, shop, tmp_path):
    page.post("hours", **SAND)
    page.book.rename(tmp_path / "shop.sqlite")

    assert json.loads(shop("undo", "--list", "--json").out)[0]["who"] == "Tablet"
    assert re.search(r"Tablet +hours add J-2507 SND 1h45", shop("undo", "--list").out)
