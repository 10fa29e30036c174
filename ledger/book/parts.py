"""Files that are being made: their names, and the sweeping of those that a killed command left.

A file or folder is made as `.NAME.PID.part` beside its place and gets its own name when it is
whole. What a killed command leaves may hold a client's details, so it goes with the next opening of
the book: what lies beside the book and in its copies by its name, what lies elsewhere because a
note beside the book (`.benchledger.PID.parts`) says where.
"""

import os
import re
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from ledger.errors import NotAllowed

COPIES = "copies"
"""The folder of the daily copies, beside the book."""

_PART = re.compile(r"\..+\.(?P<process>\d+)\.part(-journal)?")
_NOTE = re.compile(r"\.benchledger\.(?P<process>\d+)\.parts")
_LONGEST = 80
"""Characters of a name that its part keeps, so that it is no longer than a disk allows."""

_noted_in: list[Path] = []
"""The book's folder, in which this process notes what it makes elsewhere."""

_elsewhere: list[Path] = []
"""What this process is making there just now."""


@contextmanager
def part_of(path: Path) -> Iterator[Path]:
    """The name under which a file or folder is made before it gets its own; what is left goes."""
    part = path.absolute().with_name(f".{path.name[:_LONGEST]}.{os.getpid()}.part")
    is_elsewhere = bool(_noted_in) and part.parent not in (_noted_in[0], _noted_in[0] / COPIES)
    if is_elsewhere:
        _elsewhere.append(part)
        _note()
    try:
        yield part
    finally:
        _remove(part)
        if is_elsewhere:
            _elsewhere.remove(part)
            _note()


def put_whole(path: Path, content_in: Callable[[Path], bytes], *, private: bool) -> Path:
    """Write a file beside its place and put it there whole; `private` to the owner alone.

    `content_in` makes its bytes and may use the folder that it is given.

    Raises:
        NotAllowed: the place cannot be written.
    """
    if path.is_dir():
        raise NotAllowed(f"{path} is a folder; name a file in it.")
    try:
        with part_of(path) as part:
            part.mkdir(mode=0o700)
            whole = part / f"whole{path.suffix}"
            mode = 0o600 if private else 0o666
            handle = os.open(whole, os.O_CREAT | os.O_EXCL | os.O_WRONLY, mode)
            with os.fdopen(handle, "wb") as file:
                file.write(content_in(part))
                file.flush()
                os.fsync(file.fileno())
            whole.replace(path)
    except OSError as trouble:
        reason = trouble.strerror or "it failed"
        raise NotAllowed(f"{path} cannot be written ({reason}); nothing was changed.") from trouble
    return path


def note_in(folder: Path) -> None:
    """Let this process note in the book's folder what it makes elsewhere, and sweep that folder."""
    _noted_in[:] = [folder.absolute()]
    sweep(folder)


def sweep(folder: Path) -> None:
    """Remove what processes that are no more left unfinished in a book's folder and elsewhere."""
    for place in (folder, folder / COPIES):
        with suppress(OSError), os.scandir(place) as entries:
            for name in [entry.name for entry in entries if entry.name.startswith(".")]:
                if (match := _PART.fullmatch(name)) and _is_over(int(match["process"])):
                    _remove(place / name)
                elif (match := _NOTE.fullmatch(name)) and _is_over(int(match["process"])):
                    _sweep_noted(place / name, match["process"])


def _note() -> None:
    """Note what is being made where no opening of the book would look; nothing: no note."""
    note = _noted_in[0] / f".benchledger.{os.getpid()}.parts"
    with suppress(OSError):  # a book that may only be read: its folder keeps no notes
        if not _elsewhere:
            note.unlink()
            return
        with note.open("a", encoding="utf-8", errors="surrogateescape") as file:
            file.write(f"{_elsewhere[-1]}\n")  # what is done already may stay in it


def _sweep_noted(note: Path, process: str) -> None:
    with suppress(OSError):
        for line in note.read_text("utf-8", "surrogateescape").splitlines():
            match = _PART.fullmatch(Path(line).name)
            if match and match["process"] == process:
                _remove(Path(line))
        note.unlink()


def _remove(part: Path) -> None:
    for path in (part, part.with_name(f"{part.name}-journal")):
        with suppress(OSError):
            if path.is_dir() and not path.is_symlink():
                shutil.rmtree(path, ignore_errors=True)
            else:
                path.unlink(missing_ok=True)


def _is_over(process: int) -> bool:
    if os.name != "posix":
        return False  # elsewhere this question would end the process
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return True
    except PermissionError:
        return False
    return False


def photo_folder(book: Path) -> Path:
    """The folder of a book's photos, or of a copy's."""
    return book.with_name(f"{book.stem} photos")
