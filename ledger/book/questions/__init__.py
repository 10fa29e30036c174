"""The sums that rooms ask of the book, one module a room: the only SQL beside the journal.

A question sees rows in force only and adds up whole numbers; what needs rounding or areas is done
in Python. Each answers with small named rows.
"""

IN_FORCE = "deed NOT IN (SELECT reverses FROM deed WHERE reverses IS NOT NULL)"
"""The condition under which a row counts; `{table}.{IN_FORCE}` where several tables have one."""

EVER = 2**62
"""Above the number of any entry: `before` it stands all that was ever posted."""
