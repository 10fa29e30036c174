"""Random histories with the page's own script, in a Chromium that is killed at times."""

import os
import random
import shutil
import signal
from collections import Counter
from contextlib import suppress
from datetime import timedelta
from pathlib import Path

from ledger.book import Book
from ledger.book.check import examine
from ledger.book.tables.labor import Work
from ledger.book.tables.page import CutPart, PageEntry
from ledger.labor.people import OWNER
from ledger.pages.devices import pair
from ledger.upkeep.checks import CHECKS
from tests.conftest import DAY
from tests.pages.histories import NAME, WAYS, Servers

PUT = """({id, fields}) => {
  const form = document.getElementById(id);
  for (const [name, value] of Object.entries(fields)) form.elements[name].value = value;
  form.requestSubmit();
}"""
CUT = """([sheet, mark]) =>
  document.querySelector(`[data-sheet="${sheet}"][data-mark="${mark}"]`).requestSubmit()"""
WATCH = """
  Date.now = ((real) => () => real() + Number(window.name || 0))(Date.now);
  window.kept = [];
  IDBObjectStore.prototype.put = ((real) => function (row) {
    this.transaction.addEventListener("complete", () => window.kept.push(row.fields));
    return real.call(this, row);
  })(IDBObjectStore.prototype.put);
"""
ROWS = """() => new Promise((done) => {
  indexedDB.open("bench", 1).onsuccess = ({ target: { result: store } }) => {
    store.transaction("entries").objectStore("entries").getAll().onsuccess = ({ target }) =>
      done(target.result.map(({ state, words, label }) => [state, words, label]));
  };
})"""
IS_KEPT = "words => window.kept.some((one) => Object.values(one).join().includes(words))"


class Browsers:
    """One Chromium with a folder of its own, killed and opened again; the page's own script."""

    def __init__(self, folder: Path, servers: Servers) -> None:
        from playwright.sync_api import sync_playwright

        self.folder, self.servers = folder, servers
        self._play = sync_playwright().start()
        self.context = self.tab = None

    def open(self, token: str, screen: str) -> None:
        """Open the browser, if it is not, and a screen in it."""
        if self.context is None:
            self.context = self._play.chromium.launch_persistent_context(
                self.folder, executable_path=shutil.which("chromium"),
                args=["--no-sandbox", f"--host-resolver-rules=MAP {NAME} 127.0.0.1"],
            )  # fmt: skip
            self.context.add_init_script(WATCH)
            self.tab = self.context.pages[0]
        self.context.add_cookies([{"name": "bench_ledger", "value": token,
                                   "url": f"http://{NAME}:{self.servers.port}"}])  # fmt: skip
        self.go(screen)
        self.tab.evaluate("passed => { window.name = passed }", self.servers.passed * 1000)

    def go(self, screen: str) -> None:
        """Another screen, which a device without a network takes from its own store."""
        for _ in range(5):  # a server that is killed meanwhile refuses it
            with suppress(Exception):
                self.tab.goto(f"http://{NAME}:{self.servers.port}/{screen}")
                break
            self.tab.wait_for_timeout(50)
        self.tab.wait_for_selector("main[data-shown='1']", timeout=20_000)

    def wait_until_kept(self, words: str) -> None:
        """Wait until an entry with these words is on disk: what is killed sooner was never kept."""
        while not self.tab.evaluate(IS_KEPT, words):
            self.tab.wait_for_timeout(10)

    def kill(self) -> None:
        """End the processes of this browser, each by its own number."""
        for process in Path("/proc").iterdir():
            with suppress(OSError):
                if str(self.folder).encode() in (process / "cmdline").read_bytes():
                    os.kill(int(process.name), signal.SIGKILL)
        with suppress(Exception):
            self.context.close()
        self.context = None

    def end(self) -> None:
        """Close it."""
        if self.context:
            self.context.close()
        self._play.stop()


def _answer(one, way, servers, book):
    """Let a request through to the server, in a way that network and computer let it."""
    if way == "never arrives":
        one.abort()
    elif way == "server killed":
        servers.kill()
        one.abort()
        servers.start(book, servers.port)
    elif way == "answer lost":
        headers = {**one.request.all_headers(), "host": f"{NAME}:{servers.port}"}
        with suppress(Exception):
            one.fetch(url=one.request.url.replace(NAME, "127.0.0.1"), headers=headers)
        one.abort()
    else:
        one.continue_()


def one_in_browser(
    seed: int, servers: Servers, browsers: Browsers, book: Path, sheets: list, told: Counter
) -> list[str]:
    """Play one history with the script itself; what it sent is told apart by its minutes."""
    dice = random.Random(seed)
    servers.begin_anew()
    token = pair(book, "Phone", OWNER, DAY)
    servers.start(book)
    for screen in ("plan#J-2507", "hours"):
        browsers.open(token, screen)
    hours, wrong, parts = [], 0, set()

    def route(one):
        with suppress(Exception):  # the browser that asked may be killed by now
            way = dice.choice(WAYS)
            told[way] += 1
            _answer(one, way, servers, book)

    browsers.tab.route("**/post/*", route)
    for turn in range(dice.randrange(4, 9)):
        tab, act = browsers.tab, dice.choice(("hours", "hours", "wrong", "cut", "kill", "time"))
        if act == "cut":
            digest, number, marks = dice.choice(sheets)
            mark = dice.choice(list(marks))
            browsers.go("plan#J-2507")
            noted = [n for m, n in parts if m == (digest, number, mark)]
            if len(noted) < marks[mark]:
                tab.evaluate(CUT, [f"{digest} {number}", mark])
                parts.add(((digest, number, mark), len(noted) + 1))
                browsers.wait_until_kept(f"{mark} {len(noted) + 1}")
            browsers.go("hours")
        elif act == "kill" and dice.random() < 0.3:
            told["browser killed"] += 1
            browsers.kill()
            browsers.open(token, "hours")
            browsers.tab.route("**/post/*", route)
        elif act == "time":
            servers.move_on(dice.choice((600, 3600, 7200)))
            tab.evaluate("passed => { window.name = passed }", servers.passed * 1000)
        else:
            duration = f"{turn + 1}m" if act == "hours" else f"a while {turn}"
            fields = {"job": "J-2507", "what": "SND", "duration": duration}
            tab.evaluate(PUT, {"id": "hours", "fields": fields})
            browsers.wait_until_kept(duration)
            if act == "hours":
                hours.append((turn + 1, servers.now.date()))
            wrong += act != "hours"
    return _faults_in_browser(servers, browsers, book, told, hours, wrong, parts)


def _faults_in_browser(servers, browsers, book, told, hours, wrong, parts) -> list[str]:
    tab = browsers.tab
    tab.unroute("**/post/*")
    tab.evaluate("dispatchEvent(new Event('online'))")
    rows = [["waiting", "", ""]]
    for _ in range(600):  # it sends by itself every 15 seconds; more than a minute is a fault
        if not any(state in {"waiting", "gathering"} for state, *_ in rows):
            break
        tab.wait_for_timeout(100)
        rows = tab.evaluate(ROWS)
    tab.unroute_all(behavior="ignoreErrors")
    servers.kill()
    faults: list[str] = []
    with Book(book, DAY + timedelta(days=30)) as opened:
        keys = [row.sent for row in opened.rows(PageEntry, in_force=False)]
        worked = [(row.minutes, row.day) for row in opened.rows(Work, in_force=False)]
        cut = {((row.layout, row.sheet, row.mark), row.number) for row in opened.rows(CutPart)}
        faults += [words for one in examine(opened, CHECKS) for words in one.wrong]
    if worked != hours:
        faults.append(f"tapped {hours}, in the book {worked}")
    if cut != parts:
        faults.append(f"cut {parts - cut} not in the book, {cut - parts} not tapped")
    are_told = all(state == "refused" and "a while" in words for state, words, _ in rows)
    if len(rows) != wrong or not are_told:
        faults.append(f"{wrong} should be refused, on the phone {rows}")
    if len(set(keys)) != len(keys):
        faults.append("a key stands twice")
    told["entries"] += len(hours) + wrong + len(parts)
    told["posted"] += len(hours) + len(parts)
    told["on the phone, refused"] += wrong
    return faults
