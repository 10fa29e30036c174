"""Stock: materials and their dated prices, receipts, lots, movements and the offcut rack.

A material is what the shop knows about a thing it buys; its price is a dated row by supplier. What
comes in is a receipt whose lines make lots; what leaves draws from lots, first in first out, at
the lot's own cost, and the last draw takes the remainder, so that values tie to the cent. Full
value and cash stand side by side: a lot in kind has its fair value and a cash of zero, what is
borrowed is not ours and stands at zero in both. `lots` and `landed` are the arithmetic, without a
book. An entry is taken back under `stock_rules.REVERSAL_RULES`; materials and documents have their
own modules.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from ledger.stock.movements import count, issue, put_back, withdraw
    from ledger.stock.offcuts import keep_offcuts
    from ledger.stock.rack_pieces import rack
    from ledger.stock.receipts import receive
    from ledger.stock.worth import value_on

__all__ = ["count", "issue", "keep_offcuts", "put_back", "rack", "receive", "value_on", "withdraw"]

_STANDS_IN = {"keep_offcuts": "offcuts", "rack": "rack_pieces", "receive": "receipts",
              "value_on": "worth"}  # fmt: skip


def __getattr__(name: str) -> Any:
    """Open the door only as far as is asked for: an issue at the bench needs no receipts."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_STANDS_IN.get(name, 'movements')}"), name)
