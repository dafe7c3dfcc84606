"""Goals that get no day on rock, and why: no rock, no day free or long enough, what is lacking."""

from __future__ import annotations

from seasonplan.body.almanac import Almanac
from seasonplan.days import count_text
from seasonplan.errors import did_you_mean
from seasonplan.explain.words import day_text, entry_name, join, time_text
from seasonplan.recipes import Need, recipes
from seasonplan.rules.tables import rock_day_table
from seasonplan.year import Goal, Year, rock_way


def unserved(almanac: Almanac) -> dict[str, str]:
    """Goals for which no day is any good, by id, and what is missing of each."""
    served = {chance.goal.id for chance in almanac.opportunities}
    lacking = {
        goal.id: _lacking(goal, almanac.year) or _too_short(goal, almanac)
        for goal in almanac.year.goals
    }
    return {
        goal.id: lacking[goal.id] if goal.id in served else _unserved(goal, almanac)
        for goal in almanac.year.goals
        if goal.id not in served or lacking[goal.id]
    }


def _lacking(goal: Goal, year: Year) -> str:
    """What no day on rock for a goal can be planned without; "" where there is all."""
    has = {*year.sessions.has, Need.ROCK, Need.DAYLIGHT, Need.NOTHING}
    days = [
        set(recipe.needs) - has
        for recipe in recipes(year.recipes).values()
        if recipe.role is not None and goal.discipline in recipe.disciplines
    ]
    least = min(days, key=len, default=set())
    if not least:
        return ""
    wanted = join([f"a {need.value}" for need in sorted(least)])
    return (
        f"“{goal.name}” gets no day on rock: {goal.discipline.value} wants {wanted}, which is not "
        "among what you can train with. If you have one, add it to `has` under `sessions`."
    )


def _too_short(goal: Goal, almanac: Almanac) -> str:
    """That every day for a goal is over before the way there and back leaves time to climb."""
    days = [
        (day, chance.spell)
        for chance in almanac.opportunities
        if chance.goal.id == goal.id
        for day in chance.chances
    ]
    if not days or any(spell.is_trip for _, spell in days):
        return ""
    way = min(2 * rock_way(almanac.year, spell.entry.place) for _, spell in days)
    needed = rock_day_table().shortest_minutes
    longest = max(
        (
            end - start
            for day, spell in days
            for start, end in almanac.rock_windows(day, spell.entry)
        ),
        default=0,
    )
    if longest - way >= needed:
        return ""
    return (
        f"“{goal.name}” gets no day on rock: the longest free time of its days is "
        f"{time_text(longest)}, the way there and back takes {time_text(way)}, and a day on rock "
        f"needs {time_text(needed)} there. If such a day is longer, say so: `rock_days` and "
        "`rock_minutes` (time at the rock, without the way) under `climber`."
    )


def _no_day_is_long(goal: Goal, almanac: Almanac) -> str:
    """That none of the days that are free is long enough, where none was named for the rock."""
    reached = [
        (day, spell)
        for spell in almanac.spells
        if almanac.serves(spell, goal)
        for day in spell.span.days()
        if almanac.reach(day, spell) > 0
    ]
    if almanac.names_rock or not reached:
        return ""
    hours = (almanac.rock_windows(day, spell.entry) for day, spell in reached)
    longest = max((end - start for day in hours for start, end in day), default=0)
    needed = rock_day_table().least_minutes
    if longest >= needed:
        return ""
    return (
        f"“{goal.name}” gets no day on rock: the longest free time of its days is "
        f"{time_text(longest)}, and a day on rock takes {time_text(needed)} with the way. If you "
        "have longer days for it, say so: `rock_days` and `rock_minutes` (time at the rock, "
        "without the way) under `climber`."
    )


def _hurt(goal: Goal, almanac: Almanac) -> str:
    """That an injury takes all days on which the climber could go; "" where there are none."""
    days = {
        day: almanac.injury_on(day)
        for spell in almanac.spells
        if almanac.serves(spell, goal)
        for day in spell.span.days()
        if almanac.could_go(day, spell)
    }
    hurt = [found[0].name for found in days.values() if found]
    if not days or len(hurt) < len(days):
        return ""
    names = join([f"“{name}”" for name in dict.fromkeys(hurt)])
    return (
        f"“{goal.name}” gets no day that counts: {count_text(len(days), 'day')} on which you could "
        f"go, and {names} on each of them. What is planned there then is easy, and serves no goal."
    )


def _unserved(goal: Goal, almanac: Almanac) -> str:
    if any(almanac.serves(spell, goal) for spell in almanac.spells):
        why = _hurt(goal, almanac) or _no_day_is_long(goal, almanac)
        return why or (
            f"“{goal.name}” has rock, but on none of those days are you free and healthy. "
            "Look at its season, the weekdays you keep for rock, your trips, absences and injuries."
        )
    later = [one.spell for one in almanac.later if one.goal.id == goal.id]
    if later:
        opens = min(later, key=lambda spell: spell.span)
        return (
            f"“{goal.name}” gets no day on rock: {entry_name(almanac.year, opens.entry.id)} begins "
            f"on {day_text(opens.span.first)}, after the last day of the year. Form is built for "
            "it all the same; to plan its days, make the year longer."
        )
    if goal.served_by:
        named = join([entry_name(almanac.year, one) for one in goal.served_by])
        return f"Nothing serves “{goal.name}”: what it names, {named}, has no rock in this year."
    do = did_you_mean(
        f"“{goal.place}”",
        [f"“{spell.entry.place}”" for spell in almanac.spells],
        otherwise="Enter one, or name one in served_by of the goal.",
    )
    return (
        f"Nothing serves “{goal.name}”: no season, window or climbing trip at “{goal.place}” for "
        f"{goal.discipline.value}. {do}"
    )
