"""The checks of a book: each says what holds, or what is wrong in words."""

import sqlite3
from contextlib import closing
from datetime import date
from decimal import Decimal

import pytest

from ledger.book.check import examine, examine_file
from ledger.book.tables.materials import Price, Supplier

RUDE = "PRAGMA foreign_keys=OFF;"


def wrong(findings):
    return [sentence for finding in findings for sentence in finding.wrong]


def tamper(path, sql):
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(sql)


@pytest.fixture
def busy_book(book):
    with book.entry("material price", "PLY34"):
        supplier = book.post(Supplier(name="Copper Vale Lumber")).key
        day = date(2025, 4, 1)
        for amount in ("96.00", "0.054"):
            book.post(Price(material="A", supplier=supplier, day=day, amount=Decimal(amount)))
    with book.entry("shop set"):
        book.set("kerf", "3.2 mm")
    book.reverse(3, "typed twice")
    return book


def test_a_sound_book_passes_every_check(busy_book):
    findings = examine_file(busy_book.path) + examine(busy_book)
    assert len(findings) >= 9
    assert wrong(findings) == []


def test_each_check_is_named_by_a_statement(busy_book):
    findings = examine_file(busy_book.path) + examine(busy_book)
    assert len({finding.name for finding in findings}) == len(findings)
    assert all(finding.name[0].isupper() and " " in finding.name for finding in findings)


@pytest.mark.parametrize(
    ("sql", "sentence"),
    [
        ("DROP INDEX price_by_material", "price_by_material is missing in its schema."),
        ("CREATE TABLE notes (a)", "notes was added to its schema by somebody else."),
        ("ALTER TABLE price ADD COLUMN mood TEXT", "price was changed in its schema"),
        ("DROP TRIGGER deed_is_never_deleted", "The trigger deed_is_never_deleted is not in"),
        (RUDE + "INSERT INTO supplier (deed, name) VALUES (99, 'x')", "refers to a row of deed"),
        ("PRAGMA user_version=9999", "written by a newer program"),
        ("PRAGMA application_id=7", "is not a book of Bench Ledger"),
    ],
)  # fmt: skip
def test_what_was_done_to_the_file_is_found(busy_book, sql, sentence):
    tamper(busy_book.path, sql)
    assert any(sentence in said for said in wrong(examine_file(busy_book.path)))


def test_a_damaged_page_is_found(busy_book):
    page = busy_book.query("SELECT rootpage FROM sqlite_master WHERE name = 'price'")[0][0]
    busy_book.close()
    with busy_book.path.open("r+b") as file:
        file.seek((page - 1) * 4096)
        file.write(bytes(4096))
    assert wrong(examine_file(busy_book.path))


def test_an_index_that_lacks_a_row_is_found(busy_book):
    tamper(
        busy_book.path,
        "PRAGMA writable_schema=ON; UPDATE sqlite_master SET sql ="
        " 'CREATE INDEX price_by_material ON price (material, day, id) WHERE id > 1'"
        " WHERE name = 'price_by_material'; PRAGMA writable_schema=OFF;",
    )
    tamper(
        busy_book.path,
        "INSERT INTO price (id, deed, material, day, amount)"
        " VALUES (-1, 1, 'A', '2025-01-01', '1')",
    )
    assert wrong(examine_file(busy_book.path))


@pytest.mark.parametrize("content", [b"", b"a letter", bytes(5000)])
def test_a_file_that_is_no_book_is_said_not_to_be_one(tmp_path, content):
    path = tmp_path / "letter.txt"
    path.write_bytes(content)
    assert "is not a book" in wrong(examine_file(path))[0]


UNGUARDED = "DROP TRIGGER price_is_never_deleted; DROP TRIGGER price_is_never_changed;"


@pytest.mark.parametrize(
    ("sql", "sentence"),
    [
        (
            "DELETE FROM price WHERE id = 1",
            "price holds 1 rows, but they are numbered up to 2.",
        ),
        (
            "INSERT INTO deed (at, day, who, verb, reverses, why)"
            " VALUES ('', '2025-04-25', '', 'reverse', 4, 'x')",
            "Entry 5 takes back the reversal 4.",
        ),
        (
            "INSERT INTO price (deed, material, day, amount) VALUES (2, 'A', '2025-02-30', '1')",
            "price holds the day “2025-02-30”.",
        ),
        (
            "INSERT INTO price (deed, material, day, amount) VALUES (2, 'A', '2025-02-03', 'many')",
            "price holds “many” as amount.",
        ),
        (
            "INSERT INTO setting (deed, name, value) VALUES (2, 'kerf', 'wide')",
            "The setting kerf cannot be read: “wide” is not a length",
        ),
    ],
)
def test_what_does_not_tie_is_found_and_only_that(busy_book, sql, sentence):
    tamper(busy_book.path, UNGUARDED + sql)
    (said,) = wrong(examine(busy_book))
    assert said.startswith(sentence)


def test_rooms_add_checks_of_their_own(busy_book):
    more = [("Nothing is on fire", lambda book: [f"{book.path.name} is on fire."])]
    assert examine(busy_book, more)[-1] == ("Nothing is on fire", ["shop.sqlite is on fire."])
