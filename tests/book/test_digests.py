"""Every entry has its digest, chained: a stored row that was changed is found and named."""

import sqlite3
from contextlib import closing

import pytest

from ledger.book import Book, digests, schema
from ledger.book.check import examine_file
from ledger.book.clients import redact_client
from ledger.book.tables.ground import Job
from ledger.book.tables.materials import Supplier

UNGUARDED = "DROP TRIGGER supplier_is_never_changed; DROP TRIGGER supplier_is_never_deleted;"


def changed(path):
    with closing(schema.connect(path)) as connection:
        return digests.changed_rows(connection)


def tamper(path, sql):
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(sql)


@pytest.fixture
def full_book(metric_book):
    with metric_book.entry("supplier add", "two"):
        for name in ("Kupfertal Holz", "Nordlack"):
            metric_book.post(Supplier(name=name))
    with metric_book.entry("job new", "Painted built-in"):
        client = metric_book.client("A. Client", "a@example.com", "1 Sample Street")
        metric_book.post(Job(number="J-2501", title="Painted built-in", client=client))
    metric_book.reverse(2, "typed twice")
    metric_book.close()
    return metric_book


def test_a_book_as_it_was_posted_passes(full_book):
    assert changed(full_book.path) == []
    (finding,) = [f for f in examine_file(full_book.path) if "as it was posted" in f.name]
    assert finding.wrong == []


@pytest.mark.parametrize(
    ("sql", "sentence"),
    [
        (
            UNGUARDED + "UPDATE supplier SET name = 'Kupfertal Holt' WHERE id = 1",
            "Entry 2 of 2025-04-25 (supplier add two): row 1 of supplier is not as it was posted.",
        ),
        (
            UNGUARDED + "DELETE FROM supplier WHERE id = 2",
            "Entry 2 of 2025-04-25 (supplier add two): row 2 of supplier is missing.",
        ),
        (
            "INSERT INTO supplier (deed, name) VALUES (2, 'Third')",
            "Entry 2 of 2025-04-25 (supplier add two): row 3 of supplier was not posted by it.",
        ),
        (
            "DROP TRIGGER deed_is_never_changed; UPDATE deed SET day = '2025-04-24' WHERE id = 3",
            "Entry 3 of 2025-04-24 (job new Painted built-in): row 3 of deed is not as it was",
        ),
        (
            "INSERT INTO deed (at, day, who, verb) VALUES ('', '2025-04-25', '', 'job pay')",
            "Entry 5 of 2025-04-25 (job pay) was put in by another program: it has no digest.",
        ),
        (
            "UPDATE client SET address = '2 Sample Street'",
            "Row 1 of client is not as the last entry about this client left it.",
        ),
        (
            "DROP TRIGGER entry_digest_is_never_changed;"
            "UPDATE entry_digest SET rows = replace(rows, 'supplier 2', 'supplier 3')",
            "Entry 2 of 2025-04-25 (supplier add two): its digest is not the one that was made",
        ),
    ],
)
def test_what_was_changed_is_named(full_book, sql, sentence):
    tamper(full_book.path, sql)
    assert any(said.startswith(sentence) for said in changed(full_book.path)), changed(
        full_book.path
    )


def test_a_row_and_its_digest_changed_together_break_the_chain(full_book):
    with closing(schema.connect(full_book.path)) as connection:
        tamper(full_book.path, UNGUARDED + "UPDATE supplier SET name = 'Other' WHERE id = 1;")
        lines = [line for _, line in digests._by_entry(connection, 0) if line.table == "supplier"]
    tamper(
        full_book.path,
        "DROP TRIGGER entry_digest_is_never_changed; UPDATE entry_digest SET rows ="
        f" substr(rows, 1, instr(rows, 'supplier 1') - 1) || '{lines[0]}' || char(10) ||"
        " substr(rows, instr(rows, 'supplier 2')) WHERE deed = 2",
    )
    (said,) = changed(full_book.path)
    assert "its digest is not the one" in said


def test_a_redacted_client_is_sound_and_nothing_is_left_to_guess_at(full_book):
    with Book(full_book.path, full_book.today) as book:
        with book.entry("job redact"):
            redact_client(book, 1)
        assert book.client_row(1).salt == ""
    assert changed(full_book.path) == []
    tamper(full_book.path, "UPDATE client SET name = 'A. Client'")
    assert changed(full_book.path) != []


def test_what_is_posted_and_refused_inside_leaves_no_trace(book):
    with book.entry("supplier add"):
        with pytest.raises(RuntimeError), book.entry("inner"):
            book.post(Supplier(name="no"))
            book.post(Job(number="J-1", title="no"))
            raise RuntimeError
        book.post(Supplier(name="yes"))
    assert changed(book.path) == []


def test_an_older_book_gets_its_digests_when_it_is_brought_up_to_date(tmp_path, book):
    path = tmp_path / "old.sqlite"
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        schema.apply(connection, 0, 12)
        for verb in ("new", "supplier add"):
            connection.execute(
                f"INSERT INTO deed (at, day, who, verb) VALUES ('', '2025-04-25', '', '{verb}')"
            )
        connection.execute("INSERT INTO supplier (deed, name) VALUES (2, 'Kupfertal Holz')")
        connection.execute("INSERT INTO client (name) VALUES ('A. Client')")
    assert changed(path) == []
    with Book(path, book.today) as brought:
        with brought.entry("supplier add"):
            brought.post(Supplier(name="Nordlack"))
        assert brought.query("SELECT deed FROM entry_digest") == [(1,), (2,), (3,)]
    assert changed(path) == []
    tamper(path, "UPDATE client SET name = 'B. Client'")
    assert changed(path) == ["Row 1 of client is not as the last entry about this client left it."]


def test_a_column_added_later_changes_no_digest(full_book):
    tamper(
        full_book.path,
        "ALTER TABLE supplier ADD COLUMN phone TEXT NOT NULL DEFAULT 'it''s none';"
        "ALTER TABLE supplier ADD COLUMN days INTEGER NOT NULL DEFAULT 30",
    )
    assert changed(full_book.path) == []
    tamper(full_book.path, UNGUARDED + "UPDATE supplier SET days = 31 WHERE id = 1")
    assert len(changed(full_book.path)) == 1


def test_appending_reads_no_more_as_the_book_grows(full_book):
    """Neither the rows of other entries nor their digests are scanned."""
    plans = []
    with closing(schema.connect(full_book.path)) as connection:
        asked = []
        connection.set_trace_callback(asked.append)
        rows = digests.PostedRows()
        rows.note("supplier", 1)
        connection.execute("BEGIN")
        rows.seal(connection, 2)
        connection.set_trace_callback(None)
        for sql in asked:
            if sql.startswith("SELECT") and "pragma_table_info" not in sql:
                plans += [row[3] for row in connection.execute(f"EXPLAIN QUERY PLAN {sql}")]
        connection.execute("ROLLBACK")
    assert len(plans) >= 3
    assert [plan for plan in plans if plan.startswith("SCAN") and "entry_digest" not in plan] == []
