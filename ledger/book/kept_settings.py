"""The settings that a book keeps, and by them its currency, units and the way days are read."""

from collections.abc import Callable
from datetime import date
from functools import cached_property
from typing import Any

from ledger.book.settings import SETTINGS, ShopSettings, nearest_setting
from ledger.book.tables.ground import SettingValue
from ledger.book.wordings import IN_DOLLARS
from ledger.errors import NotAllowed
from ledger.measures.custom import usual_date_order
from ledger.measures.day import DateReader
from ledger.measures.money import Currency, currency
from ledger.measures.values import replace


class KeptSettings:
    """What a book is read by; the rows it rests on are read and posted by `Book`."""

    today: date
    numeric_days: dict[str, date]
    rows: Callable[..., list[Any]]
    post: Callable[[Any], Any]

    @property
    def settings(self) -> ShopSettings:
        """The shop's settings as they stand now, each of its own type."""
        return ShopSettings(self.setting)

    def setting(self, name: str) -> Any:
        """The value of a setting whose name is only known when the program runs."""
        return SETTINGS[name].read(self.setting_text(name), self._units)

    def setting_text(self, name: str) -> str:
        """A setting as it was written, or its default's text."""
        if name not in SETTINGS:
            raise nearest_setting(name)
        if name in IN_DOLLARS and name not in self._settings and self.currency.code == "USD":
            return IN_DOLLARS[name]
        return self._settings.get(name, SETTINGS[name].default)

    def set(self, name: str, value: str) -> None:
        """Post a setting inside the entry under way; the text is checked first."""
        if name not in SETTINGS:
            raise nearest_setting(name)
        if name in {"currency", "units"}:
            raise NotAllowed(f"{name} is chosen when a book is made and stays as it is.")
        kept = SETTINGS[name].keep(value, self._units)
        self.post(SettingValue(name=name, value=kept))
        self.forget_settings()

    def forget_settings(self) -> None:
        """Read the settings afresh at the next question."""
        for name in ("_settings", "currency", "units", "dates"):
            self.__dict__.pop(name, None)

    @cached_property
    def _settings(self) -> dict[str, str]:
        return {row.name: row.value for row in self.rows(SettingValue)}

    @property
    def _units(self) -> tuple[Currency, str]:
        return self.currency, self.units

    @cached_property
    def currency(self) -> Currency:
        """The book's one currency, read with the book's decimal mark."""
        known = currency(self._settings.get("currency", "USD"))
        mark = self._settings.get("decimal_mark") or known.decimal_mark
        written = self._settings.get("decimal") or known.written
        return replace(known, decimal_mark=mark, written=written)

    @cached_property
    def units(self) -> str:
        """What a bare number of length means: "inch" or "mm"."""
        return self._settings.get("units", "inch")

    @cached_property
    def dates(self) -> DateReader:
        """How days are read here; it remembers numeric ones as long as the book is open."""
        usual = usual_date_order(self.currency.code, self.units)
        return DateReader(self.today, self._settings.get("dates") or usual, self.numeric_days)
