"""Measure the bench page on a book of 100,000 movements, and play random histories of it.

    scripts/bench page [--histories 1000] [--browser 0.05] [--runs 30]

Everything is a ratio of one run or a size; `serve` runs as a process of its own, as in the shop.
The histories stand with the tests (`tests/pages/histories.py`), which play a few of them.
"""

import argparse
import io
import json
import os
import secrets
import sqlite3
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from http.client import HTTPConnection
from importlib.metadata import files
from pathlib import Path
from statistics import median, quantiles
from urllib.parse import urlencode

from bench_book import ROOT, ledger
from bench_books import DAY, a_copy, book_of
from PIL import Image

from ledger import pages
from ledger.book import Book
from ledger.book.questions.entries import last_of_device
from ledger.labor.people import OWNER
from ledger.pages.devices import pair
from ledger.verbs import stock

HISTORIES = ROOT / "tests" / "pages" / "histories.py"
ROOMS = "import ledger.cli.serve, ledger.pages, ledger.pages.serving, ledger.cli.opened"
PACKAGES = ("starlette", "uvicorn", "jinja2", "python-multipart", "segno", "anyio", "h11", "click",
            "markupsafe", "idna")  # fmt: skip
ISSUE = {"job": "J-2501", "material": "LAST", "quantity": "1"}
CLIENTS = 8


class Page:
    """A `serve` that runs, and a paired device that speaks to it."""

    def __init__(self, process: subprocess.Popen[str], port: int, token: str) -> None:
        self.process, self.port, self.token = process, port, token

    def ask(self, method: str, path: str, body: bytes | None = None, kind: str = "") -> bytes:
        """Send a request that must succeed; what it answers."""
        host = f"127.0.0.1:{self.port}"
        headers = {"Cookie": f"bench_ledger={self.token}", "Origin": f"http://{host}"}
        with closing(HTTPConnection("127.0.0.1", self.port, timeout=120)) as connection:
            connection.request(method, path, body, headers | {"Content-Type": kind})
            answer = connection.getresponse()
            words = answer.read()
            if answer.status != 200:
                sys.exit(f"{method} {path}: {answer.status} {words.decode()}")
            return words

    def fields(self) -> dict[str, str]:
        """The key, as long as a phone's, and the moment of a new entry."""
        return {"key": secrets.token_urlsafe(18), "tapped": "0", "sent": "0"}

    def send(self, action: str, fields: dict[str, str]) -> None:
        """Send a form, as a phone does."""
        form = urlencode({**fields, **self.fields()}).encode()
        self.ask("POST", f"/post/{action}", form, "application/x-www-form-urlencoded")

    def issue(self) -> None:
        """Take material."""
        self.send("issue", ISSUE)

    def photo(self, picture: bytes) -> None:
        """Send a photo, as a phone does."""
        named = "--of-the-parts\r\nContent-Disposition: form-data; name="
        fields = self.fields() | {"about": "receipt"}
        parts = [f'{named}"{name}"\r\n\r\n{value}\r\n'.encode() for name, value in fields.items()]
        head = f'{named}"photo"; filename="a.jpg"\r\n\r\n'.encode()
        body = b"".join(parts) + head + picture + b"\r\n--of-the-parts--\r\n"
        self.ask("POST", "/post/photo", body, "multipart/form-data; boundary=of-the-parts")

    def memory(self, name: str) -> float:
        """A figure of the process's memory, in MiB: VmRSS now, VmHWM at most since it was reset."""
        rows = Path(f"/proc/{self.process.pid}/status").read_text().splitlines()
        return next(int(row.split()[1]) for row in rows if row.startswith(f"{name}:")) / 1024

    def worked(self) -> float:
        """Seconds of processor time that the server has used, as the kernel counts them."""
        words = Path(f"/proc/{self.process.pid}/stat").read_text().rpartition(")")[2].split()
        return (int(words[11]) + int(words[12])) / os.sysconf("SC_CLK_TCK")

    def forget_peak(self) -> None:
        """Let VmHWM begin anew."""
        Path(f"/proc/{self.process.pid}/clear_refs").write_text("5")


@contextmanager
def serving(book: Path) -> Iterator[tuple[Page, float]]:
    """`serve` on a book, and the seconds until it gave its first answer."""
    token = pair(book, "Tablet", OWNER, DAY)
    environment = os.environ | {"BENCHLEDGER_BOOK": str(book), "BENCHLEDGER_TODAY": str(DAY)}
    began = time.monotonic()
    words, nowhere = ledger("serve", "--port", "0"), subprocess.DEVNULL
    with subprocess.Popen(
        words, env=environment, text=True, stdout=subprocess.PIPE, stderr=nowhere
    ) as process:
        try:
            first = process.stdout.readline() if process.stdout else ""
            page = Page(process, int(first.rsplit(":", 1)[1]), token)
            while True:  # it says its address just before it listens there
                with suppress(ConnectionRefusedError):
                    page.ask("GET", "/hours")
                    break
                time.sleep(0.005)
            yield page, time.monotonic() - began
        finally:
            process.kill()


def seconds_of(act: Callable[[], object]) -> float:
    """What one call takes on the clock."""
    began = time.monotonic()
    act()
    return time.monotonic() - began


def tell(what: str, figure: float, reach: str) -> None:
    """Say a figure beside what it should reach."""
    print(f"  {what:58} {figure:8.2f}   {reach}", flush=True)


def tell_speed(page: Page, book: Path, runs: int) -> None:
    """Posts against the same on a fresh book, and with eight clients."""

    def verb() -> None:
        with Book(book, DAY) as opened:
            opened.hold()
            stock.issue(opened, [*ISSUE.values()], on=str(DAY))

    acts = (page.issue, verb)
    for act in acts:
        act()
    taken: list[list[float]] = [[], []]
    for _ in range(runs):
        for times, act in zip(taken, acts, strict=True):
            times.append(seconds_of(act))
    posts, verbs = map(median, taken)
    tell("post over http ÷ the same verb on a fresh book", posts / verbs, "at most 2")
    crowd: list[float] = []

    def post_without_pause() -> None:
        crowd.extend(seconds_of(page.issue) for _ in range(max(3, runs // 2)))

    run_together([post_without_pause] * CLIENTS)
    tell("p95 of eight clients ÷ p50 of one", quantiles(crowd, n=20)[-1] / posts, "at most 20")


def tell_now(page: Page, book: Path, runs: int) -> None:
    """The Now screen with a running clock against one question of a fresh book, in CPU time.

    Much else runs on the machine: time on the clock would measure that.
    """

    def question() -> None:
        with Book(book, DAY) as opened:
            last_of_device(opened, "Tablet")

    spent, worked = 0.0, 0.0
    page.send("clock-on", {"job": "J-2501", "what": "SND"})
    for number in range(runs + 1):
        before, began = page.worked(), time.process_time()
        question()
        ended = time.process_time()
        for _ in range(10):  # the kernel counts in hundredths of a second
            page.ask("GET", "/facts/now")
        if number:
            spent, worked = spent + ended - began, worked + page.worked() - before
    tell("Now ÷ a fresh book with one question, in CPU time", worked / spent / 10, "at most 3")


def run_together(acts: list[Callable[[], None]]) -> None:
    """Run them in threads until all are done."""
    threads = [threading.Thread(target=act) for act in acts]
    for one in threads:
        one.start()
    for one in threads:
        one.join()


def tell_terminal(page: Page, book: Path, times: int) -> None:
    """How often a command is refused while eight devices post without pause."""
    environment = os.environ | {"BENCHLEDGER_BOOK": str(book), "BENCHLEDGER_TODAY": str(DAY)}
    over, refused = threading.Event(), 0

    def post_until_over() -> None:
        while not over.is_set():
            page.issue()

    def type_in() -> None:
        nonlocal refused
        with suppress(Exception):
            for _ in range(times):
                words = ledger("stock", "issue", "J-2501", "LAST", "1")
                refused += (
                    subprocess.run(words, env=environment, capture_output=True).returncode != 0
                )
        over.set()

    run_together([*[post_until_over] * CLIENTS, type_in])
    tell(f"commands refused of {times} beside eight devices", refused, "none")


def tell_photos(page: Page, count: int) -> None:
    """Memory at rest and while photos of 12 megapixels come in."""
    tell("MiB of the server at rest, after all that", page.memory("VmRSS"), "at most 120")
    pictures = made_photos((4000, 3000), count)
    page.forget_peak()
    for picture in pictures:
        page.photo(picture)
    tell("MiB while photos of 12 megapixels are taken in", page.memory("VmHWM"), "at most 300")


def made_photos(size: tuple[int, int], count: int) -> list[bytes]:
    """As many pictures, no two alike."""
    pictures = []
    noise = Image.effect_noise(size, 40)
    for number in range(count):
        noise.putpixel((number % size[0], number // size[0]), 255 - number % 256)
        content = io.BytesIO()
        noise.convert("RGB").save(content, "JPEG", quality=60)
        pictures.append(content.getvalue())
    return pictures


def tell_growth(page: Page, book: Path, count: int) -> None:
    """What a photo adds to the book: over many, for the file grows by pages of 4,096 bytes.

    The digests that guard the rows of every entry are no matter of the page, and stand apart.
    """

    def sizes() -> tuple[int, int]:
        with closing(sqlite3.connect(book)) as read:
            asked = "SELECT sum(length(rows) + length(sha256)) FROM entry_digest"
            return book.stat().st_size, read.execute(asked).fetchone()[0]

    before = sizes()
    for picture in made_photos((40, 30), count):
        page.photo(picture)
    grown, digests = ((now - then) / count for now, then in zip(sizes(), before, strict=True))
    tell("bytes that a photo adds to the book, with its entry and key", grown - digests,
         "at most 400")  # fmt: skip
    tell("bytes of the digests that guard its entry", digests, "as of any entry")


def tell_sizes() -> None:
    """Assets, the script, and the packages that only the page needs."""
    static = Path(pages.__file__).with_name("static")
    tell("kB of assets", sum(one.stat().st_size for one in static.iterdir()) / 1000, "at most 30")
    tell("lines of script", len((static / "bench.js").read_text().splitlines()), "at most 300")
    size = sum(one.size or 0 for name in PACKAGES for one in files(name) or ())
    tell("MB of packages, without Pillow and icalendar", size / 1e6, "at most 10")


def tell_histories(times: int, share: float) -> int:
    """Play the histories, and say what was found; how many faults."""
    words = [sys.executable, HISTORIES, "--times", str(times), "--browser", str(share)]
    done = subprocess.run(words, stdout=subprocess.PIPE, text=True, check=True)
    told = json.loads(done.stdout)
    for what, figure in told.items():
        print(f"  {what:58} {len(figure) if what == 'wrong' else figure:8,}", flush=True)
    for fault in told["wrong"][:20]:
        print(f"    {fault}", flush=True)
    return len(told["wrong"])


def main() -> int:
    """Read the command line, and end with 1 where a history lost or doubled something."""
    parser = argparse.ArgumentParser(description="Measure the bench page.")
    parser.add_argument("--histories", type=int, default=1000)
    parser.add_argument("--browser", type=float, default=0.05)
    parser.add_argument("--runs", type=int, default=30)
    asked = parser.parse_args()
    os.chdir(ROOT)
    with tempfile.TemporaryDirectory(prefix="bench-") as place:
        book = a_copy(book_of(100_000)[0], Path(place))
        imports = min(
            seconds_of(lambda: subprocess.run([sys.executable, "-c", ROOMS], check=True))
            for _ in range(3)
        )
        print("The bench page on 100,000 movements (beside each figure what it should reach)")
        with serving(book) as (page, first):
            tell("first answer of `serve` ÷ imports of its rooms", first / imports, "at most 2")
            tell_speed(page, book, asked.runs)
            tell_now(page, book, asked.runs)
            tell_terminal(page, book, max(3, asked.runs // 3))
            tell_photos(page, 20)
            tell_growth(page, book, 1000)
    tell_sizes()
    print(f"{asked.histories:,} random histories")
    return int(bool(asked.histories and tell_histories(asked.histories, asked.browser)))


if __name__ == "__main__":
    sys.exit(main())
