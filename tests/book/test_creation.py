"""A book is made complete, or not at all."""

from datetime import date

import pytest

from ledger.book import Book, create_book
from ledger.book.tables.materials import Supplier
from ledger.errors import BadValue, BookTrouble, NotAllowed

DAY = date(2025, 4, 25)
SHOP = {"shop": "Quillhaven Workshop", "currency": "EUR", "units": "mm", "kerf": "3.2"}


def test_a_new_book_holds_one_entry_with_its_first_settings(tmp_path):
    path = tmp_path / "shop.sqlite"
    create_book(path, DAY, SHOP)
    with Book(path, DAY) as book:
        assert [(entry.verb, entry.words) for entry in book.entries()] == [
            ("new", "Quillhaven Workshop")
        ]
        assert (book.currency.code, book.units) == ("EUR", "mm")
        assert book.setting_text("kerf") == "3.2 mm"
        assert book.settings.opened == DAY


def test_what_else_a_new_book_starts_with_belongs_to_the_same_entry(tmp_path):
    path = tmp_path / "shop.sqlite"
    create_book(path, DAY, SHOP, also=lambda book: book.post(Supplier(name="one")))
    with Book(path, DAY) as book:
        assert [row.entry for row in book.rows(Supplier)] == [1]


def test_a_book_is_readable_by_its_owner_alone_and_nothing_else_is_left(tmp_path):
    path = tmp_path / "deep" / "down" / "shop.sqlite"
    create_book(path, DAY, SHOP)
    assert path.stat().st_mode & 0o777 == 0o600
    assert list(path.parent.iterdir()) == [path]


def test_a_file_that_stands_there_is_not_touched(tmp_path):
    path = tmp_path / "shop.sqlite"
    path.write_text("a letter")
    with pytest.raises(NotAllowed, match="exists already"):
        create_book(path, DAY, SHOP)
    assert path.read_text() == "a letter"


def fail(_book):
    raise ZeroDivisionError


@pytest.mark.parametrize(
    ("change", "also", "refusal"),
    [
        ({"currency": "XYZ"}, None, BadValue),
        ({"units": "cubits"}, None, BadValue),
        ({"kerf": "wide"}, None, BadValue),
        ({"shop": "\udcff"}, None, BadValue),
        ({}, fail, ZeroDivisionError),
    ],
)
def test_where_the_making_is_refused_there_is_no_book(tmp_path, change, also, refusal):
    with pytest.raises(refusal):
        create_book(tmp_path / "shop.sqlite", DAY, SHOP | change, also)
    assert list(tmp_path.iterdir()) == []


def test_a_book_made_by_another_command_meanwhile_is_kept(tmp_path):
    path = tmp_path / "shop.sqlite"
    with pytest.raises(NotAllowed, match="exists already"):
        create_book(path, DAY, SHOP, also=lambda _: path.write_text("the other one"))
    assert path.read_text() == "the other one"
    assert list(tmp_path.iterdir()) == [path]


def test_a_place_where_no_file_can_stand_is_said(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(BookTrouble, match="cannot be made"):
        create_book(tmp_path / "file" / "shop.sqlite", DAY, SHOP)
    with pytest.raises(BookTrouble, match="cannot be written"):
        create_book(tmp_path / ("x" * 300), DAY, SHOP)
