"""The addresses of the page: shells for everybody, facts and entries for paired devices."""

import asyncio
import hashlib
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from importlib import resources
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.applications import Starlette
from starlette.datastructures import UploadFile
from starlette.requests import Request
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles
from starlette.templating import Jinja2Templates

from ledger.errors import BookTrouble, LedgerError, Question
from ledger.pages.actions import ACTIONS
from ledger.pages.devices import Device, PairingCodes, TooManyTries, device_of, pair
from ledger.pages.guard import WebApp, guarded
from ledger.pages.posting import add_off_site_copy, post
from ledger.pages.screens import OF_A_JOB, SCREENS
from ledger.pages.site import Site

COOKIE = "bench_ledger"
COOKIE_SECONDS = 90 * 24 * 3600
"""How long a device stays paired without being used."""

WEEK = {"cache-control": "private, max-age=604800"}
"""Of a shell: it holds no facts, and opens from the device's store where there is no network."""

NOT_KEPT = {"cache-control": "no-store"}

FORM = {"max_files": 1, "max_fields": 64, "max_part_size": 64_000}

NOT_PAIRED = "Pair this device first: open /pair."


def _asset_version() -> str:
    """A short digest of style and script: with it in their address a device may keep them."""
    folder = resources.files("ledger.pages") / "static"
    content = b"".join((folder / name).read_bytes() for name in ("bench.css", "bench.js"))
    return hashlib.sha256(content).hexdigest()[:12]


class BenchPage:
    """The handlers of one site; one thread posts, a few read, none waits for a layout."""

    def __init__(self, site: Site, codes: PairingCodes) -> None:
        self.site, self.codes = site, codes
        self._writer = ThreadPoolExecutor(1, "writer")
        self._readers = ThreadPoolExecutor(4, "reader")
        loader = PackageLoader("ledger.pages", "templates")
        environment = Environment(loader=loader, autoescape=True, undefined=StrictUndefined)
        environment.globals |= {
            "version": _asset_version(),
            "screens": [(name, SCREENS[name][0]) for name in SCREENS if name not in OF_A_JOB],
        }
        self._templates = Jinja2Templates(env=environment)

    def application(self) -> WebApp:
        """The whole page behind its guard."""
        routes = [
            Route("/", self.shell),
            Route("/pair", self.pairing, methods=["GET", "POST"]),
            Route("/favicon.ico", lambda _: RedirectResponse("/static/icon.svg")),
            Route("/facts/{screen}", self.facts),
            Route("/post/{action}", self.posting, methods=["POST"]),
            Mount("/static", StaticFiles(packages=[("ledger.pages", "static")])),
            Route("/{screen}", self.shell),
        ]
        return guarded(Starlette(routes=routes), self.site)

    async def shell(self, request: Request) -> Response:
        """A screen without facts: it needs no token, for a link from elsewhere brings none."""
        name = request.path_params.get("screen", "now")
        if name not in SCREENS:
            return PlainTextResponse("There is no such page.", 404)
        context = {"name": name, "title": SCREENS[name][0]}
        return self._templates.TemplateResponse(request, "shell.html", context, headers=WEEK)

    async def pairing(self, request: Request) -> Response:
        """The form that pairs a device, and what it brings."""
        if request.method != "POST":
            return self._pairing_form(request, 200, "", "")
        async with request.form(**FORM) as form:
            name, code = str(form.get("name", "")), str(form.get("code", ""))
        try:
            person = self.codes.person_of(code)
            token = pair(self.site.book, name, person, self.site.time.today())
        except TooManyTries as refusal:
            return self._pairing_form(request, 429, str(refusal), name)
        except LedgerError as refusal:
            return self._pairing_form(request, 422, str(refusal), name)
        self.codes.spend(code)
        response = RedirectResponse("/", 303, NOT_KEPT)
        self._set_cookie(response, token)
        return response

    def _pairing_form(self, request: Request, status: int, trouble: str, name: str) -> Response:
        context = {"trouble": trouble, "device": name, "title": "Pair"}
        return self._templates.TemplateResponse(
            request, "pair.html", context, status_code=status, headers=NOT_KEPT
        )

    async def facts(self, request: Request) -> Response:
        """The facts of a screen, as the part of the page that the shell lacks."""
        name = request.path_params["screen"]
        if name not in SCREENS:
            return PlainTextResponse("There is no such page.", 404)

        def read(device: Device) -> dict[str, Any]:
            with self.site.open_book(device.name) as book:
                return SCREENS[name][1](book, self.site, device, request.query_params)

        answer = await self._asked(request, self._readers, read)
        if isinstance(answer, Response):
            return answer
        context = answer
        response = self._templates.TemplateResponse(
            request, f"{name}.html", context, headers=NOT_KEPT
        )
        self._set_cookie(response, request.cookies[COOKIE])
        return response

    async def posting(self, request: Request) -> Response:
        """One entry of a device: 409 asks, 422 refuses for good, 503 may be sent again."""
        name = request.path_params["action"]
        if name not in ACTIONS:
            return PlainTextResponse("There is no such entry.", 422)
        async with request.form(**FORM) as form:
            fields = {key: value for key, value in form.items() if isinstance(value, str)}
            sent = form.get("photo")
            photo = await sent.read() if isinstance(sent, UploadFile) else b""

        def write(device: Device) -> str:
            return post(self.site, device, fields, ACTIONS[name], photo)

        answer = await self._asked(request, self._writer, write)
        if isinstance(answer, Response):
            return answer
        self._writer.submit(add_off_site_copy, self.site)
        return PlainTextResponse(answer, headers=NOT_KEPT)

    async def _asked[Answer](
        self, request: Request, pool: ThreadPoolExecutor, act: Callable[[Device], Answer]
    ) -> Answer | Response:
        """What `act` answers for the device of a request, or the response that refuses it."""
        token = request.cookies.get(COOKIE, "")

        def answered() -> Answer | Response:
            device = device_of(self.site.book, token)
            return act(device) if device else PlainTextResponse(NOT_PAIRED, 401, NOT_KEPT)

        try:
            return await asyncio.get_running_loop().run_in_executor(pool, answered)
        except Question as question:
            return PlainTextResponse(str(question), 409, NOT_KEPT)
        except BookTrouble as trouble:
            return PlainTextResponse(str(trouble), 503, NOT_KEPT)
        except LedgerError as refusal:
            return PlainTextResponse(str(refusal), 422, NOT_KEPT)

    def _set_cookie(self, response: Response, token: str) -> None:
        response.set_cookie(
            COOKIE, token, max_age=COOKIE_SECONDS, path="/", httponly=True, samesite="strict",
            secure=self.site.is_secure,
        )  # fmt: skip
