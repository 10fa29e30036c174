"""A page on the sample bed's book, served by a thread of the tests; a browser that is a phone."""

import contextlib
import http.client
import shutil
import socket
import sys
import threading
import time
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from datetime import time as clock_time
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import pytest

from ledger.book import Book
from ledger.labor.people import OWNER
from ledger.pages.devices import PairingCodes, pair
from ledger.pages.serving import make_server
from ledger.pages.site import ShopTime, Site

DAY = date(2025, 4, 25)
MORNING = datetime.combine(DAY, clock_time(9, 0, 30), UTC)
NAME = "bench.test"
"""A made-up name that the browser is told to find on the loopback: plain http, as in a shop."""

CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser"))), None)


ARGUMENTS = ["--no-sandbox", f"--host-resolver-rules=MAP {NAME} 127.0.0.1"]


@dataclass
class ShopClock:
    """The shop's wall clock, set by hand: `now` in UTC is what the wall shows."""

    now: datetime = MORNING
    passed: float = 0.0

    def times(self) -> ShopTime:
        """The clock as the page asks for it."""
        return ShopTime(
            today=lambda: self.now.date(),
            moment=lambda: self.now,
            local_now=lambda zone: zone.wall(self.now),
            seconds=lambda: self.passed,
        )

    def wait(self, **more: float) -> None:
        """Let time pass: `wait(minutes=5)`."""
        self.now += timedelta(**more)


@dataclass
class Answer:
    """What the server answered."""

    status: int
    text: str
    headers: dict[str, str]


@dataclass
class RunningPage:
    """A page that is served: its book, its clock, and requests as any program would send them."""

    book: Path
    port: int
    clock: ShopClock
    codes: PairingCodes
    notes: list[str] = field(default_factory=list)
    tokens: dict[str, str] = field(default_factory=dict)
    keys: int = 0

    @property
    def host(self) -> str:
        """The one name and port under which it answers."""
        return f"{NAME}:{self.port}"

    def ask(self, method: str, path: str, body: bytes | None = None, **headers: str) -> Answer:
        """Send a request just as it is said; a header `None` is left out."""
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=30)
        with contextlib.closing(connection):
            connection.request(method, path, body, {"Host": self.host, **named})
            response = connection.getresponse()
            text = response.read().decode()
            return Answer(response.status, text, {k.lower(): v for k, v in response.getheaders()})

    def token(self, device: str = "Tablet", person: str = OWNER) -> str:
        """The token of a device, paired when it is first asked for."""
        if device not in self.tokens:
            self.tokens[device] = pair(self.book, device, person, DAY)
        return self.tokens[device]

    def cookie(self, device: str = "Tablet", person: str = OWNER) -> dict[str, str]:
        """The header by which a device is known."""
        return {"Cookie": f"bench_ledger={self.token(device, person)}"}

    def facts(self, screen: str, device: str = "Tablet", person: str = OWNER) -> Answer:
        """What a screen shows on a device."""
        return self.ask("GET", f"/facts/{screen}", **self.cookie(device, person))

    def post(
        self, action: str, device: str = "Tablet", person: str = OWNER, **fields: str
    ) -> Answer:
        """Send an entry as the script of the page does; `key`, `tapped` and `sent` may be given."""
        self.keys += 1
        form = {"key": f"key-of-this-test-{self.keys:06}", "tapped": "0", "sent": "0", **fields}
        return self.ask(
            "POST", f"/post/{action}", urlencode(form).encode(),
            **self.cookie(device, person), Origin=f"http://{self.host}",
            Content_Type="application/x-www-form-urlencoded",
        )  # fmt: skip

    def read(self) -> Book:
        """The book, to be read beside the page."""
        return Book(self.book, self.clock.now.date())


@contextlib.contextmanager
def served(book: Path, port: int = 0, certificate: tuple[Path, Path] | None = None):
    """Serve a book until the block ends, by https where a certificate and its key are given."""
    clock = ShopClock()
    listening = socket.socket()
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    listening.bind(("127.0.0.1", port))
    port = listening.getsockname()[1]
    codes = PairingCodes(lambda: clock.passed)
    page = RunningPage(book, port, clock, codes)
    site = Site(
        book, clock.times(), frozenset({page.host}), page.notes.append, certificate is not None
    )
    server = make_server(site, codes, *(certificate or ()))
    thread = threading.Thread(target=server.run, args=([listening],))
    thread.start()
    while not server.started:
        time.sleep(0.01)
    try:
        yield page
    finally:
        server.should_exit = True
        thread.join()


if __name__ == "__main__":  # a process of its own, for tests that kill it
    with served(Path(sys.argv[1]), int(sys.argv[2])) as own:
        sys.stdout.write(f"{own.port}\n")
        sys.stdout.flush()
        threading.Event().wait()


@pytest.fixture(scope="module")
def page_of_module(bed_file: Path, tmp_path_factory: pytest.TempPathFactory):
    """One server for all tests of a module; `page` puts a fresh book and clock under it."""
    path = tmp_path_factory.mktemp("page") / "shop.sqlite"
    shutil.copyfile(bed_file, path)
    with served(path) as page:
        yield page


@pytest.fixture
def page(page_of_module: RunningPage, bed_file: Path):
    """The page on a fresh copy of the sample bed's book, with no device paired."""
    running = page_of_module
    for left in running.book.parent.iterdir():
        if left.is_dir():
            shutil.rmtree(left)
        else:
            left.unlink()
    shutil.copyfile(bed_file, running.book)
    with Book(running.book, DAY) as book, book.entry("shop set", "time_zone"):
        book.set("time_zone", "UTC")
    running.clock.now = MORNING
    running.clock.passed += 1000  # no code and no try of another test counts any more
    running.tokens.clear()
    running.notes.clear()
    return running


@pytest.fixture(scope="module")
def chromium():
    """The system's chromium, for all tests of a module."""
    if CHROMIUM is None:
        pytest.skip("there is no chromium here: apt-get install chromium")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield browser
        browser.close()


PHONE: dict[str, Any] = {
    "viewport": {"width": 390, "height": 844},
    "device_scale_factor": 1,
    "is_mobile": True,
    "has_touch": True,
}


@pytest.fixture
def phone(chromium, page):
    """A paired phone: `phone(device=…, person=…)`; what its consoles said must be nothing."""
    contexts, spoken = [], []

    def make(device: str = "Phone", person: str = OWNER, **more: Any):
        context = chromium.new_context(**{**PHONE, **more})
        contexts.append(context)
        context.add_cookies([
            {"name": "bench_ledger", "value": page.token(device, person),
             "url": f"http://{page.host}", "httpOnly": True, "sameSite": "Strict"}
        ])  # fmt: skip
        tab = context.new_page()
        tab.set_default_timeout(10_000)
        tab.on("console", lambda message: spoken.append(message.text))
        tab.on("pageerror", lambda error: spoken.append(str(error)))
        return tab

    yield make
    for context in contexts:
        context.close()
    trouble = [words for words in spoken if "Failed to load resource" not in words]
    assert not trouble, trouble
