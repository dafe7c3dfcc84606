"""How form runs to each goal: change since the start, with a range.

Owns which goals share a curve. A model, no measurement; nothing without a plan.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from seasonplan.body.almanac import Almanac, Opportunity
from seasonplan.body.form import Forms
from seasonplan.body.lives import Range
from seasonplan.body.response import as_tested
from seasonplan.days import ONE_DAY, Span
from seasonplan.explain.prospects import MEASURES, form_there_text
from seasonplan.plan import Revision
from seasonplan.recipes import recipes
from seasonplan.vocabulary import FrozenModel
from seasonplan.year import Year


class FormDay(FrozenModel):
    """Change since the start on a morning, as a share: eight climbers of ten from low to high."""

    day: date
    change: Range


class FormThere(FrozenModel):
    """Goals at one season, window or trip: their days, the first day planned there, the change.

    `numbers` are those of the goals in the year, from 1; the change is a mean over the days, the
    likelier ones counting more.
    """

    numbers: tuple[int, ...]
    goals: tuple[str, ...]
    at: str
    first: date
    last: date
    arrives: date | None
    change: Range
    sentence: str

    @property
    def span(self) -> Span:
        return Span.through(self.first, self.last)


class GoalForm(FrozenModel):
    """One curve: a day for each morning. `goals` are the names of those that have it in common."""

    goals: tuple[str, ...]
    measure: str
    measure_told: str
    days: tuple[FormDay, ...]
    there: tuple[FormThere, ...]


def form_views(year: Year, plan: Revision | None) -> tuple[GoalForm, ...]:
    """The curves of a year under a plan, in the order of the goals; none without sessions."""
    if plan is None or not plan.blocks or not plan.sessions:
        return ()
    tested = as_tested(year, plan.ratings)
    forms = Forms(tested, plan.blocks, plan.sessions, recipes(year.recipes), plan.done)
    almanac = Almanac(tested)
    found: dict[tuple[FormDay, ...], list[int]] = {}
    for number, goal in enumerate(tested.goals):
        days = tuple(FormDay(day=day, change=change) for day, change in forms.ranges(goal).items())
        found.setdefault(days, []).append(number)
    return tuple(_form(numbers, days, forms, almanac) for days, numbers in found.items())


def _form(
    numbers: list[int], days: tuple[FormDay, ...], forms: Forms, almanac: Almanac
) -> GoalForm:
    goals = {forms.year.goals[number].id: number for number in numbers}
    measure = forms.measure(forms.year.goals[numbers[0]])
    places: dict[tuple[date, str], list[Opportunity]] = {}
    for one in almanac.opportunities:
        if one.goal.id in goals:
            places.setdefault((min(one.chances), one.spell.entry.id), []).append(one)
    by_day = {one.day: one.change for one in days}
    return GoalForm(
        goals=tuple(forms.year.goals[number].name for number in numbers),
        measure=measure, measure_told=MEASURES[measure], days=days,
        there=tuple(
            _there([goals[one.goal.id] + 1 for one in places[place]], places[place], by_day, forms)
            for place in sorted(places)
        ),
    )  # fmt: skip


def _there(
    numbers: Sequence[int], same: Sequence[Opportunity], by_day: Mapping[date, Range], forms: Forms
) -> FormThere:
    chances, entry = same[0].chances, same[0].spell.entry
    span = Span(min(chances), max(chances) + ONE_DAY)
    planned = (one.day for one in forms.sessions if one.rock == entry.id and one.day in chances)
    change = _mean(chances, by_day)
    return FormThere(
        numbers=tuple(sorted(numbers)), goals=tuple(one.goal.name for one in same), at=entry.name,
        first=span.first, last=span.last, arrives=min(planned, default=None), change=change,
        sentence=form_there_text(change, entry.name, span),
    )  # fmt: skip


def _mean(chances: Mapping[date, float], by_day: Mapping[date, Range]) -> Range:
    """The mean over the days of a goal, the likelier ones counting more."""
    total = sum(chances.values()) or 1.0
    every = [(share / total, by_day[day]) for day, share in chances.items()]
    return Range(
        low=sum(share * one.low for share, one in every),
        middle=sum(share * one.middle for share, one in every),
        high=sum(share * one.high for share, one in every),
    )
