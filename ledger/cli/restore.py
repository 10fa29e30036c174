"""`benchledger restore`: put a copy in the book's place."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated, Any

import typer

from ledger.cli import voice
from ledger.cli.opened import book_path, open_shop, today
from ledger.measures.spoken import how_many

app = typer.Typer(help="Put a copy in the book's place; what stood there is kept.")


@app.command()
def restore(
    file: Annotated[Path, typer.Argument(help="The copy, or the folder of a dated series.")],
) -> None:
    """Put a copy in the book's place; what stood there is kept beside it.

    Of a folder with a dated series the newest copy is taken; an encrypted one asks for the
    passphrase. Photos that stand beside the copy come back too.

    Example: benchledger restore "shop 2025-05-31.sqlite"
    """
    from ledger.book.backup import restore as put_back
    from ledger.book.photos import bring_photos_back, missing_photos
    from ledger.book.sealed import SEALED, unlock
    from ledger.book.series import photos_beside
    from ledger.book.troubles import is_folder
    from ledger.cli.backup import ask_passphrase

    copy = _newest_in(file) if is_folder(file) else file
    keys = unlock(copy.parent, ask_passphrase()) if copy.suffix == SEALED else []
    with _readable(copy, keys) as readable, voice.wait("Verifying the copy …"):
        kept = put_back(book_path(), readable, today())
    with open_shop() as book:
        last = book.entries(1)[0]
        with voice.wait("Putting the photos back …"):
            photos = bring_photos_back(book, photos_beside(copy), keys)
        missing = missing_photos(book)
    voice.say(f"{book_path()} is again as in {copy}.")
    voice.say(f"Its last entry: {last.id} of {last.day}, {last.verb} {last.words}".rstrip() + ".")
    if kept is not None:
        voice.say(f"What it replaced is kept in {kept}.")
    if photos:
        voice.say(f"{how_many(photos, 'photo')} put back beside it.")
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
def _readable(copy: Path, keys: list[Any]) -> Iterator[Path]:
    """The copy itself, or what an encrypted one holds, beside the book for as long as it takes."""
    from ledger.book import schema, sealed
    from ledger.book.parts import part_of

    if not keys:
        yield copy
        return
    schema.make_folder(book_path())
    with part_of(book_path().with_name(f"{book_path().name}.opening")) as part:
        part.touch(mode=0o600)
        with voice.wait("Decrypting the copy …"):
            sealed.decrypt(copy, part, keys)
        yield part
