"""`benchledger restore`: put a copy in the book's place."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated

import typer

from ledger.cli import voice
from ledger.cli.opened import book_path, open_shop, today

app = typer.Typer(help="Put a copy in the book's place; what stood there is kept.")


@app.command()
def restore(
    file: Annotated[Path, typer.Argument(help="The copy, or the folder of a dated series.")],
) -> None:
    """Put a copy in the book's place; what stood there is kept beside it.

    Of a folder with a dated series the newest copy is taken; an encrypted one asks for the
    passphrase.

    Example: benchledger restore "shop 2025-05-31.sqlite"
    """
    from ledger.book.backup import restore as put_back
    from ledger.book.photos import missing_photos
    from ledger.book.troubles import is_folder

    copy = _newest_in(file) if is_folder(file) else file
    with _readable(copy) as readable, voice.wait("Verifying the copy …"):
        kept = put_back(book_path(), readable, today())
    with open_shop() as book:
        last = book.entries(1)[0]
        missing = missing_photos(book)
    voice.say(f"{book_path()} is again as in {copy}.")
    voice.say(f"Its last entry: {last.id} of {last.day}, {last.verb} {last.words}".rstrip() + ".")
    if kept is not None:
        voice.say(f"What it replaced is kept in {kept}.")
    if missing:
        voice.warn(missing)


def _newest_in(folder: Path) -> Path:
    """The newest copy of the series in a folder, where it holds those of one book."""
    from ledger.book.series import copies_in
    from ledger.errors import Ambiguous, NotAllowed

    copies = copies_in(folder)
    if not copies:
        raise NotAllowed(f"{folder} holds no dated copy; name the copy in it.")
    if len({copy.book for copy in copies}) > 1:
        names = dict.fromkeys(copy.book for copy in copies)
        newest = [next(copy.path.name for copy in copies if copy.book == name) for name in names]
        raise Ambiguous("copy", str(folder), newest)
    return copies[0].path


@contextmanager
def _readable(copy: Path) -> Iterator[Path]:
    """The copy itself, or what an encrypted one holds, beside the book for as long as it takes."""
    from ledger.book import schema, sealed
    from ledger.book.parts import part_of
    from ledger.book.series import SEALED
    from ledger.cli.backup import ask_passphrase

    if copy.suffix != SEALED:
        yield copy
        return
    passphrase = ask_passphrase()
    schema.make_folder(book_path())
    with part_of(book_path().with_name(f"{book_path().name}.opening")) as part:
        part.touch(mode=0o600)
        with voice.wait("Decrypting the copy …"):
            sealed.decrypt(copy, part, passphrase)
        yield part
