"""Books of earlier schemas are brought up to date, after a copy, whole or not at all."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from ledger.book import Book, schema
from ledger.book.check import examine_file
from ledger.book.tables.materials import Supplier
from ledger.errors import BookTrouble

VERSIONS = sorted((Path(__file__).parent / "versions").glob("*.dump"))


def shape(path):
    with closing(sqlite3.connect(path)) as connection:
        rows = connection.execute(
            "SELECT type, name, tbl_name, sql FROM sqlite_master WHERE name NOT LIKE 'sqlite_%'"
        )
        number = connection.execute("PRAGMA user_version").fetchone()[0]
        return set(rows.fetchall()), number


def rows_of(path, tables):
    with closing(sqlite3.connect(path)) as connection:
        return {table: connection.execute(f"SELECT * FROM {table}").fetchall() for table in tables}


def older_book(path, number):
    """A book as the program of that schema left it."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        schema.apply(connection, 0, number)
        connection.execute(
            "INSERT INTO deed (at, day, who, verb) VALUES ('x', '2025-04-25', 'owner', 'new')"
        )
    return path


@pytest.fixture
def one_file_more(monkeypatch):
    """Let the package have one numbered file more, of that SQL."""

    def add(sql):
        number = schema.newest() + 1
        known, read = schema.steps(), Path.read_text
        name = f"{number:04}_more.sql"
        monkeypatch.setattr(schema, "steps", lambda: [*known, (number, name)])
        monkeypatch.setattr(
            Path, "read_text", lambda p, *a, **k: sql if p.name == name else read(p, *a, **k)
        )
        return number

    return add


def test_costs_of_jobs_stand_when_freight_joins_their_kinds(tmp_path):
    path = older_book(tmp_path / "old.sqlite", 7)
    row = (1, 1, 1, "planned", "miles", "delivery", 24000000, "0.70", 1680, "2025-04-25")
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute(
            "INSERT INTO job (deed, number, title, kind) VALUES (1, 'J-1', 'Bed', 'commission')"
        )
        connection.execute(f"INSERT INTO job_cost VALUES {row}")
    schema.bring_up_to_date(path)
    assert rows_of(path, ["job_cost"])["job_cost"] == [row]
    with closing(schema.connect(path)) as connection:
        connection.execute("INSERT INTO job_cost SELECT 2, 1, 1, 'planned', 'freight', 'by mail',"
                           " quantity, unit_amount, amount, day FROM job_cost")  # fmt: skip
        with pytest.raises(sqlite3.IntegrityError):
            connection.execute("DELETE FROM job_cost")


@pytest.mark.parametrize("page", VERSIONS, ids=lambda page: page.stem)
def test_a_book_of_an_earlier_release_opens_with_all_its_rows(tmp_path, book, sample_rows, page):
    path = tmp_path / "old.sqlite"
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(page.read_text("utf-8"))
    tables = [table for table in sample_rows if f'"{table}"' in page.read_text("utf-8")]
    before = rows_of(path, tables)
    assert all(before.values())
    with Book(path, book.today) as opened:
        assert opened.settings.shop == "Quillhaven Workshop"
        assert [supplier.name for supplier in opened.rows(Supplier)] == ["Copper Vale Lumber"]
        with opened.entry("supplier add"):
            opened.post(Supplier(name="another"))
    after = rows_of(path, tables)
    for table in tables:  # a column that came later stands behind the old ones
        kept = [row[: len(old)] for old, row in zip(before[table], after[table], strict=False)]
        assert kept == before[table]
    assert shape(path) == shape(book.path)
    assert [f.wrong for f in examine_file(path) if "as it was posted" in f.name] == [[]]


@pytest.mark.parametrize("number", [n for n, _ in schema.steps()][:-1])
def test_a_book_brought_up_from_any_number_is_like_a_new_one(tmp_path, book, number):
    path = older_book(tmp_path / "old.sqlite", number)
    schema.bring_up_to_date(path)
    assert shape(path) == shape(book.path)


def test_a_book_is_copied_before_its_upgrade(tmp_path, one_file_more):
    number = schema.newest()
    path = older_book(tmp_path / "old.sqlite", number)
    one_file_more("CREATE TABLE more (id INTEGER PRIMARY KEY) STRICT;")
    schema.bring_up_to_date(path)
    copy = tmp_path / f"old.before-schema-{number + 1}.sqlite"
    assert shape(copy)[1] == number
    assert rows_of(copy, ["deed"]) == rows_of(path, ["deed"])
    assert copy.stat().st_mode & 0o777 == 0o600
    assert sorted(file.name for file in tmp_path.iterdir()) == [copy.name, "old.sqlite"]


def test_an_upgrade_that_fails_half_way_changes_nothing(book, one_file_more):
    before = shape(book.path)
    one_file_more("CREATE TABLE more (id INTEGER PRIMARY KEY) STRICT;\nCREATE NONSENSE;")
    with pytest.raises(BookTrouble, match=r"could not be used .*syntax error"):
        schema.bring_up_to_date(book.path)
    assert shape(book.path) == before


def test_a_new_table_of_posted_rows_gets_its_triggers_by_itself(book, one_file_more):
    one_file_more("CREATE TABLE more (id INTEGER PRIMARY KEY, deed INTEGER) STRICT;")
    schema.bring_up_to_date(book.path)
    names = {name for kind, name, _, _ in shape(book.path)[0] if kind == "trigger"}
    assert {"more_is_never_changed", "more_is_never_deleted"} <= names


def test_a_numbered_file_may_hold_triggers_and_comments(book, one_file_more):
    sql = (
        "-- why; and how\nCREATE TABLE more (id INTEGER PRIMARY KEY, a TEXT) STRICT;\n"
        "CREATE TRIGGER more_counts AFTER INSERT ON more BEGIN\n"
        "  UPDATE more SET a = 'x; y' WHERE id = NEW.id;\n  SELECT 1;\nEND;\n-- the end;\n"
    )
    number = one_file_more(sql)
    schema.bring_up_to_date(book.path)
    assert shape(book.path)[1] == number
    assert "more_counts" in {name for _, name, _, _ in shape(book.path)[0]}


def test_two_commands_may_find_the_same_old_book(tmp_path, one_file_more, monkeypatch):
    path = older_book(tmp_path / "old.sqlite", schema.newest())
    number = one_file_more("CREATE TABLE more (id INTEGER PRIMARY KEY) STRICT;")
    asked, truth = [], schema.number_of

    def slow(connection, of):
        found = truth(connection, of)
        if not asked:
            asked.append(found)
            schema.bring_up_to_date(path)  # the other command comes first
        return found

    monkeypatch.setattr(schema, "number_of", slow)
    schema.bring_up_to_date(path)
    assert asked == [number - 1]
    assert shape(path)[1] == number


def test_a_book_of_a_newer_program_is_left_alone(book):
    with closing(sqlite3.connect(book.path)) as connection:
        connection.execute("PRAGMA user_version=9999")
    before = book.path.read_bytes()
    with pytest.raises(BookTrouble, match=r"newer program \(schema 9999; this one knows \d+\)"):
        Book(book.path, book.today)
    assert book.path.read_bytes() == before
