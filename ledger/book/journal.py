"""The open book: entries that post rows, and questions that read those in force.

A command that writes is one *entry*: one transaction, all of it or nothing. Posted rows are never
changed; a mistake is answered by a reversing entry, after which the rows of the reversed one are no
longer *in force* and no question sees them. A question outside an entry reads committed rows only.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sqlalchemy import event, select
from sqlmodel import Session

from ledger.book import digests, parts, references, schema, troubles
from ledger.book.ahead import RowsAhead
from ledger.book.columns import named_rows
from ledger.book.engine import file_of, is_changed, make_engine
from ledger.book.kept_settings import KeptSettings
from ledger.book.rows_query import rows_query
from ledger.book.tables.base import Posted
from ledger.book.tables.ground import JournalEntry
from ledger.book.typed import refuse_unseen
from ledger.book.worked_out import WORKED_OUT, WorkedOut
from ledger.errors import BookChanged, NotAllowed

if TYPE_CHECKING:
    from ledger.book.tables.clients import Client

MADE = "new"
"""The verb of the entry that made the book."""

REDACTED = "job redact"
"""The verb of an entry that took a client's details out: it leaves nothing to be brought back."""

DESCRIBED = "job client"
"""The verb of an entry that changed a client's details: what stood before is not kept."""

CUT = "cut part"
"""The verb of an entry that notes a part as cut: there are many, and the desk means none."""

type ReversalRule = Callable[[Book, JournalEntry], None]
"""Asked once an entry is reversed, inside the transaction; raises where the book would not tie."""


def now() -> datetime:
    """The present moment by the computer's clock."""
    return datetime.now(UTC)


class Book(KeptSettings):
    """One workshop's book, open on one day of the shop."""

    def __init__(
        self,
        path: Path,
        today: date,
        moment: Callable[[], datetime] = now,
        who: str = "owner",
        before_writing: "Callable[[Book], None] | None" = None,
        while_waiting: Callable[[], None] | None = None,
        only_unchanged: bool = False,
        after_close: bool = False,
    ) -> None:
        """Open a book.

        `before_writing` is called in each entry before anything is posted, `while_waiting` when
        another command has kept this one from writing for a second. With `only_unchanged` an entry
        raises BookChanged if another command has posted since the book was opened; once an entry
        stands that must not be posted twice, later ones do not. With `after_close` the owner said
        that what is posted belongs to its job although that is closed or canceled; jobs that are
        not are in `open_all_the_same`. A book of an older program is brought up to date, and
        `is_just_upgraded` says so.
        """
        self.is_just_upgraded = schema.bring_up_to_date(path)
        parts.note_in(path.parent)
        self.path = path
        self.after_close = after_close
        self.open_all_the_same: set[int] = set()
        self.today = today
        self.who = who
        self._moment = moment
        self._before_writing = before_writing
        self._engine = make_engine(path, while_waiting)
        self._session: Session | None = None
        self._held: Session | None = None
        self._entry: JournalEntry | None = None
        self._posted = digests.PostedRows()
        self._ahead: RowsAhead | None = None
        self._only_unchanged = only_unchanged
        self.numeric_days = {}
        self.worked_out = WorkedOut()

    def __enter__(self) -> "Book":
        return self

    def __exit__(self, refusal: type[BaseException] | None, *_: object) -> None:
        try:
            if refusal is None:
                self.worked_out.post_all(self.entry, self.post)
        finally:
            self.close()

    def close(self) -> None:
        """Close the file; nothing more can be read or posted."""
        self._let_go()
        self._engine.dispose()

    def hold(self) -> None:
        """Keep all others from writing from now until the next entry stands, or the book is closed.

        So a command that others disturbed again and again reads what nobody changes meanwhile.

        Raises:
            BookTrouble: another command is writing for too long.

        """
        with troubles.as_refusal(self.path):
            self._held = self._new_writing_session()

    def _new_writing_session(self) -> Session:
        session = Session(self._engine, expire_on_commit=False)
        event.listen(session, "after_flush", self._note_flushed)
        refuse_unseen(session)
        try:
            session.connection(execution_options={"writes": True})
        except BaseException:
            session.close()
            raise
        return session

    def _note_flushed(self, session: Session, _context: object) -> None:
        for row in (*session.new, *session.dirty):
            self._posted.note(row.__tablename__, row.id)

    def _let_go(self) -> None:
        if self._held is not None:
            self._held.close()
            self._held = None

    # --- writing ---------------------------------------------------------------------------

    @contextmanager
    def entry(
        self, verb: str, words: str = "", *, reverses: int | None = None, why: str | None = None
    ) -> Iterator[JournalEntry]:
        """Everything posted inside is one entry; an entry inside an entry joins it.

        What an inner entry posted goes if it is refused, also where the outer one carries on.

        Raises:
            BookTrouble: the book is locked, read-only, full or damaged; nothing was posted.
            BookChanged: see `only_unchanged`; nothing was posted.

        """
        if self._session is not None and self._entry is not None:
            with self._session.begin_nested():
                yield self._entry
            return
        at = self._moment().strftime("%Y-%m-%dT%H:%M:%SZ")
        opened = JournalEntry(
            at=at, day=self.today, who=self.who, verb=verb, words=words, reverses=reverses, why=why
        )
        with troubles.as_refusal(self.path), self._held or self._new_writing_session() as session:
            if self._held is None and self._only_unchanged and is_changed(session):
                raise BookChanged
            self._held = None
            try:
                self._session, self._posted = session, digests.PostedRows()
                if self._before_writing is not None:
                    self._before_writing(self)
                session.add(opened)
                session.flush()
                self._entry = opened
                yield opened
                self._posted.seal(file_of(session), opened.id or 0)
                session.commit()
                self._only_unchanged = self._only_unchanged and verb == WORKED_OUT
                session.expunge_all()
            finally:
                self._session = self._entry = None
                self._ahead = None
                self.forget_settings()

    def post[R: Posted](self, row: R) -> R:
        """Add a row to the entry under way and give it back with its number."""
        if self._session is None or self._entry is None or self._entry.id is None:
            raise RuntimeError("rows are posted inside an entry: with book.entry(…)")
        row.entry = self._entry.id
        self._session.add(row)
        self._session.flush()
        return row

    def reverse(
        self, number: int, why: str, rules: Sequence[ReversalRule] = (), *, verb: str = "reverse"
    ) -> JournalEntry:
        """Post an entry that takes another one back, and give back the one taken back.

        `verb` is of a command that takes back something of its own, and not the last entry. `rules`
        are asked when the reversal stands, before it is committed: a rule that raises
        keeps the book as it was. After them the book itself guards what others refer to.

        Raises:
            NotAllowed: there is no such entry, it is reversed already, is itself a reversal, made
                the book, holds a day of a closed month, or later ones rest on it.

        """
        target = self.entry_of(number)
        if target.reverses is not None:
            raise NotAllowed(
                f"Entry {number} is itself a reversal. Enter what it took back once more instead."
            )
        if not self.is_in_force(number):
            raise NotAllowed(f"Entry {number} ({target.verb} {target.words}) is reversed already.")
        if target.verb == MADE:
            raise NotAllowed(f"Entry {number} made this book; it cannot be taken back.")
        if target.verb == REDACTED:
            raise NotAllowed(f"Entry {number} took a client's details out; they are gone.")
        if target.verb == DESCRIBED:
            raise NotAllowed(
                f"Entry {number} changed a client's details; enter them as they should be:"
                f" benchledger {DESCRIBED} JOB"
            )
        words = f"{target.verb} {target.words}".strip()
        with self.entry(verb, words, reverses=number, why=why):
            first, last = references.keep_closed_months, references.keep_what_others_rest_on
            for rule in (first, *rules, last):
                rule(self, target)
        return target

    def require_unchanged(self) -> None:
        """Check that what was read still is so: a refusal that others made untrue is none.

        Raises:
            BookChanged: see `only_unchanged`.

        """
        if self._only_unchanged and self._session is None and self._held is None:
            with self.reading_session() as session:
                if is_changed(session):
                    raise BookChanged

    # --- asking ----------------------------------------------------------------------------

    @contextmanager
    def reading_session(self) -> Iterator[Session]:
        """The entry under way, or what is committed; for the questions of `ledger.book`."""
        if self._session is not None:
            yield self._session
            return
        if self._held is not None:
            with troubles.as_refusal(self.path):
                yield self._held
                self._held.expunge_all()
            return
        with troubles.as_refusal(self.path), Session(self._engine) as session:
            yield session
            session.expunge_all()

    def rows[R: Posted](self, table: type[R], *, in_force: bool = True, **equals: Any) -> list[R]:
        """The rows whose columns equal what is asked, in the order they were posted."""
        if self._ahead is not None and in_force and self._session is None:
            return self._ahead.of(table, equals)
        return self._read(table, equals, in_force=in_force)

    def _read[R: Posted](
        self, table: type[R], equals: Mapping[str, Any], *, in_force: bool = True
    ) -> list[R]:
        query = rows_query(table, equals, in_force=in_force)
        with self.reading_session() as session:
            return list(session.scalars(query, equals))

    def last[R: Posted](self, table: type[R], **equals: Any) -> R | None:
        """The row posted last among those in force, or None."""
        if self._ahead is not None and self._session is None:
            rows = self._ahead.of(table, equals)
            return rows[-1] if rows else None
        query = rows_query(table, equals, last=True)
        with self.reading_session() as session:
            return session.scalars(query, equals).first()

    def row[R: Posted](self, table: type[R], number: int) -> R | None:
        """The row of that number, in force or not, or None."""
        if self._ahead is not None and self._session is None:
            for row in self._ahead.of(table, {"id": number}):
                return row
        with self.reading_session() as session:
            return session.get(table, number)

    def rows_of[R: Posted](self, table: type[R], numbers: Iterable[int]) -> list[R]:
        """The rows of some numbers, in force or not, in that order; what is missing is left out."""
        wanted = list(numbers)
        if not wanted or (self._ahead is not None and self._ahead.has(table)):
            return [row for number in wanted if (row := self.row(table, number)) is not None]
        number: Any = table.id
        with self.reading_session() as session:
            rows = session.scalars(select(table).where(number.in_(wanted)))
            by_number = {row.id: row for row in rows}
        return [by_number[number] for number in wanted if number in by_number]

    @contextmanager
    def read_ahead(self, *tables: type[Posted]) -> Iterator[None]:
        """Read all rows in force of some tables now, and those of others when first asked for.

        They are not read again until the end, or until something is posted.
        """
        before, self._ahead = self._ahead, RowsAhead(self._read, tables)
        try:
            yield
        finally:  # what was posted meanwhile is in none of them
            self._ahead = before if self._ahead is not None else None

    def query(self, sql: str, /, **values: Any) -> list[Any]:
        """The rows of a named question of `ledger.book.questions`, as tuples with names.

        Only `ledger.book` writes SQL; this runs it on the entry under way or on committed rows.
        """
        days = {name: day.isoformat() for name, day in values.items() if isinstance(day, date)}
        with self.reading_session() as session:
            return list(session.connection().exec_driver_sql(sql, values | days).all())

    def column(self, sql: str, /, **values: Any) -> list[Any]:
        """The first column of the same rows."""
        return [row[0] for row in self.query(sql, **values)]

    def query_as[Row: tuple[Any, ...]](
        self, kind: type[Row], sql: str, /, **values: Any
    ) -> list[Row]:
        """The same as named tuples, the columns in the order of their fields and of their types."""
        return named_rows(kind, self.query(sql, **values))

    def entries(self, limit: int = 20) -> list[JournalEntry]:
        """The last entries, newest first."""
        number: Any = JournalEntry.id
        with self.reading_session() as session:
            return list(session.scalars(select(JournalEntry).order_by(number.desc()).limit(limit)))

    def entry_of(self, number: int) -> JournalEntry:
        """The entry of that number.

        Raises:
            NotAllowed: there is none.

        """
        with self.reading_session() as session:
            entry = session.get(JournalEntry, number)
        if entry is None:
            raise NotAllowed(f"There is no entry {number} in this book.")
        return entry

    def is_in_force(self, entry: int) -> bool:
        """Whether nothing has taken that entry back."""
        reversals = self.query("SELECT 1 FROM deed WHERE reverses = :entry", entry=entry)
        return not reversals

    # --- clients ---------------------------------------------------------------------------

    def client(self, name: str, contact: str = "", address: str = "") -> int:
        """The number of the client of that name, put into the book where new, inside an entry."""
        if self._session is None:
            raise RuntimeError("a client is put into the book inside an entry")
        from ledger.book.tables.clients import Client  # most commands touch no client

        known = self._session.scalars(select(Client).filter_by(name=name, redacted_on=None)).first()
        if known is None:
            known = Client(name=name, contact=contact, address=address)
            self._session.add(known)
            self._session.flush()
        if known.id is None:
            raise RuntimeError("the client got no number")
        return known.id

    def client_row(self, number: int) -> "Client | None":
        """The client of that number."""
        from ledger.book.tables.clients import Client

        with self.reading_session() as session:
            return session.get(Client, number)

    def writing_session(self, what: str) -> Session:
        """The session of the entry under way, for the few rows that are not posted for ever."""
        if self._session is None:
            raise RuntimeError(f"{what} inside an entry")
        return self._session
