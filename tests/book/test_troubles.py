"""A file that cannot be used gets a sentence, and stays as it is."""

import sqlite3
from contextlib import closing

import pytest

from ledger.book import Book, schema, troubles
from ledger.book.tables.materials import Supplier
from ledger.errors import BookChanged, BookTrouble


def post(book, name="Copper Vale Lumber"):
    with book.entry("supplier add"):
        book.post(Supplier(name=name))


def names(path, today):
    with Book(path, today) as book:
        return [row.name for row in book.rows(Supplier)]


@pytest.fixture
def handicapped(book, monkeypatch):
    """The same book, opened by connections on which a statement was run first."""
    truth = schema.connect

    def open_with(pragma):
        def connect(path):
            connection = truth(path)
            connection.execute(pragma)
            return connection

        monkeypatch.setattr(schema, "connect", connect)
        return Book(book.path, book.today)

    yield open_with
    monkeypatch.undo()


def test_a_book_that_is_not_there_is_said_with_how_to_make_one(tmp_path, book):
    with pytest.raises(BookTrouble, match=r"no book at .* benchledger new"):
        Book(tmp_path / "none.sqlite", book.today)
    with pytest.raises(BookTrouble, match="is a folder"):
        Book(tmp_path, book.today)


def test_a_folder_that_may_not_be_opened_is_no_folder_without_a_book(tmp_path, book, monkeypatch):
    monkeypatch.setattr("os.access", lambda folder, _: folder != tmp_path)
    with pytest.raises(BookTrouble, match=r"folder .* may not be opened"):
        Book(tmp_path / "deep" / "none.sqlite", book.today)


@pytest.mark.parametrize(
    "content", [b"", b"a letter to a client", b"SQLite format 3\0" + bytes(4080), bytes(9000)]
)
def test_another_kind_of_file_is_not_a_book_and_is_left_alone(tmp_path, book, content):
    path = tmp_path / "letter.txt"
    path.write_bytes(content)
    with pytest.raises(BookTrouble, match="is not a book"):
        Book(path, book.today)
    assert path.read_bytes() == content


def test_a_database_of_another_program_is_not_a_book(tmp_path, book):
    path = tmp_path / "other.sqlite"
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE deed (id INTEGER PRIMARY KEY)")
    before = path.read_bytes()
    with pytest.raises(BookTrouble, match="is not a book"):
        Book(path, book.today)
    assert path.read_bytes() == before


def test_a_damaged_page_is_said_with_what_helps(book):
    page = book.query("SELECT rootpage FROM sqlite_master WHERE name = 'supplier'")[0][0]
    post(book)
    book.close()
    size = 4096
    with book.path.open("r+b") as file:
        file.seek((page - 1) * size)
        file.write(b"\xff" * size)
    with pytest.raises(BookTrouble, match="is damaged"):
        names(book.path, book.today)


def test_a_file_cut_short_is_refused(book):
    post(book)
    book.close()
    content = book.path.read_bytes()
    book.path.write_bytes(content[: len(content) // 2])
    with pytest.raises(BookTrouble, match=r"is damaged|not a book"):
        names(book.path, book.today)


def test_a_book_that_may_only_be_read_answers_but_takes_nothing(book, monkeypatch):
    post(book, "one")
    address = f"{book.path.as_uri()}?mode=ro"
    monkeypatch.setattr(
        schema, "connect", lambda _: sqlite3.connect(address, uri=True, isolation_level=None)
    )
    with Book(book.path, book.today) as opened:
        assert [row.name for row in opened.rows(Supplier)] == ["one"]
        with pytest.raises(BookTrouble, match="only be read"):
            post(opened, "two")
        assert [row.name for row in opened.rows(Supplier)] == ["one"]


def test_a_full_disk_is_said_and_the_book_stays_whole(book, handicapped):
    pages = book.query("PRAGMA page_count")[0][0]
    with handicapped(f"PRAGMA max_page_count={pages}") as opened:
        with pytest.raises(BookTrouble, match="is full"):
            post(opened, "x" * 100_000)
        assert opened.query("PRAGMA integrity_check") == [("ok",)]
    assert names(book.path, book.today) == []
    assert len(book.entries(10)) == 1


def test_a_full_disk_half_way_through_a_long_entry_leaves_nothing_of_it(book, handicapped):
    pages = book.query("PRAGMA page_count")[0][0]
    with handicapped(f"PRAGMA max_page_count={pages + 5}") as opened:
        with pytest.raises(BookTrouble, match="is full"), opened.entry("load"):
            for _ in range(1000):
                opened.post(Supplier(name="x" * 1000))
        assert opened.rows(Supplier) == []


@pytest.fixture
def impatient(monkeypatch):
    monkeypatch.setattr(troubles, "WAIT_SECONDS", 0.05)


@pytest.mark.parametrize("lock", ["BEGIN IMMEDIATE", "BEGIN EXCLUSIVE"])
def test_a_second_writer_waits_only_so_long_and_says_why(impatient, book, lock):
    with Book(book.path, book.today) as waiting:
        with closing(sqlite3.connect(book.path, isolation_level=None)) as other:
            other.execute(lock)
            with pytest.raises(BookTrouble, match="command is writing"):
                post(waiting, "two")
        post(waiting, "three")
        assert [row.name for row in waiting.rows(Supplier)] == ["three"]


def test_a_wait_that_gets_long_is_told_before_it_is_given_up(book, monkeypatch):
    monkeypatch.setattr(troubles, "WAIT_SECONDS", 1.5)
    told = []
    with (
        Book(book.path, book.today, while_waiting=lambda: told.append("waiting")) as waiting,
        closing(sqlite3.connect(book.path, isolation_level=None)) as other,
    ):
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(BookTrouble, match="command is writing"):
            post(waiting)
        assert told == ["waiting"]


def test_a_writer_that_ends_meanwhile_lets_the_waiting_one_in(book):
    told = []
    with closing(sqlite3.connect(book.path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")

        def end():
            told.append("waiting")
            other.execute("COMMIT")

        with Book(book.path, book.today, while_waiting=end) as waiting:
            post(waiting, "one")
    assert told == ["waiting"]
    assert names(book.path, book.today) == ["one"]


def test_a_book_locked_for_reading_too_is_said_at_opening(impatient, book):
    with closing(sqlite3.connect(book.path, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        with pytest.raises(BookTrouble, match="command is writing"):
            Book(book.path, book.today)


def test_a_reader_that_stays_keeps_a_writer_only_so_long(impatient, book):
    with Book(book.path, book.today) as waiting:
        with closing(sqlite3.connect(book.path, isolation_level=None)) as other:
            other.execute("BEGIN")
            other.execute("SELECT * FROM deed").fetchall()
            with pytest.raises(BookTrouble, match="command is writing"):
                post(waiting)
        assert waiting.rows(Supplier) == []


@pytest.mark.parametrize("name", ["a?mode=ro.sqlite", "ümläut # 100%.sqlite", 'it\'s "quoted".db'])
def test_a_book_may_have_any_name(tmp_path, book, name):
    path = tmp_path / name
    schema.copy_into(book.path, path)
    with Book(path, book.today) as opened:
        post(opened)
        assert opened.settings.shop == "Quillhaven Workshop"
    assert sorted(file.name for file in tmp_path.iterdir()) == sorted([name, "shop.sqlite"])


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ("UNIQUE constraint failed: deed.reverses", "that entry is reversed already"),
        ("UNIQUE constraint failed: job.number", "job.number stands in it already"),
        ("NOT NULL constraint failed: job.title", "job.title is missing"),
        ("CHECK constraint failed: job_kind", "job kind"),
        ("FOREIGN KEY constraint failed", "it names a row that is not there"),
        ("a posted row of job is never changed", "a posted row of job is never changed"),
        ("cannot store TEXT value in INTEGER column", "cannot store TEXT value in INTEGER column"),
    ],
)
def test_a_broken_rule_is_said_in_words(tmp_path, said, sentence):
    refused = pytest.raises(Exception, match=f"^The book refuses this: {sentence}\\.$")
    with refused, troubles.as_refusal(tmp_path):
        raise sqlite3.IntegrityError(said)


def test_a_trouble_that_nobody_foresaw_keeps_its_own_words(tmp_path):
    refused = pytest.raises(BookTrouble, match=r"could not be used \(interrupted\)")
    with refused, troubles.as_refusal(tmp_path / "shop.sqlite"):
        raise sqlite3.OperationalError("interrupted")


def test_a_full_disk_inside_an_inner_entry_is_said_as_what_it_is(book, handicapped):
    pages = book.query("PRAGMA page_count")[0][0]
    with (
        handicapped(f"PRAGMA max_page_count={pages}") as full,
        pytest.raises(BookTrouble, match="is full"),
        full.entry("outer"),
        full.entry("inner"),
    ):
        full.post(Supplier(name="x" * 100_000))
    assert names(book.path, book.today) == []


def test_a_copy_put_in_the_books_place_meanwhile_lets_the_command_begin_again(book, tmp_path):
    assert book.rows(Supplier) == []
    copy = tmp_path / "copy.sqlite"
    schema.copy_into(book.path, copy)
    copy.replace(book.path)
    with pytest.raises(BookChanged):
        post(book)
    assert names(book.path, book.today) == []


def test_a_folder_that_is_gone_is_said(tmp_path, book):
    folder = tmp_path / "stick"
    folder.mkdir()
    path = folder / "shop.sqlite"
    schema.copy_into(book.path, path)
    with Book(path, book.today) as opened:
        assert opened.rows(Supplier) == []
        folder.rename(tmp_path / "elsewhere")
        with pytest.raises(BookTrouble, match=r"folder .* is not there"):
            post(opened)
