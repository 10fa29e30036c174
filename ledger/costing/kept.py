"""Cost sheets as they were kept behind a quote, in the form of today or an older one."""

from typing import Any

from ledger.costing.frozen import plain, thaw
from ledger.costing.sheet import CostSheet
from ledger.errors import BadValue

_OLD_PIECE = "from the rack: lot "
"""How the basis of a line began that was a piece of the rack, before lines carried a lot."""


def read_cost_sheet(frozen: bytes) -> CostSheet:
    """The cost sheet that frozen bytes say, whenever they were kept.

    Raises:
        BadValue: the bytes are no cost sheet.
    """
    said = plain(frozen)
    try:
        said |= {"lines": [_line(line) for line in said["lines"]]}
        freight = sum(row["amount"] for row in said["build_up"] if _is_freight(row))
        said |= {"totals": {"freight": freight} | said["totals"]}
    except (AttributeError, KeyError, TypeError, ValueError) as wrong:
        raise BadValue(f"These bytes are not a cost sheet ({wrong!r}).") from wrong
    return thaw(CostSheet, said)


def _is_freight(said: dict[str, Any]) -> bool:
    """Whether a line of the build-up is the shop's share for freight."""
    return bool(said["name"] == "freight" and said["calculation"].endswith(" of purchases"))


def _line(said: dict[str, Any]) -> dict[str, Any]:
    """A line with its lot; what was owned then was not kept, so all of its cash is to be paid."""
    is_piece = said["basis"].startswith(_OLD_PIECE)
    lot = int(said["basis"].removeprefix(_OLD_PIECE)) if is_piece else None
    return {"lot": lot} | said
