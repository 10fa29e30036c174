"""`benchledger shop ask`: the settings gone through one by one, the value that holds offered."""

from ledger.book import Book
from ledger.book.setting_kinds import Setting
from ledger.book.settings import SETTINGS
from ledger.book.wordings import WORDINGS
from ledger.cli import voice
from ledger.cli.answers import answered
from ledger.measures.spoken import how_many

_FIXED = {"currency", "units", "opened", "backup_key"}
"""Chosen when the book is made, or written by another command."""

_LAST = ("end", "stop")


def settings_to_ask(units: str, text: str) -> list[Setting]:
    """The settings that can be asked in a book of these units, those with a text in them."""
    skipped = _FIXED | {name for name, *_ in WORDINGS}
    sought = text.casefold()
    return [
        setting
        for setting in SETTINGS.values()
        if setting.name not in skipped
        and setting.only in ("", units)
        and (sought in setting.name or sought in setting.words.casefold())
    ]


def ask_settings(book: Book, text: str) -> list[tuple[str, str]]:
    """Ask for each setting; give back the changed ones as they will be kept.

    An empty answer leaves what holds. A wrong one is refused and asked for again; the word end, or
    no further answer, ends the questions.
    """
    chosen = settings_to_ask(book.units, text)
    voice.note(
        f"{how_many(len(chosen), 'question')}; enter takes what stands in brackets, and the word"
        " end stops here."
    )
    changed: list[tuple[str, str]] = []
    for setting in chosen:
        answer = _answer(setting, book)
        if answer is None:
            break
        if answer != book.setting_text(setting.name):
            changed.append((setting.name, answer))
    return changed


def _answer(setting: Setting, book: Book) -> str | None:
    """One answer as it will be kept; None where the questions end."""
    holds = book.setting_text(setting.name)
    choices = f" ({', '.join(setting.choices)})" if setting.choices else ""

    def read(text: str) -> str:
        return holds if text == holds else setting.keep(text, (book.currency, book.units))

    return answered(f"{setting.name}: {setting.words}{choices}", holds, read, ends=_LAST)
