"""What a plan lets the climber expect, goal by goal: the one place where that is put into words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta

from seasonplan.body.form import FINGERS, FORM
from seasonplan.body.lives import Range
from seasonplan.body.outlook import GoalOutlook, QualityChange, outlook
from seasonplan.body.response import as_tested
from seasonplan.days import ONE_DAY, Span, count_text, dates_text, span_text
from seasonplan.explain.lost_days import lost_lines
from seasonplan.explain.notes import occasion_text, planned_text
from seasonplan.explain.tries import good_tries, tries_text
from seasonplan.explain.words import (
    day_text,
    entry_name,
    join,
    number_text,
    percent_text,
    quality_text,
)
from seasonplan.plan import Occasion, Revision, Session
from seasonplan.recipes import recipes
from seasonplan.rules.tables import response_table
from seasonplan.vocabulary import Quality
from seasonplan.year import Year

A_MODEL = (
    "The changes are what a model makes of the hours planned, no measurement: one climber in ten "
    "gains less than the first figure, one in ten more than the second. Test yourself."
)
START_UNKNOWN = (
    "They would be narrower if the year said how often you hung hard before it: "
    "`hard_finger_sessions` under `before`."
)

MANY = 4  # seasons, windows and trips of a goal that are told one by one (preference)
LAST = timedelta(weeks=8)  # before a goal, in which fingers lose what is not kept

MEASURES = {
    FORM: "form: what the goal asks for, less fatigue",
    FINGERS: "finger strength, which holds you back most there",
}


def form_there_text(change: Range, at: str, span: Span) -> str:
    """How form will have changed for a goal where it is to be had."""
    ends = _between(100 * change.low, 100 * change.high)
    return f"{percent_text(change.middle)} {ends}, {dates_text(span)}, at {at}"


def outlook_lines(revision: Revision, year: Year) -> list[str]:
    """A sentence for each goal at each season, window or trip, one for those of a goal that has
    many, then what is likely to change."""
    told = list(_occasions(revision, year))
    told += lost_lines(revision, year)
    if not revision.sessions:
        return told
    found = outlook(
        as_tested(year, revision.ratings), revision.blocks, revision.sessions,
        revision.score.occasions, book=recipes(year.recipes), done=revision.done,
    )  # fmt: skip
    told += _told(_first_and_last(list(_once(found.goals))), revision, year)
    if any(goal.changes for goal in found.goals):
        told += [A_MODEL] if found.start_known else [f"{A_MODEL} {START_UNKNOWN}"]
    return told


def _occasions(revision: Revision, year: Year) -> Iterator[str]:
    """What the plan makes of each; of many of one goal together, where the first stands."""
    occasions, sessions = revision.score.occasions, revision.sessions
    many = _many(one.goal for one in occasions)
    for goal, one in ((one.goal, one) for one in occasions):
        if goal not in many:
            yield occasion_text(one, year, sessions)
        elif all(one is mine or one.span < mine.span for mine in _of(goal, occasions)):
            yield _together_text(_of(goal, occasions), year, sessions)


def _of(goal: str, occasions: Iterable[Occasion]) -> list[Occasion]:
    return [one for one in occasions if one.goal == goal]


def _many(goals: Iterable[str]) -> frozenset[str]:
    """The goals that are met more often than is told one by one."""
    return frozenset(goal for goal, times in Counter(goals).items() if times > MANY)


def _together_text(some: Sequence[Occasion], year: Year, sessions: Sequence[Session]) -> str:
    """The same of all occasions of a goal."""
    days, good = sum(one.rock_days for one in some), sum(one.good_days for one in some)
    easy = sum(one.easy_days or 0 for one in some)
    span = Span(min(one.span.first for one in some), max(one.span.after for one in some))
    possible = sum(one.possible for one in some)
    tries = tries_text(good_tries(some, year, sessions))
    return (
        f"{entry_name(year, some[0].goal)}, {len(some)} times from {span_text(span)}: "
        f"{planned_text(days, easy)}, {number_text(good)} good ones{tries} to expect, of "
        f"{number_text(possible)} if you went every day. Below only the first and the last are "
        "told; `seasonplan show` draws them all."
    )


def _first_and_last(goals: Sequence[GoalOutlook]) -> Iterator[GoalOutlook]:
    """Of those that have many the first and the last; all of the others."""
    many = _many(one.goal for one in goals)
    for one in goals:
        spans = [other.span for other in goals if other.goal == one.goal]
        if one.goal not in many or one.span in (min(spans), max(spans)):
            yield one


def _told(
    goals: Iterable[GoalOutlook], revision: Revision, year: Year
) -> Iterator[str]:  # fmt: skip
    """The lines of each goal; with the first at which fingers are below the start, why that is."""
    unsaid = True
    for goal in goals:
        yield from _goal_lines(goal)
        if unsaid and _fingers(goal) < 0:
            unsaid = False
            yield from _below_start(goal, revision, year)


def _below_start(goal: GoalOutlook, revision: Revision, year: Year) -> Iterator[str]:
    """Where the figure comes from, of fingers that are trained and told below the start."""
    days = Span(goal.since, max(goal.span.first, goal.since + ONE_DAY))
    last = Span(max(days.first, days.after - LAST), days.after)
    hung = _hangs(revision, days, year)
    lately = [seconds for day, seconds in hung if day in last]
    if not hung:
        return
    told, usual = year.before.hard_finger_sessions, response_table().usual_session_seconds
    start = (
        f"{number_text(told)} hard finger session{'' if told == 1 else 's'} a week before, as you "
        f"entered ({told * usual:.0f} s of hangs)"
        if told is not None
        else "what is usual at your load, as the year does not say how often you hung"
    )
    weekly = 7 * sum(seconds for _, seconds in hung) / days.length
    yield (
        f"Fingers below the start, though you hang: it is taken from {start}. Until "
        f"{day_text(days.after)} the plan holds {weekly:.0f} s a week, in the last "
        f"{LAST.days // 7} weeks {7 * sum(lately) / last.length:.0f} s a week "
        f"({count_text(len(lately), 'session')} in all), and counts what lasts of the rest. A "
        "test says where you really are."
    )


def _fingers(goal: GoalOutlook) -> int:
    """The change of finger strength as it is told, in whole per cent."""
    found = (c.percent.middle for c in goal.changes if c.quality is Quality.FINGER_STRENGTH)
    return round(next(found, 0.0))


def _hangs(revision: Revision, span: Span, year: Year) -> list[tuple[date, int]]:
    """Each session of hard hangs on these days: its day and seconds."""
    book = recipes(year.recipes)
    return [
        (one.day, one.hangs * book[one.recipe].hang_seconds)
        for one in revision.sessions
        if one.day in span and one.recipe in book and book[one.recipe].hard_hangs
    ]


def _once(goals: tuple[GoalOutlook, ...]) -> Iterator[GoalOutlook]:
    """One of those that are told the same: goals at the same rock on the same days."""
    seen = set()
    for goal in goals:
        key = (goal.entry, goal.span.first, goal.good_days, goal.changes)
        if key not in seen:
            seen.add(key)
            yield goal


def _goal_lines(goal: GoalOutlook) -> Iterator[str]:
    if goal.rock_days > 1 and goal.good_days is not None:  # one day is good or not
        low, high = _ends(goal.good_days)
        yield (
            f"Of the {goal.rock_days} days on rock from {day_text(goal.span.first)} between {low} "
            f"and {high} will be good in eight years of ten: weather comes in spells."
        )
    if goal.changes:
        yield f"By then, since {day_text(goal.since)}: {join([_change(c) for c in goal.changes])}."


def _change(change: QualityChange) -> str:
    name = quality_text(change.quality)
    between = _between(change.percent.low, change.percent.high)
    return f"{name} {percent_text(change.percent.middle / 100)} {between}"


def _between(low: float, high: float) -> str:
    """Both ends of a range in whole per cent, such as "(-4 to +11)"; 0 has no sign."""
    ends = [f"{round(end):+d}" if round(end) else "0" for end in (low, high)]
    return f"({' to '.join(ends)})"


def _ends(days: Range) -> tuple[str, str]:
    return number_text(round(days.low)), number_text(round(days.high))
