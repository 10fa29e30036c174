"""Random histories of taps, cut lines, lost answers and killed servers, and what became of each.

    python tests/pages/histories.py --times 1000 --browser 0.05 --seed 1

Most histories are of a client in Python that does what the page's script does: it keeps an entry
before it is sent, sends first in, first out, gathers taps of one sheet, and drops an entry only
when it is answered. A share is made with the script itself, in a Chromium that is killed at times.
A history has a book of its own; its server is forked by a process that has imported everything, so
that it is killed at any instant of a post and is there again soon. The answer is JSON on stdout.
"""

import argparse
import json
import mmap
import os
import random
import shutil
import signal
import socket
import struct
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from http.client import HTTPConnection, HTTPException
from pathlib import Path
from urllib.parse import urlencode

sys.path.insert(0, str(Path(__file__).parents[2]))

from ledger.book import Book
from ledger.book.check import examine
from ledger.book.questions.entries import last_of_device
from ledger.book.tables.clock import Clock
from ledger.book.tables.labor import Work
from ledger.book.tables.page import CutPart, PageEntry
from ledger.jobs.jobs import find_job
from ledger.labor.people import OWNER
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.pages.devices import PairingCodes, pair
from ledger.pages.serving import make_server
from ledger.pages.site import ShopTime, Site
from ledger.stock.opening import OpeningRow, open_stock
from ledger.upkeep.checks import CHECKS
from ledger.verbs.cutting import sheets_to_cut
from tests.conftest import DAY, make_bed

NAME = "bench.test"
EVENING = datetime(2025, 4, 25, 18, 0, 20, tzinfo=UTC)
GATHER = timedelta(seconds=20)


class Servers:
    """A process that forks servers of a book, and the shop's clock that they share with us."""

    def __init__(self) -> None:
        self._shared = mmap.mmap(-1, 8)
        self._ours, theirs = socket.socketpair()
        self.process, self.port = 0, 0
        self._keeper = os.fork()
        if not self._keeper:
            self._ours.close()
            signal.signal(signal.SIGCHLD, signal.SIG_IGN)
            with suppress(OSError):
                self._keep(theirs)
            os._exit(0)
        theirs.close()

    @property
    def passed(self) -> float:
        """Seconds by which the shop's clock was moved on."""
        return float(struct.unpack("d", self._shared[:8])[0])

    def move_on(self, seconds: float) -> None:
        """Let time pass in the shop."""
        self._shared[:8] = struct.pack("d", self.passed + seconds)

    def begin_anew(self) -> None:
        """Put the clock back to the evening that each history begins in."""
        self._shared[:8] = struct.pack("d", 0)

    @property
    def now(self) -> datetime:
        """The shop's wall clock."""
        return EVENING + timedelta(seconds=self.passed)

    def start(self, book: Path, port: int = 0) -> None:
        """Serve a book until it is killed."""
        self._ours.sendall(f"{port} {book}\n".encode())
        self.process, self.port = map(int, self._ours.recv(64).decode().split())

    def kill(self) -> None:
        """End the server as a power cut does, and see it gone."""
        with suppress(ProcessLookupError):
            for _ in range(10_000):
                os.kill(self.process, signal.SIGKILL)
                time.sleep(0.002)

    def end(self) -> None:
        """End the server and the process that forks them."""
        self.kill()
        self._ours.close()
        os.waitpid(self._keeper, 0)

    def _keep(self, asked: socket.socket) -> None:
        for line in asked.makefile():
            port, _, book = line.strip().partition(" ")
            if not os.fork():
                self._serve(Path(book), int(port), asked)

    def _serve(self, book: Path, port: int, asked: socket.socket) -> None:
        listening = socket.socket()
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind(("127.0.0.1", port))
        port = listening.getsockname()[1]
        times = ShopTime(lambda: self.now.date(), lambda: self.now,
                         lambda zone: zone.wall(self.now), time.monotonic)  # fmt: skip
        hosts = frozenset({f"{NAME}:{port}"})
        server = make_server(Site(book, times, hosts, str), PairingCodes(time.monotonic))
        thread = threading.Thread(target=server.run, args=([listening],))
        thread.start()
        while not server.started:
            time.sleep(0.002)
        asked.sendall(f"{os.getpid()} {port}".encode())
        thread.join()
        os._exit(0)


@dataclass
class Kept:
    """An entry as a device keeps it."""

    key: str
    act: str
    fields: dict[str, str]
    at: datetime
    state: str = "waiting"
    words: str = ""
    was_asked: bool = False


@dataclass
class Phone:
    """A device as the page's script makes it: its queue, and all that was ever tapped on it."""

    name: str
    token: str
    dice: random.Random
    servers: Servers
    told: Counter[str]
    book: Path
    tapped: list[Kept] = field(default_factory=list)
    rows: list[Kept] = field(default_factory=list)

    def tap(self, act: str, fields: dict[str, str]) -> None:
        """Keep an entry, or add a cut part to the taps that are gathered of its sheet."""
        now = self.servers.now
        for row in self.rows:
            is_same = row.state == "gathering" and act == "cut" and now < row.at + GATHER
            if is_same and all(row.fields[one] == fields[one] for one in ("layout", "sheet")):
                row.fields["parts"] += f"\n{fields['parts']}"
                return
        self.close()
        key = f"{self.name}-entry-number-{len(self.tapped):04}"
        row = Kept(key, act, fields, now, "gathering" if act == "cut" else "waiting")
        self.rows.append(row)
        self.tapped.append(row)

    def close(self) -> None:
        """Gather no more."""
        for row in self.rows:
            if row.state == "gathering":
                row.state = "waiting"

    def send(self, way: Callable[[], str]) -> None:
        """Send what waits, first in, first out, until something stops it."""
        while row := next((r for r in self.rows if r.state in {"waiting", "gathering"}), None):
            if row.state == "gathering":
                if self.servers.now < row.at + GATHER:
                    return
                row.state = "waiting"
            answer = self.attempt(row, way())
            if answer is None:
                return
            status, row.words = answer
            if status == 200:
                self.rows.remove(row)
            elif status in {409, 422}:
                row.state = "asked" if status == 409 else "refused"
            else:
                self.told[f"answered {status}"] += 1
                return

    def attempt(self, row: Kept, way: str) -> tuple[int, str] | None:
        """One sending, in a way that network and computer let it."""
        self.told[way] += 1
        if way == "never arrives":
            return None
        if way == "server killed":
            timer = threading.Timer(self.dice.random() * 0.08, self.servers.kill)
            timer.start()
            answer = self.post(row)
            timer.join()
            self.servers.kill()
            time.sleep(0.005)
            self.servers.start(self.book, self.servers.port)
            return answer
        if way == "sent twice":
            other = threading.Thread(target=self.post, args=(row,))
            other.start()
            answer = self.post(row)
            other.join()
            return answer
        answer = self.post(row)
        return None if way == "answer lost" else answer

    def post(self, row: Kept) -> tuple[int, str] | None:
        """What the server answers, or None where it does not."""
        waited = int((self.servers.now - row.at).total_seconds() * 1000)
        form = {**row.fields, "key": row.key, "tapped": "5000", "sent": str(5000 + waited)}
        host = f"{NAME}:{self.servers.port}"
        connection = HTTPConnection("127.0.0.1", self.servers.port, timeout=60)
        try:
            connection.request("POST", f"/post/{row.act}", urlencode(form), {
                "Host": host, "Origin": f"http://{host}", "Cookie": f"bench_ledger={self.token}",
                "Content-Type": "application/x-www-form-urlencoded",
            })  # fmt: skip
            response = connection.getresponse()
            return response.status, response.read().decode()
        except (OSError, HTTPException):
            return None
        finally:
            connection.close()


WAYS = ("arrives",) * 12 + ("never arrives",) * 3 + ("answer lost",) * 3
WAYS += ("sent twice",) * 2 + ("server killed",) * 2


def one_history(seed: int, servers: Servers, book: Path, sheets: list, told: Counter) -> list[str]:
    """Play one history with the client in Python, and say what is wrong after it."""
    dice = random.Random(seed)
    servers.begin_anew()
    names = ["Tablet", "Phone"][: dice.choice((1, 2, 2))]
    phones = [Phone(one, pair(book, one, OWNER, DAY), dice, servers, told, book) for one in names]
    servers.start(book)
    for turn in range(dice.randrange(5, 13)):
        phone = dice.choice(phones)
        for act, fields in some_taps(dice, turn, sheets, book, phone):
            phone.tap(act, fields)
            servers.move_on(dice.choice((2, 40, 600, 3600)))
        for row in phone.rows:
            if row.state == "asked" and dice.random() < 0.5:
                row.state, row.was_asked, row.words = "waiting", True, ""
                row.fields["sure"] = "1"
        if dice.random() < 0.7:
            phone.send(lambda: dice.choice(WAYS))
    for phone in phones:
        phone.close()
        for _ in range(200):
            phone.send(lambda: dice.choice(WAYS[:18]))
    servers.kill()
    return faults_of(book, phones, told)


def some_taps(dice, turn, sheets, book, phone):
    """What is tapped next: an entry, or a few parts that are cut."""
    hours = {"job": "bed", "what": "SND", "duration": f"{turn + 1}m", "sure": "1"}
    act = dice.choice(("hours", "hours", "again", "wrong", "clock-on", "clock-off", "cut", "cut",
                       "issue", "undo"))  # fmt: skip
    if act == "again":
        return [("hours", {"job": "bed", "what": "RIP", "duration": "5m"})]
    if act == "wrong":
        return [("hours", {**hours, "duration": "a while"})]
    if act == "clock-on":
        return [(act, {"job": "bed", "what": dice.choice(("SND", "RIP")), "sure": "1"})]
    if act == "clock-off":
        return [(act, {"sure": "1"})]
    if act == "issue":
        return [(act, {"job": "bed", "material": "EDGE78", "quantity": "1"})]
    if act == "cut":
        digest, number, marks = dice.choice(sheets)
        chosen = [(mark, dice.randrange(1, count + 1)) for mark, count in marks.items()][:3]
        return [(act, {"job": "bed", "layout": digest, "sheet": str(number), "parts": f"{m} {n}"})
                for m, n in chosen]  # fmt: skip
    if act == "undo":
        with Book(book, DAY) as opened:  # what its screen shows, and may be late by now
            last = last_of_device(opened, phone.name)
        return [(act, {"entry": str(last.entry if last else 0)})]
    return [("hours", hours)]


def faults_of(book: Path, phones: list[Phone], told: Counter) -> list[str]:
    """Each kept entry that is neither in the book once nor on its phone with a reason, and more."""
    faults: list[str] = []
    with Book(book, DAY + timedelta(days=30)) as opened:
        entries = opened.rows(PageEntry, in_force=False)
        times = Counter(row.sent for row in entries)
        place = {row.sent: row.key for row in entries}
        deed = {row.sent: row.entry for row in entries}
        works = {row.entry: row for row in opened.rows(Work, in_force=False)}
        clocks = {row.entry: row for row in opened.rows(Clock, in_force=False)}
        parts: dict[int, set] = {}
        for row in opened.rows(CutPart, in_force=False):
            parts.setdefault(row.entry, set()).add(f"{row.mark} {row.number}")
        by_device = [row for row in opened.entries(10_000) if row.who in {p.name for p in phones}]
        if sum(times.values()) != len(by_device):
            faults.append(f"{len(by_device)} entries of devices, {sum(times.values())} keys")
        faults += [words for one in examine(opened, CHECKS) for words in one.wrong]
    for phone in phones:
        told["entries"] += len(phone.tapped)
        in_book = [row for row in phone.tapped if row not in phone.rows]
        for row in phone.tapped:
            is_told = row.state in {"asked", "refused"} and bool(row.words)
            if times[row.key] != (row in in_book) or not (row in in_book or is_told):
                faults.append(f"{row.key}: {times[row.key]} times in the book, {row.state}")
        told["posted"] += len(in_book)
        for state in ("asked", "refused"):
            told[f"on the phone, {state}"] += sum(row.state == state for row in phone.rows)
        order = [place.get(row.key, 0) for row in in_book if not row.was_asked]
        if order != sorted(order):
            faults.append(f"{phone.name}: not in the order of the taps")
        for row in in_book:
            at, entry = row.at, deed.get(row.key, 0)
            if row.act == "hours" and works[entry].day != at.date():
                faults.append(f"{row.key}: tapped {at}, in the book on {works[entry].day}")
            if row.act == "clock-on" and clocks[entry].began != f"{at:%Y-%m-%dT%H:%M}":
                faults.append(f"{row.key}: tapped {at}, the clock since {clocks[entry].began}")
            wanted = set(row.fields["parts"].split("\n")) if row.act == "cut" else set()
            if not parts.get(entry, set()) <= wanted:
                faults.append(f"{row.key}: parts that nobody tapped")
    return faults


def main() -> None:
    """Play as many histories as asked for, and tell what was found."""
    parser = argparse.ArgumentParser(description="Random histories of the bench page.")
    parser.add_argument("--times", type=int, default=1000)
    parser.add_argument("--browser", type=float, default=0.05)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--book", type=Path, help="A made book of the sample bed.")
    asked = parser.parse_args()
    told: Counter[str] = Counter()
    wrong: list[str] = []
    with tempfile.TemporaryDirectory(prefix="histories-") as place:
        folder = Path(place)
        made = folder / "made.sqlite"
        if asked.book:
            shutil.copyfile(asked.book, made)
        else:
            make_bed(made)
        with Book(made, DAY) as book:
            with book.entry("shop set", "time_zone"):
                book.set("time_zone", "UTC")
            open_stock(book, [OpeningRow("EDGE78", Quantity.of(500), Money(9000), Money(9000))])
            sheets = [(one.layout.digest, one.number, dict(one.marks))
                      for one in sheets_to_cut(book, find_job(book, "bed"))]  # fmt: skip
        servers = Servers()
        in_browser = round(asked.times * asked.browser)
        browsers = None
        if in_browser:
            sys.modules["histories"] = sys.modules["__main__"]  # it imports what stands here
            from tests.pages.browser_histories import Browsers, one_in_browser

            browsers = Browsers(folder / "profile", servers)
        for number in range(asked.times):
            own = folder / f"history-{number}"
            own.mkdir()
            book = Path(shutil.copyfile(made, own / "shop.sqlite"))
            seed = asked.seed * 1_000_000 + number
            if browsers and number < in_browser:
                told["histories in the browser"] += 1
                faults = one_in_browser(seed, servers, browsers, book, sheets, told)
            else:
                told["histories of the client in Python"] += 1
                faults = one_history(seed, servers, book, sheets, told)
            wrong += [f"{seed}: {fault}" for fault in faults]
            shutil.rmtree(own)
            if number % 25 == 24:
                sys.stderr.write(f"{number + 1} histories, {len(wrong)} faults\n")
        if browsers:
            browsers.end()
        servers.end()
    sys.stdout.write(json.dumps({"wrong": wrong, **told}) + "\n")


if __name__ == "__main__":
    main()
