"""Make the pictures of the README anew, out of its own story as the program plays it.

Usage: scripts/pictures. Beside the pictures, `sources.json` keeps the digest of what each was made
from: the words and figures of a paper, a drawing as it stands, the answer that fills a screen of
the page. The tests play the story, make the sources and compare, so that a picture that is out of
date is found without looking at pixels. The page is shown by chromium: apt-get install chromium.
"""

import hashlib
import json
import shutil
import sys
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory

import pypdfium2
from PIL import Image, ImageChops
from readme_story import README, ROOT, play, typed_commands

from ledger.book import Book
from ledger.jobs.jobs import find_job
from ledger.verbs.cutting import sheets_to_cut

sys.path.append(str(ROOT))  # the page is served as the tests serve it
from tests.pages.conftest import ARGUMENTS, CHROMIUM, PHONE, served

FOLDER = README.parent / "sample_data" / "pictures"
SOURCES = FOLDER / "sources.json"
WIDTH = 816
"""Pixels of a page: letter at 96 to the inch."""

_MARGIN = 40
_DRAWN = "cut-plan/PLY34-01.svg"


@dataclass(frozen=True)
class Picture:
    """A picture by its file's name, what it was made from, and how it is made."""

    name: str
    source: bytes
    draw: Callable[[], bytes]


def of_paper(name: str, file: Path) -> Picture:
    """The first page of a paper, as far down as it is written on."""
    with pypdfium2.PdfDocument(file) as document:
        words = "\n".join(page.get_textpage().get_text_bounded() for page in document)
    return Picture(name, words.encode(), lambda: _page(file))


def _page(file: Path) -> bytes:
    with pypdfium2.PdfDocument(file) as document:
        page = document[0]
        drawn = page.render(scale=2 * WIDTH / page.get_width()).to_pil().convert("RGB")
    foot = drawn.height * 95 // 100  # the footer is left out where the page is not full
    white = Image.new("RGB", drawn.size, "white")
    inked = ImageChops.difference(drawn, white).crop((0, 0, drawn.width, foot)).getbbox()
    if inked and inked[3] < foot * 9 // 10:
        drawn = drawn.crop((0, 0, drawn.width, inked[3] + 2 * _MARGIN))
    small = drawn.resize((WIDTH, drawn.height // 2), Image.Resampling.LANCZOS)
    written = BytesIO()
    small.quantize(32).save(written, "PNG", optimize=True)
    return written.getvalue()


def quote(folder: Path) -> Picture:
    """The quote that the story sends."""
    return of_paper("quote.png", folder / "quote.pdf")


def month(folder: Path) -> Picture:
    """The month's account."""
    return of_paper("month.png", folder / "month.pdf")


def cut_plan(folder: Path) -> Picture:
    """The first sheet of the cut plan."""
    drawn = (folder / _DRAWN).read_bytes()
    return Picture("cut-plan.svg", drawn, lambda: drawn)


BEGAN = datetime(2025, 6, 3, 7, 40, tzinfo=UTC)
"""The morning after the story, on which the page is shown."""


def of_page(name: str, folder: Path, address: str, scheme: str, *taps: dict[str, str]) -> Picture:
    """A screen of the page on a phone, on a copy of the story's book, 95 minutes after some taps.

    A tap is the fields of its form, and under `act` what the form does.
    """
    book = folder / f"{name}.sqlite"
    shutil.copyfile(folder / "shop.sqlite", book)
    with Book(book, BEGAN.date()) as opened, opened.entry("shop set", "time_zone"):
        opened.set("time_zone", "UTC")
    with served(book) as page:
        page.clock.now = BEGAN
        for tap in taps:
            answer = page.post(tap["act"], "Phone", **tap)
            if answer.status != 200:
                sys.exit(f"{name}: {answer.text}")
        page.clock.wait(minutes=95)
        screen, _, job = address.partition("#")
        shown = page.facts(f"{screen}?job={job}", "Phone").text
        token = page.token("Phone")
    return Picture(name, shown.encode(), lambda: _screen(book, address, scheme, token))


def _screen(book: Path, address: str, scheme: str, token: str) -> bytes:
    from playwright.sync_api import sync_playwright

    with served(book) as page, sync_playwright() as play:
        page.clock.now = BEGAN
        page.clock.wait(minutes=95)
        browser = play.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        context = browser.new_context(**PHONE, color_scheme=scheme)
        where = f"http://{page.host}"
        context.add_cookies([{"name": "bench_ledger", "value": token, "url": where}])
        tab = context.new_page()
        tab.goto(f"{where}/{address}")
        tab.locator("main[data-shown]").wait_for()
        taken = tab.screenshot()
        browser.close()
    written = BytesIO()
    Image.open(BytesIO(taken)).convert("RGB").quantize(64).save(written, "PNG", optimize=True)
    return written.getvalue()


def page_now(folder: Path) -> Picture:
    """What a phone shows first, with a clock that runs."""
    clock = {"act": "clock-on", "job": "bed", "what": "GLU"}
    return of_page("page-now.png", folder, "now", "light", clock)


def page_cut_plan(folder: Path) -> Picture:
    """A cut plan to tap off, in the dark, with parts that are cut."""
    with Book(folder / "shop.sqlite", BEGAN.date()) as book:
        book.worked_out.kept_only = True
        layout = sheets_to_cut(book, find_job(book, "bed"))[0].layout.digest
    cut = {"act": "cut", "job": "bed", "layout": layout, "sheet": "1",
           "parts": "C1-R1 1\nC1-L1 1\nB2 1\nC3 1"}  # fmt: skip
    return of_page("page-cut-plan.png", folder, "plan#J-2502", "dark", cut)


PICTURES: tuple[Callable[[Path], Picture], ...] = (
    quote, month, cut_plan, page_now, page_cut_plan,
)  # fmt: skip
"""Each is given the folder in which the story was played, with its book `shop.sqlite`."""


def digests(pictures: Iterable[Picture]) -> dict[str, str]:
    """The SHA-256 of what each picture was made from, by its name."""
    return {one.name: hashlib.sha256(one.source).hexdigest() for one in pictures}


def main() -> None:
    """Play the story and write every picture with the digest of its source."""
    with TemporaryDirectory() as folder:
        for said in play(list(typed_commands(README.read_text(encoding="utf-8"))), Path(folder)):
            if said.code:
                sys.exit(f"README line {said.typed.line}: {said.all}")
        made = [make(Path(folder)) for make in PICTURES]
        for picture in made:
            (FOLDER / picture.name).write_bytes(picture.draw())
            print(f"Written: {FOLDER / picture.name}")
    SOURCES.write_text(json.dumps(digests(made), indent=2) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
