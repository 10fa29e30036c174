"""The bench page: a small web page for phones and tablets in the shop, posting like any command.

Screens come as shells without facts, which a device may keep; facts come by requests of their own
and only to paired devices. What is entered waits on the device until the book has it, with a key of
its own, so that nothing is lost and nothing is posted twice. The only room that speaks HTTP.

Outside names: `Site` (the book, its day and clock), `serve` (until it is stopped).
"""

from ledger.pages.serving import serve
from ledger.pages.site import Site

__all__ = ["Site", "serve"]
