"""Changing settings, several at once: all that is wrong is said together, or all are set."""

from collections.abc import Sequence
from pathlib import Path

from ledger.book import Book
from ledger.cutting.tools import tool_faults
from ledger.errors import BadFile, BadValue, BookTrouble, Fault, LedgerError
from ledger.jobs.shop_floor import shop_tools
from ledger.measures.length import parse_length
from ledger.stock.materials import materials

WIDEST_KERF = parse_length("1/2", "inch")
"""Wider than any saw blade (common practice, no source): a slip such as 12 in for 1/8 in."""


def change_settings(
    book: Book, pairs: Sequence[tuple[str, str]], verb: str, words: str
) -> list[str]:
    """Post settings by name and text as one entry; give back what to look at, a sentence each.

    Raises:
        LedgerError: one of them is wrong, as `Book.set` says.
        BadFile: several are; each is listed.
        BadValue: settings of the saws make no sense together.
    """
    with book.entry(verb, words):
        wrong: list[tuple[str, LedgerError]] = []
        for name, text in pairs:
            try:
                book.set(name, text)
            except BookTrouble:
                raise
            except LedgerError as refusal:
                wrong.append((name, refusal))
        if len(wrong) == 1:
            raise wrong[0][1]
        if wrong:
            raise BadFile(
                [Fault(name, str(refusal).removeprefix(f"{name}: ")) for name, refusal in wrong]
            )
        _check_tools(book)
    notes = [exempt_words(book)] if dict(pairs).get("tax_standing") == "exempt" else []
    folder = dict(pairs).get("backup_to", "")
    if folder and not Path(folder).is_dir():
        notes.append(
            f"{folder} is not there now; a copy is made only while it is. Put the disk in, or make"
            " the folder."
        )
    return notes


def exempt_words(book: Book) -> str:
    """What stands on papers in place of a tax line where no tax is charged, and its setting."""
    return (
        f"In place of a tax line your papers say: “{book.setting('wording_exempt')}” In your own"
        " words: benchledger shop set wording_exempt=WORDS"
    )


def _check_tools(book: Book) -> None:
    """Refuse settings of the saws that make no sense together, or with the sheets there are."""
    sides = [
        min(material.length.nm, material.width.nm)
        for material in materials(book).values()
        if material.kind == "sheet" and material.length and material.width
    ]
    wrong = tool_faults(shop_tools(book), sides)
    if book.settings.kerf.nm > WIDEST_KERF.nm:
        wrong.append(("kerf", "no saw blade cuts as wide"))
    for name, why in wrong:
        raise BadValue(f"{name} = {book.setting_text(name)} makes no sense: {why}.")
