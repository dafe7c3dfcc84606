"""A row of the diary, and a week of it, as one line of plain words."""

from __future__ import annotations

from collections.abc import Mapping

from seasonplan.days import count_text
from seasonplan.diary import DiaryEntry, Did, WeekDone
from seasonplan.explain.care import part_text
from seasonplan.explain.words import day_text, number_text, span_text
from seasonplan.recipes import Recipe, present_id


def entry_text(entry: DiaryEntry, recipes: Mapping[str, Recipe]) -> str:
    """Such as "Tue 3 Mar 2026: done, Easy climbing, 45 minutes, effort 4 of 10."."""
    facts = [_WHAT[entry.kind](entry, recipes)]
    if entry.minutes is not None:
        facts.append(count_text(entry.minutes, "minute"))
    if entry.rpe is not None:
        facts.append(f"effort {number_text(entry.rpe)} of 10")
    if entry.pain is not None and entry.part is not None and entry.kind is not Did.PAIN:
        facts.append(_pain(entry, recipes))
    if entry.note and entry.kind is not Did.NOTE:
        facts.append(f"“{entry.note}”")
    when = f", {entry.time:%H:%M}" if entry.time else ""
    return f"{day_text(entry.date)}{when}: {', '.join(facts)}."


def name_of(entry: DiaryEntry, recipes: Mapping[str, Recipe]) -> str:
    """What was done or missed: the climber's words, the recipe's name, or the session's id."""
    recipe = recipes.get(present_id(entry.recipe))
    return entry.what or (recipe.name if recipe else "") or entry.session or entry.recipe


def _done(entry: DiaryEntry, recipes: Mapping[str, Recipe]) -> str:
    return f"{entry.kind.value}, {name_of(entry, recipes)}"


def _measured(entry: DiaryEntry, _: Mapping[str, Recipe]) -> str:
    name = entry.what if entry.kind is Did.TEST else "weight"
    return f"{name} {entry.value or 0:g} {entry.unit}".rstrip()


def _pain(entry: DiaryEntry, _: Mapping[str, Recipe]) -> str:
    assert entry.part is not None
    part = part_text(entry.part, entry.side).removeprefix("your ")
    return f"pain {number_text(entry.pain or 0.0)} of 10, {part}"


def _noted(entry: DiaryEntry, _: Mapping[str, Recipe]) -> str:
    return f"“{entry.note}”"


_WHAT = {
    Did.DONE: _done, Did.MISSED: _done, Did.TEST: _measured, Did.WEIGHT: _measured,
    Did.PAIN: _pain, Did.NOTE: _noted,
}  # fmt: skip


def week_text(week: WeekDone) -> str:
    """A week: sessions, minutes and load, done beside planned."""
    told = (
        f"{span_text(week.span)}: {week.done} of {count_text(week.planned, 'session')}, "
        f"{week.done_minutes} of {count_text(week.planned_minutes, 'minute')}, "
        f"load {week.done_load:.0f} of {week.planned_load:.0f}"
    )
    if week.missed:
        told += f", {week.missed} missed"
    if week.unrated:
        told += f", {week.unrated} without minutes or effort (no load counted)"
    return f"{told}{', nothing logged' if week.silent else ''}."
