"""The tables as typed rows: a view of the schema, which the numbered SQL files are.

A module holds what is touched together, so that a command makes few classes: each takes
milliseconds. Rows are posted through `Book.post` and never changed: the class says what a column
means, the SQL what it may hold.
"""
