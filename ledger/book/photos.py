"""The files of photos beside the book: found by the SHA-256 of their bytes, never changed.

A file is whole and on disk before its row is posted: a crash leaves at worst a file without a row.
"""

import hashlib
import os
import shutil
from pathlib import Path

from ledger.book import schema
from ledger.book.journal import Book
from ledger.book.parts import part_of, put_whole
from ledger.book.tables.page import Photo
from ledger.errors import BookTrouble
from ledger.measures.spoken import how_many


def photo_folder(book: Path) -> Path:
    """The folder of a book's photos, or of a copy's."""
    return book.with_name(f"{book.stem} photos")


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


def _to_disk(folder: Path) -> None:
    """Let the folder's own entry be on disk, where the system has a way to say so."""
    if os.name == "posix":
        handle = os.open(folder, os.O_RDONLY)
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


def copy_photos(book: Book, target: Path) -> int:
    """Copy the photos that a copy of the book lacks beside it, verified; give back how many.

    Raises:
        BookTrouble: one of the book's is not as it was taken, or the copy cannot be written.
    """
    count = 0
    for digest in _digests(book):
        source, copy = photo_file(book.path, digest), photo_file(target, digest)
        if copy.exists() or not source.exists():
            continue  # what is missing is told by `check`
        with schema.made_by_us(copy):
            copy.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            with part_of(copy) as part:
                shutil.copyfile(source, part)
                if not _is_whole(part, digest):
                    raise BookTrouble(f"The photo {source} is not as it was taken.")
                part.replace(copy)
        count += 1
    return count


def missing_photos(book: Book) -> str:
    """A sentence on photos that are not beside the book; empty where all are."""
    lacking = [one for one in _digests(book) if not photo_file(book.path, one).exists()]
    if not lacking:
        return ""
    return (
        f"{how_many(len(lacking), 'photo')} missing beside the book: put the folder of photos that"
        f" was copied with it there as “{photo_folder(book.path).name}”."
    )
