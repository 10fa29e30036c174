"""Rows under what they have in common, in the order in which that first comes up."""

from collections.abc import Callable, Iterable


def grouped[K, T](rows: Iterable[T], key: Callable[[T], K]) -> dict[K, list[T]]:
    """The rows of each key.

    >>> grouped(["ash", "oak", "alder"], lambda wood: wood[0])
    {'a': ['ash', 'alder'], 'o': ['oak']}
    """
    groups: dict[K, list[T]] = {}
    for row in rows:
        groups.setdefault(key(row), []).append(row)
    return groups
