"""The courses of a week by kind and emphasis, as `shared/menus.toml` has them for a climber."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping, Sequence, Set
from datetime import date, timedelta
from functools import cache
from math import inf
from typing import Any

from seasonplan.body.almanac import Almanac
from seasonplan.body.newcomer import is_new, learns, never_hung
from seasonplan.body.response import from_50
from seasonplan.recipes import Need, recipes
from seasonplan.rules.statements import RuleBook, book_of
from seasonplan.rules.tables import table
from seasonplan.vocabulary import Discipline, Emphasis, FrozenModel, Kind, Spread
from seasonplan.year import Year

LEAD_IN = "lead-in"
BETWEEN = "between"
FAMILIES = {
    Discipline.SPORT: "rope",
    Discipline.TRAD: "rope",
    Discipline.MULTIPITCH: "rope",
    Discipline.BOULDER: "boulder",
    Discipline.MOUNTAIN: "mountain",
    Discipline.ICE: "ice",
}

Course = tuple[str, ...]  # ids of recipes: the first that can be done


class Split(FrozenModel):
    """One way of splitting hangs over a week; `hard` is the hard session among light ones.

    `between`: days between two sessions. `hangs`: most of one session.
    """

    recipe: str
    hard: str = ""
    most_days: int
    between: int = 0
    hangs: int = 0


class FingerTable(FrozenModel):
    """Hard seconds a week by kind and emphasis, and how they grow."""

    a_session: float
    first_seconds: float
    weeks_without: int
    weeks_if_weak: int
    weak_below: float
    weeks_if_new: int
    least_load: float
    weeks_to_most: int
    test_week: float
    test_after_days: int
    test_base: int
    most_seconds: float
    light_week: float
    light_days: int
    block_seconds: dict[str, float]
    block_days: dict[str, int]
    last_full_hangs: int
    last_full_days: int
    days_if_new: tuple[int, ...]
    days_if_known: tuple[int, ...]
    before: float
    seconds: dict[str, float]
    splits: dict[str, Split]
    bound: dict[str, float]
    sources: tuple[str, ...]

    def split(self, spread: Spread) -> Split:
        return self.splits[spread]

    def most_a_load(self, year: Year) -> float:
        """Hard seconds of a week for each unit of load: fewer of who did not hang hard before."""
        return self.bound["new_seconds_a_load" if never_hung(year) else "seconds_a_load"]


@cache
def finger_table() -> FingerTable:
    return FingerTable(**table("menus")["fingers"])


def can_train(kind: Kind, emphasis: Emphasis, usable: Set[str]) -> bool:
    """Whether some recipe that makes the emphasis can be done at all."""
    makes = making(kind, emphasis)
    return not makes or bool(usable & makes)


def hanging_hard(year: Year) -> frozenset[str]:
    """The recipes of hard hangs."""
    return frozenset(one.id for one in recipes(year.recipes).values() if one.hard_hangs)


@cache
def making(kind: Kind, emphasis: Emphasis) -> frozenset[str]:
    """The recipes that make an emphasis, one of which must be done; empty where none must."""
    return frozenset(table("menus")["needs"].get(menu_name(kind, emphasis), ()))


@cache
def menu_name(kind: Kind, emphasis: Emphasis, *, lead_in: bool = False) -> str:
    """Such as "base endurance"; rest has one menu, the lead-in one more to keep up endurance."""
    if lead_in:
        return f"{LEAD_IN} {emphasis}" if emphasis is Emphasis.ENDURANCE else LEAD_IN
    return f"{kind.value} {emphasis.value}".strip()


class Serving:
    """Which goal a week serves by the calendar alone, and so whose courses it takes."""

    def __init__(self, almanac: Almanac, rules: RuleBook | None = None) -> None:
        days: dict[str, list[date]] = {}
        for chance in almanac.opportunities:
            days.setdefault(chance.goal.id, []).extend(chance.chances)
        self._almanac, self._rules = almanac, rules or book_of(almanac.year)
        self._ahead = timedelta(weeks=table("menus")["serving"]["ahead_weeks"])
        goals = sorted(almanac.year.goals, key=lambda goal: goal.priority)
        self._days = [(goal, sorted(days[goal.id])) for goal in goals if goal.id in days]
        self._first = goals[0].discipline if goals else Discipline.SPORT

    def discipline(self, day: date, *, next_rock: bool) -> Discipline:
        """Of the goal that counts most among those whose days are near enough, else of the nearest
        one; with `next_rock` always of the nearest. Without days ahead, of the first goal."""
        ahead = [(found, goal) for goal, days in self._days if (found := _from(days, day))]
        if not ahead:
            return self._first
        if not next_rock:
            near = [goal for found, goal in ahead if found - day < self._ahead]
            if near:
                return near[0].discipline
        return min(ahead, key=lambda one: one[0])[1].discipline

    def between(self, emphasis: Emphasis, day: date) -> str:
        """The menu of a week of a season that lies between days on rock: some have one of their
        own for it."""
        own, family = f"{BETWEEN} {emphasis}", FAMILIES[self.discipline(day, next_rock=True)]
        return own if own in table("menus")[family] else menu_name(Kind.PERFORMANCE, emphasis)

    def hangs(self, name: str, day: date) -> str:
        """The name by which the seconds of hangs of a menu stand: some goals ask for others."""
        if not name.startswith(LEAD_IN):
            return name
        own = f"{LEAD_IN} {FAMILIES[self.discipline(day, next_rock=True)]}"
        return own if own in finger_table().seconds else name

    def courses(
        self, name: str, day: date, *, load: float = 0.0, share: float = 1.0
    ) -> tuple[Course, ...]:
        """The courses of a menu in order of need, for a week that begins on that day and may hold
        such a load, such a `share` of a normal one as it comes back."""
        raw = table("menus")
        young = self._too_young(day)
        if name in raw["hurt"]:
            found = raw["hurt"][name]
        else:
            lead_in = name.startswith(LEAD_IN)
            next_rock = lead_in or name.startswith((Kind.PERFORMANCE.value, BETWEEN))
            family = FAMILIES[self.discipline(day, next_rock=next_rock)]
            usual = raw[family].get(LEAD_IN) if lead_in else None
            year = self._almanac.year
            own = raw["learning"].get(family, {}) if learns(year) else {}
            found = own.get(name) or raw[family].get(name) or usual or raw["rope"][name]
            if from_50(year, self._almanac.span.first) and name != "rest" and not lead_in:
                found = _with_twice(found, raw["from_50"])
            much = raw["much"]
            if load >= much["from_load"].get(family, inf) and name in much["menus"]:
                behind = much["behind"][family]
                found = found if young else [*found[:behind], much["course"], *found[behind:]]
            if name.startswith(Kind.BASE.value):
                if young and family in raw["young"]["families"]:
                    found = _with_twice(found, raw["young"])
                if learns(year) and family in raw["learning"]["families"]:
                    found = _with_twice(found, raw["learning"])
            if own and name.startswith(Kind.PERFORMANCE.value):
                found = found[1:] if is_new(year, day) else found  # no links yet
                found = [*raw["learning"]["twice"], *found]
        others = self._in_place_of(day, young=young)
        if share <= raw["first_week_back"]["most_share"]:
            others = others | raw["first_week_back"]["in_place_of"]
        return tuple(tuple(others.get(id_, id_) for id_ in one.split("|")) for one in found)

    def _too_young(self, day: date) -> bool:
        """Whether the hardest tries are not for the climber yet."""
        care, rule = (self._rules.active(name) for name in ("session-care", "young-fingers"))
        return care is not None and rule is not None and self._almanac.under(rule.number, day)

    def _in_place_of(self, day: date, *, young: bool) -> Mapping[str, str]:
        """Recipes that stand for others: for the young, who is new, and who has no weights."""
        raw, has = table("menus"), self._almanac.year.sessions.has
        others = {} if Need.WEIGHTS in has else raw["without_weights"]["in_place_of"]
        if is_new(self._almanac.year, day):
            others = others | raw["learning"]["in_place_of"]
        return others | (raw["young"]["in_place_of"] if young else {})


def _from(days: Sequence[date], day: date) -> date | None:
    """The first of sorted days that is not before a day."""
    at = bisect_left(days, day)
    return days[at] if at < len(days) else None


def _with_twice(courses: Sequence[str], table: Mapping[str, Any]) -> list[str]:
    """The courses with what is to be done twice a week, first early, again after the climbing, and
    what is to be done once behind the first time."""
    twice, once, again = table["twice"], table.get("once", ()), int(table["again_after"])
    others = [one for one in courses if one not in twice and one not in once]
    return [others[0], *twice, *once, *others[1:again], *twice, *others[again:]]
