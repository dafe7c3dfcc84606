"""What a change by hand does to each goal, before and after: days on rock first, then form.

Reads two sheets; draws nothing.
"""

from __future__ import annotations

from collections.abc import Iterator

from seasonplan.body.almanac import Opportunity
from seasonplan.days import count_text, month_text
from seasonplan.explain.words import percent_text
from seasonplan.explain.worth_told import days_text, in_days
from tui.canvas import clean
from tui.year.lanes import Sheet, goal_days, goal_key

SMALL_POINTS = 0.005
AS_BEFORE = "Changed since the plan: days on rock and form stay as they were"
NEARLY = "Changed since the plan: days on rock stay, and form to the per cent"  # yet worth less


def since_plan(
    before: Sheet, after: Sheet, *, worth: tuple[float, float] | None = None
) -> tuple[str, ...]:
    """A part for each goal that wins or loses, such as "Long Traverse: 12 → 11 days on rock".

    `worth`: of the plan and of what stands now, in points; how far below the plan comes last.
    """
    less = worth is not None and worth[0] - worth[1] >= SMALL_POINTS
    told = tuple(goals_since(before, after)) or (NEARLY if less else AS_BEFORE,)
    return (*told, *_worth(worth))


def _worth(worth: tuple[float, float] | None) -> Iterator[str]:
    """Such as "with form worth 0.4 good days on rock less than the plan"."""
    if worth is None:
        return
    less = worth[0] - worth[1]
    if less < SMALL_POINTS:
        yield "worth no less than the plan"
    else:
        yield f"with form worth {days_text(in_days(less))} less than the plan"


def forms_since(before: Sheet, after: Sheet) -> Iterator[str]:
    """A sentence for each goal whose form changes on its days."""
    was = {goal_key(chance): chance for chance in before.almanac.opportunities}
    for chance in after.almanac.opportunities:
        told = _form(before, after, was.get(goal_key(chance), chance), chance)
        if told:
            entry = clean(chance.spell.entry.name)
            yield f"“{clean(chance.goal.name)}” at “{entry}”: {told}."


def _form(before: Sheet, after: Sheet, old: Opportunity, new: Opportunity) -> str:
    """Such as "form +3 % → +4 %"; empty where it stays."""
    form = before.forms.on(old), after.forms.on(new)
    texts = [percent_text(one) if one is not None else "none" for one in form]
    if texts[0] == texts[1]:
        return ""
    return f"{after.forms.measure(new.goal)} {texts[0]} → {texts[1]}"


def goals_since(before: Sheet, after: Sheet) -> Iterator[str]:
    """Such as "Long Traverse: 12 → 11 days on rock", for each goal that wins or loses."""
    was = {goal_key(chance): chance for chance in before.almanac.opportunities}
    for chance in after.almanac.opportunities:
        old = was.get(goal_key(chance), chance)
        told = []
        days = len(before.on_rock(old)), len(after.on_rock(chance))
        if days[0] != days[1]:
            told.append(f"{days[0]} → {days[1]} days on rock")
        told += filter(None, [_form(before, after, old, chance)])
        if told:
            yield f"{_named(chance, after)}: {', '.join(told)}"
    left = {(one.goal.id, one.spell.entry.id) for one in after.almanac.opportunities}
    for old in was.values():
        if (old.goal.id, old.spell.entry.id) in left:
            continue
        had = count_text(len(before.on_rock(old)), "day")
        yield f"{_named(old, before)}: {had} on rock → none, it has no day left"


def _named(chance: Opportunity, sheet: Sheet) -> str:
    """The goal, and the month of its days where it has days in several seasons."""
    name = clean(chance.goal.name)
    several = sum(one.goal.id == chance.goal.id for one in sheet.almanac.opportunities) > 1
    first = goal_days(chance).first
    return f"{name}, {month_text(first)} {first.year}" if several else name
