"""The ASGI application: who may have what. Reads requests, knows no socket and no file.

Nothing but `/SECRET/FILE` is there. Whatever else is asked gets one and the same answer, and
no line of the log has a path in it: paths hold the secret.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import NamedTuple

from starlette.requests import Request
from starlette.responses import Response
from starlette.types import Receive, Scope, Send

from seasonplan.feed import address as secret_address
from seasonplan.feed.address import Address
from seasonplan.feed.answer import METHODS, Answer, answered, refused
from seasonplan.feed.contents import Contents, Shelf
from seasonplan.feed.limits import BODIES, MISSES, Allowance
from seasonplan.feed.page import PAGE_POLICY, page_body
from seasonplan.feed.parts import Part

LONGEST_PATH = 200
NOTHING = "Nothing is here."
LATER, RETRY_SECONDS = "Not to be had now; try again later.", "300"
PAGE_FILES = ("", "index.html")


class Unknown(Exception):
    """Whom to let in cannot be told now: the file that says so is damaged or gone."""


class Asked(NamedTuple):
    """What a request is for: `what` the secret opens (None: nothing), the secret, the file."""

    what: str | None
    secret: str
    file: str


class Door:
    """Answers for one folder.

    `address` gives what is kept of the secret now, or raises Unknown; `base` is scheme, host and
    port as the phone has them; `log` gets one line for each request.
    """

    def __init__(
        self,
        shelf: Shelf,
        address: Callable[[], Address | None],
        *,
        base: str,
        log: Callable[[str], None] = lambda line: None,
        misses: Allowance | None = None,
        bodies: Allowance | None = None,
    ) -> None:
        self._shelf, self._address, self._base, self._log = shelf, address, base, log
        self._misses, self._bodies = misses or Allowance(MISSES), bodies or Allowance(BODIES)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            return
        request = Request(scope, receive)
        asked = Asked(None, "", "")
        try:
            asked = self._asked(request)
            answer = await self._answer(request, asked)
        except Unknown:  # never 404: a phone may take that for the end of the calendar
            answer = refused(503, LATER, Retry_After=RETRY_SECONDS)
        except Exception as error:  # told by its kind: a message might quote what was asked
            self._log(f"a mistake of ours: {type(error).__name__}")
            answer = refused(500, "This is a mistake of ours.")
        content = b"" if request.method == "HEAD" else answer.content
        client = request.client.host if request.client else "?"
        what = asked.what or "unknown address"
        self._log(f"{answer.status} {_method(request)} {what}, {len(content)} bytes, {client}")
        await Response(content, answer.status, answer.headers)(scope, receive, send)

    def _asked(self, request: Request) -> Asked:
        path = request.url.path
        first, _, file = path.removeprefix("/").partition("/")
        known = self._address()
        if known is None or len(path) > LONGEST_PATH:
            return Asked(None, "", "")
        return Asked(secret_address.opens(known, first), first, file)

    async def _answer(self, request: Request, asked: Asked) -> Answer:
        client = request.client.host if request.client else "?"
        if request.method not in METHODS:
            return refused(405, "Only GET and HEAD are answered.", Allow=", ".join(METHODS))
        if request.headers.get("content-length", "0") != "0" or (
            "transfer-encoding" in request.headers
        ):
            return refused(413, "A request here has no content.")
        if asked.what is None or not _there(asked):
            return self._nothing(client)
        contents = self._shelf.fresh()
        if contents is None:
            contents = await asyncio.to_thread(self._shelf.contents)
        answer = self._content(contents, asked, dict(request.headers))
        if answer.status == 200 and request.method == "GET" and not self._bodies.take(client):
            return refused(429, "Too much at once; try again later.", Retry_After="60")
        return answer

    def _nothing(self, client: str) -> Answer:
        """Who knows the secret is never shut out by who guesses from the same address."""
        if not self._misses.take(client):
            return refused(429, "Too much at once; try again later.", Retry_After="300")
        return refused(404, NOTHING)

    def _content(self, contents: Contents, asked: Asked, headers: dict[str, str]) -> Answer:
        if asked.what == secret_address.PAGE:
            page = page_body(contents, page_secret=asked.secret, base=self._base)
            return answered(page, headers, policy=PAGE_POLICY)
        return answered(contents.parts[Part(str(asked.what))], headers)


def _there(asked: Asked) -> bool:
    """Whether what the secret opens has such a file."""
    if asked.what == secret_address.PAGE:
        return asked.file in PAGE_FILES
    return asked.what is not None and asked.file == Part(asked.what).file


def _method(request: Request) -> str:
    """The method if it is a usual one: the log holds nothing that a stranger wrote."""
    return request.method if request.method.isalpha() and len(request.method) < 10 else "?"
