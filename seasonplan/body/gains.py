"""What the weeks of one block give to form: for which goal, by which quality, how much of it lasts.

A sum out of the same equations as the worth of the year, so it hangs on no other block. Knows no
rule, no planner and no sentence.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from seasonplan.body.response import Training
from seasonplan.body.worth import Aims, FormWorth
from seasonplan.year import Goal

if TYPE_CHECKING:
    import numpy as np

    Array = np.ndarray[Any, np.dtype[np.float64]]


@dataclass(frozen=True, slots=True)
class Gain:
    """What a block gives to form for one goal at its rock, or all through the year (no goal).

    `points` and `left` are by quality; `left` is the share of what it built that is still there on
    those days, weighed by their chance. `first` is the first of them.
    """

    goal: Goal | None
    entry: str
    first: date
    points: tuple[float, ...]
    left: tuple[float, ...]


def gains(done: Sequence[Training], aims: Aims) -> tuple[Gain, ...]:
    """What some weeks in a row give, use by use; without weeks nothing."""
    return tuple(_gain(form, done, aims) for form in aims.forms) if done else ()


def _gain(form: FormWorth, done: Sequence[Training], aims: Aims) -> Gain:
    import numpy as np

    body, chance = aims.body, form.chance
    days = np.array([day.toordinal() for day in form.days], float)
    shares = np.array(list(form.days.values()))
    drawn = np.array([body.drawn_to(one.dose, one.span.length) for one in done])
    ends = float(max(one.span.after for one in done).toordinal())
    points, left = [], []
    for n, slope in enumerate(form.a_level(body)):
        there = _there(done, drawn[:, n], days, tau=body.tau[n]) @ shares
        built = float(_there(done, drawn[:, n], np.array([ends]), tau=body.tau[n])[0])
        points.append(slope * float(there))
        left.append(float(there) / built if built else 0.0)
    return Gain(
        goal=chance.goal if chance else None, entry=chance.spell.entry.id if chance else "",
        first=form.first, points=tuple(points), left=tuple(left),
    )  # fmt: skip


def _there(done: Sequence[Training], drawn: Array, days: Array, *, tau: float) -> Array:
    """The level of a quality on some days that comes from those weeks alone."""
    import numpy as np

    begins = np.array([one.span.first.toordinal() for one in done], float)[:, None]
    lengths = np.array([one.span.length for one in done], float)[:, None]
    passed = days[None, :] - begins
    inside, after = np.clip(passed, 0, lengths), np.maximum(passed - lengths, 0)
    found: Array = drawn @ ((1 - np.exp(-inside / tau)) * np.exp(-after / tau))
    return found
