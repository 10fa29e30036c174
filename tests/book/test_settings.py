"""Settings: dated rows that read as values of their kind, whatever the default unit is."""

from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import get_args, get_origin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.book.settings import SETTINGS, ShopSettings, Value
from ledger.errors import BadValue, NotAllowed, NotFound
from ledger.measures.length import Length
from ledger.measures.money import Money, currency

DOLLARS = (currency("USD"), "inch")
EUROS = (currency("EUR"), "mm")


@pytest.mark.parametrize(
    ("name", "text", "kept", "value"),
    [
        ("shop", "  Quillhaven Workshop ", "Quillhaven Workshop", "Quillhaven Workshop"),
        ("overhead_year", "$24,000.00", "24000.00", Money(2_400_000)),
        ("mile_rate", ".7", "0.70", Decimal("0.70")),
        ("mile_rate", "0.054", "0.054", Decimal("0.054")),
        ("kerf", "1/8", "1/8 in", Length(3_175_000)),
        ("kerf", "3.2 mm", "3.2 mm", Length(3_200_000)),
        ("kerf", "1/64 in", "0.396875 mm", Length(396_875)),
        ("trim", "0", "0 in", Length(0)),
        ("profit", "0.08", "8 %", Fraction(2, 25)),
        ("profit", "1/3", "33-1/3 %", Fraction(1, 3)),
        ("use_tax_rate", "", "", None),
        ("hours_year", "1920", "1920", 1920),
        ("tax_delivery", "YES", "yes", True),
        ("tax_delivery", "false", "no", False),
        ("tax_standing", "vat", "vat", "vat"),
        ("payments", "50 / 40/10", "50/40/10", (Fraction(1, 2), Fraction(2, 5), Fraction(1, 10))),
        ("contingency", "0.06", "6 %", "6 %"),
        ("contingency", "Range", "8 in 10", "8 in 10"),
        ("contingency", "Typical", "typical", "typical"),
        ("opened", "2025-04-25", "2025-04-25", date(2025, 4, 25)),
    ],
)  # fmt: skip
def test_a_setting_is_kept_as_canonical_text_and_read_as_a_value(name, text, kept, value):
    setting = SETTINGS[name]
    assert setting.keep(text, DOLLARS) == kept
    assert setting.read(kept, DOLLARS) == value


TYPED = {name: value for name, value in vars(ShopSettings).items() if isinstance(value, Value)}


@pytest.mark.parametrize("name", TYPED)
def test_a_setting_has_the_type_that_its_line_says(name):
    (typed,) = get_args(TYPED[name].__orig_class__)
    setting = SETTINGS[name]
    value = setting.read(setting.default, DOLLARS)
    if get_origin(typed) is tuple:
        assert all(isinstance(part, get_args(typed)[0]) for part in value)
    else:
        assert isinstance(value, typed)
    assert (type(None) in get_args(typed)) == (
        setting.read("", DOLLARS) is None and not setting.default
    )


@pytest.mark.parametrize("name", SETTINGS)
def test_every_default_is_allowed_and_reads(name):
    setting = SETTINGS[name]
    kept = setting.keep(setting.default, DOLLARS)
    assert setting.read(kept, DOLLARS) == setting.read(setting.default, DOLLARS)
    assert setting.keep(kept, DOLLARS) == kept


@pytest.mark.parametrize(
    ("name", "text", "sentence"),
    [
        ("overhead_year", "24.0005", "overhead_year: .*24.0005"),
        ("overhead_year", "-1", "overhead_year is at least 0.00; not “-1”"),
        ("hours_year", "0", "hours_year is 1 to 8784; not “0”"),
        ("hours_year", "-1", "“-1” is not a whole number"),
        ("hours_year", "１２", "is not a whole number"),
        ("hours_year", "1e3", "is not a whole number"),
        ("billable", "0 %", "billable is 1 % to 100 %; not “0 %”"),
        ("billable", "120 %", "billable is 1 % to 100 %"),
        ("price_step", "0", "price_step is at least 0.01; not “0”"),
        ("tax_rate", "825 %", "tax_rate is 0 % to 100 %"),
        ("kerf", "wide", "kerf: “wide” is not a length"),
        ("kerf", "-1/8", "kerf: “-1/8” is negative"),
        ("contingency", "some", "contingency: “some” is not a share"),
        ("tax_standing", "none", "tax_standing is one of: sales_tax, vat, exempt; not “none”"),
        ("tax_delivery", "maybe", "“maybe” is neither yes nor no"),
        ("payments", "50/40", "does not add up to 100"),
        ("payments", "", "payments: "),
        ("opened", "25.4.2025", "is not a day; write for example 2025-05-06"),
        ("price_step", "", "price_step: "),
    ],
)
def test_a_text_that_is_not_of_its_kind_or_out_of_sense_is_refused(name, text, sentence):
    with pytest.raises(BadValue, match=sentence):
        SETTINGS[name].keep(text, DOLLARS)


@given(nanometers=st.integers(0, 10**11))
def test_any_length_reads_back_the_same_in_books_of_both_units(nanometers):
    for written in (DOLLARS, EUROS):
        text = SETTINGS["kerf"].keep(f"{Decimal(nanometers) / 10**6:f} mm", written)
        for read in (DOLLARS, EUROS):
            assert SETTINGS["kerf"].read(text, read) == Length(nanometers)


@given(share=st.fractions(0, 1, max_denominator=10_000))
def test_any_share_reads_back_the_same(share):
    setting = SETTINGS["offcut_value"]
    text = setting.keep(f"{share.numerator}/{share.denominator}" if share < 1 else "100 %", DOLLARS)
    assert setting.read(text, DOLLARS) == share


@given(minor=st.integers(0, 10**12), code=st.sampled_from(["USD", "JPY", "KWD", "EUR"]))
def test_any_amount_reads_back_the_same_in_every_currency(minor, code):
    units = (currency(code), "mm")
    text = SETTINGS["pay_year"].keep(str(units[0].decimal(Money(minor))), units)
    assert SETTINGS["pay_year"].read(text, units) == Money(minor)


def test_the_last_setting_in_force_counts(book):
    for text in ("1/8 in", "3.2 mm"):
        with book.entry("shop set"):
            book.set("kerf", text)
    assert book.settings.kerf == Length(3_200_000)


def test_a_setting_is_seen_at_once_in_its_entry_and_forgotten_if_the_entry_fails(book):
    with pytest.raises(ZeroDivisionError), book.entry("shop set"):
        book.set("kerf", "3.2 mm")
        assert book.setting_text("kerf") == "3.2 mm"
        raise ZeroDivisionError
    assert book.setting_text("kerf") == "1/8 in"


@pytest.mark.parametrize("name", ["currency", "units"])
def test_currency_and_units_are_chosen_once(book, name):
    with pytest.raises(NotAllowed, match=f"^{name} is chosen"), book.entry("a"):
        book.set(name, "EUR")
    assert (book.currency.code, book.units) == ("USD", "inch")


def test_a_book_reads_bare_numbers_in_its_own_unit(book, metric_book):
    for of, kept in ((book, "3 in"), (metric_book, "3 mm")):
        with of.entry("shop set"):
            of.set("trim", "3")
        assert of.setting_text("trim") == kept


def test_a_wrong_name_gets_the_nearest_ones(book):
    with pytest.raises(NotFound, match=r"No setting is called “kref”. Nearest: kerf"):
        book.setting_text("kref")
    with pytest.raises(NotFound, match="Nearest: markup_"), book.entry("a"):
        book.set("markup_sheets", "20 %")


def test_no_length_is_told_in_the_unit_of_the_book(book, metric_book):
    for of, kept in ((book, "0 in"), (metric_book, "0 mm")):
        assert SETTINGS["sled_capacity"].keep("0", (of.currency, of.units)) == kept
        assert of.setting_text("sled_capacity") == kept
