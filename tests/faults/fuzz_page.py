"""Sends the page what nobody means: forms, questions of screens, photos, on a book of some jobs.

The application is asked in this process, as a server asks it; whatever is sent, it answers with a
page or a sentence, and only 200 to an entry may have posted one.
"""

import asyncio
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

from hypothesis import strategies as st

from ledger.book import Book
from ledger.labor.people import OWNER
from ledger.pages.actions import ACTIONS
from ledger.pages.app import BenchPage
from ledger.pages.devices import PairingCodes, pair
from ledger.pages.screens import SCREENS
from ledger.pages.site import ShopTime, Site

NOW = datetime(2025, 5, 31, 15, 0, tzinfo=UTC)
HOST = "bench.test"
FORM = "application/x-www-form-urlencoded"
SENTENCES = {409, 413, 422, 503}
"""Statuses that come with a sentence for who tapped."""

RIGHT = {
    "job": "J-2507", "what": "sand", "duration": "10m", "material": "EDGE78", "quantity": "1",
    "sizes": "20x10", "part": "A1", "cause": "slipped", "mark": "A1", "sheet": "1", "number": "1",
    "layout": "PLY34", "day": "2025-05-30", "class": "rework", "about": "build", "words": "joints",
    "note": "", "entry": "1", "sure": "1", "tapped": "0", "sent": "0",
}  # fmt: skip

odd = st.sampled_from([
    "", " ", "0", "-1", "1e9", "9" * 40, "1/0", "٣", "½", "1,5", "24h", "99:99", "yesterday",
    "2025-02-30", "9999-12-31", "0001-01-01", "J-2507 J-2507", "EDGE78 1 --lot 1", "--on", "'; --",
    "<b>x</b>", "\u202e", "🪚", "x" * 5_000, "\x00", "\ud800".encode("utf-8", "replace").decode(),
    "rework", "content", "shop", "shelf", "1x1", "1x", "1e-9", "10m 10m", "all", "None", "../..",
])  # fmt: skip
values = st.one_of(odd, st.text(max_size=30))
names = st.sampled_from(sorted(RIGHT))
photos = st.one_of(
    st.just(b""),
    st.binary(max_size=200),
    st.sampled_from([b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff\xe0", b"GIF89a\xff\xff\xff\xff"]),
)
posts = st.tuples(
    st.sampled_from([*ACTIONS, "no-such-entry"]),
    st.dictionaries(names, values, max_size=3),
    st.sets(names, max_size=3),
    photos,
)
asks = st.tuples(
    st.sampled_from([*SCREENS, "none"]),
    st.dictionaries(st.sampled_from(["job", "sheet", "part", "day", "all"]), values),
)


class PageBroken(AssertionError):
    """An answer that is none of those the page may give."""


class PageDesk:
    """The page of one book, asked in this process by a paired device."""

    def __init__(self, book: Path, person: str = OWNER, now: datetime = NOW) -> None:
        """Pair a person's device on the book."""
        self.book, self.keys = book, 0
        self.clean = book.read_bytes()
        clock = ShopTime(
            today=now.date, moment=lambda: now, local_now=lambda zone: zone.wall(now),
            seconds=lambda: 0.0,
        )  # fmt: skip
        site = Site(book, clock, frozenset({HOST}), lambda _: None)
        self.app = BenchPage(site, PairingCodes(lambda: 0.0)).application()
        token = pair(book, "Tablet", person, now.date())
        self.loop = asyncio.new_event_loop()
        self.headers = [
            (b"host", HOST.encode()), (b"origin", f"http://{HOST}".encode()),
            (b"cookie", f"bench_ledger={token}".encode()),
        ]  # fmt: skip

    def close(self) -> None:
        """Ask nothing more."""
        self.loop.close()

    def send(self, method: str, path: str, query: str = "", body: bytes = b"",
             kind: str = FORM) -> tuple[int, str]:  # fmt: skip
        """One request; the status and the words of its answer."""
        scope = {
            "type": "http", "method": method, "path": path, "raw_path": path.encode(),
            "query_string": query.encode(), "root_path": "", "scheme": "http",
            "http_version": "1.1", "client": ("127.0.0.1", 1), "server": (HOST, 80),
            "headers": [*self.headers, (b"content-type", kind.encode()),
                        (b"content-length", str(len(body)).encode())],
        }  # fmt: skip
        answers: list[Any] = []

        async def receive() -> dict[str, Any]:
            return {"type": "http.request", "body": body, "more_body": False}

        async def answer(message: Any) -> None:
            answers.append(message)

        self.loop.run_until_complete(self.app(scope, receive, answer))
        words = b"".join(one.get("body", b"") for one in answers).decode("utf-8", "replace")
        return answers[0]["status"], words

    def post(self, case: tuple[str, dict[str, str], set[str], bytes]) -> str:
        """Send a form with some fields spoiled and some left out: `taken` or `refused`."""
        action, spoiled, missing, photo = case
        self.keys += 1
        fields = {"key": f"key-of-the-fuzzing-{self.keys:08}", "tapped": "0", "sent": "0"}
        fields |= {name: RIGHT[name] for name in RIGHT if name not in missing} | spoiled
        before = self._entries()
        kind = "multipart/form-data; boundary=B" if photo else FORM
        status, words = self.send("POST", f"/post/{action}", body=_body(fields, photo), kind=kind)
        posted = self._entries() - before
        if status == 200 and posted <= 1:
            if self.keys % 40 == 0:
                self.book.write_bytes(self.clean)
            return "taken"
        if (status in SENTENCES or status == 400) and words and not posted:
            return "refused"
        raise PageBroken(f"{action}: {status}, {posted} entries, {words[:300]!r} on {case}")

    def ask(self, case: tuple[str, dict[str, str]]) -> str:
        """Ask for the facts of a screen: `taken` or `refused`."""
        screen, query = case
        status, words = self.send("GET", f"/facts/{screen}", urlencode(query, errors="replace"))
        if status in (200, 404, *SENTENCES) and words:
            return "taken" if status == 200 else "refused"
        raise PageBroken(f"{screen}: {status}, {words[:300]!r} on {case}")

    def _entries(self) -> int:
        with Book(self.book, date(2025, 5, 31)) as book:
            return book.entries(1)[0].id or 0


def _body(fields: dict[str, str], photo: bytes) -> bytes:
    if not photo:
        return urlencode(fields, errors="replace").encode()
    parts = [
        f'--B\r\nContent-Disposition: form-data; name="{name}"\r\n\r\n{value}\r\n'.encode(
            "utf-8", "replace"
        )
        for name, value in fields.items()
    ]
    head = b'--B\r\nContent-Disposition: form-data; name="photo"; filename="p.jpg"\r\n\r\n'
    return b"".join([*parts, head, photo, b"\r\n--B--\r\n"])
