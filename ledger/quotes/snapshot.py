"""The frozen page of an offer: its bytes, their SHA-256, and the schema they follow.

The bytes are kept as they were sent. A page of an older schema is read by bringing its plain
values up step by step; the bytes themselves, and so their digest, never change.
"""

import hashlib
from collections.abc import Callable, Mapping
from typing import Any

from ledger.costing.frozen import freeze, plain, thaw
from ledger.errors import BadValue
from ledger.quotes.offer import Offer

SCHEMA = 3
"""The schema of pages that this program writes; a changed `Offer` raises it."""


def _with_options(body: dict[str, Any]) -> dict[str, Any]:
    """Schema 2 has options and says what is included; before it no quote had either."""
    return body | {"options": [], "included": []}


def _of_one_piece(body: dict[str, Any]) -> dict[str, Any]:
    """Schema 3 says of how many pieces a deliverable is; before it each was of one."""
    return body


_STEPS: Mapping[int, Callable[[dict[str, Any]], dict[str, Any]]] = {
    1: _with_options,
    2: _of_one_piece,
}
"""From a schema number to the function that makes plain values of the next one."""


def digest(frozen: bytes) -> str:
    """The SHA-256 of frozen bytes as hexadecimal digits."""
    return hashlib.sha256(frozen).hexdigest()


def frozen_offer(offer: Offer) -> bytes:
    """The bytes of an offer under the schema of this program."""
    return freeze(offer)


def read_offer(frozen: bytes, schema: int) -> Offer:
    """The offer that frozen bytes say, whatever schema they follow.

    Raises:
        BadValue: the bytes are no offer, or were written by a newer program.
    """
    if schema > SCHEMA:
        raise BadValue(
            f"This quote was written under schema {schema}; this program knows {SCHEMA}."
            " Install the newer Bench Ledger to read it."
        )
    body = plain(frozen)
    if schema < 1 or not isinstance(body, dict):
        raise BadValue(f"This is no page of a quote under a schema from 1 to {SCHEMA}.")
    for number in range(schema, SCHEMA):
        body = _STEPS[number](body)
    return thaw(Offer, body)
