"""The verbs `template` of lists to fill in: written beside each other, said alike."""

from datetime import timedelta
from pathlib import Path

from ledger.book import Book
from ledger.cli import voice
from ledger.cli.opened import open_shop
from ledger.errors import NotAllowed
from ledger.workbooks.writers import list_template
from ledger.workbooks.writers.list_template import ListTemplate, write_template


def write(file: Path, noun: str) -> None:
    """Write the list to fill in of a noun; its examples load as they stand.

    Raises:
        NotAllowed: a file stands there, or what the examples need is not in the book yet.
    """
    require_new(file)
    with open_shop() as book:
        template = _template(book, noun)
        written = write_template(template, file, book.settings.shop, book.today)
    verb = "open" if noun == "stock" else "load"
    voice.say(f"{written} stands ready; its examples load as they are.")
    voice.note(f"Write over them and load it: benchledger {noun} {verb} {written}")


def require_new(file: Path) -> None:
    """Check that a list to fill in does not take the place of one that was filled in.

    Raises:
        NotAllowed: a file of that name stands there.
    """
    from ledger.book.schema import is_there

    if is_there(file):
        raise NotAllowed(f"{file} exists already; write to another name, or move it away.")


def _template(book: Book, noun: str) -> ListTemplate:
    if noun == "material":
        return list_template.price_list(book.units)
    if noun == "job":
        return list_template.past_job_list(book.today - timedelta(1))
    if noun == "shop":
        return list_template.settings_list(_settings(book))
    from ledger.stock.materials import materials

    known = list(materials(book).values())
    if noun == "stock":
        if not known:
            raise NotAllowed("The price list is empty; load yours: benchledger material load FILE")
        return list_template.opening_list(known)
    sheets = [one.code for one in known if one.kind == "sheet"]
    return list_template.plain_cut_list(book.units, next(iter(sheets), "PLY"))


def _settings(book: Book) -> list[tuple[str, str, str]]:
    from ledger.cli.shop_ask import settings_to_ask

    settings = settings_to_ask(book.units, "")
    return [(one.name, book.setting_text(one.name), one.words) for one in settings]
