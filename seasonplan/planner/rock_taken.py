"""The days on rock that a week takes of those that were chosen, by what its block is for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from seasonplan.planner.candidates import TRAINED_IN_WAVES
from seasonplan.planner.frame import Frame
from seasonplan.planner.rock_day import RockDay, easier, fitted, opens, part_of
from seasonplan.planner.week_order import FIT, Order
from seasonplan.rules.tables import composing, rock_day_table
from seasonplan.vocabulary import Kind, RockRole

OLDER = composing().older
PROJECT_MINUTES = rock_day_table().project_minutes
_Numbered = tuple[int, RockDay]  # with the number of its day in the week


def taken(order: Order, frame: Frame) -> Iterator[_Numbered]:
    """The days on rock of a week, as long as it lets them be; no longer in a light week."""
    chosen = [(n, day.rock) for n, day in enumerate(frame.days) if day.rock]
    if not chosen:
        return
    most = order.whole * (OLDER.rock_share if frame.from_50 else FIT.rock_share)
    season = order.kind is Kind.PERFORMANCE
    normal = _which(order._replace(light=False) if season else order, chosen)
    kept = {n for n, _ in _which(order, chosen)}
    for n, rock in _held(order, list(normal), most=most):
        if n not in kept:
            continue
        if (order.light or order.lead_in) and not rock.counts and not rock.away:
            yield n, part_of(rock, rock_day_table().easy_share)
        elif order.opening and opens(rock):
            yield n, replace(rock, minutes=min(rock.minutes, order.opening))
        else:
            yield n, rock


def _held(order: Order, days: list[_Numbered], *, most: float) -> list[_Numbered]:
    """Days at home, shorter where together they would be more load than `most`; of several
    projects that would then be too short for tries the least is an easy day."""
    home = {n: rock for n, rock in days if not rock.away and rock.counts}
    load = sum(rock.load for rock in home.values())
    share = most / max(load, 1.0)
    projects = [(rock.worth, -n) for n, rock in home.items() if rock.role is RockRole.PROJECT]
    if load > order.whole and len(projects) > 1:
        least = -min(projects)[1]
        minutes = min(1.0, share) * home[least].minutes
        if minutes < PROJECT_MINUTES and home[least].easier is not None:
            eased = [(n, easier(rock) if n == least else rock) for n, rock in days]
            return _held(order, eased, most=most)
    wished = FIT.wished_share * order.whole
    return [(n, fitted(rock, share=share, wished=wished)) for n, rock in days]


def _which(order: Order, chosen: list[_Numbered]) -> Iterator[_Numbered]:
    """Away and wished days always; all days in performance, the best in a light week; one
    easier day in base and strength, of a light week only the easy beginning of a season."""
    others = [(n, r) for n, r in chosen if not r.away and r.counts]
    yield from ((n, r) for n, r in chosen if r.away or not r.counts)
    if order.kind is Kind.PERFORMANCE:
        if order.light and others:
            others = [max(others, key=lambda one: (one[1].worth, -one[0]))]
        yield from others
    elif order.kind in TRAINED_IN_WAVES:
        others = [(n, rock) for n, rock in others if rock.first or not order.light]
        if not others:
            return
        n, rock = max(others, key=lambda one: (one[1].counts, -one[0]))
        if rock.easier is not None:
            yield n, easier(rock)
