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
    body = plain(frozen)
    try:
        body |= {"lines": [_line(line) for line in body["lines"]]}
        freight = sum(row["amount"] for row in body["build_up"] if _is_freight(row))
        body |= {"totals": {"freight": freight} | body["totals"]}
    except (AttributeError, KeyError, TypeError, ValueError) as wrong:
        raise BadValue(f"These bytes are not a cost sheet ({wrong!r}).") from wrong
    return thaw(CostSheet, body)


def _is_freight(line: dict[str, Any]) -> bool:
    """Whether a line of the build-up is the shop's share for freight."""
    return bool(line["name"] == "freight" and line["calculation"].endswith(" of purchases"))


def _line(line: dict[str, Any]) -> dict[str, Any]:
    """A line with its lot; what was owned then was not kept, so all of its cash is to be paid."""
    is_piece = line["basis"].startswith(_OLD_PIECE)
    lot = int(line["basis"].removeprefix(_OLD_PIECE)) if is_piece else None
    return {"lot": lot} | line
