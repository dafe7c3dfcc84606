"""How hard the hangs of each session are: the one place that decides it, for every face.

The session's text says it once. Who is new to such hangs begins below the load of the recipe
(`new_shares` in `shared/weeks.toml`, custom), and with the first week of hangs, however long the
block has lasted; of hard days that follow closely every other one is
the harder; short sessions of a season keep the load of the last finger block.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, time

from seasonplan.days import week_start
from seasonplan.plan import Session
from seasonplan.planner.fingers import KEPT
from seasonplan.recipes import HangLoad, Recipe
from seasonplan.rules.tables import composing
from seasonplan.year import Year


def hang_loads(
    sessions: Iterable[Session], book: Mapping[str, Recipe], year: Year
) -> dict[str, HangLoad]:
    """The load of each session of hard hangs, by its id."""
    hard = [one for one in sorted(sessions, key=_when) if _hangs_hard(book.get(one.recipe))]
    begins = _beginning(hard, book, year)
    turns = hard_turns(hard, book) - {of for of, one in begins.items() if one.share < 1}
    found: dict[str, HangLoad] = {}
    built: Recipe | None = None
    for one in hard:
        recipe = book[one.recipe]
        low, high = recipe.hang_share
        if not _keeps(recipe):
            built = recipe
        elif built is not None:
            low = min(high, max(low, built.hang_share[0]))
        share = high if one.id in turns else low
        new = begins.get(one.id, HangLoad(share))
        found[one.id] = HangLoad(min(share, new.share), harder=one.id in turns, week=new.week)
    return found


def hard_turns(sessions: Iterable[Session], book: Mapping[str, Recipe]) -> frozenset[str]:
    """Ids of hang sessions that are the harder day: of days that follow closely every other one.

    The first of each week of a block is hard. The first week of a block, a light week and a week
    with one session have none, nor have sessions that keep what there is.
    """
    weeks: dict[tuple[str, int, str], list[Session]] = {}
    for one in sorted(sessions, key=_when):
        recipe = book.get(one.recipe)
        if recipe is None or not _hangs_hard(recipe) or recipe.days_between or _keeps(recipe):
            continue
        if one.week > 1 and not one.light:
            weeks.setdefault((one.block, one.week, one.recipe), []).append(one)
    return frozenset(one.id for group in weeks.values() if len(group) > 1 for one in group[::2])


def _beginning(
    hard: Iterable[Session], book: Mapping[str, Recipe], year: Year
) -> dict[str, HangLoad]:
    """The share at most of sessions in the first weeks of who is new to such hangs, and the number
    of their week, that until the block ends in which those weeks do."""
    shares, weeks, last = composing().fingers.new_shares, list[date](), ""
    found = {}
    for one in hard:
        if not _is_new(book[one.recipe], year):
            continue
        week = week_start(one.day, year.climber.week_begins)
        if week not in weeks:
            weeks.append(week)
        nth = len(weeks)
        if nth <= len(shares):
            found[one.id], last = HangLoad(shares[nth - 1], week=nth), one.block
        elif one.block == last:
            found[one.id] = HangLoad(1.0, week=nth)
    return found


def _is_new(recipe: Recipe, year: Year) -> bool:
    """Whether the climber hung hard at no time before the year, or not on days that follow."""
    often = recipe.days_between == 0 and not _keeps(recipe)
    return year.before.hard_finger_sessions == 0 or (often and not year.before.hung_daily)


def _keeps(recipe: Recipe) -> bool:
    """Whether it keeps strength through a season, more than it builds it."""
    return recipe.id == KEPT


def _hangs_hard(recipe: Recipe | None) -> bool:
    return recipe is not None and recipe.hard_hangs


def _when(one: Session) -> tuple[date, time]:
    return one.day, one.start
