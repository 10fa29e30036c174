"""The archive that a workbook is: checked as a whole, then its parts read as they unfold.

No part is held in memory, and none is read that holds no cells: a merged range, a link or a rule
over a whole sheet is never looked at. What all parts together may cost is counted while they are
read, whatever they are called and however often they are named, so that the reading ends in time.
"""

import posixpath
import zipfile
from collections.abc import Callable, Collection, Mapping
from pathlib import Path
from typing import IO
from xml.parsers import expat

from msgspec import Struct, field

from ledger.errors import LedgerError
from ledger.workbooks.cells import refused

MOST_UNFOLDED = 100_000_000
MOST_ENTRIES = 2_000
MOST_MARKS = 1_000_000
"""Elements and attributes that the parts may have together; a filled cell has four or five."""

STEEPEST = 200
"""How many times larger than its packed size a part of a workbook may unfold (text: about 10)."""

DEEPEST = 100
MOST_NAMES = 5_000
"""Different names of elements and attributes; those of all spreadsheet programs are some 1,000."""

LONGEST_MARK = 1_000_000
"""Bytes of one element with its attributes, or of one comment; letters of one text."""

_PIECE = 65_536
_DIRECTORY_ENTRY = b"PK\x01\x02"
_METHODS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)


class Reader:
    """A reader of one part of the archive; by itself it passes over every tag.

    `texts` names the elements whose text it wants.
    """

    texts: Collection[str] = ()

    def start(self, name: str, attributes: Mapping[str, str]) -> None:
        """An opening tag with its attributes; the parser calls it."""

    def end(self, name: str, text: str) -> None:
        """A closing tag; the text is empty unless `texts` names the element."""


class TooMuch(Exception):
    """A workbook that asks for more work or memory than any table needs."""


class Related(Struct, frozen=True):
    """A part that another one names: by which id, in which role, where."""

    id: str
    role: str
    target: str


class Package(Struct):
    """An open archive, and what has been read of it so far."""

    path: Path
    archive: zipfile.ZipFile
    marks: int = 0
    unfolded: int = 0
    parts: frozenset[str] = field(default_factory=frozenset)

    def related(self, part: str = "") -> list[Related]:
        """The parts that a part names, or those that the archive itself names."""
        folder, name = posixpath.split(part)
        reader = _Relationships(folder)
        listed = posixpath.join(folder, "_rels", f"{name}.rels")
        if listed in self.parts:
            self.read(listed, reader)
        return reader.parts

    def read(self, part: str, reader: Reader) -> None:
        """Feed the XML of a part to a reader, element by element, without namespaces.

        Raises:
            TooMuch: there is no end of it.
            ExpatError: it is no XML.
            BadFile: it declares a document type.
        """
        parser = self._parser(part, reader)
        fed = begun = 0
        with self.archive.open(part) as file:
            while piece := file.read(_PIECE):
                fed += len(piece)
                self.unfolded += len(piece)
                if self.unfolded > MOST_UNFOLDED:
                    raise TooMuch
                parser.Parse(piece, False)
                begun = max(begun, parser.CurrentByteIndex)  # -1 within a mark that has no end yet
                if fed - begun > LONGEST_MARK:
                    raise TooMuch
        parser.Parse(b"", True)

    def _parser(self, part: str, reader: Reader) -> expat.XMLParserType:
        parser = expat.ParserCreate()
        parser.buffer_text = True
        names: set[str] = set()
        pieces: list[str] = []
        depth = letters = 0

        def hear(piece: str) -> None:
            nonlocal letters
            letters += len(piece)
            if letters > LONGEST_MARK:
                raise TooMuch
            pieces.append(piece)

        def start(name: str, attributes: dict[str, str]) -> None:
            nonlocal depth, letters
            depth += 1
            self.marks += 1 + len(attributes)
            names.add(name)
            names.update(attributes)
            if depth > DEEPEST or self.marks > MOST_MARKS or len(names) > MOST_NAMES:
                raise TooMuch
            name = name.rpartition(":")[2]
            if name in reader.texts:
                pieces.clear()
                letters = 0
                parser.CharacterDataHandler = hear
            reader.start(name, attributes)

        def end(name: str) -> None:
            nonlocal depth
            depth -= 1
            name = name.rpartition(":")[2]
            if name in reader.texts:
                parser.CharacterDataHandler = None
                reader.end(name, "".join(pieces))
                pieces.clear()
            else:
                reader.end(name, "")

        def pass_over(*_: object) -> None:
            self.marks += 1

        def declared(*_: object) -> None:
            # a document type can make a few bytes unfold without end; no spreadsheet writes one
            raise refused(self.path, f"{part} in this workbook declares a document type.")

        parser.StartElementHandler = start
        parser.EndElementHandler = end
        parser.StartDoctypeDeclHandler = declared
        parser.CommentHandler = parser.ProcessingInstructionHandler = pass_over
        return parser


class _Relationships(Reader):
    """Reads which parts are named, each with its place in the archive."""

    def __init__(self, folder: str) -> None:
        self.folder = folder
        self.parts: list[Related] = []

    def start(self, name: str, attributes: Mapping[str, str]) -> None:
        """Keep the target of a relationship."""
        if name == "Relationship" and attributes.get("TargetMode") != "External":
            target = posixpath.normpath(posixpath.join("/", self.folder, attributes["Target"]))
            role = attributes["Type"].rpartition("/")[2]
            self.parts.append(Related(attributes["Id"], role, target.lstrip("/")))


def in_package[T](path: Path, file: IO[bytes], read: Callable[[Package], T]) -> T:
    """What a reader makes of a workbook whose archive is sound.

    Raises:
        BadFile: it is damaged, cut short, or would unfold beyond all measure.

    """
    damaged = "This workbook is damaged or was cut short; save it again as .xlsx."
    try:
        _check_directory(path, file)
        with zipfile.ZipFile(file) as archive:
            _check_entries(path, archive)
            if archive.testzip() is not None:
                raise refused(path, damaged)
            package = Package(path, archive, parts=frozenset(archive.namelist()))
            return _read_all(package, read)
    except LedgerError:
        raise
    except Exception as trouble:  # a damaged archive raises whatever its numbers lead to
        raise refused(path, damaged) from trouble


def _read_all[T](package: Package, read: Callable[[Package], T]) -> T:
    try:
        return read(package)
    except LedgerError:
        raise
    except TooMuch:
        sentence = "This workbook holds far more than a table needs."
        raise refused(package.path, sentence) from None
    except Exception as trouble:  # whatever is missing or no number where one should stand
        sentence = (
            "This workbook cannot be read; save it again as .xlsx from a spreadsheet program."
        )
        raise refused(package.path, sentence) from trouble


def _check_directory(path: Path, file: IO[bytes]) -> None:
    """Refuse an archive of too many parts before each of them is taken into memory."""
    file.seek(0)
    count, before = 0, b""
    while piece := file.read(1_000_000):
        count += (before + piece).count(_DIRECTORY_ENTRY)
        before = piece[-len(_DIRECTORY_ENTRY) + 1 :]
    if count > MOST_ENTRIES:
        raise refused(path, "This workbook would unfold to far more than a table needs.")


def _check_entries(path: Path, archive: zipfile.ZipFile) -> None:
    entries = archive.infolist()
    if sum(entry.file_size for entry in entries) > MOST_UNFOLDED:
        raise refused(path, "This workbook would unfold to far more than a table needs.")
    for entry in entries:
        if entry.flag_bits & 1:
            raise refused(path, "This workbook is encrypted; save it without a password.")
        steep = max(1_000_000, STEEPEST * entry.compress_size)
        if entry.file_size > steep or entry.compress_type not in _METHODS:
            sentence = f"{entry.filename} in this workbook unfolds too far; it is not read."
            raise refused(path, sentence)
