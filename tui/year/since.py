"""What a change by hand does to each goal, before and after: days on rock first, then form.

Reads two sheets; draws nothing.
"""

from __future__ import annotations

from collections.abc import Iterator

from tui.canvas import clean
from tui.year.form import change_text
from tui.year.lanes import Sheet, goal_key

AS_BEFORE = "Changed since the plan: days on rock and form stay as they were."


def since_plan(before: Sheet, after: Sheet) -> tuple[str, ...]:
    """A part for each goal that wins or loses, such as "Long Traverse: 12 → 11 days on rock"."""
    return tuple(_goals(before, after)) or (AS_BEFORE,)


def _goals(before: Sheet, after: Sheet) -> Iterator[str]:
    was = {goal_key(chance): chance for chance in before.almanac.opportunities}
    for chance in after.almanac.opportunities:
        old = was.get(goal_key(chance), chance)
        told = []
        days = len(before.on_rock(old)), len(after.on_rock(chance))
        if days[0] != days[1]:
            told.append(f"{days[0]} → {days[1]} days on rock")
        form = before.forms.on(old), after.forms.on(chance)
        texts = [change_text(one) if one is not None else "none" for one in form]
        if texts[0] != texts[1]:
            told.append(f"{after.forms.measure(chance.goal)} {texts[0]} → {texts[1]}")
        if told:
            yield f"{clean(chance.goal.name)}: {', '.join(told)}"
