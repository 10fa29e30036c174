"""What stands before every request: whom it is addressed to, where it comes from, how big it is.

The exact list of hosts stops a foreign name that is made to lead here (DNS rebinding); the origin
of whatever changes something stops forms of other sites; the policy on content lets only our own
script and style run.
"""

from collections.abc import Awaitable, Callable, Mapping, MutableMapping
from typing import Any

from starlette.responses import PlainTextResponse

from ledger.pages.site import Site

MOST_BYTES = 12_000_000
"""The largest request: a photo as a telephone takes it."""

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:;"
    " connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)

HEADERS = (
    (b"content-security-policy", POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
)

type Message = MutableMapping[str, Any]
type Send = Callable[[Message], Awaitable[None]]
type Receive = Callable[[], Awaitable[Message]]
type WebApp = Callable[[Message, Receive, Send], Awaitable[None]]


def guarded(app: WebApp, site: Site) -> WebApp:
    """Wrap the page's application in its guard."""

    async def answer(scope: Message, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            return  # there are no other connections

        async def send_with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = [*message["headers"], *HEADERS]
            await send(message)

        headers = {name: value.decode("latin-1") for name, value in scope["headers"]}
        status, why = refusal(site, scope["method"], headers)
        response = PlainTextResponse(why, status, {"connection": "close"}) if status else app
        await response(scope, receive, send_with_headers)

    return answer


def refusal(site: Site, method: str, headers: Mapping[bytes, str]) -> tuple[int, str]:
    """The status and sentence of a request that is not even looked at; 0 for one that is."""
    if headers.get(b"host", "") not in site.hosts:
        return 421, "This page is not reached by that address; use the one that serve prints."
    if method in {"GET", "HEAD"}:
        return 0, ""
    is_own_site = headers.get(b"sec-fetch-site", "same-origin") == "same-origin"
    if headers.get(b"origin", "") not in site.origins or not is_own_site:
        return 403, "Only the page itself may send this."
    length = headers.get(b"content-length", "")
    if not (length.isascii() and length.isdigit()):
        return 411, "The length of what is sent must be said."
    if len(length) > 12 or int(length) > MOST_BYTES:
        return 413, f"That is too big: {MOST_BYTES // 1_000_000} MB at most."
    return 0, ""
