"""A paper laid out as a PDF: compiled, its faults said as sentences, saved whole.

Every paper is written in the archive form PDF/A-2a with the tags of PDF/UA-1, and with the fonts
of one package: a letter that they lack is then a fault and never left out in silence. The bytes
depend on the paper, the templates and the version of typst alone; no clock, no file of the
computer and no network has a part in them.
"""

import atexit
import hashlib
import json
import re
import shutil
from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, date, datetime
from functools import cache
from importlib.metadata import version
from importlib.util import find_spec
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any, cast

from msgspec import Struct, field

from ledger.book.parts import put_whole
from ledger.errors import LedgerError, NotAllowed
from ledger.papers.words import A4, LETTER, Words, clean, cut

if TYPE_CHECKING:  # typst is loaded only when a paper is made
    import typst

SIZES = {LETTER: "us-letter", A4: "a4"}
"""The sizes of paper, and how typst calls them."""

_TEMPLATES = Path(__file__).parent / "templates"
_FACES = ("Regular", "It", "Semibold", "Bold")
_STANDARDS: Any = ["a-2a", "ua-1"]
_LACKING = re.compile(r'the text `"(?P<text>.+?)"` could not be displayed', re.DOTALL)


class PaperFault(LedgerError):
    """A paper that the program could not lay out, by its own fault."""


class Paper(Struct, frozen=True):
    """A paper before it is laid out: its template, what it says, its drawings by file name.

    `title` and `author` are those of the file; `footer` stands on each page. A drawing is SVG, a
    picture a JPEG or PNG (`pictures.py`).
    """

    template: str
    title: str
    author: str
    day: date
    size: str
    footer: str
    texts: Mapping[str, Words]
    drawings: Mapping[str, str] = field(default_factory=dict)
    pictures: Mapping[str, bytes] = field(default_factory=dict)


class PrintedPaper(Struct, frozen=True):
    """A paper as a PDF; `fallback` says that letters came from a font of this computer.

    `template` and `words` are digests of its layout and of all that it says.
    """

    content: bytes
    engine: str
    template: str
    words: str
    size: str
    fallback: bool

    @property
    def sha256(self) -> str:
        """The digest of its bytes."""
        return hashlib.sha256(self.content).hexdigest()


FALLBACK = (
    "A font of this computer was used for letters that the fonts of the program lack: elsewhere"
    " this paper may look otherwise."
)
"""What is said of a paper that is not the same on every computer."""


def print_paper(paper: Paper) -> PrintedPaper:
    """Lay a paper out as a PDF.

    Raises:
        NotAllowed: typst is not installed, or a letter is in no font.
        PaperFault: the template or what it was given is wrong.
    """
    try:
        content, fallback = _compiled(paper, system=False), False
    except _LetterLacking:
        try:
            content, fallback = _compiled(paper, system=True), True
        except _LetterLacking as lacking:
            raise NotAllowed(_no_font(paper, str(lacking))) from lacking
    return PrintedPaper(
        content=content,
        engine=engine(),
        template=template_digest(paper.template),
        words=words_digest(paper),
        size=paper.size,
        fallback=fallback,
    )


def save_paper(printed: PrintedPaper, path: Path) -> Path:
    """Put the file in its place whole, readable by its owner alone.

    Raises:
        NotAllowed: the name does not end in .pdf, or the place cannot be written.
    """
    if path.suffix.lower() != ".pdf":
        raise NotAllowed(f"{path.name} should end in .pdf; write for example {path.stem}.pdf.")
    return put_whole(path, lambda _part: printed.content, private=True)


def engine() -> str:
    """What lays papers out, with its version: the same one makes the same bytes."""
    return f"typst {version('typst')}"


def words_digest(paper: Paper) -> str:
    """The SHA-256 of all that a paper says and shows, however it is laid out."""
    data = _data(paper, fallback=False)
    shown = hashlib.sha256(data + json.dumps(sorted(paper.drawings.items())).encode())
    for name, content in sorted(paper.pictures.items()):
        shown.update(name.encode() + content)
    return shown.hexdigest()


def template_digest(template: str) -> str:
    """The SHA-256 of a template and of what all share: a changed layout makes other bytes."""
    return hashlib.sha256(_source(template) + _source("house")).hexdigest()


class _LetterLacking(Exception):
    """Letters that no font at hand has."""


def _compiled(paper: Paper, *, system: bool) -> bytes:
    typst = _typst()
    files = {
        "main.typ": _source(paper.template),
        "house.typ": _source("house"),
        "data.json": _data(paper, fallback=system),
        **{name: drawing.encode() for name, drawing in paper.drawings.items()},
    }
    try:
        with TemporaryDirectory(prefix="benchledger-") as root:  # without it, this folder is read
            for name, content in paper.pictures.items():
                (Path(root) / name).write_bytes(content)  # only text can be held in memory
            pdf, warnings = typst.compile_with_warnings(
                cast(Any, files),  # its types lack files that are held in memory
                root=root,
                font_paths=_fonts(system),
                pdf_standards=_STANDARDS,
                timestamp=datetime.combine(paper.day, datetime.min.time(), UTC),
            )
    except RuntimeError as wrong:
        if match := _LACKING.search(str(wrong)):
            raise _LetterLacking(match["text"]) from wrong
        raise _own_fault(paper, wrong) from wrong
    if warnings:
        raise _own_fault(paper, warnings[0])
    return cast(bytes, pdf)


def _typst() -> Any:
    try:
        import typst
    except ImportError as missing:
        raise NotAllowed(
            "No PDF can be made: typst, which lays papers out, is not installed or does not run on"
            " this kind of computer. Everything but --pdf works without it."
        ) from missing
    return typst


@cache
def _fonts(system: bool) -> "typst.Fonts":
    """The faces of the papers, from a folder with nothing else; with `system`, the computer's."""
    folder = TemporaryDirectory(prefix="benchledger-fonts-")
    atexit.register(folder.cleanup)  # a face is read when it is first used
    package = find_spec("font_source_sans_pro")
    if package is None or not package.submodule_search_locations:
        raise NotAllowed("No PDF can be made: the fonts, font-source-sans-pro, are not installed.")
    files = Path(package.submodule_search_locations[0]) / "files"
    for face in _FACES:
        name = f"SourceSansPro-{face}.ttf"
        shutil.copyfile(files / name, Path(folder.name) / name)
    fonts: typst.Fonts = _typst().Fonts(
        include_system_fonts=system, include_embedded_fonts=False, font_paths=[folder.name]
    )
    return fonts


@cache
def _source(template: str) -> bytes:
    return (_TEMPLATES / f"{template}.typ").read_bytes()


def _data(paper: Paper, *, fallback: bool) -> bytes:
    day = paper.day
    own = {
        "title": paper.title,
        "author": paper.author,
        "year": str(day.year),
        "month": str(day.month),
        "day": str(day.day),
        "size": SIZES[paper.size],
        "footer": paper.footer,
        "fallback": fallback,
    }
    data = {"texts": _cleaned(paper.texts), "paper": _cleaned(own)}
    return json.dumps(data, ensure_ascii=False).encode()


def _cleaned(words: Any) -> Any:
    """Nested texts made safe to print; a number is refused, for it would lose its form."""
    if isinstance(words, str):
        return clean(words)
    if isinstance(words, bool):
        return words
    if isinstance(words, Mapping):
        return {name: _cleaned(part) for name, part in words.items()}
    if isinstance(words, Sequence):
        return [_cleaned(part) for part in words]
    raise TypeError(f"A paper is given texts, not {type(words).__name__}")


def _no_font(paper: Paper, letters: str) -> str:
    where = next((text for text in _texts(paper.texts) if letters in clean(text)), "")
    place = f" in “{cut(where, 60)}”" if where.strip() and where.strip() != letters else ""
    return (
        f"“{cut(letters, 20)}”{place} is in no font on this computer. Write it in Latin letters, or"
        " install a font that has it."
    )


def _texts(words: Any) -> Iterator[str]:
    if isinstance(words, str):
        yield words
    elif isinstance(words, Mapping):
        for part in words.values():
            yield from _texts(part)
    elif isinstance(words, Sequence):
        for part in words:
            yield from _texts(part)


def _own_fault(paper: Paper, wrong: Any) -> PaperFault:
    message = getattr(wrong, "message", "") or str(wrong)
    return PaperFault(
        f"The paper “{paper.template}” could not be laid out; this is a fault of the program:"
        f" {message}. Nothing was written."
    )
