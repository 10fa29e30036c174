"""Writes a small book of an earlier schema, as SQL, from the numbered files and `rows.json`.

    python tests/book/versions/make.py 1 > tests/book/versions/0001.dump

Run it once for the schema of a release, before the next numbered file is added; the page is then
never made again, for it stands for the books that are in people's hands.
"""

import json
import sqlite3
import sys
from pathlib import Path

from ledger.book import digests, schema


def older(number: int) -> sqlite3.Connection:
    """An empty book of that schema, in memory."""
    connection = sqlite3.connect(":memory:", isolation_level=None)
    schema.apply(connection, 0, number)
    return connection


def fill(connection: sqlite3.Connection) -> None:
    """Post the sample row of every table that the schema has; a digest is made, not invented."""
    page = Path(__file__).with_name("rows.json").read_text("utf-8")
    rows = json.loads(page, object_hook=lambda o: o["blob"].encode() if "blob" in o else o)
    there = {name for (name,) in connection.execute("SELECT name FROM sqlite_master")}
    for table, row in rows.items():
        if table in there and table != "entry_digest":
            places = ", ".join(f":{name}" for name in row)
            connection.execute(f"INSERT INTO {table} ({', '.join(row)}) VALUES ({places})", row)


def main() -> None:
    """Print the book of the schema named on the command line."""
    connection = older(int(sys.argv[1]))
    fill(connection)
    if "entry_digest" in {name for (name,) in connection.execute("SELECT name FROM sqlite_master")}:
        digests.complete(connection)
    lines = list(connection.iterdump())
    for pragma in ("application_id", "user_version"):
        lines.append(f"PRAGMA {pragma}={connection.execute(f'PRAGMA {pragma}').fetchone()[0]};")
    sys.stdout.write("\n".join(lines) + "\n")


if __name__ == "__main__":
    main()
