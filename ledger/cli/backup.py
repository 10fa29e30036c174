"""`benchledger backup`: a verified copy of the book, in a file or in the dated series."""

import sys
from pathlib import Path
from typing import Annotated

import typer

from ledger.cli import voice
from ledger.cli.opened import book_path, open_shop

app = typer.Typer(help="Copy the book to a new file or into the dated series, and verify the copy.")


@app.command()
def backup(
    file: Annotated[Path | None, typer.Argument(help="The copy; it must not exist yet.")] = None,
    to: Annotated[
        Path | None, typer.Option("--to", help="Folder of the dated series; a copy goes there now.")
    ] = None,
    encrypt: Annotated[
        bool,
        typer.Option("--encrypt", help="Ask for a passphrase and encrypt the series."),
    ] = False,
) -> None:
    """Copy the book to a new file, or into the dated series, and verify the copy.

    With shop set backup_to=FOLDER the series gets its copy by itself, with the first entry of a
    day: the last 7 are kept, the last of 5 weeks and of 12 months.

    Example: benchledger backup "shop 2025-05-31.sqlite"
    """
    if (file is not None) + (to is not None) + encrypt != 1:
        raise typer.BadParameter("Name the copy's FILE, or --to FOLDER, or --encrypt.")
    if encrypt:
        _encrypt_series()
    elif to is not None:
        _add(to)
    elif file is not None:
        from ledger.book.backup import back_up

        with voice.wait("Copying the book …"):
            back_up(book_path(), file)
        voice.say(f"A verified copy of {book_path()} stands in {file}.")
        _copy_photos(file)
        voice.note("It holds your clients' details; keep it where only you can read it.")


def _copy_photos(file: Path) -> None:
    """Put the photos beside a copy, where the book has any."""
    from ledger.book.parts import photo_folder
    from ledger.book.photos import copy_photos
    from ledger.measures.spoken import how_many

    with open_shop() as book:
        count = copy_photos(book, file)
    if count:
        voice.say(f"{how_many(count, 'photo')} stand in {photo_folder(file)}.")


def _add(folder: Path) -> None:
    from ledger.book.parts import photo_folder
    from ledger.book.photos import copy_photos
    from ledger.book.series import add_copy
    from ledger.cli.opened import today
    from ledger.measures.spoken import how_many

    with open_shop() as book, voice.wait("Copying the book …"):
        key = book.setting_text("backup_key")
        copy = add_copy(book_path(), folder, today(), key)
        kind = "An encrypted" if key else "A verified"
        voice.say(f"{kind} copy of {book_path()} stands in {copy}.")
        beside = folder / book_path().name
        count = copy_photos(book, beside, key)
    if count:
        voice.say(f"{how_many(count, 'photo')} added to {photo_folder(beside)}.")
    if not key:
        voice.note(
            "It holds your clients' details, for anyone to read who finds it; with a passphrase:"
            " benchledger backup --encrypt"
        )


def _encrypt_series() -> None:
    from ledger.book.sealed import make_key
    from ledger.book.troubles import is_folder
    from ledger.errors import NotAllowed

    with open_shop() as book:
        folder = Path(book.setting_text("backup_to"))
        if not book.setting_text("backup_to"):
            raise NotAllowed("Say first where copies go: benchledger shop set backup_to=FOLDER")
        if not is_folder(folder):
            raise NotAllowed(f"The folder {folder} is not there; make it, or connect its disk.")
        voice.note(
            "The passphrase is kept nowhere. Write it down and keep it away from the computer: if"
            " it is lost, the encrypted copies are lost."
        )
        passphrase = ask_passphrase(twice=True)
        with voice.wait("Making the key …"):
            key, key_file = make_key(folder, book_path().stem, passphrase)
        with book.entry("backup encrypt", key_file.name):
            book.set("backup_key", key)
    voice.say(f"Copies in {folder} are encrypted from now on; their key stands in {key_file}.")
    _add(folder)
    _name_plain_copies(folder)


def _name_plain_copies(folder: Path) -> None:
    from ledger.book.parts import photo_folder
    from ledger.book.series import copies_in

    plain = [copy.path.name for copy in copies_in(folder, book_path().stem) if not copy.is_sealed]
    photos = photo_folder(folder / book_path().name)
    if any(photos.glob("*/*.jpg")):
        plain.append(f"files of {photos.name} that end in .jpg")
    if plain:
        voice.note(
            f"Not encrypted, from before: {', '.join(plain)}. Delete what should not be read there."
        )


def ask_passphrase(*, twice: bool = False) -> str:
    """The passphrase, typed unseen; from a pipe its first line is taken."""
    if not sys.stdin.isatty():
        return sys.stdin.readline().rstrip("\r\n")
    answer: str = typer.prompt("Passphrase", hide_input=True, confirmation_prompt=twice)
    return answer
