"""`benchledger serve`: the page for phones and tablets in the shop, until it is stopped."""

import gc
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from ledger.cli import voice
from ledger.cli.arguments import AsJson
from ledger.cli.opened import local_now, moment, open_shop, today

if TYPE_CHECKING:
    from ledger.pages.devices import PairingCodes

app = typer.Typer(help="A page for phones and tablets in the shop.")

PORT = 8421


@app.command()
def serve(
    port: Annotated[int, typer.Option(help="The port; 0 takes a free one.")] = PORT,
    lan: Annotated[
        bool, typer.Option("--lan", help="For the devices of this network too.")
    ] = False,
    helper: Annotated[
        list[str] | None, typer.Option(metavar="NAME", help="Show a code for a helper's device.")
    ] = None,
    cert: Annotated[Path | None, typer.Option(help="A certificate that the devices trust.")] = None,
    key: Annotated[Path | None, typer.Option(help="Its key.")] = None,
    listed: Annotated[
        bool, typer.Option("--devices", help="Only list the paired devices.")
    ] = False,
    forget: Annotated[str, typer.Option(metavar="NAME", help="Only forget a paired device.")] = "",
    as_json: AsJson = False,
) -> None:
    """Serve the page for phones and tablets until Ctrl-C; pair them with the code it shows.

    Without --lan only this computer reaches it. Example: benchledger serve --devices
    """
    if (cert is None) != (key is None):
        raise typer.BadParameter("a certificate needs its key: --cert FILE --key FILE")
    with open_shop() as book:
        path = book.path
    if listed or as_json:
        _list(path, as_json=as_json)
    elif forget:
        from ledger.pages.devices import forget as forget_device

        voice.say(f"{forget_device(path, forget).name} is forgotten; it can do nothing any more.")
    else:
        _serve(path, port, lan=lan, helpers=helper or [], cert=cert, key=key)


def _list(path: Path, *, as_json: bool) -> None:
    from ledger.pages.devices import devices

    known = devices(path)
    if as_json:
        voice.print_json([
            {"name": one.name, "rank": "helper" if one.is_helper else "owner",
             "person": one.person, "paired": one.paired}
            for one in known
        ])  # fmt: skip
    elif not known:
        voice.say("No device is paired. Start the page and use its code: benchledger serve --lan")
    else:
        voice.table(["device", "hours of", "paired on"],
                    [[one.name, one.person, one.paired] for one in known])  # fmt: skip


def _serve(
    path: Path,
    port: int,
    *,
    lan: bool,
    helpers: list[str],
    cert: Path | None,
    key: Path | None,
) -> None:
    from ledger.labor.people import OWNER, helper_named
    from ledger.pages import Site, serve
    from ledger.pages.devices import PairingCodes
    from ledger.pages.serving import LOOPBACK, listening_socket, network_address
    from ledger.pages.site import ShopTime

    with open_shop() as book:
        people = [OWNER, *(helper_named(book, name).name for name in helpers)]
    address = network_address() if lan else LOOPBACK
    with listening_socket(address, port) as listening:
        port = listening.getsockname()[1]
        hosts = {f"{address}:{port}"} | ({f"localhost:{port}"} if not lan else set())
        times = ShopTime(today, moment, local_now, time.monotonic)
        site = Site(path, times, frozenset(hosts), voice.note, is_secure=cert is not None)
        codes = PairingCodes(time.monotonic)
        scheme = "https" if cert else "http"
        _say_address(f"{scheme}://{address}:{port}", codes, people, lan=lan)
        sys.stdout.flush()  # in a pipe too the codes are wanted now
        gc.enable()  # what `main` left off
        serve(site, codes, listening, cert, key)


def _say_address(address: str, codes: "PairingCodes", people: list[str], *, lan: bool) -> None:
    """Say where the page is and how a device is paired."""
    from ledger.labor.people import OWNER
    from ledger.pages.serving import code_drawing

    voice.say(f"The page is at {address}")
    for person in people:
        code = codes.new(person)
        whose = "your device" if person == OWNER else f"a device of {person}"
        voice.say(f"To pair {whose}: open {address}/pair within ten minutes; the code is {code}")
        if lan:
            voice.say(code_drawing(f"{address}/pair#{code}"))
    if lan:
        voice.note(
            "Everybody on this network can reach the page, and whoever listens on it can read"
            " along: use your own, not one for guests. Nothing opens without a paired device."
        )
    else:
        voice.note("Only this computer reaches it; for phones and tablets: benchledger serve --lan")
    voice.note("While this computer sleeps, entries wait on the devices. Ctrl-C stops the page.")
