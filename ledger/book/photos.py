"""The files of photos beside the book: found by the SHA-256 of their bytes, never changed.

A file is whole and on disk before its row is posted: a crash leaves at worst a file without a row.
Beside a copy of the book they stand in a folder of the same make; the copies of a dated series
share one, in which each photo stands once, encrypted where the series is.
"""

import hashlib
import os
import shutil
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

from ledger.book import schema, sealed
from ledger.book.journal import Book
from ledger.book.parts import part_of, photo_folder, put_whole
from ledger.book.tables.page import Photo
from ledger.errors import BookTrouble
from ledger.measures.spoken import how_many


def photo_file(book: Path, digest: str) -> Path:
    """Where the photo of that digest stands."""
    return photo_folder(book) / digest[:2] / f"{digest}.jpg"


def keep_photo(book: Path, content: bytes) -> str:
    """Put a photo's bytes beside the book, unless they are there, and give back their digest.

    Raises:
        BookTrouble: they cannot be written.
    """
    digest = hashlib.sha256(content).hexdigest()
    file = photo_file(book, digest)
    if _is_whole(file, digest):
        return digest
    with schema.made_by_us(file):
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        put_whole(file, lambda _: content, private=True)
        _to_disk(file.parent)
    return digest


def _to_disk(path: Path) -> None:
    """Let a file's bytes, or a folder's entries, be on disk where the system can say so."""
    if os.name == "posix":
        handle = os.open(path, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _is_whole(file: Path, digest: str) -> bool:
    try:
        return hashlib.sha256(file.read_bytes()).hexdigest() == digest
    except OSError:
        return False


def _digests(book: Book) -> list[str]:
    """The digests of all photos of the book, each once; those taken back are kept too."""
    return list(dict.fromkeys(row.sha256 for row in book.rows(Photo, in_force=False)))


def photo_faults(book: Book) -> list[str]:
    """Which photos are not as they were taken, a sentence each: missing, altered, unknown."""
    known = _digests(book)
    faults = []
    for digest in known:
        file = photo_file(book.path, digest)
        if not file.exists():
            faults.append(f"The photo {file} is missing.")
        elif not _is_whole(file, digest):
            faults.append(f"The photo {file} is not as it was taken.")
    files = photo_folder(book.path).glob("*/*")
    faults += [
        f"{file} is no photo of this book."
        for file in sorted(files)
        if file.stem not in known and not file.name.startswith(".")
    ]
    return faults


def copy_photos(book: Book, target: Path, key: str = "") -> int:
    """Copy the photos that a copy of the book lacks beside it; give back how many.

    Each is whole and on disk before it gets its name: what was broken off is copied anew the next
    time. `key` is the public key by which they are encrypted; empty: they are not.

    Raises:
        BookTrouble: some of the book's are not as they were taken (all others are copied), or the
            copies cannot be written.
    """
    count, altered = 0, []
    for digest in _digests(book):
        source, copy = photo_file(book.path, digest), photo_file(target, digest)
        if key:
            copy = _sealed(copy)
        if not source.exists() or _is_copied(source, copy):
            continue  # what is missing is told by `check`
        if not _is_whole(source, digest):
            altered.append(source)
            continue
        with schema.made_by_us(copy):
            copy.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            with part_of(copy) as part:
                if key:
                    sealed.encrypt(source, part, key)
                else:
                    shutil.copyfile(source, part)
                part.chmod(0o600)
                _to_disk(part)
                part.replace(copy)
        count += 1
    if altered:
        raise BookTrouble(f"The photo {altered[0]} is not as it was taken; it was not copied.")
    return count


def _sealed(file: Path) -> Path:
    return file.with_name(f"{file.name}{sealed.SEALED}")


def _is_copied(source: Path, copy: Path) -> bool:
    """Whether a copy is there; of a disk pulled out too early it may be shorter than the photo."""
    try:
        return copy.stat().st_size >= source.stat().st_size
    except OSError:
        return False


def bring_photos_back(book: Book, folder: Path, keys: Sequence[Any]) -> int:
    """Put photos that are missing or altered beside the book, out of a copy's folder; how many.

    `keys` open those that are encrypted. What the folder lacks, or holds damaged, stays missing.

    Raises:
        BookTrouble: they cannot be written beside the book.
    """
    count = 0
    for digest in _digests(book):
        file, copy = photo_file(book.path, digest), folder / digest[:2] / f"{digest}.jpg"
        if _is_whole(file, digest):
            continue
        with schema.made_by_us(file), part_of(file) as part:
            file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            part.touch(mode=0o600)
            if copy.exists():
                shutil.copyfile(copy, part)
            elif keys and _sealed(copy).exists():
                with suppress(BookTrouble):  # damaged: it stays missing, and the others come back
                    sealed.decrypt(_sealed(copy), part, keys)
            if _is_whole(part, digest):
                part.replace(file)
                count += 1
    return count


def missing_photos(book: Book) -> str:
    """A sentence on photos that are not beside the book; empty where all are."""
    lacking = [one for one in _digests(book) if not photo_file(book.path, one).exists()]
    if not lacking:
        return ""
    return (
        f"{how_many(len(lacking), 'photo')} missing beside the book: restore a copy that has its"
        f" folder of photos beside it, or put that folder there as"
        f" “{photo_folder(book.path).name}”."
    )
