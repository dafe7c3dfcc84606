"""The pages of single events, and the answers that come from them. Knows who asks, not whether
they may: that is the door's.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from typing import NamedTuple

from starlette.requests import Request

from seasonplan.feed.contents import Contents
from seasonplan.feed.entries import Entries, Entry, Present
from seasonplan.feed.pages.answers import (
    MOST_BYTES,
    STALE,
    NotNow,
    Refused,
    Shown,
    Stale,
    Tokens,
    answer_of,
    fields_of,
    refuse_large,
    refuse_unfit,
)
from seasonplan.feed.pages.answers import Answer as Said
from seasonplan.feed.pages.entry_page import entry_page, gone_page, words_page
from seasonplan.feed.pages.style import FORM_POLICY, PAGE_POLICY
from seasonplan.feed.parts import Part
from seasonplan.feed.serve.answer import METHODS, Answer, refused, see, unkept
from seasonplan.feed.serve.limits import ANSWERS, HEAD_SECONDS, Allowance

NOT_COME = "{when}: that has not come yet. It can be answered from that day on."
WITHHELD = "an answer, which is not shown here."
LATER = "It could not be written down now. Your answer is not lost in this page: send it again."


class Found(NamedTuple):
    """An entry, and all that was known when it was looked up."""

    uid: str
    entry: Entry
    entries: Entries
    contents: Contents
    present: Present

    @property
    def has_come(self) -> bool:
        told = self.entry.session
        return told is not None and self.present.has_come(told.session, self.contents.year)

    @property
    def over(self) -> bool:
        """Whether its day is over, or the diary tells what became of it."""
        told = self.entry.session
        if told is None:
            return False
        marked = self.entries.tells_diary and told.session.id in self.present.diary
        return marked or told.session.day < self.present.today(self.contents.year)

    @property
    def written(self) -> str:
        """What the diary says of it."""
        told = self.entry.session
        known = self.present.diary.get(told.session.id) if told else None
        if known is None:
            return ""
        return self.entries.teller.diary_text(known) if self.entries.tells_diary else WITHHELD


class Room:
    """`take` writes an answer down, or raises Stale, Refused or NotNow; None lets nobody answer."""

    def __init__(
        self, take: Callable[[Said], None] | None, answers: Allowance | None = None
    ) -> None:
        self._take, self._allowed, self._tokens = take, answers or Allowance(ANSWERS), Tokens()
        self._known: dict[Part | None, tuple[Contents, object, Entries]] = {}

    @property
    def open(self) -> bool:
        """Whether answers are let in."""
        return self._take is not None

    def entry(
        self, contents: Contents, present: Present, part: Part | None, uid: str
    ) -> Found | None:
        """An entry of a calendar, or of all; None where there is none."""
        known = self._known.get(part)
        if known is None or known[0] is not contents or known[1] != present.injuries:
            known = contents, present.injuries, Entries(contents, present, part)
            self._known[part] = known
        entry = known[2].get(uid)
        return Found(uid, entry, known[2], contents, present) if entry else None

    def show(self, found: Found, *, home: bool) -> Answer:
        """The page of an event; with a form where it can be answered."""
        told, token = found.entry.session, ""
        if self.open and told and found.has_come:
            before = found.present.diary.get(told.session.id)
            token = self._tokens.issue(Shown(told.session, before))
        html = entry_page(
            found.entry, home=home, written=found.written, token=token,
            not_yet=self.open and told is not None and not token, over=found.over,
        )  # fmt: skip
        if not token:
            return unkept(html.encode(), policy=PAGE_POLICY)
        # With no-referrer browsers hide where a form comes from; no other site ever hears of it
        return unkept(html.encode(), policy=FORM_POLICY, Referrer_Policy="same-origin")

    def gone(self, *, home: bool) -> Answer:
        """The page of an event that is no more: its link may be in a phone for a day."""
        return unkept(gone_page(home=home).encode(), policy=PAGE_POLICY, status=404)

    async def post(self, request: Request, found: Found, path: str, client: str) -> Answer:
        """What becomes of an answer; `path` is where the entry is."""
        if found.entry.session is None:
            return refused(405, "There is nothing to answer here.", Allow=", ".join(METHODS))
        if not self._allowed.take(client):
            return refused(429, "Too many answers at once; try again later.", Retry_After="60")
        try:
            refuse_large(request.headers)
            content = await _content(request)
        except Refused as no:
            return refused(no.status, str(no))
        try:
            refuse_unfit(request.headers, scheme=request.url.scheme)
            await self._taken(found, fields_of(content))
        except Refused as no:
            return _no(no.status, str(no), path)
        except Stale:
            return _no(409, STALE, path)
        except NotNow:
            return _no(503, LATER, path)
        return see(path)

    async def _taken(self, found: Found, fields: dict[str, str]) -> None:
        """Spends the token; it is good again where nothing was written for no fault of the day."""
        told = found.entry.session
        assert told is not None and self._take is not None
        if not found.has_come:
            raise Refused(422, NOT_COME.format(when=found.entry.when))
        token = fields.get("token", "")
        shown = self._tokens.spend(token, told.session)
        try:
            await asyncio.to_thread(self._take, answer_of(fields, shown))
        except (Refused, NotNow):
            self._tokens.give_back(token, shown)
            raise


async def _content(request: Request) -> bytes:
    """What was sent, which is little and comes soon. Raises Refused."""
    content = b""
    try:
        async with asyncio.timeout(HEAD_SECONDS):
            async for piece in request.stream():
                content += piece
                if len(content) > MOST_BYTES:
                    raise Refused(413, f"Too much: an answer has at most {MOST_BYTES} bytes.")
    except TimeoutError:
        raise Refused(408, "The answer took too long to come.") from None
    return content


def _no(status: int, words: str, path: str) -> Answer:
    title = "Not written down"
    html = words_page(title, words, path)
    return unkept(html.encode(), policy=PAGE_POLICY, status=status)
