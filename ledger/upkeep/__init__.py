"""Upkeep: the book as a whole, with what each room adds to undoing and checking.

`undo.take_back` reverses an entry under the rules of all rooms, and `checks.CHECKS` are the
statements of all rooms that `check` looks at, after those of the book itself.
"""
