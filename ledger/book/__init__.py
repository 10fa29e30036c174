"""The book: one SQLite file in which what was posted stands for ever. The only room with SQL.

A command that writes is one entry (`with book.entry("receipt add", words): book.post(row)`): one
transaction that carries when, who and in what words. Triggers refuse to change or delete a posted
row; a mistake is answered by a reversing entry (`book.reverse(number, why)`), after which the rows
of the reversed entry are no longer in force. Questions (`book.rows`, `book.last`, `book.query`) see
rows in force only. The schema is a row of numbered SQL files (`migrations/`), the classes in
`tables` are a typed view of it. Settings are dated rows too, read as values of their kind.
`backup`, `check` and `export` look after the file.

Outside names: `Book`, `create_book`, `require_open_day`, `close_month`, `reopen_month`,
`is_closed`, `require_open_job`, `shut_words`; the row classes come from
`ledger.book.tables`.
"""

from ledger.book.creating import create_book
from ledger.book.days import close_month, reopen_month, require_open_day
from ledger.book.journal import Book
from ledger.book.references import is_closed
from ledger.book.shut import require_open_job, shut_words

__all__ = [
    "Book",
    "close_month",
    "create_book",
    "is_closed",
    "reopen_month",
    "require_open_day",
    "require_open_job",
    "shut_words",
]
