"""When life changes the year: the best plan near the accepted one, as a proposal to answer.

A proposal changes nothing until it is accepted, and says what it was based on.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator, Sequence, Set
from dataclasses import dataclass, field, replace
from datetime import date
from enum import StrEnum
from typing import TYPE_CHECKING

from seasonplan.body.response import as_tested
from seasonplan.days import Span
from seasonplan.edits import AddEntry, ChangeEntry
from seasonplan.plan import Block, Occasion, Plan, Revision
from seasonplan.planning.history import BlockChange, Move, block_changes
from seasonplan.planning.replan import NoPlan, Planned, Provenance, Stopped, plan_year
from seasonplan.rules.findings import Finding
from seasonplan.rules.tables import composing, keep_points
from seasonplan.year import Dated, Entry, Goal, Injury, Season, Year

if TYPE_CHECKING:
    from seasonplan.planner.rock_day import Taken
    from seasonplan.planner.run import Progress

REACHABLE = composing().new_plan.reachable
PINNING = {Move.FIXED, Move.FREED}


class Keep(StrEnum):
    """How much a change of the accepted plan costs."""

    HIGH = "high"
    MEDIUM = "medium"
    LOW = "low"


@dataclass(frozen=True, slots=True)
class ProposedChange(BlockChange):
    """A block that is to change. `by` is the id of the news that the block itself is, if any.

    What other blocks change for is found by planning without it (`explain/causes`).
    """

    by: str | None


@dataclass(frozen=True, slots=True)
class GoalChange:
    """A goal at one season, window or trip, before and after; None where it is not there."""

    goal: str
    entry: str
    before: Occasion | None
    after: Occasion | None

    @property
    def reachable(self) -> bool:
        """Whether at least half of the good days there were before are left."""
        had = self.before.good_days if self.before else 0.0
        has = self.after.good_days if self.after else 0.0
        return has > 0 and has >= REACHABLE * had


@dataclass(frozen=True, slots=True)
class Proposal:
    """A plan to accept or refuse, against the revision it would follow.

    `base` is the number of that revision, `year_digest` the year it was asked for; `outside` are
    changed days that lie in none of the spans of the news. `edits` are to be made in the year
    with it. `old_year`, `keep` and `taken` are what it was asked with.
    """

    base: int
    old_year: Year
    year: Year
    year_digest: str
    plan: Plan
    findings: tuple[Finding, ...]
    today: date
    news: tuple[str, ...]
    blocks: tuple[ProposedChange, ...]
    goals: tuple[GoalChange, ...]
    changed: tuple[date, ...]
    outside: tuple[date, ...]
    label: str = ""
    edits: tuple[ChangeEntry | AddEntry, ...] = ()
    keep: float = 0.0
    taken: Taken | None = field(default=None, repr=False)

    @property
    def before(self) -> Revision:
        return self.plan.revisions[-2]

    @property
    def after(self) -> Revision:
        return self.plan.current

    @property
    def year_as_tested(self) -> Year:
        """The year as the planner had it: with the ratings that tests gave."""
        return as_tested(self.year, self.after.ratings)

    @property
    def points(self) -> float:
        """What the new plan is worth more, in points; below 0 less."""
        return self.after.score.points - self.before.score.points

    def same_as(self, other: Proposal) -> bool:
        """Whether the other lays the same blocks and sessions in the same year."""
        return (self.after.blocks, self.after.sessions, self.edits) == (
            other.after.blocks, other.after.sessions, other.edits,
        )  # fmt: skip


def propose(
    year: Year,
    cause: Provenance,
    *,
    previous: Plan,
    old_year: Year,
    today: date,
    keep: float,
    label: str = "",
    edits: tuple[ChangeEntry | AddEntry, ...] = (),
    taken: Taken | None = None,
    confirm: bool = True,
    on_progress: Callable[[Progress], None] | None = None,
    stop: threading.Event | None = None,
) -> Proposal | NoPlan | Stopped:
    """The best plan of the changed year less what changing the accepted one costs."""
    answer = plan_year(
        year, cause, previous=previous, calendar_key=previous.calendar_key, today=today, keep=keep,
        taken=taken, confirm=confirm, on_progress=on_progress, stop=stop,
    )  # fmt: skip
    if not isinstance(answer, Planned):
        return answer
    found = _compared(answer, previous.current, old_year=old_year, year=year, today=today)
    return replace(
        found, year_digest=cause.year_digest, label=label, edits=edits, keep=keep, taken=taken
    )


def _compared(
    answer: Planned, old: Revision, *, old_year: Year, year: Year, today: date
) -> Proposal:
    """What a new plan changes of the one before, and how much of it lies outside the news."""
    new = answer.plan.current
    spans = news(old_year, year)
    near = [span for each in spans.values() for span in each]
    changed = changed_days(old.blocks, new.blocks, since=today)
    return Proposal(
        base=old.number,
        old_year=old_year,
        year=year,
        year_digest="",
        plan=answer.plan,
        findings=answer.findings,
        today=today,
        news=tuple(spans),
        blocks=tuple(_block_changes(old.blocks, new.blocks, today, spans.keys())),
        goals=tuple(_goal_changes(old.score.occasions, new.score.occasions)),
        changed=changed,
        outside=tuple(day for day in changed if not any(day in span for span in near)),
    )


def alternatives(
    year: Year, cause: Provenance, *, previous: Plan, old_year: Year, today: date,
    taken: Taken | None = None, stop: threading.Event | None = None,
) -> list[Proposal]:  # fmt: skip
    """Other answers to the same news: fewest changes, best season, goals at their next season."""
    put_off = later_goals(year, today=today)
    cases: list[tuple[str, float, tuple[ChangeEntry, ...]]] = [
        ("fewest changes", 4 * keep_points(Keep.HIGH), ()),
        ("best season", 0.0, ()),
    ]
    if put_off:
        cases.append(("goals at their next season", keep_points(Keep.MEDIUM), put_off))
    found = []
    for label, keep, edits in cases:
        if stop is not None and stop.is_set():
            break
        answer = propose(
            _with(year, edits), cause, previous=previous, old_year=old_year, today=today,
            keep=keep, label=label, edits=edits, taken=taken, stop=stop,
        )  # fmt: skip
        if isinstance(answer, Proposal):
            found.append(answer)
    return found


def unlike(found: Sequence[Proposal], *, shown: Proposal) -> list[Proposal]:
    """The answers that are another plan than the one shown, each plan once."""
    others: list[Proposal] = []
    for one in found:
        if not any(map(one.same_as, (shown, *others))):
            others.append(one)
    return others


def _with(year: Year, edits: Sequence[ChangeEntry]) -> Year:
    for edit in edits:
        goal = year.entry(edit.id)
        assert isinstance(goal, Goal)
        year = year.replacing(Goal(**{**dict(goal), **edit.values}))
    return year


def later_goals(year: Year, *, today: date) -> tuple[ChangeEntry, ...]:
    """Edits that put every priority 1 goal off to the season after its next, where there is one.

    Only another entry can be named: a season of every year serves in all of them.
    """
    return tuple(
        ChangeEntry(id=goal.id, values={"served_by": [later.id]})
        for goal in year.goals
        if goal.priority == 1 and (later := _season_after_next(goal, year, today)) is not None
    )


def _season_after_next(goal: Goal, year: Year, today: date) -> Season | None:
    """Another season entry of the goal's place and discipline that begins after its next one."""
    fitting = [
        (spell.first, season)
        for season in year.seasons
        if (season.place, season.discipline) == (goal.place, goal.discipline)
        for spell in season.spells(year.span)
        if spell.after > today
    ]
    fitting.sort(key=lambda pair: pair[0])
    serve = goal.served_by or [season.id for _, season in fitting]
    coming = [(first, season) for first, season in fitting if season.id in serve]
    if not coming:
        return None
    first, near = coming[0]
    later = (season for begins, season in fitting if begins > first and season.id != near.id)
    return next(later, None)


# --- what changed ---------------------------------------------------------------------------


def news(old: Year, new: Year) -> dict[str, tuple[Span, ...]]:
    """Ids of entries added, changed or removed, with the days they had and have."""
    before, after = _entries(old), _entries(new)
    return {
        name: tuple(_spans(before.get(name), old) + _spans(after.get(name), new))
        for name in {**before, **after}
        if before.get(name) != after.get(name)
    }


def _entries(year: Year) -> dict[str, Entry]:
    return {
        entry.id: entry for entries in year.entries_by_section().values() for _, entry in entries
    }


def _spans(entry: Entry | None, year: Year) -> list[Span]:
    if isinstance(entry, Dated):
        return [entry.span]
    if isinstance(entry, Season):
        return list(entry.spells(year.span))
    if isinstance(entry, Injury):
        return [Span(entry.happened, entry.full_from)]
    return []


def _block_changes(
    old: Sequence[Block], new: Sequence[Block], today: date, names: Set[str]
) -> Iterator[ProposedChange]:
    """What changes from today on; that the year now fixes or frees a block changes no day."""
    for change in block_changes(old, new):
        was, now = change.before, change.after
        ends = max(block.span.after for block in (was, now) if block)
        if ends > today and not PINNING.issuperset(change.moves):
            entries = [block.entry for block in (now, was) if block and block.entry in names]
            yield ProposedChange(change.moves, was, now, entries[0] if entries else None)


def _goal_changes(old: Sequence[Occasion], new: Sequence[Occasion]) -> Iterator[GoalChange]:
    """Goals pair by goal, entry and year of the season."""
    before = {(o.goal, o.entry, o.span.last.year): o for o in old}
    after = {(o.goal, o.entry, o.span.last.year): o for o in new}
    for key in {**before, **after}:
        yield GoalChange(key[0], key[1], before.get(key), after.get(key))


def fixed(plan: Plan, year: Year, *, year_digest: str, year_text: str) -> Plan:
    """The plan with its last revision told which blocks the year pins now, and of which year."""
    last = plan.current
    pins = {(pin.kind, pin.span): pin.id for pin in year.pins}
    blocks = tuple(
        Block(**{**dict(block), "entry": pins[block.kind, block.span], "pinned": True})
        if (block.kind, block.span) in pins
        else block
        for block in last.blocks
    )
    told = {"blocks": blocks, "year_digest": year_digest, "year_text": year_text}
    return Plan(
        calendar_key=plan.calendar_key,
        revisions=(*plan.revisions[:-1], Revision(**{**dict(last), **told})),
    )


def changed_days(old: Sequence[Block], new: Sequence[Block], *, since: date) -> tuple[date, ...]:
    """Days from `since` on whose kind is another in the new plan."""
    kinds = {day: block.kind for block in old for day in block.span.days()}
    return tuple(
        day
        for block in new
        for day in block.span.days()
        if day >= since and kinds.get(day, block.kind) is not block.kind
    )
