"""What somebody says of a session on its page: read strictly, taken once, never from elsewhere.

A form carries a token that is good once, for one session as it was shown, and for an hour; tokens
are in memory alone. Where an answer goes is not known here. Section numbers are of RFC 9110, from
memory.
"""

from __future__ import annotations

import secrets
from collections import OrderedDict
from collections.abc import Callable, Mapping
from time import monotonic
from typing import NamedTuple, TypeVar
from urllib.parse import parse_qs

from seasonplan.diary import DiaryEntry
from seasonplan.plan import Session
from seasonplan.vocabulary import BodyPart, Side

# Preferences of this project
MOST_BYTES = 2_000
MOST_TOKENS, TOKEN_SECONDS = 2_000, 3_600.0
FORM = "application/x-www-form-urlencoded"
FIELDS = ("token", "did", "effort", "part", "side", "pain")
DONE, SKIPPED = "done", "skipped"
Known = TypeVar("Known", BodyPart, Side)

RUN_OUT = "This form has run out. Open the session again: it shows what is in your diary by now."
TWICE = "This form was sent already. Open the session again: it shows what is in your diary by now."
STALE = (
    "The session or your diary changed after this form was made, so nothing was written. Open the "
    "session again and answer what you see then."
)
ELSEWHERE = "This form was not sent from its own page, so nothing was written."


class Refused(Exception):
    """A no to an answer: its status, and words for whoever sent it."""

    def __init__(self, status: int, words: str) -> None:
        self.status = status
        super().__init__(words)


class Stale(Exception):
    """The session or the diary is no longer what was shown with the form."""


class NotNow(Exception):
    """The answer cannot be written now; nothing was."""


class Shown(NamedTuple):
    """What a form was made for: the session, and what the diary said of it last."""

    session: Session
    before: DiaryEntry | None


class Answer(NamedTuple):
    """What somebody says; `shown` is what they saw when they said it."""

    shown: Shown
    done: bool
    effort: float | None
    part: BodyPart | None
    side: Side
    pain: float | None


class Tokens:
    """Tokens that are good once."""

    def __init__(self, *, now: Callable[[], float] = monotonic) -> None:
        self._now = now
        self._made: OrderedDict[str, tuple[float, Shown | None]] = OrderedDict()  # None: spent

    def issue(self, shown: Shown) -> str:
        """A new token; where there are too many the oldest ends."""
        token = secrets.token_urlsafe(24)
        self._made[token] = self._now() + TOKEN_SECONDS, shown
        while len(self._made) > MOST_TOKENS:
            self._made.popitem(last=False)
        return token

    def spend(self, token: str, session: Session) -> Shown:
        """What the token was made for; it is good no more. Raises Refused."""
        until, shown = self._made.get(token, (0.0, None))
        if until <= self._now() or (shown and shown.session.id != session.id):
            raise Refused(403, RUN_OUT)
        if shown is None:
            raise Refused(409, TWICE)
        self._made[token] = until, None
        return shown

    def give_back(self, token: str, shown: Shown) -> None:
        """Good again: nothing was written."""
        if token in self._made:
            self._made[token] = self._made[token][0], shown


def refuse_unfit(headers: Mapping[str, str], *, scheme: str) -> None:
    """Refuse what no form of ours sends. Raises Refused."""
    if not _from_here(headers, scheme):
        raise Refused(403, ELSEWHERE)
    if headers.get("content-type", "").partition(";")[0].strip().lower() != FORM:
        raise Refused(415, f"Found another kind of content; wanted {FORM}.")  # 15.5.16


def refuse_large(headers: Mapping[str, str]) -> None:
    """Refuse what is too much to be read, or may be. Raises Refused."""
    length = headers.get("content-length", "")
    if "transfer-encoding" in headers or not (length.isascii() and length.isdigit()):
        raise Refused(411, "The length of the content is not said.")  # 15.5.12
    if len(length) > 9 or int(length) > MOST_BYTES:
        raise Refused(413, f"Too much: an answer has at most {MOST_BYTES} bytes.")  # 15.5.14


def _from_here(headers: Mapping[str, str], scheme: str) -> bool:
    """Whether a browser says that the form was on a page of ours; one that says nothing is none.

    Sec-Fetch-Site comes over TLS or on the machine itself only, Origin with every form.
    """
    origin, site = headers.get("origin"), headers.get("sec-fetch-site")
    if site is not None and site != "same-origin":
        return False
    if origin in (None, "null"):  # hidden for privacy, or by an old browser
        return site is not None
    return origin == f"{scheme}://{headers.get('host', '')}"


def fields_of(content: bytes) -> dict[str, str]:
    """The fields of a form, each once. Raises Refused for any other."""
    try:
        found = parse_qs(
            content.decode("ascii"), keep_blank_values=True, strict_parsing=True,
            max_num_fields=len(FIELDS), errors="strict",
        )  # fmt: skip
    except ValueError:  # UnicodeDecodeError is one
        raise Refused(422, "This is not what the form sends.") from None
    if set(found) - set(FIELDS) or any(len(values) > 1 for values in found.values()):
        raise Refused(422, "This is not what the form sends.")
    return {name: values[0] for name, values in found.items()}


def answer_of(fields: Mapping[str, str], shown: Shown) -> Answer:
    """What the fields say. Raises Refused in words for whoever filled them in."""
    did = fields.get("did", "")
    if did not in (DONE, SKIPPED):
        raise Refused(422, "Say whether it was done or skipped.")
    effort, pain = _rating(fields, "effort"), _rating(fields, "pain")
    if did == SKIPPED and effort is not None:
        raise Refused(422, "An effort goes with a session that was done. Choose “not rated”.")
    part = _word(BodyPart, fields.get("part", ""))
    if (part is None) != (pain is None):
        raise Refused(422, "Say both what hurt and how much, or neither.")
    side = _word(Side, fields.get("side", "")) or Side.NONE
    if part is None and side is not Side.NONE:
        raise Refused(422, "Say what hurt on that side, or choose no side.")
    return Answer(shown, did == DONE, effort, part, side, pain)


def _rating(fields: Mapping[str, str], name: str) -> float | None:
    said = fields.get(name, "")
    if said in map(str, range(11)):
        return float(said)
    if said:
        raise Refused(422, f"{name.capitalize()} is a whole number from 0 to 10.")
    return None


def _word(words: type[Known], said: str) -> Known | None:
    try:
        return words(said) if said else None
    except ValueError:
        raise Refused(422, "This is not what the form sends.") from None
