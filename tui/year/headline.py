"""The year in one line: how strong when, days on rock for what matters most, what is on and next.

Reads a sheet; draws nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import fmean
from textwrap import wrap

from seasonplan.body.almanac import Opportunity
from seasonplan.days import ONE_DAY, count_text, day_month_text
from seasonplan.explain.words import percent_text
from seasonplan.plan import Block
from seasonplan.vocabulary import Kind
from seasonplan.year import Injury, Year
from tui.canvas import clean
from tui.year.lanes import Sheet, goal_days
from tui.year.named import block_words

GAP = " · "
AS_GOOD = 0.005  # so much less than the best four weeks still counts as strongest
WEEKS = timedelta(days=28)
NO_PLAN = "No plan yet: press r to plan."
AT_WORK = "The first plan is being made."
NO_SEASON = "No day is for {} yet: enter its season on page 3."
NO_GOAL = "No days count yet: enter a goal and its season on page 3."


@dataclass(frozen=True, slots=True)
class Said:
    """A part of the headline, in full and in short; the short one may be empty."""

    full: str
    short: str


def headline(
    sheet: Sheet, today: date, width: int, *, lines: int = 2, since: tuple[str, ...] = (),
    planning: bool = False,
) -> str:  # fmt: skip
    """The longest wording that fits on so many lines, broken between its parts only.

    `since`: what a change since the plan does to each goal, told first.
    """
    if not sheet.blocks:
        return AT_WORK if planning else NO_PLAN
    parts = [Said(text, text) for text in since]
    if not since:
        parts += _parts(sheet, today)
    else:
        parts += (Said(one.full, "") for one in _parts(sheet, today))
    wordings = [[part.full for part in parts]]
    for at in range(len(parts)):
        wordings.append([p.short if n <= at else p.full for n, p in enumerate(parts)])
    for wording in wordings:
        told = _broken([text for text in wording if text], width)
        if len(told) <= lines and all(len(line) <= width for line in told):
            return "\n".join(told)
    told = _broken([text for text in wordings[-1] if text], width)
    return "\n".join(line for part in told for line in _wrapped(part, width))


def _broken(parts: list[str], width: int) -> list[str]:
    """Parts side by side as far as they fit; a part is never broken."""
    told = [""]
    for part in parts:
        joined = f"{told[-1]}{GAP}{part}" if told[-1] else part
        if len(joined) <= width or not told[-1]:
            told[-1] = joined
        else:
            told.append(part)
    return told


def _wrapped(part: str, width: int) -> list[str]:
    """A part that is wider than a line, with each figure whole: "+4 % → +3 %"."""
    whole = part.replace(" %", "\u00a0%").replace(" → ", "\u00a0→\u00a0")
    return [line.replace("\u00a0", " ") for line in wrap(whole, width)]


def _parts(sheet: Sheet, today: date) -> Iterator[Said]:
    chance = _coming(sheet, today)
    if chance is None:
        goal = min(sheet.year.goals, key=lambda one: one.priority, default=None)
        told = NO_SEASON.format(clean(goal.name)) if goal else NO_GOAL
        yield Said(told, told)
    else:
        yield _strong(sheet, chance)
        yield _on_rock(sheet, chance)
    yield from _blocks(sheet, today)


def _coming(sheet: Sheet, today: date) -> Opportunity | None:
    """The rock that matters most of what is not over; once all is over, of all."""
    every = sheet.almanac.opportunities
    ahead = [one for one in every if max(one.chances) >= today] or list(every)
    return min(ahead, key=lambda one: (one.goal.priority, -one.possible), default=None)


def _strong(sheet: Sheet, chance: Opportunity) -> Said:
    """ "Strongest from 22 Sep" where the year has no better weeks, nor had, else by how much."""
    forms, since = sheet.forms, day_month_text(goal_days(chance).first)
    change = forms.on(chance)
    assert change is not None
    curve = forms.curve(chance.goal)
    days = sorted(curve)
    best = max(
        fmean(curve[one] for one in days[at : at + WEEKS.days])
        for at in range(0, max(1, len(days) - WEEKS.days + 1), 7)
    )
    if change >= max(best - AS_GOOD, 0):
        told = f"Strongest from {since}"
        return Said(told, told)
    measure = forms.measure(chance.goal)
    told = f"{measure[0].upper()}{measure[1:]} {percent_text(change)} from {since}"
    return Said(told, told)


def _on_rock(sheet: Sheet, chance: Opportunity) -> Said:
    """Days planned on rock for a goal, and how many of them are good by chance."""
    every = [one for one in sheet.almanac.opportunities if one.goal.id == chance.goal.id]
    days = [(day, one.chances[day]) for one in every for day in sheet.on_rock(one)]
    name = clean(chance.goal.name)
    if not days:
        return Said(f"no day on rock planned for {name}", "no day on rock planned")
    count, good = count_text(len(days), "day"), f"about {int(sum(each for _, each in days) + 0.5)}"
    return Said(
        f"{count} on rock planned for {name}, {good} of them good",
        f"{count} on rock, {good} good",
    )


def _blocks(sheet: Sheet, today: date) -> Iterator[Said]:
    """The block of today, and the one after it."""
    now = next((block for block in sheet.blocks if today in block.span), None)
    after = now.span.after if now else today
    then = next((block for block in sheet.blocks if block.span.first >= after), None)
    for word, block in (("now", now), ("next", then)):
        if block is not None:
            full, short = _called(block, sheet.year)
            yield Said(f"{word}: {full}", "" if word == "next" and now else f"{word}: {short}")


def _called(block: Block, year: Year) -> tuple[str, str]:
    """In full and in short, such as "base, fingers until 3 Mar"; days off by what they are for."""
    until = f"until {day_month_text(block.span.last)}"
    hurt = year.entry(block.entry) if block.entry and block.kind is Kind.INJURED else None
    if not isinstance(hurt, Injury):
        full = next(words for words in block_words(block) if "·" not in words)
        return f"{full} {until}", f"{block.kind.value} {until}"
    last = day_month_text(hurt.easy_from - ONE_DAY)  # also where the year ends before it
    off = "off, no day of return named" if hurt.waits else f"off until {last}"
    return f"{clean(hurt.name)} {off}", off
