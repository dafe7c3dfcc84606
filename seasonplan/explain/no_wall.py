"""What a climber without a wall is told of a year: when the plan holds no climbing."""

from __future__ import annotations

from seasonplan.body.almanac import almanac_of
from seasonplan.days import Span, runs
from seasonplan.explain.words import join, span_text
from seasonplan.recipes import Need
from seasonplan.vocabulary import Discipline
from seasonplan.year import Year

LONG_WITHOUT = 28  # days without climbing that are worth a word


def wall_note(year: Year) -> list[str]:
    """That without a wall no climbing stands outside seasons, trips and wished days on rock, when
    that is, and how to wish some."""
    if {Need.WALL, Need.HOME_WALL} & set(year.sessions.has) or not year.goals:
        return []
    bare = _without_rock(year)
    if not bare:
        return []
    wished = any(_climbs(one.discipline) for one in year.outings)
    sorts = (goal.discipline for goal in year.goals if _climbs(goal.discipline))
    of = next((sort for sort in sorts if sort is not Discipline.ICE), Discipline.SPORT)
    first, last = (bare[0].first, bare[0].last) if wished else (year.span.first, year.span.last)
    board = " but on the board" if Need.BOARD in year.sessions.has else ""
    easier = (
        "A board on which you climb easily as well is a wall: add `home wall` to `has`. "
        if board
        else ""
    )
    outside = "seasons, trips and the days you wished" if wished else "seasons and trips"
    return [
        "There is no wall among what you train on (`has` under `sessions`), so outside "
        f"{outside} the plan holds no climbing{board}: {join([span_text(one) for one in bare])}. "
        f"{easier}Where rock is good enough then, wish easy days: "
        f'`seasonplan edit add outing name="Easy days" '
        f"discipline={of.value} first={first} last={last} weeks=2`."
    ]


def _without_rock(year: Year) -> list[Span]:
    """The longer stretches of a year in which no season, trip or outing has rock to climb."""
    spans = [one.span for one in almanac_of(year).spells if _climbs(one.entry.discipline)]
    spans += [one.span for one in year.outings if _climbs(one.discipline)]
    climbed = {day for span in spans for day in span.days()}
    bare = runs(day for day in year.span.days() if day not in climbed)
    return [span for span in bare if span.length >= LONG_WITHOUT]


def _climbs(discipline: Discipline | None) -> bool:
    return discipline is not Discipline.MOUNTAIN
