"""The plan with what the climber said of sessions since it was made: moved, left out, added.

Every face shows this, so a change is there at once, as the next plan will have it. Plans nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta

from seasonplan.body.almanac import almanac_of
from seasonplan.body.response import as_tested
from seasonplan.body.worth import occasions
from seasonplan.edits.sessions import OWN, home_of
from seasonplan.plan import Block, Occasion, Plan, Revision, Score, Session, Week
from seasonplan.planner.care import too_often
from seasonplan.planner.fill import week_sums
from seasonplan.planner.wished import as_wished
from seasonplan.planning.known import said_then
from seasonplan.recipes import Recipe, recipes
from seasonplan.rules.statements import book_of
from seasonplan.year import FixedSession, Year

TICK = timedelta(seconds=1)  # two revisions never share a stamp
Wishes = Mapping[str, FixedSession]  # by the id of the session


def revision_now(plan: Plan, year: Year) -> Revision:
    """The current revision with what `year` says of sessions by now; itself where that is the same.

    What it held already stays as it was planned; what is taken back lies where it was before. What
    loads a part that has just come back too often is left out, as a new plan would.
    """
    last = plan.current
    new, gone = _otherwise(last, year)
    if not new and not gone:
        return last
    book = recipes(year.recipes)
    placed = tuple(_taken_back(plan, gone))
    wished = as_wished(
        placed, last.blocks, tuple(new.values()), book, harms=lambda recipe, day: False
    )
    often = {*too_often(wished, {*new}, almanac_of(year), book=book, rules=book_of(year))}
    sessions = tuple(one for one in wished if one.id not in often)
    return _with_sums(last, sessions, year, book)


def plan_now(plan: Plan, year: Year) -> Plan:
    """The plan with that as one more revision, so that what it changes has a higher number."""
    now = revision_now(plan, year)
    if now is plan.current:
        return plan
    one_more = {"number": now.number + 1, "stamp": now.stamp + TICK}
    added = Revision(**{**dict(now), **one_more})
    return Plan(calendar_key=plan.calendar_key, revisions=(*plan.revisions, added))


def without_old_wishes(plan: Plan, year: Year, *, since: date) -> tuple[Session, ...]:
    """The sessions that a new plan goes on from: of what was said before and is no longer said
    nothing is kept, but on days before `since`."""
    _, gone = _otherwise(plan.current, year)
    is_on = {one.id: one.day for one in plan.current.sessions}
    homes = {name: _home(plan, wish) for name, wish in gone.items()}
    open_still = {
        name: wish for name, wish in gone.items()
        if is_on.get(name, since) >= since and ((home := homes[name]) is None or home.day >= since)
    }  # fmt: skip
    return tuple(_taken_back(plan, open_still))


def _otherwise(last: Revision, year: Year) -> tuple[Wishes, Wishes]:
    """What the year says now of sessions and a plan does not know, and what only the plan knows."""
    then, now = _by_session(said_then(last)), _by_session(year.fixed_sessions)
    return (
        {name: wish for name, wish in now.items() if then.get(name) != wish},
        {name: wish for name, wish in then.items() if now.get(name) != wish},
    )


def _by_session(wishes: Iterable[FixedSession]) -> dict[str, FixedSession]:
    return {wish.session or f"{OWN}{wish.id}": wish for wish in wishes}


def _taken_back(plan: Plan, gone: Wishes) -> Iterator[Session]:
    """The sessions of a plan, those of which something else was said than now as before that."""
    last = plan.current
    homes = {name: _home(plan, wish) for name, wish in gone.items()}
    there = {one.id for one in last.sessions}
    for session in last.sessions:
        if session.id in gone and session.id.startswith(OWN):
            continue
        yield homes.get(session.id) or session
    yield from (home for name, home in homes.items() if home is not None and name not in there)


def _home(plan: Plan, wish: FixedSession) -> Session | None:
    """Where a session was before a wish, if its block still has that day."""
    found = home_of(plan, wish) if wish.session else None
    blocks = {block.id: block.span for block in plan.current.blocks}
    return found if found and found.block in blocks and found.day in blocks[found.block] else None


def _with_sums(
    last: Revision, sessions: Sequence[Session], year: Year, book: Mapping[str, Recipe]
) -> Revision:
    """A revision with other sessions: weeks are sums of them, and so is what goals have."""
    was: dict[date, list[Session]] = {}
    by_day: dict[date, list[Session]] = {}
    for days, held in ((was, last.sessions), (by_day, sessions)):
        for session in held:
            days.setdefault(session.day, []).append(session)
    other = {day for day in {*was, *by_day} if was.get(day) != by_day.get(day)}
    if not other:
        return last

    def summed(week: Week) -> Week:
        if not any(day in week.span for day in other):
            return week
        here = [one for day in week.span.days() for one in by_day.get(day, ())]
        return Week(**{**dict(week), **week_sums(here, book)})

    blocks = tuple(
        Block(**{**dict(block), "weeks": tuple(map(summed, block.weeks))}) for block in last.blocks
    )
    had = _had(last, blocks, sessions, year, min(other))
    score = Score(**{**dict(last.score), "occasions": had})
    fresh = {"blocks": blocks, "sessions": tuple(sessions), "score": score}
    return Revision(**{**dict(last), **fresh})


def _had(
    last: Revision, blocks: Sequence[Block], sessions: Sequence[Session], year: Year, since: date
) -> tuple[Occasion, ...]:  # fmt: skip
    """What goals have of other sessions; what was over before a day stays as it was told."""
    almanac = almanac_of(as_tested(year, last.ratings))
    found = occasions(almanac, blocks, sessions, recipes(year.recipes), last.done)
    new = {(one.goal, one.entry, one.span): one for one in found if one.span.after > since}
    return tuple(new.get((one.goal, one.entry, one.span), one) for one in last.score.occasions)
