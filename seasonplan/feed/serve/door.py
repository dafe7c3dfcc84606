"""The ASGI application: who may have what. Reads requests, knows no socket and no file.

Nothing but `/SECRET/FILE` is there. Whatever else is asked gets one and the same answer, and
no line of the log has a path in it: paths hold the secret.
"""

from __future__ import annotations

import asyncio
import re
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from typing import NamedTuple

from starlette.requests import Request
from starlette.responses import Response
from starlette.types import Receive, Scope, Send

from seasonplan.feed import address as secret_address
from seasonplan.feed.address import Address
from seasonplan.feed.contents import CALENDAR, Body, Contents, Seen, Shelf, body
from seasonplan.feed.entries import Present
from seasonplan.feed.pages.answers import Answer as Said
from seasonplan.feed.pages.page import page_body
from seasonplan.feed.pages.style import PAGE_POLICY
from seasonplan.feed.parts import Part
from seasonplan.feed.serve.answer import METHODS, Answer, answered, refused
from seasonplan.feed.serve.limits import BODIES, MISSES, Allowance
from seasonplan.feed.serve.room import Room

LONGEST_PATH = 200
MOST_DRAINED, DRAIN_SECONDS = 65_536, 1.0
UID = re.compile("[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")  # as events have it
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

    @property
    def part(self) -> Part | None:
        """The calendar it opens; None for the page."""
        return None if self.what in (None, secret_address.PAGE) else Part(str(self.what))


class Door:
    """Answers for one folder.

    `address` gives what is kept of the secret now, or raises Unknown; `present` what holds now;
    `base` is scheme, host and port as the phone has them; `log` gets one line for each request.
    `take` writes an answer to a session down: without it nobody may answer.
    """

    def __init__(
        self,
        shelf: Shelf,
        address: Callable[[], Address | None],
        *,
        base: str,
        present: Callable[[], Present],
        take: Callable[[Said], None] | None = None,
        log: Callable[[str], None] = lambda line: None,
        misses: Allowance | None = None,
        bodies: Allowance | None = None,
        answers: Allowance | None = None,
    ) -> None:
        self._shelf, self._address, self._base, self._log = shelf, address, base, log
        self._misses, self._bodies = misses or Allowance(MISSES), bodies or Allowance(BODIES)
        self._present, self._room = present, Room(take, answers)
        self._kept: dict[object, tuple[Contents, object, Body]] = {}

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
        if "Connection" in answer.headers:
            await _drained(receive)
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
        posted = request.method == "POST" and self._room.open
        if request.method not in METHODS and not posted:
            return refused(405, "Only GET and HEAD are answered.", Allow=", ".join(METHODS))
        if not posted and (
            request.headers.get("content-length", "0") != "0"
            or "transfer-encoding" in request.headers
        ):
            return refused(413, "A request here has no content.")
        if asked.what is None:
            return self._nothing(client)
        contents = self._shelf.fresh()
        if contents is None:
            contents = await asyncio.to_thread(self._shelf.contents)
        if not _is_file(asked):
            answer = await self._entry(request, asked, contents, posted=posted, client=client)
        elif posted:
            return refused(405, "Only GET and HEAD are answered.", Allow=", ".join(METHODS))
        else:
            answer = self._content(contents, asked, dict(request.headers))
        if answer.status == 200 and request.method == "GET" and not self._bodies.take(client):
            return refused(429, "Too much at once; try again later.", Retry_After="60")
        return answer

    async def _entry(
        self, request: Request, asked: Asked, contents: Contents, *, posted: bool, client: str
    ) -> Answer:
        """The page of an event, or what becomes of an answer to it."""
        present = await asyncio.to_thread(self._present)
        entry = self._room.entry(contents, present, asked.part, asked.file)
        if entry is None and UID.fullmatch(asked.file):
            return self._room.gone(home=asked.part is None)
        if entry is None:
            return self._nothing(client)
        if posted:
            return await self._room.post(request, entry, f"/{asked.secret}/{entry.uid}", client)
        return self._room.show(entry, home=asked.part is None)

    def _nothing(self, client: str) -> Answer:
        """Who knows the secret is never shut out by who guesses from the same address."""
        if not self._misses.take(client):
            return refused(429, "Too much at once; try again later.", Retry_After="300")
        return refused(404, NOTHING)

    def _content(self, contents: Contents, asked: Asked, headers: dict[str, str]) -> Answer:
        part = asked.part
        if part is not None:

            def calendar(_: Seen | None) -> Body:
                return _calendar(contents, part, asked.secret)

            return answered(self._made(contents, asked, None, calendar), headers)
        present = self._present()
        key = present.today(contents.year), present.injuries, dict(present.diary)

        def page(before: Seen | None) -> Body:
            return page_body(
                contents, present, page_secret=asked.secret, base=self._base,
                answers=self._room.open, before=before,
            )  # fmt: skip

        return answered(self._made(contents, asked, key, page), headers, policy=PAGE_POLICY)

    def _made(
        self, contents: Contents, asked: Asked, key: object, make: Callable[[Seen | None], Body]
    ) -> Body:
        """What is had under a secret; made once, as long as nothing changes."""
        kept = self._kept.get(asked.what)
        if kept is None or kept[0] is not contents or kept[1] != (key, asked.secret):
            before = Seen(digest=kept[2].digest, since=kept[2].since) if kept else None
            kept = self._kept[asked.what] = contents, (key, asked.secret), make(before)
        return kept[2]


async def _drained(receive: Receive) -> None:
    """Read what was sent and is not wanted, up to some: who is still sending when the line is
    closed may never hear why."""
    taken = 0
    with suppress(TimeoutError):
        async with asyncio.timeout(DRAIN_SECONDS):
            while taken <= MOST_DRAINED:
                message = await receive()
                taken += len(message.get("body", b""))
                if not message.get("more_body"):
                    return


def _calendar(contents: Contents, part: Part, secret: str) -> Body:
    """A calendar with its links filled in; its date is that of what it was made from."""
    plain = contents.parts[part]
    if contents.pages is None:
        return plain
    made = body(contents.calendar(part, secret), before=None, now=plain.since, media_type=CALENDAR)
    return replace(made, since=plain.since)


def _is_file(asked: Asked) -> bool:
    """Whether a file of that name is always there, whatever the plan."""
    part = asked.part
    return asked.file in PAGE_FILES if part is None else asked.file == part.file


def _method(request: Request) -> str:
    """The method if it is a usual one: the log holds nothing that a stranger wrote."""
    return request.method if request.method.isalpha() and len(request.method) < 10 else "?"
