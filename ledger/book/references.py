"""What rests on what: rows that refer to the rows of an entry, by number or by name.

References by number are the schema's own foreign keys, so that a new table is guarded as soon as it
declares them. `NAMES` holds those by code or name, which no schema can declare, because several
rows carry the same name and the last one counts. An entry can be undone only while nothing in force
refers to its rows; `check` finds what refers to rows that were taken back all the same. The report
of a closed month rests on the entries of its days.
"""

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, Any, NamedTuple, Protocol

from ledger.book.questions import IN_FORCE
from ledger.errors import NotAllowed
from ledger.measures.day import Month

if TYPE_CHECKING:
    from ledger.book.tables.ground import JournalEntry

FREE: frozenset[str] = frozenset({"supplier"})
"""Tables whose rows may be referred to for ever: they hold a name alone, and are posted in passing
by the first entry that says it."""


class OpenBook(Protocol):
    """The open book as this module asks it."""

    def query(self, sql: str, /, **values: Any) -> list[Any]:
        """The rows of a question."""

    def entry_of(self, number: int) -> "JournalEntry":
        """The entry of that number."""


class KeyReference(NamedTuple):
    """A column that holds the number of a row of another table."""

    table: str
    column: str
    parent: str


class NameReference(NamedTuple):
    """Names in the rows of a table, each carried by one or more rows of another one.

    `names` is a query of the entry (`entry`) and the name that each row of `table` says.
    """

    table: str
    names: str
    parent: str
    column: str


def _named(table: str, column: str, parent: str, called: str) -> NameReference:
    return NameReference(table, f"SELECT deed, {column} AS name FROM {table}", parent, called)


def _in_designs(rows: str, member: str) -> NameReference:
    query = (
        f"SELECT version.deed, json_extract(line.value, '$.{member}') AS name"
        f" FROM design_version AS version, json_each(version.body, '$.{rows}') AS line"
    )
    return NameReference("design_version", query, "material", "code")


def _in_lines(kind: str, parent: str) -> NameReference:
    query = f"SELECT deed, name FROM job_line WHERE kind = '{kind}'"
    return NameReference("job_line", query, parent, "code")


NAMES: Sequence[NameReference] = (
    _in_lines("work", "operation"),
    _in_lines("use", "material"),
    *(
        _named(table, "material", "material", "code")
        for table in ("price", "receipt_line", "lot", "joint_plan")
    ),
    _in_designs("parts", "material"),
    _in_designs("needs", "material"),
    _in_designs("finish", "material"),
    _in_designs("finish", "tint"),
    *(
        _named(table, "operation", "operation", "code")
        for table in ("work", "past_line", "job_count", "hours_plan", "operation_mark")
    ),
    _named("unlogged", "operation", "operation", "code"),
    _named("unlogged", "onto", "operation", "code"),
    _named("clock", "doing", "operation", "code"),
    _named("work", "person", "helper", "name"),
    *(
        _named(table, "sponsor", "sponsor", "name")
        for table in ("sponsor_agreement", "publication_sponsor", "sponsor_note", "lot")
    ),
)
"""Who names whom."""


def keys(book: OpenBook) -> list[KeyReference]:
    """The foreign keys between posted rows, except those that name the entry itself."""
    rows = book.query(
        'SELECT m.name, key."from", key."table" FROM sqlite_master AS m'
        " JOIN pragma_foreign_key_list(m.name) AS key WHERE m.type = 'table'"
        " AND EXISTS (SELECT 1 FROM pragma_table_info(m.name) WHERE name = 'deed')"
        " AND EXISTS (SELECT 1 FROM pragma_table_info(key.\"table\") WHERE name = 'deed')"
        " ORDER BY m.name, key.id"
    )
    references = [KeyReference(*row) for row in rows]
    return [key for key in references if key.parent not in FREE]


def resting_on(book: OpenBook, entry: int) -> list[int]:
    """The entries in force with a row that refers to a row of this one, oldest first.

    They are later ones, but for a name that was given anew and whose first row is undone since.
    """
    entries: set[int] = set()
    references = keys(book)
    posted = {
        table
        for table in {key.parent for key in references} | {name.parent for name in NAMES}
        if book.query(f"SELECT 1 FROM {table} WHERE deed = :entry LIMIT 1", entry=entry)
    }
    for table, column, parent in references:
        if parent in posted:
            rows = book.query(
                f"SELECT DISTINCT deed AS entry FROM {table} WHERE deed > :entry AND {IN_FORCE}"
                f" AND {column} IN (SELECT id FROM {parent} WHERE deed = :entry)",
                entry=entry,
            )
            entries.update(row.entry for row in rows)
    for _, names, parent, column in NAMES:
        if parent in posted:
            rows = book.query(
                f"SELECT DISTINCT deed AS entry FROM ({names}) WHERE deed <> :entry AND {IN_FORCE}"
                f" AND name IN (SELECT {column} FROM {parent} WHERE deed = :entry EXCEPT"
                f"  SELECT {column} FROM {parent} WHERE deed <> :entry AND {IN_FORCE})",
                entry=entry,
            )
            entries.update(row.entry for row in rows)
    return sorted(entries)


def keep_what_others_rest_on(book: OpenBook, entry: "JournalEntry") -> None:
    """Refuse to take back an entry whose rows others refer to; the one to begin with is named.

    Raises:
        NotAllowed: entries in force rest on it.
    """
    resting = resting_on(book, entry.id or 0)
    if not resting:
        return
    # What rests on the newest is followed to an entry that can be undone right away; names that
    # were given anew may refer to one another in a circle, so none is passed twice.
    newest, passed = resting[-1], {entry.id}
    while (later := resting_on(book, newest)) and newest not in passed:
        passed.add(newest)
        newest = later[-1]
    first, count = book.entry_of(newest), len(resting)
    many = "one entry rests" if count == 1 else f"{count} entries rest"
    raise NotAllowed(
        f"Entry {entry.id} ({_words(entry)}) cannot be undone: {many} on it. Undo the newest first,"
        f" entry {newest} of {first.day} ({_words(first)}): benchledger undo {newest}"
    )


def _words(entry: "JournalEntry") -> str:
    return f"{entry.verb} {entry.words}".strip()


def rests_on_what_stands(book: OpenBook) -> list[str]:
    """The rows in force that refer to rows which were taken back, a sentence each."""
    wrong = []
    for table, column, parent in keys(book):
        rows = book.query(
            f"SELECT id, deed AS entry, {column} AS parent FROM {table} WHERE {IN_FORCE}"
            f" AND {column} IN (SELECT id FROM {parent} WHERE NOT {IN_FORCE}) ORDER BY id LIMIT 20"
        )
        wrong += [
            f"Entry {row.entry} rests on {parent} {row.parent}, which was taken back"
            f" ({table} {row.id})."
            for row in rows
        ]
    for table, names, parent, column in NAMES:
        rows = book.query(
            f"SELECT deed AS entry, name FROM ({names}) WHERE {IN_FORCE} AND name IN"
            f" (SELECT {column} FROM {parent} EXCEPT SELECT {column} FROM {parent}"
            f"  WHERE {IN_FORCE}) ORDER BY deed LIMIT 20"
        )
        wrong += [
            f"Entry {row.entry} names the {parent} {row.name}, which was taken back ({table})."
            for row in rows
        ]
    return wrong


def is_closed(book: OpenBook, month: Month) -> bool:
    """Whether the month was closed and not opened again since."""
    last = book.query(
        f"SELECT state FROM month_state WHERE month = :month AND {IN_FORCE}"
        " ORDER BY id DESC LIMIT 1",
        month=str(month),
    )
    return bool(last) and last[0].state == "closed"


def keep_closed_months(book: OpenBook, entry: "JournalEntry") -> None:
    """Refuse to take back an entry that posted on a day of a closed month: its report would change.

    Raises:
        NotAllowed: such a day is among the days of the entry's rows.

    """
    tables = book.query(
        "SELECT m.name FROM sqlite_master m JOIN pragma_table_info(m.name) c"
        " WHERE m.type = 'table' AND c.name IN ('deed', 'day') GROUP BY m.name HAVING count(*) = 2"
    )
    for (table,) in tables:
        rows = book.query(f"SELECT DISTINCT day FROM {table} WHERE deed = :entry", entry=entry.id)
        for (day,) in rows:
            month = Month.of(date.fromisoformat(day))
            if is_closed(book, month):
                raise NotAllowed(
                    f"Entry {entry.id} ({entry.verb} {entry.words}) posted on {day}, and {month} is"
                    f" closed. Open it again: benchledger month {month} --reopen --why TEXT"
                )
