"""Encrypted copies in the age format (age-encryption.org/v1), written and read by pyrage.

A copy is encrypted to a public key, so that no passphrase is asked while one works. The secret key
stands beside the copies in a file that only the passphrase opens: who has the folder and the
passphrase has the book, and who has lost the passphrase has lost the copies.
"""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from ledger.book import schema
from ledger.book.parts import part_of
from ledger.errors import BadValue, BookTrouble

SEALED = ".age"
"""What the name of an encrypted file ends in: the format's own ending."""

KEY_MARK = " key "
SHORTEST = 12
"""Characters of a passphrase below which it is refused (common practice, no source)."""


def make_key(folder: Path, book: str, passphrase: str) -> tuple[str, Path]:
    """Make a key pair; the secret half goes into a file of the folder, locked by the passphrase.

    Returns:
        The public key, and the file.

    Raises:
        BadValue: the passphrase is too short.
        BookTrouble: the file cannot be written.

    """
    import pyrage

    if len(passphrase.strip()) < SHORTEST:
        raise BadValue(
            f"A passphrase has at least {SHORTEST} characters; four or five unrelated words do."
        )
    identity = pyrage.x25519.Identity.generate()
    public = str(identity.to_public())
    file = folder / f"{book}{KEY_MARK}{public[:12]}.age"
    with part_of(file) as part, schema.made_by_us(file):
        part.touch(mode=0o600)
        part.write_bytes(pyrage.passphrase.encrypt(str(identity).encode("ascii"), passphrase))
        part.replace(file)
    return public, file


def encrypt(source: Path, target: Path, key: str) -> None:
    """Encrypt a file to a public key.

    Raises:
        BadValue: it is no public key.
        OSError: the target cannot be written.

    """
    import pyrage

    try:
        recipient = pyrage.x25519.Recipient.from_str(key)
    except pyrage.RecipientError:
        raise BadValue(
            "backup_key is no public key; it is set by: benchledger backup --encrypt"
        ) from None
    pyrage.encrypt_file(str(source), str(target), [recipient])


def unlock(folder: Path, passphrase: str) -> list[Any]:
    """The secret keys of a folder that the passphrase opens; it is slow on purpose.

    Raises:
        BookTrouble: no key is there, or the passphrase opens none.

    """
    import pyrage

    keys = sorted(folder.glob(f"*{KEY_MARK}age1*.age"))
    if not keys:
        raise BookTrouble(
            f"No key stands in {folder}: its file, named “… key age1….age”, belongs in the folder"
            " of the copies."
        )
    opened = []
    for file in keys:
        try:
            secret = pyrage.passphrase.decrypt(file.read_bytes(), passphrase).decode("ascii")
            opened.append(pyrage.x25519.Identity.from_str(secret))
        except (OSError, ValueError, pyrage.DecryptError, pyrage.IdentityError):
            continue
    if not opened:
        raise BookTrouble(
            "This passphrase does not open the key. Try again; without the right one the encrypted"
            " copies cannot be read by anyone."
        )
    return opened


def decrypt(source: Path, target: Path, keys: Sequence[Any]) -> None:
    """Decrypt a file by the keys that were unlocked.

    Raises:
        BookTrouble: it is damaged, or of another key.

    """
    import pyrage

    try:
        pyrage.decrypt_file(str(source), str(target), keys)
    except (OSError, pyrage.DecryptError) as trouble:
        raise BookTrouble(f"{source} cannot be decrypted ({trouble}); take another copy.") from None
