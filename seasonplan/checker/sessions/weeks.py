"""Judges what the sessions of a week hold against what it asks for: `session-dose`."""

from __future__ import annotations

from collections.abc import Iterator

from seasonplan.checker.sessions.care import stresses_hurt, too_young
from seasonplan.checker.sessions.timetable import Portion, Timetable
from seasonplan.checker.verdict import broken
from seasonplan.findings import Finding
from seasonplan.plan import Shortfall
from seasonplan.recipes import (
    Need,
    Recipe,
    Sessions,
    finger_load,
    finger_sessions,
    fingerboard_load,
)
from seasonplan.reference import table as shared_table
from seasonplan.rules import Rule
from seasonplan.vocabulary import Quality, Spread

SLACK_LOAD = 2.0  # rounding: a session is of whole minutes
NEAR_SHORTFALL = 0.1  # of the minutes asked: how far what is said to be missing may be off
NEAR_MINUTES = 1.0  # rounding


def judge_dose(table: Timetable, rule: Rule) -> Iterator[Finding]:
    """Weeks with too much, or with too little and nothing said of it; and untrue shortfalls."""
    for portion in table.portions:
        yield from _judge_load(table, rule, portion)
        yield from _judge_fingers(table, rule, portion)
        if portion.shortfalls:
            yield from _judge_shortfall(table, rule, portion)
    spans = {(portion.block.id, portion.span) for portion in table.portions}
    for said in table.shortfalls:
        if (said.block, said.span) not in spans:
            yield _stray(rule, said)


def _judge_load(table: Timetable, rule: Rule, portion: Portion) -> Iterator[Finding]:
    done, asked = load_done(table, portion), portion.asked
    yield from _judge_amount(rule, portion, amounts=(done, asked), about="load")


def _judge_fingers(table: Timetable, rule: Rule, portion: Portion) -> Iterator[Finding]:
    done, asked = fingers_done(table, portion), fingers_asked(table, portion)
    yield from _judge_amount(rule, portion, amounts=(done, asked), about="fingers")


def _judge_amount(
    rule: Rule, portion: Portion, *, amounts: tuple[float, float], about: str
) -> Iterator[Finding]:
    """`amounts` are load done and load asked."""
    done, asked = amounts
    most, least = 100 + rule.number, 100 - rule.number
    limit = None
    if done > asked * most / 100 + SLACK_LOAD:
        limit = most
    elif done < asked * least / 100 - SLACK_LOAD and not portion.shortfalls:
        limit = least
    if limit is not None:
        yield broken(
            rule, portion.span, portion.block, found=100 * done / asked if asked else None,
            limit=limit, about=about, sessions=portion.sessions,
        )  # fmt: skip


def _judge_shortfall(table: Timetable, rule: Rule, portion: Portion) -> Iterator[Finding]:
    """What is missing: the larger of the load's minutes and the fingerboard's."""
    said = sum(one.missing_minutes for one in portion.shortfalls)
    true = max(_minutes_missing(table, portion), _board_minutes_missing(table, portion))
    if abs(said - true) > NEAR_SHORTFALL * portion.minutes + NEAR_MINUTES:
        yield broken(
            rule, portion.span, portion.block, found=said, limit=true, about="shortfall",
            sessions=portion.sessions,
        )  # fmt: skip
    for one in portion.shortfalls:
        if abs(one.asked_minutes - portion.minutes) > NEAR_MINUTES:
            yield broken(
                rule, portion.span, portion.block, found=one.asked_minutes, limit=portion.minutes,
                about="minutes asked",
            )  # fmt: skip


def _stray(rule: Rule, said: Shortfall) -> Finding:
    finding = broken(rule, said.span, found=said.missing_minutes, about="shortfall of no week")
    return Finding(**{**dict(finding), "blocks": (said.block,)})


# --- amounts --------------------------------------------------------------------------------------


def load_done(table: Timetable, portion: Portion) -> float:
    """RPE x minutes of the sessions of a week."""
    return sum(table.load(session) for session in portion.sessions)


def _minutes_missing(table: Timetable, portion: Portion) -> float:
    """The missing load, in minutes of the effort that the week asks for."""
    if not portion.asked:
        return 0.0
    return portion.minutes * max(0.0, 1 - load_done(table, portion) / portion.asked)


def _board_minutes_missing(table: Timetable, portion: Portion) -> float:
    asked = sum(one.count * one.minutes for one in board_sessions(table, portion))
    done = sum(s.minutes for s in portion.sessions if s.recipe in board_recipes())
    return max(0.0, asked - done)


def fingers_done(table: Timetable, portion: Portion) -> float:
    """Finger-strength load of the fingerboard sessions of the two spreads."""
    return sum(
        table.load(session)
        * table.recipes[session.recipe].qualities.get(Quality.FINGER_STRENGTH, 0.0)
        for session in portion.sessions
        if session.recipe in board_recipes() and session.recipe in table.recipes
    )


def fingers_asked(table: Timetable, portion: Portion) -> float:
    return finger_load(board_sessions(table, portion), table.recipes)


def board_recipes() -> set[str]:
    """The recipes that the finger dose is spread over."""
    return {shared_table("dose")[spread.value]["recipe"] for spread in Spread}


def board_sessions(table: Timetable, portion: Portion) -> tuple[Sessions, ...]:
    """The fingerboard sessions that a week asks for; none where their recipe cannot be used."""
    spread = table.sheet.year.sessions.spread_in(portion.block.id, portion.block.kind.value)
    chosen = table.recipes.get(shared_table("dose")[spread.value]["recipe"])
    week = sum(week.loads.finger_strength for week in portion.weeks)
    asked = finger_sessions(
        fingerboard_load(week),
        spread=spread,
        book=table.recipes,
        max_fingers=chosen is None or can_use(table, chosen, portion),
    )
    usable = all(can_use(table, table.recipes[one.recipe], portion) for one in asked)
    return asked if usable else ()


def can_use(table: Timetable, recipe: Recipe, portion: Portion) -> bool:
    """Whether a recipe may be used on every day of a week, as far as kind, gear and body go.

    Gear and body count as far as their rules are on.
    """
    there = {*table.sheet.year.sessions.has, Need.NOTHING, Need.DAYLIGHT, Need.ROCK}
    lacking = table.sheet.book.active("session-needs") is not None and {*recipe.needs} - there
    return portion.block.kind in recipe.kinds and not lacking and not _harms(table, recipe, portion)


def _harms(table: Timetable, recipe: Recipe, portion: Portion) -> bool:
    if table.sheet.book.active("session-care") is None:
        return False
    return any(
        stresses_hurt(table, recipe, day) or (recipe.max_fingers and too_young(table, day))
        for day in portion.days
    )
