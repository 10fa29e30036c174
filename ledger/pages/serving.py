"""The server itself: the address it is bound to, the codes it shows, until it is stopped."""

import io
import ipaddress
import socket
from pathlib import Path

import segno
import uvicorn

from ledger.errors import BadValue, NotAllowed
from ledger.pages.app import BenchPage
from ledger.pages.devices import PairingCodes
from ledger.pages.site import Site

LOOPBACK = "127.0.0.1"


def network_address() -> str:
    """The one address of this computer that leads to the network; nothing is sent to find it.

    Raises:
        NotAllowed: there is no network, or its addresses are public ones.
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # an address for documentation: no packet goes out
            address = str(probe.getsockname()[0])
        except OSError:
            address = ""
    if not address or address.startswith("127."):
        raise NotAllowed("This computer is on no network; without --lan the page is for it alone.")
    return require_private(address)


def require_private(address: str) -> str:
    """The address, if it is one of a network of one's own.

    Raises:
        NotAllowed: the whole internet might reach it.
    """
    if not ipaddress.ip_address(address).is_private:
        raise NotAllowed(
            f"{address} is a public address: anybody might reach the page. Use it in a network of"
            " your own."
        )
    return address


def listening_socket(address: str, port: int) -> socket.socket:
    """A socket bound to that address; port 0 takes a free one.

    Raises:
        NotAllowed: the port is taken, or this user may not use it.
    """
    if not 0 <= port <= 65535:
        raise BadValue(f"{port} is no port; write one from 1024 to 65535.")
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((address, port))
    except OSError as trouble:
        listening.close()
        raise NotAllowed(
            f"Port {port} of {address} cannot be used ({trouble.strerror}); is the page running"
            " already? Another one: --port 8422"
        ) from None
    return listening


def code_drawing(address: str) -> str:
    """An address as a code that a camera reads, in half blocks for a dark terminal."""
    drawn = io.StringIO()
    segno.make(address, error="l").terminal(out=drawn, compact=True)
    return drawn.getvalue()


def make_server(
    site: Site, codes: PairingCodes, cert: Path | None = None, key: Path | None = None
) -> uvicorn.Server:
    """The server of a site, not yet running; it leaves logging and foreign headers alone."""
    config = uvicorn.Config(
        BenchPage(site, codes).application(),
        log_config=None,
        access_log=False,
        server_header=False,
        proxy_headers=False,
        ws="none",
        lifespan="off",
        limit_concurrency=32,
        timeout_keep_alive=5,
        timeout_graceful_shutdown=3,  # else 30 s for a phone that left without a word
        ssl_certfile=cert,
        ssl_keyfile=key,
    )
    return uvicorn.Server(config)


def serve(
    site: Site,
    codes: PairingCodes,
    listening: socket.socket,
    cert: Path | None = None,
    key: Path | None = None,
) -> None:
    """Answer until the terminal says stop.

    Raises:
        NotAllowed: certificate or key cannot be read.
    """
    try:
        server = make_server(site, codes, cert, key)
        server.config.load()
    except OSError as trouble:
        raise NotAllowed(f"The certificate cannot be used ({trouble}).") from None
    server.run([listening])
