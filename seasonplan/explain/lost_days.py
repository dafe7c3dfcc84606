"""What an injury takes: days on rock on which the climber could go, and that hold no project.

Counts days of what was entered; what a plan holds on them comes from its sessions.
"""

from __future__ import annotations

from collections.abc import Container, Sequence
from datetime import date, timedelta

from seasonplan.body.almanac import almanac_of
from seasonplan.days import count_text
from seasonplan.explain.words import day_text, entry_name, join, number_text
from seasonplan.injury import ramp, ramp_steps
from seasonplan.plan import Revision, Session
from seasonplan.planning.known import barring_since
from seasonplan.recipes import recipes
from seasonplan.vocabulary import RockRole
from seasonplan.year import Injury, Year


def lost_lines(revision: Revision, year: Year) -> list[str]:
    """What each injury takes that was not over when the plan was made, and what the plan holds on
    those days."""
    new = barring_since(revision, year).injuries
    told = (
        lost_text(one, year, revision.sessions, known=one not in new)
        for one in year.injuries
        if _bears_from(one) > revision.stamp.date()
    )
    return list(filter(None, told))


def lost_text(
    entry: Injury, year: Year, sessions: Sequence[Session] = (), *, known: bool = True
) -> str:
    """How many days it takes, good ones among them, until when; "" where it takes none.

    `sessions` of a plan say how many of them hold an easy day, and when projects begin again; of
    one that has not `known` of it, how many still hold a project.
    """
    lost = _lost(entry, year)
    if not lost:
        return ""
    where = dict.fromkeys(at for _, at in lost.values())
    good = number_text(sum(chance for chance, _ in lost.values()))
    them = "it" if len(lost) == 1 else "them"
    return (
        f"“{entry.name}” takes {count_text(len(lost), 'day')} at "
        f"{join([entry_name(year, one) for one in where])} on which you could go, "
        f"{good} good {'one' if good == '1' else 'ones'} among them by chance: no project on "
        f"{them} {_until(entry, year)}."
        f"{_instead(entry, year, lost, sessions) if known else _still(lost, sessions)}"
    )


def bars_own_style(session: Session, year: Year) -> Injury | None:
    """The injury back by steps for which tries are of another style than the goals there ask."""
    recipe = recipes(year.recipes).get(session.recipe)
    if session.role is not RockRole.PROJECT or recipe is None or recipe.style is None:
        return None
    almanac = almanac_of(year)
    there = [one for one in almanac.spells if one.entry.id == session.rock]
    asked = {goal.style for goal in year.goals if any(almanac.serves(one, goal) for one in there)}
    if not asked or recipe.style in asked:
        return None
    return next((one for one in year.injuries if ramp(one, session.day)), None)


def _lost(entry: Injury, year: Year) -> dict[date, tuple[float, str]]:
    """Days that only what is hurt takes from the goals, this injury the most: the chance of a good
    day and the rock; of several rocks the best."""
    almanac = almanac_of(year)
    rock = [one for one in almanac.spells if any(almanac.serves(one, g) for g in year.goals)]
    bears = [(one.id, one.full_from, _bears_from(one)) for one in year.injuries]
    found = {}
    for day in almanac.span.days():
        hurt = almanac.injury_on(day)
        back = next((name for name, full, after in bears if full <= day < after), None)
        if (hurt[0].id if hurt else back) != entry.id:
            continue
        chances = [
            (chance, one.entry.id)
            for one in rock
            if (chance := one.chance(day) * almanac.reach(day, one)) and almanac.could_go(day, one)
        ]
        if chances:
            found[day] = max(chances)
    return found


def _bears_from(entry: Injury) -> date:
    """The first day on which a project may stand: hard use comes back by steps after full."""
    steps = (step.until_day for step in ramp_steps(entry) if not step.hard_a_week)
    return max([entry.full_from, *(last + timedelta(days=1) for last in steps)])


def _until(entry: Injury, year: Year) -> str:
    if entry.waits:
        return "until you name the days of its return"
    last = min(_bears_from(entry) - timedelta(days=1), year.span.last)
    return f"until {day_text(last)}"


def _still(lost: Container[date], sessions: Sequence[Session]) -> str:
    """The projects on them in a plan that was made before."""
    held = {one.day for one in sessions if one.role is RockRole.PROJECT and one.day in lost}
    hold = "holds" if len(held) == 1 else "hold"
    return f" {len(held)} of them still {hold} a project, until you plan anew." if held else ""


def _instead(entry: Injury, year: Year, lost: Container[date], sessions: Sequence[Session]) -> str:
    """The easy days that stand there, and the first project day after them: of another style at
    first, where its own is barred for longer."""
    easy = len({one.day for one in sessions if one.role is RockRole.EASY and one.day in lost})
    told = f" {easy} of them {'holds' if easy == 1 else 'hold'} an easy day." if easy else ""
    after = [
        one for one in sessions if one.role is RockRole.PROJECT and one.day >= _bears_from(entry)
    ]
    other = [one for one in after if bars_own_style(one, year) == entry]
    own = min((one.day for one in after if one not in other), default=None)
    if other:
        days = join([day_text(one.day) for one in other])
        name = recipes(year.recipes)[other[0].recipe].name
        told += f" What your goal asks for is barred for longer: on {days} stands “{name}” instead."
    if own is None:
        return told
    which = "day of what your goal asks for" if other else "project day after it"
    return f"{told} The first {which} is {day_text(own)}."
