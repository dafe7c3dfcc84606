"""What who has no wall, or nothing to hang from, is told of a year: what the plan cannot hold."""

from __future__ import annotations

from seasonplan import injury
from seasonplan.body.almanac import almanac_of
from seasonplan.body.newcomer import is_new
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


def board_note(year: Year) -> list[str]:
    """That without a hangboard there are no hangs, and how to say that there is one; nothing to
    who is young or new to climbing, or has named nothing at all."""
    has, first = year.sessions.has, year.span.first
    if Need.HANGBOARD in has or not has or not year.goals:
        return []
    if injury.is_young(year, first) or is_new(year, first):
        return []
    every = ", ".join(one.value for one in (Need.HANGBOARD, *has))
    return [
        "There is no hangboard among what you train on (`has` under `sessions`), so the plan holds "
        "no hangs, by which finger strength is built and kept with least time. If there is one at "
        f'your wall or at home, say so: `seasonplan edit set sessions.has "{every}"`.'
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
