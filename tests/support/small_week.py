"""Recipes, days and weeks made by hand, small enough to work out on paper what they may hold.

Days are numbered from Monday 4 January 2027, as in `plan_maker`. Knows no year.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from plan_maker import day, span

from seasonplan.planner.frames import DayFrame, Frame
from seasonplan.planner.levels import WeekLevel
from seasonplan.planner.rock_day import RockDay
from seasonplan.planner.standing import TEST, Item, Standing
from seasonplan.recipes import Need, Recipe
from seasonplan.vocabulary import CHOSEN, Discipline, Evidence, Kind, Quality, RockRole, Tissue

EVENING = 18 * 60
Free = Sequence[tuple[int, int]]


def recipe(name: str, **fields: Any) -> Recipe:
    """An hour at effort 5, of endurance, that loads nothing hard and needs nothing."""
    values: dict[str, Any] = {
        "name": name, "kinds": CHOSEN, "qualities": {Quality.ENDURANCE: 1.0}, "minutes": 60,
        "warm_up_minutes": 0, "least_minutes": 30, "most_minutes": 90, "rpe": 5.0, "stresses": {},
        "needs": (), "spacing_hours": 0.0, "order": 2, "do": "", "caution": "",
        "evidence": Evidence.PREFERENCE, "sources": (),
    }  # fmt: skip
    return Recipe(id=name, **(values | fields))


def hangs(name: str, *, share: float = 0.85, spacing: float = 24.0, **fields: Any) -> Recipe:
    """Hangs of ten seconds, one in two minutes after ten of warm-up, two to six of them."""
    hard = {Tissue.FINGERS: 3} if share >= 0.8 else {Tissue.FINGERS: 1}
    values: dict[str, Any] = {
        "stresses": hard, "needs": (Need.HANGBOARD,), "spacing_hours": spacing, "hang_seconds": 10,
        "hang_share": (share, share), "hang_minutes": 2.0, "hangs": (2, 6), "minutes": 20,
        "warm_up_minutes": 10, "least_minutes": 15, "most_minutes": 30, "order": 1,
    }  # fmt: skip
    return recipe(name, **(values | fields))


def hard(name: str, *tissues: Tissue, days: int = 1, stress: int = 2, **fields: Any) -> Recipe:
    """Hard on some tissues (fingers, if none is named), with so many whole days after it."""
    stresses = dict.fromkeys(tissues or (Tissue.FINGERS,), stress)
    return recipe(name, stresses=stresses, spacing_hours=24.0 * (days + 1), rpe=8.0, **fields)


def on_rock(number: int, role: RockRole = RockRole.PROJECT, **fields: Any) -> RockDay:
    """Four hours on rock from ten o'clock on, hard on fingers where a project is tried."""
    project = role is RockRole.PROJECT
    made = hard("rock-project") if project else recipe("rock-easy", rpe=4.0)
    values: dict[str, Any] = {
        "recipe": made, "easier": recipe("rock-easy", rpe=4.0), "start": 600, "minutes": 240,
        "worth": 1.0, "counts": 1.0, "entry": "season", "discipline": Discipline.SPORT,
    }  # fmt: skip
    return RockDay(day=day(number), role=role, **(values | fields))


def day_frame(number: int, free: Free = (), **fields: Any) -> DayFrame:
    values: dict[str, Any] = {"rock": None, "allowed": frozenset()} | fields
    return DayFrame(day=day(number), free=tuple(free), **values)


def frame(
    free: Sequence[int | Free], allowed: Iterable[str] = (), *, first: int = 0,
    days: Mapping[int, Mapping[str, Any]] | None = None, **fields: Any,
) -> Frame:  # fmt: skip
    """A week by the free times of its days: so many minutes from 18:00 on, or (from, to) each.

    `days` are more fields of single days, by number from 0.
    """
    known = frozenset(allowed)
    made = [
        day_frame(first + n, _times(times), **({"allowed": known} | dict((days or {}).get(n, {}))))
        for n, times in enumerate(free)
    ]
    values: dict[str, Any] = {
        "level": WeekLevel(load=1000.0, hang_seconds=100.0, finger_days=3), "rock_near": (),
        "trips_begin": (), "open_after": (), "least_wall": 0,
    }  # fmt: skip
    return Frame(span=span(first, len(made)), days=tuple(made), **(values | fields))


def _times(times: int | Free) -> Free:
    if not isinstance(times, int):
        return times
    return ((EVENING, EVENING + times),) if times else ()


def standing(week: Frame, *, in_a_row: int = 2, done: Sequence[Item] = ()) -> Standing:
    """The week with nothing on it yet."""
    return Standing(week, in_a_row=in_a_row, done=done)


def may_stand(at: Standing, n: int, one: Recipe) -> bool:
    """Whether a recipe may stand on a day at all."""
    return n in at.open(one)


def stands_clear(at: Standing, n: int, one: Recipe) -> bool:
    """Whether it may stand there with its hard uses apart from others."""
    return may_stand(at, n, one) and at.clear(n, one)


def hold(at: Standing, n: int, one: Item) -> None:
    """One more session on a day."""
    at.days[n].hold(one, travel=0)


def in_order(at: Standing, items: Sequence[Item]) -> list[Item]:
    """Sessions as they follow each other in a week, whatever stood in it."""
    some = list(items)
    for n, one in enumerate(at.days):
        one.items = [item for item in some if item.day == day(n)]
    return list(at.in_order())


def item(one: Recipe, number: int, *, start: int = EVENING, **fields: Any) -> Item:
    """A session of a recipe at its usual length."""
    minutes = fields.pop("minutes", one.minutes)
    return Item(one, day(number), start, minutes, **fields)


# what weeks are composed of: each kind of session once
BOOK = {
    one.id: one
    for one in (
        recipe("long", minutes=90, least_minutes=45, most_minutes=150, order=3),
        recipe("walled", rpe=6.0, needs=(Need.WALL,)),
        hard("limit", needs=(Need.WALL,), kinds=(Kind.BASE, Kind.STRENGTH), order=0),
        hard("pull", Tissue.ELBOWS, days=0, minutes=45, order=1),
        recipe("outside", needs=(Need.DAYLIGHT,), rpe=4.0),
        recipe("mobility", rpe=2.0, minutes=20, least_minutes=10, most_minutes=30, order=4),
        hangs("hang"),
        hangs("soft-hang", share=0.4, spacing=0.0),
        recipe(
            TEST, minutes=45, least_minutes=40, stresses={Tissue.FINGERS: 3}, spacing_hours=48.0
        ),
    )
}
