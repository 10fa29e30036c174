"""A book whose bytes were changed: `check` finds it, and every command says it in a sentence."""

import gc
import random
import shutil
import sqlite3
from contextlib import closing
from datetime import date
from decimal import Decimal

import pytest

from ledger.book import Book, create_book
from ledger.book.check import examine, examine_file
from ledger.jobs.jobs import new_job
from ledger.labor.standards import load_starting_standards
from ledger.measures.money import Money
from ledger.measures.quantity import Quantity
from ledger.stock.materials import MaterialRow, save_materials
from ledger.stock.movements import issue
from ledger.stock.opening import OpeningRow, open_stock
from ledger.upkeep.checks import CHECKS

DAY = date(2025, 4, 25)
COMMANDS = (
    ["check"],
    ["hours", "add", "J-2501", "sand", "12m", "--yes"],
    ["today"],
    ["stock", "list"],
    ["job", "show", "J-2501"],
    ["undo"],
)


@pytest.fixture(scope="module")
def sound(tmp_path_factory):
    """A small book of a metric shop: a client, a job, stock that was drawn from, a setting."""
    path = tmp_path_factory.mktemp("sound") / "shop.sqlite"
    create_book(path, DAY, {"shop": "Quillhaven", "currency": "EUR", "units": "mm"},
                load_starting_standards)  # fmt: skip
    with Book(path, DAY) as book:
        oil = MaterialRow("OIL", "Hardwax oil", "finish", "l", price=Decimal("28.50"),
                          supplier="Kupfertal Holz")  # fmt: skip
        save_materials(book, [oil])
        open_stock(book, [OpeningRow("OIL", Quantity.of(8), Money(22800), Money(22800))])
        new_job(book, "Oak sideboard, oiled", client="A. Client", number="J-2501")
        issue(book, 1, "OIL", Quantity.of(2))
    return path


def rows_of(path):
    """Every stored row as it can be read, or that it cannot."""
    try:
        with closing(sqlite3.connect(path)) as connection:
            connection.text_factory = bytes
            tables = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
            return {
                table: [
                    [(type(value), value) for value in row]
                    for row in connection.execute(f"SELECT rowid, * FROM {table.decode()}")
                ]
                for (table,) in tables.fetchall()
            }
    except (sqlite3.Error, UnicodeDecodeError):
        return None


def flipped(sound, path, chance):
    """Flip a bit of a byte that is not empty: most of a small book is free space."""
    content = bytearray(sound.read_bytes())
    written = [place for place, byte in enumerate(content) if byte]
    content[chance.choice(written)] ^= 1 << chance.randrange(8)
    path.write_bytes(content)


def wrong_with(path):
    wrong = [sentence for finding in examine_file(path) for sentence in finding.wrong]
    if wrong:
        return wrong
    with Book(path, DAY) as book:
        return [sentence for finding in examine(book, CHECKS) for sentence in finding.wrong]


def test_of_two_hundred_flipped_bits_none_that_changes_a_row_passes(sound, tmp_path):
    path, chance, right = tmp_path / "shop.sqlite", random.Random(1), rows_of(sound)
    changed = 0
    for turn in range(200):
        flipped(sound, path, chance)
        if rows_of(path) != right:
            changed += 1
            assert wrong_with(path), f"turn {turn}: a stored row was changed, and nothing found"
    assert changed > 30
    assert wrong_with(sound) == []


def test_without_digests_some_of_them_would_pass(sound, tmp_path, monkeypatch):
    """What SQLite's own check of the file does not see, so that the test above can fail."""
    path, chance, right = tmp_path / "shop.sqlite", random.Random(1), rows_of(sound)
    monkeypatch.setattr("ledger.book.digests.changed_rows", lambda connection: [])
    monkeypatch.setattr("ledger.book.check._OF_FILE", ())
    passed = 0
    for _ in range(200):
        flipped(sound, path, chance)
        passed += rows_of(path) not in (None, right) and not wrong_with(path)
    assert passed > 5


@pytest.mark.slow
def test_no_command_ends_in_a_traceback_on_a_damaged_book(sound, shop, tmp_path):
    path, chance = tmp_path / "shop.sqlite", random.Random(2)
    (tmp_path / "copies").mkdir()
    copy = shutil.copy(sound, tmp_path / "copies" / "shop 2025-04-25.sqlite")
    for _ in range(12):
        for words in COMMANDS:  # the fixture lets an exception through
            flipped(sound, path, chance)
            said = shop(*words)
            assert said.code in (0, 1)
            assert said.code == 0 or said.err.strip()
        gc.collect()  # what a refusal still holds of the file goes with the process elsewhere
        assert shop("restore", str(copy)).code == 0
        assert rows_of(path) == rows_of(copy)


def test_a_damaged_book_names_the_last_sound_copy_and_how_to_put_it_back(sound, shop, tmp_path):
    path, copies = tmp_path / "shop.sqlite", tmp_path / "copies"
    copies.mkdir()
    good = shutil.copy(sound, copies / "shop 2025-04-23.sqlite")
    with closing(sqlite3.connect(good)) as connection:
        connection.executescript("DROP TRIGGER lot_is_never_changed; UPDATE lot SET cash = cash-1")
    shutil.copy(good, copies / "shop 2025-04-24.sqlite")
    shutil.copy(sound, good)
    shutil.copy(copies / "shop 2025-04-24.sqlite", path)
    said = shop("check")
    assert said.code == 1
    assert "row 1 of lot is not as it was posted" in " ".join(said.out.split())
    for words in (["check"], ["stock", "list"]):
        told = shop(*words)
        assert told.code == 1
        assert f'benchledger restore "{good}"' in told.err
    assert shop("restore", str(good)).code == 0
    assert shop("check").code == 0


def test_rows_that_make_no_sense_to_a_command_are_told_as_damage(sound, shop, tmp_path):
    content = sound.read_bytes().replace(b"2025-04-25", b"2025-14-25")
    (tmp_path / "shop.sqlite").write_bytes(content)
    said = shop("today")
    assert said.code == 1
    assert "is not as it was posted" in said.err
    assert "benchledger restore FILE" in said.err


def test_a_damaged_copy_is_not_put_in_the_books_place(sound, shop, tmp_path):
    path, copy = tmp_path / "shop.sqlite", tmp_path / "copy.sqlite"
    shutil.copy(sound, path)
    copy.write_bytes(sound.read_bytes().replace(b"Oak sideboard, oiled", b"Oak sideboard, soile"))
    said = shop("restore", str(copy))
    assert said.code == 1
    assert "Entry 4 of" in said.err
    assert "is not as it was posted" in said.err
    assert path.read_bytes() == sound.read_bytes()
