"""The courses of a week by kind and emphasis, as `shared/menus.toml` has them for a climber."""

from __future__ import annotations

from collections.abc import Set
from functools import cache

from seasonplan.almanac import Almanac
from seasonplan.reference import table
from seasonplan.response import from_50
from seasonplan.vocabulary import Discipline, Emphasis, Kind, Spread, Word

LEAD_IN = "lead-in"
FAMILIES = {
    Discipline.SPORT: "rope",
    Discipline.TRAD: "rope",
    Discipline.MULTIPITCH: "rope",
    Discipline.BOULDER: "boulder",
    Discipline.MOUNTAIN: "mountain",
    Discipline.ICE: "ice",
}

Course = tuple[str, ...]  # ids of recipes: the first that can be done


class Split(Word):
    """One way of splitting hangs over a week; `hard` is the hard session among light ones."""

    recipe: str
    hard: str = ""
    most_days: int


class FingerTable(Word):
    """Hard seconds a week by kind and emphasis, and how they grow."""

    a_session: float
    first_seconds: float
    most_seconds: float
    least_session: float
    light_week: float
    days_if_new: tuple[int, ...]
    days_if_known: tuple[int, ...]
    seconds: dict[str, float]
    splits: dict[str, Split]
    bound: dict[str, float]
    sources: tuple[str, ...]

    def split(self, spread: Spread) -> Split:
        return self.splits[spread.value]


@cache
def finger_table() -> FingerTable:
    return FingerTable(**table("menus")["fingers"])


def can_train(kind: Kind, emphasis: Emphasis, usable: Set[str]) -> bool:
    """Whether some recipe that makes the emphasis can be done at all."""
    needed = table("menus")["needs"].get(menu_name(kind, emphasis))
    return needed is None or bool(usable & set(needed))


def menu_name(kind: Kind, emphasis: Emphasis, *, lead_in: bool = False) -> str:
    """Such as "base endurance"; the lead-in and rest have one menu each."""
    if lead_in:
        return LEAD_IN
    return f"{kind.value} {emphasis.value}".strip()


def family(almanac: Almanac) -> str:
    """Whose courses they are: those of the dearest goal's discipline."""
    goals = sorted(almanac.year.goals, key=lambda goal: goal.priority)
    return FAMILIES[goals[0].discipline] if goals else "rope"


def courses(almanac: Almanac, name: str) -> tuple[Course, ...]:
    """The courses of a menu in order of need."""
    raw = table("menus")
    if name in raw["hurt"]:
        found = raw["hurt"][name]
    else:
        found = raw[family(almanac)].get(name) or raw["rope"][name]
        if from_50(almanac.year, almanac.span.first) and name not in (LEAD_IN, "rest"):
            twice = raw["from_50"]["twice"]
            others = [one for one in found if one not in twice]
            found = [others[0], *twice, others[1], *twice, *others[2:]]
    return tuple(tuple(one.split("|")) for one in found)
