"""Copies: verified, never over another file; and restored without losing what stood there."""

import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from datetime import date

import pytest

from ledger.book import Book, backup, schema, troubles
from ledger.book.check import examine_file
from ledger.book.copies import keep_daily_copy
from ledger.book.tables.materials import Supplier
from ledger.errors import BookTrouble, LedgerError, NotAllowed

DAY = date(2025, 4, 25)


def post(book, name):
    with book.entry("supplier add", name):
        book.post(Supplier(name=name))


def names(path):
    with Book(path, DAY) as book:
        return [row.name for row in book.rows(Supplier)]


def files(folder):
    return sorted(file.name for file in folder.iterdir())


def damage(path):
    """Write nonsense over every page but the first."""
    content = path.read_bytes()
    path.write_bytes(content[:4096] + b"\xff" * (len(content) - 4096))


def test_a_backup_is_a_whole_book_readable_by_its_owner_alone(tmp_path, book):
    post(book, "one")
    copy = tmp_path / "copy.sqlite"
    backup.back_up(book.path, copy)
    assert names(copy) == ["one"]
    assert copy.stat().st_mode & 0o777 == 0o600
    assert files(tmp_path) == ["copy.sqlite", "shop.sqlite"]


def test_a_backup_holds_what_is_committed_and_not_what_is_under_way(tmp_path, book):
    post(book, "one")
    with book.entry("a"):
        book.post(Supplier(name="two"))
        backup.back_up(book.path, tmp_path / "copy.sqlite")
    assert names(tmp_path / "copy.sqlite") == ["one"]


def test_a_backup_never_goes_over_an_existing_file(tmp_path, book):
    copy = tmp_path / "copy.sqlite"
    copy.write_text("a letter")
    with pytest.raises(NotAllowed, match="exists already"):
        backup.back_up(book.path, copy)
    assert copy.read_text() == "a letter"
    with pytest.raises(NotAllowed, match="exists already"):
        backup.back_up(book.path, book.path)


@pytest.mark.parametrize("where", [".", "/", "none/copy.sqlite"])
def test_a_backup_that_cannot_stand_there_says_what_would_be_right(tmp_path, book, where):
    with pytest.raises(LedgerError, match=r"is a folder; name a file in it|no folder .*Make it"):
        backup.back_up(book.path, tmp_path / where)
    assert files(tmp_path) == ["shop.sqlite"]


def test_a_damaged_book_gives_no_backup(tmp_path, book):
    book.close()
    damage(book.path)
    with pytest.raises(BookTrouble, match=r"damaged|not sound"):
        backup.back_up(book.path, tmp_path / "copy.sqlite")
    assert files(tmp_path) == ["shop.sqlite"]


@pytest.mark.parametrize("place", ["missing/copy.sqlite", "shop.sqlite/copy.sqlite", "x" * 300])
def test_a_place_that_cannot_be_written_is_said(tmp_path, book, place):
    with pytest.raises(BookTrouble, match="cannot be written"):
        backup.back_up(book.path, tmp_path / place)
    assert files(tmp_path) == ["shop.sqlite"]


def test_a_restored_copy_takes_the_place_of_the_book_which_is_kept(tmp_path, book):
    post(book, "one")
    backup.back_up(book.path, tmp_path / "copy.sqlite")
    post(book, "two")
    book.close()
    kept = backup.restore(book.path, tmp_path / "copy.sqlite", DAY)
    assert names(book.path) == ["one"]
    assert kept == tmp_path / "shop.replaced-2025-04-25.sqlite"
    assert names(kept) == ["one", "two"]
    assert names(tmp_path / "copy.sqlite") == ["one"]
    assert book.path.stat().st_mode & 0o777 == 0o600


def test_restoring_twice_a_day_keeps_both(tmp_path, book):
    backup.back_up(book.path, tmp_path / "copy.sqlite")
    book.close()
    kept = [backup.restore(book.path, tmp_path / "copy.sqlite", DAY) for _ in range(3)]
    assert [path.name for path in kept] == [
        "shop.replaced-2025-04-25.sqlite",
        "shop.replaced-2025-04-25-2.sqlite",
        "shop.replaced-2025-04-25-3.sqlite",
    ]


def test_a_damaged_book_is_replaced_and_kept_as_it_is(tmp_path, book):
    post(book, "one")
    backup.back_up(book.path, tmp_path / "copy.sqlite")
    book.close()
    book.path.write_bytes(b"not any more")
    kept = backup.restore(book.path, tmp_path / "copy.sqlite", DAY)
    assert names(book.path) == ["one"]
    assert kept.read_bytes() == b"not any more"


def test_the_journal_of_a_book_that_cannot_even_be_locked_goes_with_it(tmp_path, book, monkeypatch):
    backup.back_up(book.path, tmp_path / "copy.sqlite")
    book.close()
    (tmp_path / "shop.sqlite-journal").write_bytes(b"of the damaged one")
    truth = schema.connect

    def connect(path):
        if path == book.path:
            raise sqlite3.DatabaseError("database disk image is malformed")
        return truth(path)

    with monkeypatch.context() as patched:
        patched.setattr(schema, "connect", connect)
        kept = backup.restore(book.path, tmp_path / "copy.sqlite", DAY)
    assert kept.with_name(f"{kept.name}-journal").read_bytes() == b"of the damaged one"
    assert not (tmp_path / "shop.sqlite-journal").exists()


def test_a_book_that_is_gone_can_be_restored(tmp_path, book):
    post(book, "one")
    backup.back_up(book.path, tmp_path / "copy.sqlite")
    book.close()
    book.path.unlink()
    assert backup.restore(book.path, tmp_path / "copy.sqlite", DAY) is None
    assert names(book.path) == ["one"]


def unsound(path, how):
    if how == "damaged":
        damage(path)
    elif how == "a letter":
        path.write_text("a letter")
    else:
        with closing(sqlite3.connect(path)) as connection:
            connection.executescript(how)


@pytest.mark.parametrize(
    ("how", "sentence"),
    [
        ("damaged", "not sound|damaged"),
        ("a letter", "is not a book of Bench Ledger"),
        ("PRAGMA application_id=0", "is not a book of Bench Ledger"),
        ("PRAGMA user_version=9999", "newer program"),
        ("DROP TRIGGER deed_is_never_deleted", "deed_is_never_deleted is missing"),
        ("DROP TABLE month_state", "month_state is missing"),
        (
            "PRAGMA foreign_keys=OFF; INSERT INTO supplier (deed, name) VALUES (99, 'x')",
            "refers to",
        ),
    ],
)
def test_a_copy_that_is_not_sound_is_not_restored(tmp_path, book, how, sentence):
    post(book, "one")
    backup.back_up(book.path, tmp_path / "copy.sqlite")
    unsound(tmp_path / "copy.sqlite", how)
    before = book.path.read_bytes()
    with pytest.raises(BookTrouble, match=sentence):
        backup.restore(book.path, tmp_path / "copy.sqlite", DAY)
    assert book.path.read_bytes() == before
    assert files(tmp_path) == ["copy.sqlite", "shop.sqlite"]


def test_a_copy_that_is_not_there_or_the_book_itself_is_refused(tmp_path, book):
    with pytest.raises(BookTrouble, match="There is no copy at"):
        backup.restore(book.path, tmp_path / "none.sqlite", DAY)
    with pytest.raises(BookTrouble, match="is a folder"):
        backup.restore(tmp_path, book.path, DAY)
    with pytest.raises(NotAllowed, match="is the book itself"):
        backup.restore(book.path, book.path, DAY)


def test_a_book_that_is_being_written_is_not_replaced(tmp_path, book, monkeypatch):
    monkeypatch.setattr(troubles, "WAIT_SECONDS", 0.05)
    backup.back_up(book.path, tmp_path / "copy.sqlite")
    with book.entry("a"):
        book.post(Supplier(name="one"))
        with pytest.raises(BookTrouble, match="command is writing"):
            backup.restore(book.path, tmp_path / "copy.sqlite", DAY)
    assert names(book.path) == ["one"]
    assert files(tmp_path) == ["copy.sqlite", "shop.sqlite"]


KILLED = """
import os, sqlite3, sys
connection = sqlite3.connect(sys.argv[1], isolation_level=None)
connection.execute("PRAGMA cache_size=1")
connection.execute("BEGIN")
for _ in range(500):
    connection.execute("INSERT INTO supplier (deed, name) VALUES (1, hex(randomblob(500)))")
os._exit(9)
"""


@pytest.fixture
def killed(tmp_path, book):
    """A book whose last command was killed half way: its journal is still to be played back."""
    post(book, "one")
    backup.back_up(book.path, tmp_path / "copy.sqlite")
    book.close()
    subprocess.run([sys.executable, "-c", KILLED, str(book.path)], check=False)
    assert (tmp_path / "shop.sqlite-journal").exists()
    return book.path


def test_the_journal_of_a_killed_command_is_not_played_into_the_restored_book(tmp_path, killed):
    kept = backup.restore(killed, tmp_path / "copy.sqlite", DAY)
    assert names(killed) == names(kept) == ["one"]
    assert not (tmp_path / "shop.sqlite-journal").exists()


def test_who_opened_the_book_before_it_was_restored_reads_the_restored_one(tmp_path, book):
    """Its first lock comes after the restore, while the next command's journal lies there."""
    post(book, "one")
    backup.back_up(book.path, tmp_path / "copy.sqlite")
    post(book, "two")
    book.close()
    early = sqlite3.connect(book.path, isolation_level=None)
    kept = backup.restore(book.path, tmp_path / "copy.sqlite", DAY)
    with Book(book.path, DAY) as later, closing(early), later.entry("supplier add"):
        later.post(Supplier(name="three"))
        assert (tmp_path / "shop.sqlite-journal").exists()
        assert early.execute("SELECT name FROM supplier").fetchall() == [("one",)]
        assert (tmp_path / "shop.sqlite-journal").exists()
    assert names(book.path) == ["one", "three"]
    assert names(kept) == ["one", "two"]


def test_nobody_posts_between_the_keeping_of_a_book_and_its_replacing(tmp_path, book, monkeypatch):
    post(book, "one")
    backup.back_up(book.path, tmp_path / "copy.sqlite")
    book.close()
    put, refused = backup._put_into, []

    def put_while_another_tries(held, copy):
        with closing(sqlite3.connect(book.path, timeout=0, isolation_level=None)) as other:
            with pytest.raises(sqlite3.OperationalError, match="is locked"):
                other.execute("BEGIN IMMEDIATE")
            refused.append(True)
        put(held, copy)

    monkeypatch.setattr(backup, "_put_into", put_while_another_tries)
    backup.restore(book.path, tmp_path / "copy.sqlite", DAY)
    assert refused == [True]


def test_a_restore_that_is_cut_off_leaves_the_book_as_it_was(tmp_path, book, monkeypatch):
    post(book, "one")
    backup.back_up(book.path, tmp_path / "copy.sqlite")
    post(book, "two")
    book.close()

    def half(held, copy):
        with closing(schema.connect(copy)) as source:
            source.backup(held, pages=20, progress=lambda *_: os._exit(9))

    monkeypatch.setattr(backup, "_put_into", half)
    child = os.fork()
    if not child:
        backup.restore(book.path, tmp_path / "copy.sqlite", DAY)
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 9
    assert (tmp_path / "shop.sqlite-journal").exists(), "it was half written"
    assert names(book.path) == ["one", "two"]
    assert all(finding.wrong == [] for finding in examine_file(book.path))


def test_the_first_to_look_after_a_kill_plays_the_journal_back(tmp_path, killed):
    assert all(finding.wrong == [] for finding in examine_file(killed))
    assert names(killed) == ["one"]


def test_a_book_is_copied_whole_after_a_kill(tmp_path, killed):
    backup.back_up(killed, tmp_path / "another.sqlite")
    assert names(tmp_path / "another.sqlite") == ["one"]


# --- the daily copy ------------------------------------------------------------------------


def on_day(book, day):
    return Book(book.path, day, before_writing=keep_daily_copy)


def test_the_first_posting_of_a_day_copies_the_book_as_the_day_found_it(tmp_path, book):
    post(book, "one")
    with on_day(book, DAY) as opened:
        assert opened.rows(Supplier)
        assert files(tmp_path) == ["shop.sqlite"], "a question makes no copy"
        post(opened, "two")
        post(opened, "three")
    assert files(tmp_path / "copies") == ["shop 2025-04-25.sqlite"]
    copy = tmp_path / "copies" / "shop 2025-04-25.sqlite"
    assert names(copy) == ["one"]
    assert copy.stat().st_mode & 0o777 == 0o600
    assert copy.parent.stat().st_mode & 0o777 == 0o700


def test_so_many_copies_are_kept_as_the_setting_says_the_latest_ones(tmp_path, book):
    with book.entry("shop set"):
        book.set("daily_copies", "3")
    (tmp_path / "copies").mkdir()
    (tmp_path / "copies" / "other 2025-01-01.sqlite").write_text("of another book")
    for day in range(1, 8):
        with on_day(book, date(2025, 4, day)) as opened:
            post(opened, str(day))
    assert files(tmp_path / "copies") == [
        "other 2025-01-01.sqlite",
        *(f"shop 2025-04-0{day}.sqlite" for day in (5, 6, 7)),
    ]


def test_no_copies_are_made_where_none_are_wanted(tmp_path, book):
    with book.entry("shop set"):
        book.set("daily_copies", "0")
    with on_day(book, DAY) as opened:
        post(opened, "one")
    assert files(tmp_path) == ["shop.sqlite"]


def test_the_copy_of_an_earlier_day_is_not_dropped_as_it_is_made(tmp_path, book):
    with book.entry("shop set"):
        book.set("daily_copies", "1")
    for day in (DAY, date(2020, 1, 1)):
        with on_day(book, day) as opened:
            post(opened, str(day))
    assert files(tmp_path / "copies") == ["shop 2020-01-01.sqlite"]


def test_what_a_killed_command_left_of_a_copy_goes(tmp_path, book):
    (tmp_path / "copies").mkdir()
    left = tmp_path / "copies" / ".shop 2025-04-24.sqlite.99.part"
    left.write_text("half a copy")
    with on_day(book, DAY) as opened:
        post(opened, "one")
    assert files(tmp_path / "copies") == ["shop 2025-04-25.sqlite"]


def test_a_copy_that_cannot_be_made_is_said_and_nothing_is_half_done(tmp_path, book):
    (tmp_path / "copies").write_text("not a folder")
    with on_day(book, DAY) as opened, pytest.raises(BookTrouble, match="cannot be written"):
        post(opened, "one")
    assert names(book.path) == []


def test_a_book_with_brackets_in_its_name_drops_only_its_own_copies(tmp_path, book):
    path = tmp_path / "shop [a]*.sqlite"
    schema.copy_into(book.path, path)
    with Book(path, DAY) as opened, opened.entry("shop set"):
        opened.set("daily_copies", "1")
    for day in (date(2025, 4, 24), DAY):
        with Book(path, day, before_writing=keep_daily_copy) as opened:
            post(opened, "one")
    assert files(tmp_path / "copies") == ["shop [a]* 2025-04-25.sqlite"]


def test_a_copy_can_be_made_where_hard_links_cannot(tmp_path, book, monkeypatch):
    def refuse(*_):
        raise OSError("no links here")

    monkeypatch.setattr(os, "link", refuse)
    backup.back_up(book.path, tmp_path / "copy.sqlite")
    assert files(tmp_path) == ["copy.sqlite", "shop.sqlite"]
    with pytest.raises(NotAllowed, match="exists already"):
        backup.back_up(book.path, tmp_path / "copy.sqlite")
