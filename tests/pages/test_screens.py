"""The screens as a phone shows them: entries by touch, without a network, and what is asked."""

import pytest
from playwright.sync_api import expect

from ledger.book.tables.clock import Clock, ClockStop
from ledger.book.tables.labor import Work
from ledger.book.tables.page import PageEntry
from ledger.jobs.jobs import new_job

SLOW = 20_000  # milliseconds; the page sends anew every 15 seconds what could not be sent


def rows(page, table):
    with page.read() as book:
        return book.rows(table)


def open_screen(tab, page, name=""):
    tab.goto(f"http://{page.host}/{name}")
    expect(tab.locator("main")).to_have_attribute("data-shown", "1", timeout=SLOW)


def enter_hours(tab, duration, what="SND"):
    tab.get_by_label("Job", exact=True).select_option("J-2507")
    tab.get_by_label("Operation").select_option(what)
    tab.get_by_label("How long").fill(duration)
    tab.get_by_role("button", name="Enter the hours").click()


def test_a_phone_is_paired_by_the_code_in_its_address(chromium, page):
    code = page.codes.new("owner")
    context = chromium.new_context()
    tab = context.new_page()
    tab.goto(f"http://{page.host}/pair#{code}")
    expect(tab.get_by_label("Code")).to_have_value(code)
    tab.get_by_label("Name of this device").fill("Phone")
    tab.get_by_role("button", name="Pair").click()

    expect(tab.locator("main")).to_contain_text("No clock is running", timeout=SLOW)
    assert not tab.evaluate("isSecureContext")  # else these tests would prove too much
    context.close()


def test_a_device_that_never_was_paired_is_sent_to_the_desk(chromium, page):
    context = chromium.new_context()
    tab = context.new_page()
    tab.goto(f"http://{page.host}/")
    expect(tab.locator("#said")).to_contain_text("Pair this device first", timeout=SLOW)
    expect(tab.locator("main")).not_to_contain_text("Loading")
    context.close()


def test_the_clock_is_started_by_a_big_button_switched_and_stopped(phone, page):
    page.post("hours", job="bed", what="SND", duration="30m")
    page.post("hours", job="bed", what="RIP", duration="30m")
    tab = phone()
    open_screen(tab, page)
    tab.locator(".pairs button").nth(1).click()
    expect(tab.locator("#said")).to_contain_text(
        "The clock is on J-2507 Sand raw (SND) since 09:00."
    )
    expect(tab.locator(".clock")).to_contain_text("since 09:00")
    page.clock.wait(minutes=20)
    tab.locator(".pairs button").nth(0).click()
    expect(tab.locator("#said")).to_contain_text("The clock is on J-2507 Rip")
    page.clock.wait(minutes=10)
    tab.get_by_role("button", name="Stop the clock").click()
    expect(tab.locator(".clock")).to_contain_text("No clock is running.")

    assert [(row.activity, row.began[11:]) for row in rows(page, Clock)] == [
        ("SND", "09:00"), ("RIP", "09:20")
    ]  # fmt: skip
    assert [row.ended[11:] for row in rows(page, ClockStop)] == ["09:20", "09:30"]
    assert [row.minutes for row in rows(page, Work)][2:] == [20, 10]


def test_the_same_hours_twice_are_asked_about_and_posted_once_more(phone, page):
    tab = phone()
    open_screen(tab, page, "hours")
    enter_hours(tab, "1h45")
    expect(tab.locator("#said")).to_contain_text("1h45")
    tab.wait_for_timeout(1100)  # sooner it would be a double tap
    enter_hours(tab, "1h45")
    expect(tab.locator("#waiting h2:visible")).to_have_text("1 asked about: is this right?")
    assert len(rows(page, Work)) == 1
    tab.get_by_role("button", name="Yes, it is right").click()
    expect(tab.locator("#waiting")).to_be_hidden()

    assert len(rows(page, Work)) == 2


def test_an_entry_without_a_network_waits_and_is_posted_once_on_its_day(phone, page):
    page.clock.wait(hours=14, minutes=50)  # 23:50
    tab = phone()
    open_screen(tab, page, "hours")
    tab.context.set_offline(True)
    enter_hours(tab, "45m")
    expect(tab.locator("#waiting")).to_contain_text("1 waiting to be sent")
    expect(tab.locator("#said")).to_contain_text("No connection")
    page.clock.wait(minutes=20)
    tab.evaluate("Date.now = (now => () => now() + 20 * 60 * 1000)(Date.now)")
    tab.context.set_offline(False)
    expect(tab.locator("#waiting")).to_be_hidden(timeout=SLOW)

    assert [(str(row.day), row.minutes) for row in rows(page, Work)] == [("2025-04-25", 45)]


def test_a_lost_answer_is_asked_for_again_and_nothing_is_posted_twice(phone, page):
    tab = phone()
    open_screen(tab, page, "hours")

    def lose(route):
        headers = {**route.request.all_headers(), "host": page.host}
        route.fetch(url=f"http://127.0.0.1:{page.port}/post/hours", headers=headers)
        route.abort()

    tab.route("**/post/hours", lose)
    enter_hours(tab, "45m")
    expect(tab.locator("#said")).to_contain_text("No connection")
    expect(tab.locator("#waiting")).to_contain_text("1 waiting")
    assert len(rows(page, Work)) == 1
    tab.unroute("**/post/hours")
    tab.evaluate("dispatchEvent(new Event('online'))")
    expect(tab.locator("#waiting")).to_be_hidden()

    assert len(rows(page, Work)) == len(rows(page, PageEntry)) == 1


def test_a_network_that_is_back_while_a_request_hangs_is_used_at_once(phone, page):
    tab, hanging = phone(), []
    open_screen(tab, page, "hours")
    tab.route("**/post/hours", lambda route: hanging.append(route), times=1)
    enter_hours(tab, "45m")
    expect(tab.locator("#waiting")).to_contain_text("1 waiting")
    tab.evaluate("dispatchEvent(new Event('online'))")
    hanging[0].abort()
    expect(tab.locator("#waiting")).to_be_hidden()  # sooner than it tries by itself

    assert [row.minutes for row in rows(page, Work)] == [45]


def test_what_waits_outlives_a_reload_without_a_network(phone, page):
    tab = phone()
    open_screen(tab, page, "hours")
    open_screen(tab, page)
    tab.context.set_offline(True)
    tab.get_by_role("link", name="Hours").click()  # the shell comes out of the phone's own store
    expect(tab.get_by_role("button", name="Enter the hours")).to_be_visible()
    enter_hours(tab, "45m")
    enter_hours(tab, "20m")
    expect(tab.locator("#waiting")).to_contain_text("2 waiting")
    with pytest.raises(Exception, match="ERR_INTERNET_DISCONNECTED"):
        tab.reload()
    tab.context.set_offline(False)
    open_screen(tab, page)
    expect(tab.locator("#said")).to_contain_text("20m")
    expect(tab.locator("#waiting")).to_be_hidden()

    assert [row.minutes for row in rows(page, Work)] == [45, 20]


def test_a_refused_entry_stands_under_not_taken_and_the_others_go_on(phone, page):
    tab = phone()
    open_screen(tab, page, "hours")
    tab.context.set_offline(True)
    for duration in ("10m", "a while", "20m", "30m"):
        enter_hours(tab, duration)
    expect(tab.locator("#waiting")).to_contain_text("4 waiting")
    tab.context.set_offline(False)
    refused = tab.locator("#waiting summary")
    expect(refused).to_have_text("1 not taken", timeout=SLOW)
    expect(tab.locator("#waiting li")).to_have_count(1)
    expect(tab.locator("#waiting li")).to_be_hidden()

    assert [row.minutes for row in rows(page, Work)] == [10, 20, 30]
    refused.click()
    expect(tab.locator("#waiting li")).to_contain_text("“a while”")
    tab.get_by_role("button", name="Change it").click()
    expect(tab.get_by_label("How long")).to_have_value("a while")
    expect(tab.locator("#waiting")).to_be_hidden()
    tab.get_by_label("How long").fill("soon")
    tab.get_by_role("button", name="Enter the hours").click()
    expect(tab.locator("#said")).to_contain_text("Not taken: “soon”")
    refused.click()
    tab.get_by_role("button", name="Drop it").click()
    expect(tab.locator("#waiting")).to_be_hidden()


def test_a_double_tap_is_one_entry_and_a_draft_outlives_the_page(phone, page):
    tab = phone()
    open_screen(tab, page, "hours")
    tab.get_by_label("Job", exact=True).select_option("J-2507")
    tab.get_by_label("Operation").select_option("SND")
    tab.get_by_role("button", name="1h30").click()
    tab.reload()
    expect(tab.get_by_label("How long")).to_have_value("1h30")
    tab.get_by_role("button", name="Enter the hours").dblclick()
    expect(tab.locator("#said")).to_contain_text("J-2507")
    expect(tab.locator(".rows")).to_contain_text("1h30")

    assert len(rows(page, Work)) == 1


def test_a_name_is_shown_as_text_and_never_runs(phone, page):
    with page.read() as book:
        new_job(book, "<img src=x onerror=document.title='no'><b style='color:red'>Chest</b>")
    tab = phone()
    open_screen(tab, page, "jobs")
    expect(tab.locator("main")).to_contain_text("<img src=x")

    assert tab.title() == "Jobs · Bench Ledger"


def test_a_forgotten_phone_keeps_what_waits_and_shows_no_facts_any_more(phone, page):
    tab = phone()
    open_screen(tab, page, "hours")
    page.ask("GET", "/")
    from ledger.pages.devices import forget

    forget(page.book, "Phone")
    enter_hours(tab, "45m")
    expect(tab.locator("#said")).to_contain_text("not paired any more")
    expect(tab.locator("#waiting")).to_contain_text("1 waiting")

    assert tab.evaluate("Object.keys(localStorage).filter(k => k.startsWith('facts'))") == []
    assert rows(page, Work) == []
