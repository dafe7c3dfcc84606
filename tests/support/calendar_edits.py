"""Draws edits of a year, its plan, its diary and its calendar, and looks at every event after each.

An event shows the same if nothing but its number and stamps could differ; then no byte may.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import timedelta
from pathlib import Path
from typing import Any

from folder_maker import STAMP

from seasonplan.cli.accepted import accepted
from seasonplan.diary import DiaryEntry
from seasonplan.feed.contents import Wish, part_bytes, shown_by
from seasonplan.feed.parts import Part
from seasonplan.ical.shown import Shown
from seasonplan.plan import Plan, Revision
from seasonplan.vocabulary import BlocksAs, Emphasis
from seasonplan.year import Year


@dataclass(frozen=True)
class State:
    """All that a calendar is made of."""

    year: Year
    plan: Plan
    wish: Wish = field(default_factory=Wish)
    diary: tuple[DiaryEntry, ...] = ()
    known: Mapping[str, Shown] = field(default_factory=dict)

    def revised(self, **changes: Any) -> State:
        """With one revision more."""
        last = self.plan.current
        number = last.number + 1
        more = {"number": number, "stamp": STAMP + timedelta(hours=number)}
        new = Revision(**{**dict(last), **more, **changes})
        revisions = (*self.plan.revisions, new)
        return replace(self, plan=Plan(calendar_key=self.plan.calendar_key, revisions=revisions))

    def wished(self, **changes: Any) -> State:
        return replace(self, wish=Wish(**{**dict(self.wish), **changes}))

    def entry(self, field_name: str, **changes: Any) -> State:
        """The first entry of a list changed, without a new plan: of nothing but words."""
        first, *rest = getattr(self.year, field_name)
        entries = (first.model_copy(update=changes), *rest)
        return replace(self, year=self.year.model_copy(update={field_name: entries}))


def _session(state: State, draw: random.Random) -> State:
    sessions = list(state.plan.current.sessions)
    at = draw.randrange(len(sessions))
    minutes = draw.choice([30, 45, 60, 90])
    sessions[at] = sessions[at].model_copy(update={"minutes": minutes})
    return state.revised(sessions=tuple(sessions))


def _emphasis(state: State, draw: random.Random) -> State:
    first, *rest = state.plan.current.blocks
    emphasis = draw.choice([Emphasis.ENDURANCE, Emphasis.FINGERS, Emphasis.NONE])
    return state.revised(blocks=(first.model_copy(update={"emphasis": emphasis}), *rest))


def _diary(state: State, draw: random.Random) -> State:
    one = draw.choice(state.plan.current.sessions)
    kind = draw.choice(["done", "missed"])
    row = DiaryEntry(date=one.day, kind=kind, session=one.id, minutes=None)
    return replace(state, diary=(*state.diary[-4:], row))


EDITS: tuple[Callable[[State, random.Random], State], ...] = (
    lambda state, draw: state.revised(),  # planned anew with nothing new
    lambda state, draw: replace(
        state, year=state.year.model_copy(
            update={"climber": state.year.climber.model_copy(update={"name": str(draw.random())})}
        ),
    ),
    _session, _session, _emphasis, _diary, _diary,
    lambda state, draw: state.entry("goals", name=f"Line {draw.randrange(3)}"),
    lambda state, draw: state.entry("trips", place=draw.choice(["Isle", "Islet"])),
    lambda state, draw: state.entry("places", travel_minutes=draw.choice([50, 60])),
    lambda state, draw: state.wished(alarm_minutes=draw.choice([None, 10, 30])),
    lambda state, draw: state.wished(sessions_busy=draw.random() < 0.5),
    lambda state, draw: state.wished(days_as_one=draw.random() < 0.5),
    lambda state, draw: state.wished(blocks=draw.choice(list(BlocksAs))),
    lambda state, draw: state.wished(way=draw.random() < 0.5),
)  # fmt: skip


def checked_edits(folder: Path, *, count: int, seed: int) -> tuple[int, int]:
    """How many events showed the same after an edit, and how many something else.

    Raises AssertionError where an event has other bytes and shows the same, or shows something
    else without exactly one number more.
    """
    draw, same, changed = random.Random(seed), 0, 0
    state, events = _made(State(*accepted(folder)), 0)
    for turn in range(1, count + 1):
        state, after = _made(draw.choice(EDITS)(state, draw), turn)
        for uid in events.keys() & after.keys():
            if _bare(events[uid]) == _bare(after[uid]):
                assert events[uid] == after[uid], (turn, after[uid])
                same += 1
            else:
                assert _number(after[uid]) == _number(events[uid]) + 1, (turn, after[uid])
                changed += 1
        events = after
    return same, changed


def _made(state: State, turn: int) -> tuple[State, dict[str, bytes]]:
    """What is shown of each event, and the state that knows it."""
    now = STAMP + timedelta(hours=turn, minutes=1)
    known = shown_by(
        state.year, state.plan, state.wish, before=state.known, now=now, diary=state.diary
    )
    content = part_bytes(
        state.year, state.plan, Part.ALL, state.wish, known=known, diary=state.diary
    )
    found = re.findall(rb"BEGIN:VEVENT\r\n.*?END:VEVENT\r\n", content, re.DOTALL)
    events = {re.search(rb"\nUID:([^\r]+)", one)[1].decode(): one for one in found}  # type: ignore[index]
    return replace(state, known=known), events


def _bare(event: bytes) -> bytes:
    return re.sub(rb"\r\n(DTSTAMP|LAST-MODIFIED|SEQUENCE):[^\r]*", b"", event)


def _number(event: bytes) -> int:
    return int(re.search(rb"\nSEQUENCE:(\d+)", event)[1])  # type: ignore[index]
