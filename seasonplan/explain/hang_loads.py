"""How hard the hangs of each session are: the one place that decides it, for every face.

The session's text says it once. Who is new to such hangs, and who comes back to them after a hurt
finger, wrist, elbow or shoulder, begins below the load of the recipe (`new_shares` in
`shared/weeks.toml`, custom); of hard days that follow closely every other one is the harder; short
sessions of a season keep the load of the last finger block, if nothing broke the hangs off since.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, time

from seasonplan.body.newcomer import never_hung
from seasonplan.days import week_start
from seasonplan.injury.ramp import ramp_steps
from seasonplan.plan import Session
from seasonplan.planner.fingers import KEPT
from seasonplan.recipes import HangLoad, Recipe, Step
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import Tissue
from seasonplan.year import Year


def hang_loads(
    sessions: Iterable[Session], book: Mapping[str, Recipe], year: Year, steps: Mapping[str, Step]
) -> dict[str, HangLoad]:
    """The load of each session of hard hangs, by its id; `steps` are those of the sessions."""
    hard = [one for one in sorted(sessions, key=_when) if _hangs_hard(book.get(one.recipe))]
    back = _first_after_injuries(hard, year)
    begins = _least(_beginning(hard, book, year), back)
    turns = hard_turns(hard, book, steps) - set(begins)
    found: dict[str, HangLoad] = {}
    built: Recipe | None = None
    for one in hard:
        recipe = book[one.recipe]
        low, high = recipe.hang_share
        if steps[one.id].after:
            built = None
        if not _keeps(recipe):
            built = recipe
        elif built is not None:
            low = min(high, max(low, built.hang_share[0]))
        share = high if one.id in turns else low
        found[one.id] = HangLoad(
            min(share, begins.get(one.id, share)), harder=one.id in turns, gently=one.id in back
        )
    return found


def hard_turns(
    sessions: Iterable[Session], book: Mapping[str, Recipe], steps: Mapping[str, Step]
) -> frozenset[str]:
    """Ids of hang sessions that are the harder day: of days that follow closely every other one.

    The first of each week of a block is hard. The first step, a light week and a week with one
    session have none, nor have sessions that keep what there is.
    """
    weeks: dict[tuple[str, int, str], list[Session]] = {}
    for one in sorted(sessions, key=_when):
        recipe = book.get(one.recipe)
        if recipe is None or not _hangs_hard(recipe) or recipe.days_between or _keeps(recipe):
            continue
        if steps[one.id].number > 1 and not one.light:
            weeks.setdefault((one.block, one.week, one.recipe), []).append(one)
    return frozenset(one.id for group in weeks.values() if len(group) > 1 for one in group[::2])


def _beginning(hard: Sequence[Session], book: Mapping[str, Recipe], year: Year) -> dict[str, float]:
    """The share at most of sessions in the first weeks of who is new to such hangs."""
    return _by_week([one for one in hard if _is_new(book[one.recipe], year)], year)


def _first_after_injuries(hard: Sequence[Session], year: Year) -> dict[str, float]:
    """The same of the first weeks after a hurt finger, wrist, elbow or shoulder; not where the
    steps after full were over before the year began."""
    found: dict[str, float] = {}
    for hurt in year.injuries:
        steps = [one for one in ramp_steps(hurt) if Tissue.FINGERS in one.tissues]
        if steps and steps[-1].until_day >= year.span.first:
            after = [one for one in hard if one.day >= hurt.full_from]
            found = _least(found, _by_week(after, year))
    return found


def _by_week(sessions: Sequence[Session], year: Year) -> dict[str, float]:
    """The shares of the first weeks that hold one of these sessions."""
    of = {one.id: week_start(one.day, year.climber.week_begins) for one in sessions}
    weeks = dict(zip(dict.fromkeys(of.values()), composing().fingers.new_shares, strict=False))
    return {name: weeks[week] for name, week in of.items() if week in weeks}


def _least(one: Mapping[str, float], other: Mapping[str, float]) -> dict[str, float]:
    """The lower share of each session."""
    return {name: min(s for m in (one, other) if (s := m.get(name))) for name in {**one, **other}}


def _is_new(recipe: Recipe, year: Year) -> bool:
    """Whether the climber hung hard at no time before the year, or not on days that follow."""
    often = recipe.days_between == 0 and not _keeps(recipe)
    return never_hung(year) or (often and not year.before.hung_daily)


def _keeps(recipe: Recipe) -> bool:
    """Whether it keeps strength through a season, more than it builds it."""
    return recipe.id == KEPT


def _hangs_hard(recipe: Recipe | None) -> bool:
    return recipe is not None and recipe.hard_hangs


def _when(one: Session) -> tuple[date, time]:
    return one.day, one.start
