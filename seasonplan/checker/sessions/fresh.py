"""Judges how sessions stand around the days that count and after days off.

Judges `session-fresh`, `session-hangs`, `session-return` and `session-rock`.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from itertools import pairwise

from seasonplan.body.almanac import RockSpell
from seasonplan.checker.sessions.back import judge_coming_back
from seasonplan.checker.sessions.care import forbidden
from seasonplan.checker.sessions.needs import lacking
from seasonplan.checker.sessions.timetable import Timetable, faulty
from seasonplan.checker.verdict import broken
from seasonplan.days import ONE_DAY, Span, week_start
from seasonplan.plan import Session
from seasonplan.recipes import Need, Recipe
from seasonplan.rules.findings import Finding
from seasonplan.rules.statements import Rule
from seasonplan.rules.tables import DaysOff, after_days_off, composing
from seasonplan.rules.tables import table as table_of
from seasonplan.vocabulary import Kind, RockRole, Spread, Tissue
from seasonplan.year import rock_way

HARD_STRESS = 2
EASY_RPE = composing().day.easy_rpe
EVE_RPE = composing().day.eve_rpe
EASY_DAYS_RPE = float(table_of("blocks")["days_off"]["easy_rpe"])
TEST = "test-day"
NEAR_TRIPS = range(1, composing().day.before_trips + 1)
NEAR_ROCK = "hard fingers before a season or trip"
ROCK = composing().rock
FINGERS = composing().fingers
FEW = table_of("menus")["fingers"]["splits"][Spread.FEW_AND_LONG.value]


def _at_home(table: Timetable) -> list[tuple[Session, Recipe]]:
    """Sessions at home that are no day on rock, with their recipes."""
    return [
        (one, recipe)
        for one in table.sessions
        if one.role is None and not table.trips(one.day) and (recipe := table.recipe(one))
    ]


def _hard(recipe: Recipe) -> bool:
    return any(stress >= HARD_STRESS for stress in recipe.stresses.values())


def _hard_fingers(recipe: Recipe) -> bool:
    return recipe.stresses.get(Tissue.FINGERS, 0) >= HARD_STRESS


def _hardest_fingers(recipe: Recipe) -> bool:
    """Whether it holds hard hangs, or tries at the limit."""
    return recipe.hard_hangs or recipe.stresses.get(Tissue.FINGERS, 0) > HARD_STRESS


# --- fresh --------------------------------------------------------------------------------------


def judge_fresh(table: Timetable, rule: Rule) -> Iterator[Finding]:
    """Hard sessions on the eve of a project day and in the last days before a trip, work between
    two project days, hangs on a day on rock, hard finger work shortly before a season or trip."""
    fresh = Fresh(table, days_before=rule.number)
    for session, recipe in _at_home(table):
        for about in fresh.spoilt(recipe, session.day):
            near = fresh.days_ahead(session.day) if about == NEAR_ROCK else None
            limit = None if near is None else rule.number
            yield faulty(rule, session, about=about, found=near, limit=limit)


class Fresh:
    """The days that one is to be fresh for, and what would spoil them."""

    def __init__(self, table: Timetable, *, days_before: float) -> None:
        self._days_before = days_before
        self._projects = {one.day for one in table.sessions if one.role is RockRole.PROJECT}
        self._rock = {one.day for one in table.sessions if one.role is not None}
        trips = table.sheet.year.trips
        self._trips = {t.first for t in trips if t.climbing and t.span.length > 1}
        self._begin = _first_tries(table) | self._trips

    def spoilt(self, recipe: Recipe, day: date) -> Iterator[str]:
        """What a session at home on that day would spoil, nothing if it may be."""
        eve = day + ONE_DAY in self._projects | self._trips
        if eve and (_hard(recipe) or recipe.rpe > EVE_RPE):
            yield "hard on the eve of a project day or trip"
        elif _hard(recipe) and any(day + n * ONE_DAY in self._trips for n in NEAR_TRIPS):
            yield "hard in the last days before a trip"
        between = {day - ONE_DAY, day + ONE_DAY} <= self._projects
        if between and recipe.rpe > EASY_RPE:
            yield "between two project days"
        if day in self._rock and recipe.hang_seconds:
            yield "hangs on a day on rock"
        ahead = self.days_ahead(day)
        if _hardest_fingers(recipe) and ahead is not None and ahead <= self._days_before:
            yield NEAR_ROCK

    def days_ahead(self, day: date) -> int | None:
        """Days from that one to the first tries of the next season, or the next trip."""
        return min(((one - day).days for one in self._begin if one > day), default=None)


def _first_tries(table: Timetable) -> set[date]:
    """First project days of the seasons and windows that begin easily: no rock, nor a trip to some,
    lies shortly before, and the first day is an easy one."""
    easy = {
        one.day
        for one in table.sessions
        if one.role is RockRole.EASY and _in_performance(table, one)
    }
    tries = sorted(one.day for one in table.sessions if one.role is RockRole.PROJECT)
    days = sorted({one.day for one in table.sessions if one.role is not None and one.rock})
    trips = [spell.span for spell in table.sheet.almanac.spells if spell.is_trip]
    found = set()
    for spell in table.sheet.almanac.spells:
        if spell.span.length <= ROCK.short_spell_days or spell.is_trip:
            continue
        first = next((d for d in days if d in spell.span), None)
        if first is None or (first - spell.span.first).days >= ROCK.opening_days:
            continue
        since = Span(spell.span.first - timedelta(days=ROCK.fresh_after_days), first)
        if not any(day in since for day in days) and not any(map(since.meet, trips)):
            found.update([day for day in tries if first in easy and day in spell.span][:1])
    return found


def _in_performance(table: Timetable, session: Session) -> bool:
    block = table.block(session)
    return block is not None and block.kind is Kind.PERFORMANCE


# --- hangs --------------------------------------------------------------------------------------


def judge_hangs(table: Timetable, rule: Rule) -> Iterator[Finding]:
    """Two sessions of hangs a day, no free day in seven, too many hard finger days running; more
    hard hangs than few and long means."""
    home = _at_home(table)
    hangs: dict[date, list[Session]] = {}
    for session, recipe in home:
        if Need.HANGBOARD in recipe.needs or recipe.id == TEST:
            hangs.setdefault(session.day, []).append(session)
    for found in hangs.values():
        if len(found) > 1:
            yield faulty(rule, *found, about="hangs twice a day", found=len(found), limit=1)
    fingers = {s.day for s, r in home if r.hang_seconds or _hard_fingers(r)}
    yield from _rows(table, rule, fingers, most=6, about="a day without finger work")
    hard = {s.day: s for s, r in home if _hard_fingers(r)}
    for row in _running(sorted(hard)):
        short = _split(table, hard[row[0]]) is Spread.SHORT_AND_HARD
        most = FINGERS.in_a_row_short if short else FINGERS.in_a_row
        if len(row) > most:
            yield faulty(
                rule, *(hard[day] for day in row), about="hard finger days running",
                found=len(row), limit=most,
            )  # fmt: skip
    hung = [s for s, r in home if r.hard_hangs or r.id == TEST]
    yield from _few_hangs(table, rule, [s for s in hung if _split(table, s) is Spread.FEW_AND_LONG])


def _few_hangs(table: Timetable, rule: Rule, hung: list[Session]) -> Iterator[Finding]:
    """Calendar weeks with more sessions of hard hangs than few, and days running with them."""
    begins = table.sheet.year.climber.week_begins
    weeks: dict[date, list[Session]] = {}
    for session in hung:
        weeks.setdefault(week_start(session.day, begins), []).append(session)
    for found in weeks.values():
        if len(found) > FEW["most_days"]:
            yield faulty(
                rule, *found, about="hard hangs in a week", found=len(found),
                limit=FEW["most_days"],
            )  # fmt: skip
    for one, other in pairwise(sorted(hung, key=lambda session: session.day)):
        between = (other.day - one.day).days - 1
        if 0 <= between < FEW["between"]:
            yield faulty(
                rule, one, other, about="days between hard hangs", found=between,
                limit=FEW["between"],
            )  # fmt: skip


def _split(table: Timetable, session: Session) -> Spread:
    block = table.block(session)
    wishes = table.sheet.year.sessions
    return wishes.spread_in(session.block, block.kind.value if block else "")


def _running(days: list[date]) -> Iterator[list[date]]:
    row: list[date] = []
    for day in days:
        if row and day - row[-1] != ONE_DAY:
            yield row
            row = []
        row.append(day)
    if row:
        yield row


def _rows(
    table: Timetable, rule: Rule, days: set[date], *, most: int, about: str
) -> Iterator[Finding]:
    for row in _running(sorted(days)):
        if len(row) > most:
            inside = [s for s in table.sessions if s.day in row]
            yield faulty(rule, *inside, about=about, found=len(row), limit=most)


# --- after days off -------------------------------------------------------------------------------


def judge_return(table: Timetable, rule: Rule) -> Iterator[Finding]:
    """Hard things in the first days after days off, and in the first week hard hangs or too many
    days that load the fingers at home; too much on a part that comes back."""
    yield from judge_coming_back(table, rule)
    known = [(s, recipe) for s in table.sessions if (recipe := table.recipe(s)) is not None]
    for back, days in _back(table):
        row = after_days_off(days)
        if row is None:
            continue
        for session, recipe in known:
            if (session.day - back).days in range(int(rule.number)) and recipe.rpe > EASY_DAYS_RPE:
                yield faulty(
                    rule,
                    session,
                    about="hard after days off",
                    found=recipe.rpe,
                    limit=EASY_DAYS_RPE,
                )
        yield from _first_week(table, rule, back, row)


def _first_week(table: Timetable, rule: Rule, back: date, row: DaysOff) -> Iterator[Finding]:
    """The fingers in the seven days from `back` on, and hard hangs on the days that want light
    ones."""
    fingers = {}
    for session, recipe in _at_home(table):
        since, hard = (session.day - back).days, _hard_fingers(recipe)
        if since in range(row.light_days) and hard and recipe.hang_seconds:
            yield faulty(rule, session, about="hard hangs in the first week back")
        if since in range(7) and (hard or recipe.hang_seconds):
            fingers[session.day] = session
    if len(fingers) > row.finger_days[0]:
        yield faulty(
            rule, *fingers.values(), about="finger days in the first week", found=len(fingers),
            limit=row.finger_days[0],
        )  # fmt: skip


def _back(table: Timetable) -> Iterator[tuple[date, int]]:
    """The day on which training begins again, and the days off before it."""
    almanac = table.sheet.almanac
    kinds = {day: given.kind for given in almanac.givens for day in given.span.days()}
    yield from ((f, n) for f, n in table.sheet.after_little_time.items() if f not in kinds)
    off = 0
    for day in almanac.span.days():
        if kinds.get(day) in (Kind.ABSENCE, Kind.INJURED):
            off += 1
            continue
        if off and kinds.get(day) is not Kind.RETURN:  # a part that comes back has its own steps
            yield day, off
        off = 0


# --- rock -----------------------------------------------------------------------------------------


def judge_rock(table: Timetable, rule: Rule) -> Iterator[Finding]:
    """Performance blocks that leave out too many of the days one could be on the rock.

    Counted by weeks with rock, lead-in left out: one day each at least. A day on which calendars
    leave no time for the least that one does there is none.
    """
    usable = {
        day
        for chance in table.sheet.almanac.opportunities
        if not chance.spell.is_trip
        for day in chance.chances
        if _time_for(table, chance.spell, day)
    }
    used = {one.day for one in table.sessions if one.role is not None}
    for block in table.sheet.of(Kind.PERFORMANCE):
        weeks = [w for w in block.weeks if not w.lead_in and usable & set(w.span.days())]
        with_rock = [w for w in weeks if used & set(w.span.days())]
        if weeks and 100 * len(with_rock) < rule.number * len(weeks):
            share = 100 * len(with_rock) / len(weeks)
            yield broken(rule, block.span, block, found=share, limit=rule.number, about="weeks")


def _time_for(table: Timetable, spell: RockSpell, day: date) -> bool:
    """Whether some day on that rock, the way there and back with it, fits into what is free."""
    least = [
        recipe.least_minutes
        for recipe in table.recipes.values()
        if recipe.role is not None
        and spell.entry.discipline in recipe.disciplines
        and not lacking(table, recipe)
        and not forbidden(table, recipe, day)
    ]
    ways = 2 * rock_way(table.sheet.year, spell.entry.place)
    longest = max((end - begin for begin, end in table.rock_free(day, spell.entry)), default=0)
    return bool(least) and min(least) + ways <= longest
