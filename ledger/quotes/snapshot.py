"""The frozen page of an offer: its bytes, their SHA-256, and the schema they follow.

The bytes are kept as they were sent. A page of an older schema is read by bringing its plain
values up step by step; the bytes themselves, and so their digest, never change.
"""

import hashlib
from typing import Any

from ledger.measures.frozen import Step, thaw_page
from ledger.quotes.offer import Offer


def _with_options(body: dict[str, Any]) -> dict[str, Any]:
    """Schema 2 has options and says what is included; before it no quote had either."""
    return body | {"options": [], "included": []}


def of_one_piece(body: dict[str, Any]) -> dict[str, Any]:
    """Say of how many pieces a line is, which defaults to the one that it was of before."""
    return body


_STEPS: tuple[Step, ...] = (_with_options, of_one_piece)

SCHEMA = len(_STEPS) + 1
"""The schema of pages that this program writes; a changed `Offer` adds a step."""


def digest(frozen: bytes) -> str:
    """The SHA-256 of frozen bytes as hexadecimal digits."""
    return hashlib.sha256(frozen).hexdigest()


def read_offer(frozen: bytes, schema: int) -> Offer:
    """The offer that frozen bytes say, whatever schema they follow.

    Raises:
        BadValue: the bytes are no offer, or were written by a newer program.
    """
    return thaw_page(Offer, frozen, schema, _STEPS, "This quote")
