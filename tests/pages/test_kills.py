"""What is lost where server or browser is killed: nothing, and nothing is posted twice."""

import os
import shutil
import signal
import subprocess
import sys
from contextlib import contextmanager, suppress
from pathlib import Path

import pytest
from playwright.sync_api import expect

from ledger.book import Book
from ledger.book.tables.labor import Work
from ledger.book.tables.page import PageEntry

pytestmark = pytest.mark.slow
HERE = Path(__file__).parent


def enter(tab, durations):
    for duration in durations:
        tab.get_by_label("Job", exact=True).select_option("J-2507")
        tab.get_by_label("Operation").select_option("SND")
        tab.get_by_label("How long").fill(duration)
        tab.get_by_role("button", name="Enter the hours").click()


def minutes(page):
    with page.read() as book:
        return [row.minutes for row in book.rows(Work)]


@pytest.fixture
def killable(chromium, page, tmp_path):
    """A paired browser in a folder of its own: `killable()` opens it; `kill` ends its processes."""

    def launch():
        context = chromium.browser_type.launch_persistent_context(
            tmp_path / "profile", executable_path=shutil.which("chromium"),
            args=["--no-sandbox", "--host-resolver-rules=MAP bench.test 127.0.0.1"],
        )  # fmt: skip
        context.add_cookies([
            {"name": "bench_ledger", "value": page.token("Phone"), "url": f"http://{page.host}"}
        ])  # fmt: skip
        tab = context.pages[0]
        tab.goto(f"http://{page.host}/hours")
        expect(tab.locator("main")).to_have_attribute("data-shown", "1")
        return context, tab

    return launch


def kill_those_of(folder):
    for process in Path("/proc").iterdir():
        with suppress(OSError):
            if str(folder).encode() in (process / "cmdline").read_bytes():
                os.kill(int(process.name), signal.SIGKILL)


@pytest.mark.skipif(not Path("/proc/self/cmdline").exists(), reason="no /proc to find a process in")
def test_entries_outlive_a_browser_that_is_killed(killable, page, tmp_path):
    context, tab = killable()
    context.set_offline(True)
    enter(tab, ["10m", "20m", "30m"])
    expect(tab.locator("#waiting")).to_contain_text("3 waiting")
    kill_those_of(tmp_path / "profile")
    with suppress(Exception):
        context.close()
    assert minutes(page) == []

    context, tab = killable()
    expect(tab.locator("#said")).to_contain_text("30m")
    expect(tab.locator("#waiting")).to_be_hidden()
    context.close()

    assert minutes(page) == [10, 20, 30]


@contextmanager
def server_process(book, port=0):
    command = [sys.executable, str(HERE / "conftest.py"), str(book), str(port)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        try:
            yield process, int(process.stdout.readline())
        finally:
            process.kill()


def test_entries_outlive_a_server_that_is_killed_again_and_again(page, phone):
    tab = phone()
    with server_process(page.book) as (process, port):
        page.token("Phone")
        tab.goto(f"http://bench.test:{port}/hours")
        expect(tab.locator("main")).to_have_attribute("data-shown", "1")
        enter(tab, ["5m"])
        expect(tab.locator("#said")).to_contain_text("5m")
        tab.route("**/post/hours", lambda route: (process.kill(), route.continue_()))
        enter(tab, ["10m", "20m"])
        expect(tab.locator("#waiting")).to_contain_text("2 waiting")
        tab.unroute("**/post/hours")
    for _ in range(3):
        with server_process(page.book, port) as (process, _):
            tab.evaluate("dispatchEvent(new Event('online'))")
            process.kill()
    with server_process(page.book, port):
        tab.evaluate("dispatchEvent(new Event('online'))")
        expect(tab.locator("#waiting")).to_be_hidden(timeout=20_000)

    assert minutes(page) == [5, 10, 20]
    with Book(page.book, page.clock.now.date()) as book:
        assert len({row.sent for row in book.rows(PageEntry)}) == 3
