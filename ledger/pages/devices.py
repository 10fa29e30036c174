"""Paired devices and the codes by which they are paired.

The devices stand in a file beside the book, never in the book: its rows stay for ever and go with
every copy. Of a device's token only the SHA-256 is kept.
"""

import hashlib
import hmac
import json
import secrets
from collections.abc import Callable
from datetime import date
from pathlib import Path

from msgspec import Struct
from msgspec.structs import asdict

from ledger.book.parts import put_whole
from ledger.errors import BadValue, BookTrouble, NotAllowed, NotFound
from ledger.labor.people import OWNER

LETTERS = "ABCDEFGHJKMNPQRSTUVWXYZ23456789"
"""What codes are made of: 31 letters and digits, none that looks like another."""

CODE_LENGTH = 6
CODE_SECONDS = 600
TRIES, TRIES_SECONDS = 5, 60
"""Codes that may be tried in a minute, by all devices together: an address costs nothing."""

LONGEST_NAME = 40


class Device(Struct, frozen=True):
    """A paired device: whose hours it enters, since when; `token` is the SHA-256 of its secret."""

    name: str
    person: str
    paired: str
    token: str

    @property
    def is_helper(self) -> bool:
        """Whether it is a helper's, who sees and undoes only their own."""
        return self.person != OWNER


def devices_file(book: Path) -> Path:
    """Where the devices of a book stand."""
    return book.with_name(f"{book.stem} devices.json")


def devices(book: Path) -> list[Device]:
    """The paired devices, the one paired last standing last.

    Raises:
        BookTrouble: their file cannot be read.
    """
    path = devices_file(book)
    try:
        rows = json.loads(path.read_text("utf-8"))
        return [Device(**row) for row in rows]
    except FileNotFoundError:
        return []
    except (OSError, ValueError, TypeError):
        raise BookTrouble(
            f"{path} cannot be read; remove it, and pair the devices again."
        ) from None


def device_of(book: Path, token: str) -> Device | None:
    """The device that has a token, or None; it is read each time, so forgetting works at once."""
    digest = _digest(token)
    return next((one for one in devices(book) if hmac.compare_digest(one.token, digest)), None)


def pair(book: Path, name: str, person: str, day: date) -> str:
    """Add a device, and give back its token: it is told once and kept nowhere.

    Raises:
        BadValue: the name is missing or too long.
        NotAllowed: another device has that name.
    """
    clean = " ".join(name.split())
    if not clean or len(clean) > LONGEST_NAME or not clean.isprintable():
        raise BadValue(f"Give the device a name of at most {LONGEST_NAME} letters, such as Tablet.")
    known = devices(book)
    if any(one.name.casefold() == clean.casefold() for one in known):
        raise NotAllowed(f"Another device is called {clean}; give this one a name of its own.")
    token = secrets.token_urlsafe(32)
    _save(book, [*known, Device(clean, person, str(day), _digest(token))])
    return token


def forget(book: Path, name: str) -> Device:
    """Let a device do nothing any more, from its next request on.

    Raises:
        NotFound: no device has that name.
    """
    known = devices(book)
    named = [one for one in known if one.name.casefold() == name.strip().casefold()]
    if not named:
        raise NotFound("device", name, [one.name for one in known])
    _save(book, [one for one in known if one not in named])
    return named[0]


def _save(book: Path, known: list[Device]) -> None:
    content = json.dumps([asdict(one) for one in known], ensure_ascii=False, indent=1)
    put_whole(devices_file(book), lambda _: content.encode(), private=True)


def _digest(token: str) -> str:
    return hashlib.sha256(token.encode("utf-8", "replace")).hexdigest()


class TooManyTries(NotAllowed):
    """Codes were tried too often in the last minute."""


class PairingCodes:
    """The codes that pair a device: each once, for ten minutes, and few tries a minute."""

    def __init__(self, seconds: Callable[[], float]) -> None:
        self._seconds = seconds
        self._codes: dict[str, tuple[str, float]] = {}
        self._tries: list[float] = []

    def new(self, person: str) -> str:
        """A code that pairs one device of the owner or of a helper."""
        code = "".join(secrets.choice(LETTERS) for _ in range(CODE_LENGTH))
        self._codes[code] = (person, self._seconds() + CODE_SECONDS)
        return code

    def person_of(self, text: str) -> str:
        """Whom a typed code pairs for; it stays valid until it is spent.

        Raises:
            TooManyTries: see `TRIES`; the code was not even looked at.
            NotAllowed: there is no such code, or it is spent or too old.
        """
        now = self._seconds()
        self._tries = [one for one in self._tries if one > now - TRIES_SECONDS]
        if len(self._tries) >= TRIES:
            raise TooManyTries("Too many codes were tried; wait a minute.")
        self._tries.append(now)
        typed = _clean(text)
        for code, (person, until) in self._codes.items():
            if hmac.compare_digest(code.encode(), typed.encode()) and now < until:
                return person
        raise NotAllowed(
            "That code is not right, or was used, or is older than ten minutes."
            " Start benchledger serve again for a new one."
        )

    def spend(self, text: str) -> None:
        """Let a code pair no other device."""
        self._codes.pop(_clean(text), None)


def _clean(text: str) -> str:
    return "".join(text.split()).upper()
