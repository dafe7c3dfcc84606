"""Any news on any day of a small year: a plan that breaks no rule, or what cannot all hold.

Years come from `year_maker` by number, three news each; cases that hold nothing do not count.
`plan_year` itself raises where planner and checker disagree on blocks, sums and health.
"""

from __future__ import annotations

import random
from collections import Counter
from datetime import date, timedelta
from typing import Any

from autumn import KEY, STAMP
from year_maker import small_year

from seasonplan.days import ONE_DAY
from seasonplan.plan import Plan, Revision, Session
from seasonplan.planning.proposal import Keep, Proposal, propose
from seasonplan.planning.replan import NoPlan, Planned, Provenance, plan_year
from seasonplan.rules.tables import keep_points
from seasonplan.vocabulary import Discipline
from seasonplan.year import Absence, FixedSession, Injury, Pin, Trip, Window, Year

YEARS, NEWS_EACH = 9, 3
WHY = Provenance("test", STAMP, "digest")


class Life:
    """What happens to one climber, by number."""

    def __init__(self, number: int, year: Year, plan: Plan) -> None:
        self.rng = random.Random(f"news {number}")
        self.year, self.plan = year, plan
        self.today = year.span.first + timedelta(days=self.rng.randint(0, year.span.length // 2))
        self.count = 0

    def _day(self) -> date:
        """A day not long ago or still to come."""
        day = self.today + timedelta(days=self.rng.randint(-6, 20))
        return min(max(day, self.year.span.first), self.year.span.after - ONE_DAY)

    def _span(self, *lengths: int) -> dict[str, date]:
        first = self._day()
        return {"first": first, "last": first + timedelta(days=self.rng.choice(lengths) - 1)}

    def _coming(self) -> list[Session]:
        told = {wish.session for wish in self.year.fixed_sessions}
        return [
            s for s in self.plan.current.sessions
            if s.day >= self.today and s.id not in told and not s.id.startswith("own/")
        ]  # fmt: skip

    def news(self) -> tuple[str, Year]:
        """A word for what happened, and the year with it."""
        self.count += 1
        ways = (
            self.away, self.busy, self.hurt, self.trip, self.window, self.gone, self.pin,
            self.moved, self.skipped, self.added,
        )  # fmt: skip
        way = self.rng.choice(ways)
        year = way(f"N{self.count}")
        return (way.__name__, year) if year is not None else ("nothing", self.year)

    def away(self, name: str) -> Year | None:
        entry = Absence(name=name, **self._span(3, 6, 10))
        return self.year.with_fields(absences=(*self.year.absences, entry))

    def busy(self, name: str) -> Year | None:
        entry = Absence(name=name, left=0.5, **self._span(5, 12))
        return self.year.with_fields(absences=(*self.year.absences, entry))

    def hurt(self, name: str) -> Year | None:
        days = [min(self.today, self._day())]
        for _ in range(3):
            days.append(days[-1] + timedelta(days=self.rng.choice((1, 4, 8))))
        entry = Injury(
            name=name, part=self.rng.choice(("finger", "knee", "shoulder")), happened=days[0],
            easy_from=days[1], building_from=days[2], full_from=days[3],
        )  # fmt: skip
        return self.year.with_fields(injuries=(*self.year.injuries, entry))

    def trip(self, name: str) -> Year | None:
        entry = Trip(name=name, place="Isle", discipline=Discipline.SPORT, **self._span(2, 3, 6))
        return self.year.with_fields(trips=(*self.year.trips, entry))

    def window(self, name: str) -> Year | None:
        goal = self.year.goals[0]
        more: dict[str, Any] = {"place": goal.place, "discipline": goal.discipline, "chance": 0.8}
        entry = Window(name=name, **more, **self._span(3, 5))
        return self.year.with_fields(windows=(*self.year.windows, entry))

    def gone(self, name: str) -> Year | None:
        year = self.year
        entries = [*year.absences, *year.trips, *year.injuries, *year.windows, *year.pins]
        entries += year.fixed_sessions
        if not entries:
            return None
        entry = self.rng.choice(entries)
        if isinstance(entry, FixedSession):
            left = tuple(wish for wish in year.fixed_sessions if wish != entry)
            return year.with_fields(fixed_sessions=left)
        return year.without(entry.id)

    def pin(self, name: str) -> Year | None:
        free = [
            b for b in self.plan.current.blocks
            if b.kind.chosen and not b.pinned and b.span.after > self.today
        ]  # fmt: skip
        if not free:
            return None
        block = self.rng.choice(free)
        entry = Pin(
            name=name, id=f"pin-{block.id}", kind=block.kind, first=block.span.first,
            last=block.span.last,
        )  # fmt: skip
        return self.year.with_fields(pins=(*self.year.pins, entry))

    def _wish(self, **fields: Any) -> Year:
        return self.year.with_fields(
            fixed_sessions=(*self.year.fixed_sessions, FixedSession(**fields))
        )

    def moved(self, name: str) -> Year | None:
        sessions = self._coming()
        if not sessions:
            return None
        session = self.rng.choice(sessions)
        spans = {block.id: block.span for block in self.plan.current.blocks}
        near = [d for d in spans[session.block].days() if abs((d - session.day).days) < 9]
        start = self.rng.choice(("06:30", "12:15", "18:00"))
        return self._wish(session=session.id, day=self.rng.choice(near), start=start)

    def skipped(self, name: str) -> Year | None:
        sessions = self._coming()
        return self._wish(session=self.rng.choice(sessions).id, skip=True) if sessions else None

    def added(self, name: str) -> Year | None:
        recipe = self.rng.choice(("mobility", "limit-bouldering", "route-volume"))
        return self._wish(
            id=name.lower(), recipe=recipe, day=self._day(), start="19:00", minutes=40
        )


def done(revision: Revision, today: date, year: Year) -> list[tuple[object, ...]]:
    """Sessions that are over and no wish of the climber's is about."""
    told = {wish.session or f"own/{wish.id}" for wish in year.fixed_sessions}
    return [
        (s.id, s.day, s.start, s.minutes, s.recipe) for s in revision.sessions
        if s.day < today and s.id not in told
    ]  # fmt: skip


def judge(answer: Proposal, year: Year, today: date) -> None:
    before, after = answer.before, answer.after
    ids = [session.id for session in after.sessions]
    assert len(set(ids)) == len(ids)
    assert len({block.id for block in after.blocks}) == len(after.blocks)
    moved = {wish.session for wish in year.fixed_sessions}
    spans = {block.id: block.span for block in after.blocks}
    lost = [s.id for s in after.sessions if s.day not in spans[s.block] and s.id not in moved]
    assert lost == []
    assert done(before, today, year) == done(after, today, year)
    assert set(answer.changed).isdisjoint(
        date.fromordinal(n) for n in range(year.span.first.toordinal(), today.toordinal())
    )


def test_whatever_happens_there_is_a_sound_plan_or_what_cannot_hold() -> None:
    told: Counter[str] = Counter()
    for number in range(YEARS):
        year = small_year(number)
        first = plan_year(year, WHY, previous=None, calendar_key=KEY)
        if not isinstance(first, Planned):
            continue
        life = Life(number, year, first.plan)
        for _ in range(NEWS_EACH):
            what, new = life.news()
            answer = propose(
                new, WHY, previous=life.plan, old_year=life.year, today=life.today,
                keep=keep_points(life.rng.choice(list(Keep))),
            )  # fmt: skip
            if isinstance(answer, NoPlan):
                assert answer.conflict.parties, (number, what)
                told["no plan"] += 1
                continue
            assert isinstance(answer, Proposal)
            assert [f for f in answer.findings if f.strength == "hard"] == [], (number, what)
            judge(answer, new, life.today)
            told[what] += 1
            life.year, life.plan = new, answer.plan
            life.today += timedelta(days=life.rng.randint(0, 8))
    del told["nothing"]
    assert len(told) >= 8 and sum(told.values()) - told["no plan"] >= 16, told
