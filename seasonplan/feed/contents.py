"""The bytes of every calendar of a plan, and when each last changed. Touches no network.

`Shelf` keeps them: looking at it costs a glance at the plan's files, and only a change in them
makes the bytes anew.
"""

from __future__ import annotations

import gzip
import hashlib
import threading
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from types import MappingProxyType

from seasonplan.diary import DiaryEntry, Did, outcomes
from seasonplan.errors import BadInput
from seasonplan.explain.day_told import refusals
from seasonplan.explain.notes import block_note
from seasonplan.explain.purpose import Purposes
from seasonplan.explain.sessions import lost_texts, notes_by_session
from seasonplan.feed.drawing import Drawings, drawings
from seasonplan.feed.links import Pages
from seasonplan.feed.parts import LOOKS, Part
from seasonplan.ical import ALL, USUAL, Asked, Layer, calendar_bytes, event_files, shown
from seasonplan.ical.manner import PLAIN, Manner
from seasonplan.ical.shown import Shown
from seasonplan.ical.taken import Taken
from seasonplan.injury import is_young
from seasonplan.plan import Plan
from seasonplan.recipes import UNTESTED, OwnTests, recipes, untested
from seasonplan.rules.statements import book_of
from seasonplan.vocabulary import BlocksAs, FrozenModel
from seasonplan.year import Year

NOTHING: Taken = MappingProxyType({})


class Wish(FrozenModel):
    """What the climber wants shown; None is what the year says, of an alarm maybe none."""

    layers: frozenset[Layer] = USUAL
    sessions_busy: bool = True
    alarm_minutes: int | None = None
    no_alarm: bool = False
    days_as_one: bool | None = None
    blocks: BlocksAs | None = None
    way: bool | None = None

    def manner(
        self, year: Year, diary: Iterable[DiaryEntry] = (), *, plan: Plan | None = None,
        taken: Taken = NOTHING,
    ) -> Manner:  # fmt: skip
        """How it is shown, what the diary says of sessions, and which of a plan the year or busy
        time, which is `taken`, forbids by now."""
        own, rows = year.calendar, {row.session: row for row in outcomes(diary) if row.session}
        forbidden = refusals(year, plan.current, layers=ALL, taken=taken) if plan else {}
        return Manner(
            days_as_one=own.one_event_a_day if self.days_as_one is None else self.days_as_one,
            blocks=own.blocks if self.blocks is None else self.blocks,
            way=own.way if self.way is None else self.way,
            diary=rows,
            refused=frozenset(forbidden.keys() - rows.keys()),
            taken=taken,
        )

    def alarm(self, year: Year) -> int | None:
        """How long before each session to remind; None is no alarm."""
        if self.no_alarm:
            return None
        own = self.alarm_minutes
        return year.sessions.alarm_minutes if own is None else own


class Seen(FrozenModel):
    """The content that a calendar last had, and since when."""

    digest: str
    since: datetime


@dataclass(frozen=True, slots=True)
class Body:
    """Something to be fetched, also packed, with what tells it from every other content."""

    content: bytes
    packed: bytes
    digest: str
    since: datetime
    media_type: str


@dataclass(frozen=True, slots=True)
class Contents:
    """All that is served of one plan."""

    year: Year
    plan: Plan
    parts: Mapping[Part, Body]
    drawn: Drawings
    layers: frozenset[Layer]
    shown: Mapping[str, Shown]  # number and stamp of each event, by UID
    pages: Pages | None = None
    manner: Manner = PLAIN
    tested: OwnTests = UNTESTED

    def calendar(self, part: Part, secret: str) -> bytes:
        """A calendar as it is had under its secret."""
        content = self.parts[part].content
        return self.pages.filled(content, secret) if self.pages else content


def tested_of(year: Year, diary: Sequence[DiaryEntry]) -> OwnTests:
    """What tests in the diary say to sessions; nothing where one of them is faulty."""
    if not year.tests and all(row.kind is not Did.TEST for row in diary):
        return untested(young=is_young(year, year.span.first))
    from seasonplan.testing.in_sessions import in_sessions

    try:
        return in_sessions(year, diary)
    except BadInput:  # told by whoever edits it
        return UNTESTED


def calendar_texts(
    year: Year, plan: Plan, *, layers: frozenset[Layer], tested: OwnTests = UNTESTED,
    manner: Manner = PLAIN,
) -> dict[str, str]:  # fmt: skip
    """The notes of blocks and sessions; those of sessions tell of injuries only if blocks do, those
    of blocks how much of them what changed since takes."""
    current = plan.current
    health = Layer.INJURIES in layers
    book = book_of(year)
    purposes = Purposes(year, current.blocks, current.sessions, book, current.ratings, shared=True)
    lost = lost_texts(current, manner.refused)
    blocks = {
        block.id: lost.get(block.id, "")
        + block_note(block, year, book=book, why=purposes.of(block))
        for block in current.blocks
    }
    forbidden = refusals(year, current, layers=layers, taken=manner.taken) if manner.refused else {}
    return blocks | notes_by_session(
        current, year, book=recipes(year.recipes), health=health, tested=tested,
        refused={name: told for name, told in forbidden.items() if name in manner.refused},
    )  # fmt: skip


def asked(
    year: Year, plan: Plan, wish: Wish, *, layers: frozenset[Layer],
    diary: Sequence[DiaryEntry] = (), taken: Taken = NOTHING,
) -> Asked:  # fmt: skip
    """What of a plan becomes events under a wish, and how; of busy time, too."""
    manner = wish.manner(year, diary, plan=plan, taken=taken)
    tested = tested_of(year, diary)
    return {
        "layers": layers,
        "texts": calendar_texts(year, plan, layers=layers, tested=tested, manner=manner),
        "sessions_busy": wish.sessions_busy,
        "alarm_minutes": wish.alarm(year),
        "manner": manner,
    }


def shown_by(
    year: Year, plan: Plan, wish: Wish, *, before: Mapping[str, Shown], now: datetime,
    diary: Sequence[DiaryEntry] = (), taken: Taken = NOTHING, has_links: bool = False,
) -> dict[str, Shown]:  # fmt: skip
    """Number and stamp of each event under a wish, by what was shown `before`."""
    told = asked(year, plan, wish, layers=wish.layers, diary=diary, taken=taken)
    return shown(year, plan, before=before, now=now, has_links=has_links, **told)


def files_by(
    year: Year, plan: Plan, wish: Wish, known: Mapping[str, Shown], *,
    diary: Sequence[DiaryEntry] = (), taken: Taken = NOTHING,
) -> dict[str, bytes]:  # fmt: skip
    """Each event under a wish as a file of its own, by UID."""
    told = asked(year, plan, wish, layers=wish.layers, diary=diary, taken=taken)
    return event_files(year, plan, known=known, **told)


def part_bytes(
    year: Year, plan: Plan, part: Part, wish: Wish, *, known: Mapping[str, Shown] | None = None,
    diary: Sequence[DiaryEntry] = (), taken: Taken = NOTHING, pages: Pages | None = None,
) -> bytes:  # fmt: skip
    """One calendar of a plan; links to `pages` have a place for its secret."""
    look = LOOKS[part]
    return calendar_bytes(
        year,
        plan,
        name=look.name,
        colour=look.colour,
        part=part.key,
        whole_days=part is not Part.SESSIONS,
        known=known,
        link=pages.link if pages else None,
        **asked(year, plan, wish, layers=look.layers & wish.layers, diary=diary, taken=taken),
    )


def body(content: bytes, *, before: Seen | None, now: datetime, media_type: str) -> Body:
    """A content with its dates: as before where nothing changed, else later by at least 1 s.

    Dates of HTTP know whole seconds (RFC 9110 5.6.7), and two contents must not share one.
    """
    digest = hashlib.sha256(content).hexdigest()
    since = now.astimezone(UTC).replace(microsecond=0)
    if before is not None:
        since = max(since, before.since + timedelta(seconds=1))
        since = before.since if before.digest == digest else since
    packed = gzip.compress(content, mtime=0)
    return Body(content, packed, digest, since, media_type)


CALENDAR = "text/calendar; charset=utf-8"  # RFC 5545 8.1


def contents_of(
    year: Year,
    plan: Plan,
    *,
    wish: Wish,
    now: datetime,
    seen: Mapping[str, Seen],
    before: Mapping[str, Shown] | None = None,
    diary: Sequence[DiaryEntry] = (),
    taken: Taken = NOTHING,
    pages: Pages | None = None,
) -> Contents:
    """All contents of a plan; `seen` tells since when what is unchanged is so, `before` what was
    shown of each event the last time, `taken` is busy time, `pages` where events have a page."""
    has_links = pages is not None
    known = shown_by(
        year, plan, wish, before=before or {}, now=now, diary=diary, taken=taken,
        has_links=has_links,
    )  # fmt: skip
    parts = {
        part: body(
            part_bytes(year, plan, part, wish, known=known, diary=diary, taken=taken, pages=pages),
            before=seen.get(part.value), now=now, media_type=CALENDAR,
        )
        for part in Part
    }  # fmt: skip
    return Contents(
        year, plan, parts, drawings(year, plan.current, layers=wish.layers), wish.layers, known,
        pages, wish.manner(year, diary, plan=plan, taken=taken), tested_of(year, diary),
    )  # fmt: skip


def seen_in(contents: Contents) -> dict[str, Seen]:
    """What a restart must know to go on with the same dates."""
    return {
        part.value: Seen(digest=one.digest, since=one.since) for part, one in contents.parts.items()
    }


class Shelf:
    """The contents as they are now.

    `load` gives year and plan, `diary` its rows, `taken` busy time; `mark` says cheaply whether
    they may have changed: it is called for every request. `keep` is told what was seen and shown,
    so that a restart goes on from it. Where `load` fails, what was there before goes on being
    served and `tell` hears why.
    """

    def __init__(
        self,
        load: Callable[[], tuple[Year, Plan]],
        mark: Callable[[], object],
        *,
        wish: Wish,
        now: Callable[[], datetime],
        seen: Mapping[str, Seen] | None = None,
        shown: Mapping[str, Shown] | None = None,
        keep: Callable[[Contents], None] = lambda contents: None,
        tell: Callable[[str], None] = lambda text: None,
        diary: Callable[[], Sequence[DiaryEntry]] = tuple,
        taken: Callable[[], Taken] = dict,
        pages: Pages | None = None,
    ) -> None:
        self._diary, self._taken = diary, taken
        self._load, self._mark, self._wish, self._now = load, mark, wish, now
        self._pages = pages
        self._seen, self._shown = dict(seen or {}), dict(shown or {})
        self._keep, self._tell = keep, tell
        self._lock = threading.Lock()
        self._marked: object = None
        self._contents: Contents | None = None
        self.built = 0  # how often contents were made: for whoever measures

    def fresh(self) -> Contents | None:
        """The contents if nothing changed since they were made, without waiting; else None."""
        return self._contents if self._contents and self._mark() == self._marked else None

    def contents(self) -> Contents:
        """The contents, made anew if something changed. Slow then: call it in a thread."""
        with self._lock:
            mark = self._mark()
            if self._contents is None or mark != self._marked:
                self._renew(mark)
            assert self._contents is not None
            return self._contents

    def _renew(self, mark: object) -> None:
        try:
            year, plan = self._load()
            made = contents_of(
                year, plan, wish=self._wish, now=self._now(), seen=self._seen,
                before=self._shown, diary=self._diary(), taken=self._taken(), pages=self._pages,
            )  # fmt: skip
        except Exception as error:
            if self._contents is None:
                raise
            self._tell(f"The plan cannot be read now; the last good one stays. {error}")
        else:
            self._contents = made
            self.built += 1
            self._remember(made)
        self._marked = mark

    def _remember(self, made: Contents) -> None:
        seen, shown = seen_in(made), dict(made.shown)
        if (seen, shown) != (self._seen, self._shown):
            self._seen, self._shown = seen, shown
            try:
                self._keep(made)
            except Exception as error:  # a full disk is no reason to serve nothing
                self._tell(f"What was served cannot be noted: {error}")
