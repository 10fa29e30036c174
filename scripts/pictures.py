"""Make the pictures of the README anew, out of its own story as the program plays it.

Usage: scripts/pictures. Beside the pictures, `sources.json` keeps the digest of what each was made
from: the words and figures of a paper, a drawing as it stands. The tests play the story, make the
sources and compare, so that a picture that is out of date is found without looking at pixels.
"""

import hashlib
import json
import sys
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory

import pypdfium2
from PIL import Image, ImageChops
from readme_story import README, play, typed_commands

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


PICTURES: tuple[Callable[[Path], Picture], ...] = (quote, month, cut_plan)
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
