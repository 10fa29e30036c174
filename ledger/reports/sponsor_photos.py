"""Photos of builds in a sponsor's report: those that the owner marked for it, and no others.

A marked photo is a note of the kind photo whose words begin with the photo's number, `#3 Closed`.
"""

import re
from collections.abc import Sequence
from datetime import date
from pathlib import Path

from msgspec import Struct

from ledger.book import Book
from ledger.book.photos import photo_file
from ledger.book.questions.sponsors import given_moves
from ledger.book.tables.ground import Job
from ledger.book.tables.page import Photo
from ledger.book.tables.sponsors import SponsorNote
from ledger.errors import NotAllowed
from ledger.sponsors.publications import public_name
from ledger.sponsors.withheld import Withheld

_MARKED = re.compile(r"#(\d+) (.+)", re.DOTALL)


class BuildPhoto(Struct, frozen=True):
    """A photo for a sponsor: what it shows, of which build by its public name, and its file."""

    words: str
    build: str
    day: date
    file: Path


def marked(number: int, words: str) -> str:
    """The words of a note that marks the photo of that number."""
    return f"#{number} {words}"


def is_marked(note: SponsorNote) -> bool:
    """Whether a note marks a photo of the book."""
    return note.kind == "photo" and _MARKED.fullmatch(note.words) is not None


def require_photo_for(book: Book, sponsor: str, number: int) -> Photo:
    """The photo of that number, if it is of a build that holds the sponsor's goods.

    Raises:
        NotAllowed: it is not; those that are, are named.
    """
    known = {photo.key: photo for photo in _photos_of(book, sponsor)}
    if number in known:
        return known[number]
    jobs = {job.key: job.number for job in book.rows(Job)}
    listed = [f"{key} ({jobs[one.job or 0]}, {one.day})" for key, one in known.items()]
    there = f"there is: {', '.join(listed)}" if listed else "there is none yet"
    raise NotAllowed(f"No photo {number} is of a build with goods of {sponsor}; {there}.")


def photos_for(
    book: Book, sponsor: str, notes: Sequence[SponsorNote], held: Withheld
) -> tuple[BuildPhoto, ...]:
    """The photos that the notes mark, in their order, with names left out of their words."""
    known = {photo.key: photo for photo in _photos_of(book, sponsor)}
    found = []
    for note in notes:
        match = _MARKED.fullmatch(note.words) if note.kind == "photo" else None
        photo = known.get(int(match[1])) if match else None
        if match and photo and photo.job is not None:
            build = held.clean(public_name(book, photo.job), "build")
            file = photo_file(book.path, photo.sha256)
            found.append(BuildPhoto(held.clean(match[2], "photo"), build, photo.day, file))
    return tuple(found)


def _photos_of(book: Book, sponsor: str) -> list[Photo]:
    """The photos of builds, spoiled parts left out, that hold goods of a sponsor."""
    jobs = {move.job for move in given_moves(book, sponsor, book.today)}
    return [photo for photo in book.rows(Photo, about="build") if photo.job in jobs]
