"""The best plan of a year: searched, searched again where weeks hold too much, and confirmed."""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from math import inf

from seasonplan.body.almanac import Almanac
from seasonplan.body.response import weekly_before
from seasonplan.plan import Block
from seasonplan.planner.accepted import LOOK_BACK_WEEKS, Accepted
from seasonplan.planner.candidates import Candidates
from seasonplan.planner.grid import Grid
from seasonplan.planner.levels import Levels
from seasonplan.planner.path import Best, Graph
from seasonplan.planner.rock_day import Taken
from seasonplan.planner.search import Search
from seasonplan.rules.statements import RuleBook
from seasonplan.rules.tables import response_table
from seasonplan.year import Year

MOST_SEARCHES = 12  # how often weeks that hold too much are bounded and the year searched again
SLACK, CAUTION = 0.001, 0.97


@dataclass(frozen=True, slots=True)
class Progress:
    """What a search has come to: the best plan is found, or `impossible`, and what stands in the
    way is looked for."""

    impossible: bool = False


@dataclass(frozen=True, slots=True)
class Found:
    """The best plan: blocks in order, without weeks and with provisional ids.

    `confirmed` says whether the solver came to the same worth; None: it was not asked, or did not
    come to an end.
    """

    blocks: tuple[Block, ...]
    confirmed: bool | None
    search: Search


@dataclass(frozen=True, slots=True)
class Impossible:
    """Proven: no plan obeys every hard rule and entry."""


@dataclass(frozen=True, slots=True)
class SearchStopped:
    """Stopped before any plan was found."""


def too_much(search: Search, best: Best) -> dict[date, float]:
    """Bounds of whole weeks at home that hold too much against the best month before them, and
    after missed weeks against the fullest week that was really done; weeks off are not counted.

    Those found before stay; nothing new: none.
    """
    steps, missed = (search.candidates.book.active(one) for one in ("load-step", "missed-weeks"))
    trained = list(weekly_before(search.grid.almanac.year))
    found = dict(search.caps)
    new = False
    for week, load, home, off in search.placed(best):
        before = trained[-LOOK_BACK_WEEKS:]
        most = steps.number * best_month(before) if steps else inf
        if missed and search.weeks.levels.after_missed(week):
            most = min(most, missed.number * max(before))
        if home and most and load > most * (1 + SLACK):
            bound = CAUTION * most
            level = search.weeks.levels.of(week).load * bound / load
            again = week in search.caps  # what it aims at is less than the bound it had
            found[week] = min(level, bound) if again else level
            load, new = most, True
        if not off:
            trained.append(load)
    return found if new else {}


def best_month(loads: Sequence[float]) -> float:
    """The best mean of four weeks running, and never less than a little; 0 with fewer."""
    fours = [sum(loads[n : n + 4]) / 4 for n in range(len(loads) - 3)]
    return max(*fours, response_table().least_load) if fours else 0.0


def best_plan(
    year: Year,
    *,
    book: RuleBook,
    accepted: Accepted | None = None,
    taken: Taken | None = None,
    confirm: bool = True,
    on_progress: Callable[[Progress], None] | None = None,
    stop: threading.Event | None = None,
) -> Found | Impossible | SearchStopped:
    """The best plan of a year under a rule book, the same every time.

    Setting `stop` ends the search before it has a plan. `accepted` freezes the past and prices
    changes of what was accepted; `taken` is busy time. With `confirm` a solver is asked as well.
    """
    search, best, caps = None, None, dict[date, float]()
    for _ in range(MOST_SEARCHES):
        asked = Search(year, book=book, accepted=accepted, taken=taken, caps=caps)
        search = asked.known() or (search.bounded(caps) if search else asked)
        if not search.graph.possible:
            return Impossible()
        if stop is not None and stop.is_set():
            return SearchStopped()
        best = search.prices.best()
        assert best is not None, "a graph that is possible has a best path"
        search.remember()
        caps = too_much(search, best)
        if not caps:
            break
    assert search is not None and best is not None
    if on_progress is not None:
        on_progress(Progress())
    return Found(search.blocks(best), _again(search, best) if confirm else None, search)


def _again(search: Search, best: Best) -> bool | None:
    """Whether the solver comes to the same worth."""
    from seasonplan.planner.confirm import confirmed  # slow to import

    return confirmed(search.candidates, search.prices.worths, best, softs=search.softs)


def is_possible(
    year: Year, book: RuleBook, *, accepted: Accepted | None = None, rock: bool = True
) -> bool:
    """Whether any plan obeys every hard rule and entry: no week is composed.

    Without `rock` it is not asked which days on rock are chosen: faster, and more is possible.
    """
    almanac, back = Almanac(year), book.active("build-back") is not None
    done = accepted.done if accepted and book.active("missed-weeks") else {}
    levels = Levels(almanac, done=done, back=back)
    candidates = Candidates(Grid(almanac, accepted=accepted), book, back=levels.weeks_back)
    possible = Graph(candidates).possible
    if not rock or not possible:
        return possible
    return Search(year, book=book, accepted=accepted).graph.possible
