"""The text of a new year file: every section explained, examples ready to be switched on.

Prose begins with "# ", an example line with "#" alone. All names in the examples are invented.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from textwrap import fill
from typing import Any

from seasonplan.days import WEEKDAYS
from seasonplan.toml_source import literal
from seasonplan.vocabulary import Spread
from seasonplan.year.entries import Goal, Season
from seasonplan.year.fresh_examples import examples
from seasonplan.year.zones import machine_zone

WIDTH = 99
USUAL_MINUTES: dict[str, int | str] = {
    "tuesday": 90,
    "thursday": 90,
    "saturday": 180,
    "sunday": 180,
}


SPLITS: Mapping[Spread, str] = {
    Spread.FEW_AND_LONG: (
        "one to three longer sessions a week with days between; trials back the load, sets and "
        "rests are common practice"
    ),
    Spread.SHORT_AND_HARD: (
        "hard hangs in short sessions on up to six days a week; common practice, no source"
    ),
    Spread.LIGHT: (
        "one hard session and light holds on other days; at light loads force did not rise in a "
        "four-week trial"
    ),
}  # a plain sentence for each way to split finger work
HARD_SPLIT = (
    "Short and hard is not for climbers under 18 or with a hurt finger, wrist or elbow: then the "
    "plan takes light holds by itself."
)


@dataclass(frozen=True, slots=True)
class Answers:
    """What is known about a year before its file exists."""

    time_zone: str
    first: date
    weeks: int = 52
    name: str = ""
    birth_year: int | None = None
    minutes: Mapping[str, Any] = field(default_factory=lambda: dict(USUAL_MINUTES))
    rock_days: tuple[str, ...] = ()
    rock_minutes: int | None = None
    goal: Goal | None = None
    season: Season | None = None
    weekly_load: tuple[float, ...] = ()
    hard_finger_sessions: float | None = None
    hung_daily: bool = False
    spread: Spread | None = None


def year_text(answers: Answers) -> str:
    """A year file that can be read and planned at once."""
    parts = (
        _HEAD, _year(answers), _climber(answers), _before(answers), _goal(answers.goal),
        _season(answers.season), examples(answers.first), _sessions(answers), _RULES,
    )  # fmt: skip
    return "\n".join(parts)


_HEAD = """\
# Your year. Change what you like; seasonplan never overwrites what you write here.
# Lines that begin with # and a space explain. Lines such as #name = "..." are examples:
# take the # away to use them. Dates are written 2026-09-20, and both first and last count.

schema = 2
"""


def _year(answers: Answers) -> str:
    return f"""\
# The days to plan: the first day, and how many weeks (4 to 104).
[year]
first = {answers.first}
weeks = {answers.weeks}
"""


def _climber(answers: Answers) -> str:
    name = f"name = {literal(answers.name)}" if answers.name else '#name = "Mira"'
    minutes = "\n".join(
        f"{day} = {literal(answers.minutes[day])}" for day in WEEKDAYS if answers.minutes.get(day)
    )
    born = _said("birth_year", answers.birth_year, such_as=1990)
    days = _said("rock_days", list(answers.rock_days), such_as=["saturday", "sunday"])
    there = _said("rock_minutes", answers.rock_minutes, such_as=300)
    return f"""\
# Who plans. first_weekday is the day your weeks begin on. rock_days are the weekdays on which
# you can go to the rock; without them, every day with minutes counts. rock_minutes is time at the
# rock on such a day, beside the minutes at home; travel is one way. birth_year tells your age:
# under 18 some finger training needs advice from a specialist, from 50 on load rises less.
[climber]
{name}
time_zone = {literal(answers.time_zone)}
#first_weekday = "monday"
{born}
{days}
{there}
#rock_travel_minutes = 60
#wall_travel_minutes = 20

# Minutes you can train on each day of a usual week: 90, "1h30", "45 min",
# or the hours that are free, such as "18:00-19:30".
[climber.minutes]
{minutes}

# How you rate yourself, 1 (weak) to 5 (strong). What your goals ask and you lack counts more.
#[climber.level]
#finger_strength = 3
#power = 3
#power_endurance = 2
#endurance = 2
#fitness = 3
#movement = 4
"""


def _said(key: str, value: Any, *, such_as: Any) -> str:
    """A line that says a value; where there is none an example, switched off."""
    return f"{key} = {literal(value)}" if value else f"#{key} = {literal(such_as)}"


def _before(answers: Answers) -> str:
    hard = answers.hard_finger_sessions
    off = "#" if hard is None else ""
    head = "" if answers.weekly_load else off
    loads = [round(load) for load in answers.weekly_load]
    done = _said("weekly_load", loads, such_as=[1200, 1400, 1300, 900])
    shown = 1.5 if hard is None else hard
    daily = "true" if answers.hung_daily else "false"
    return f"""\
# What came before the first day. weekly_load: effort (0 to 10) times minutes of each of the last
# weeks, oldest first, a day on rock as half its minutes: three hours at an effort of 5 are 900.
# hard_finger_sessions a week and hung_daily are of the last twelve weeks:
# without them how strong your fingers begin is a guess.
{head}[before]
{off}hard_finger_sessions = {shown:g}
{off}hung_daily = {daily}
{done}
#last_kind = "base"
#days_since_rest = 20
"""


_GOAL_HELP = """\
# What you train for; as many as you like. priority: 1 matters most, 3 least.
# discipline: sport, trad, boulder, multipitch, mountain or ice. grade: 7b+, 5.12c, IX-, E1 5b, 26,
# 7A or V7. style: redpoint (worked until it goes) or onsight.
# Seasons, windows and trips at the same place and discipline serve a goal;
# or name their ids in served_by.
"""
_SEASON_HELP = """\
# When the rock of a place is usually in condition: every year ("09-12") or dated (2026-09-12).
# chance of a good day: one number, one for each week, or { september = 0.4, october = 0.6 }.
"""


def _goal(goal: Goal | None) -> str:
    off = "#" if goal is None else ""
    shown = goal or Goal.model_validate(
        {"name": "Slow Lightning", "place": "Harrow Cleft", "discipline": "sport",
         "grade": "7b+", "priority": 1}
    )  # fmt: skip
    return _GOAL_HELP + _lines(
        off,
        "[[goal]]",
        f"name = {literal(shown.name)}",
        f"place = {literal(shown.place)}",
        f'discipline = "{shown.discipline.value}"',
        f"grade = {literal(shown.grade)}",
        f"priority = {shown.priority}",
        *(('style = "redpoint"',) if off else ()),
    )


def _season(season: Season | None) -> str:
    off = "#" if season is None else ""
    shown = season or Season.model_validate(
        {"name": "Autumn in the Cleft", "place": "Harrow Cleft", "discipline": "sport",
         "first": "09-12", "last": "10-31", "chance": 0.4}
    )  # fmt: skip
    return _SEASON_HELP + _lines(
        off,
        "[[season]]",
        f"name = {literal(shown.name)}",
        f"place = {literal(shown.place)}",
        f'discipline = "{shown.discipline.value}"',
        f"first = {_day(shown.first)}",
        f"last = {_day(shown.last)}",
        f"chance = {literal(shown.chance)}",
    )


def _prose(text: str) -> str:
    """A sentence as lines that explain."""
    return fill(text, WIDTH, initial_indent="# ", subsequent_indent="#   ")


def _lines(off: str, *lines: str) -> str:
    return "".join(f"{off}{line}\n" for line in lines)


def _day(day: date | str) -> str:
    return f'"{day}"' if isinstance(day, str) else day.isoformat()


def _sessions(answers: Answers) -> str:
    off = "#" if answers.spread is None else ""
    spread = answers.spread or Spread.SHORT_AND_HARD
    ways = "\n".join(
        _prose(text) for text in (*(f"{one}: {told}." for one, told in SPLITS.items()), HARD_SPLIT)
    )
    day = answers.first + timedelta(weeks=2, days=2)
    return f"""\
# Sessions: spread is how finger work is split, what you can train on, calendar files of busy time
# in this folder, an alarm before each. "home wall" is one you can climb on without going anywhere.
{ways}
{off}[sessions]
{off}spread = "{spread.value}"
#has = ["hangboard", "wall", "home wall", "board", "weights", "partner"]
#busy = []
#busy_margin_minutes = 15
#tentative_is_free = true
#alarm_minutes = 30

# How a calendar shows the plan: a training day as one event; blocks "whole", on their "first day",
# or in "weeks", a line for each; and whether the way to wall and rock is part of a session.
#[calendar]
#one_event_a_day = true
#blocks = "first day"
#way = false

# A session that you add. To move or skip one of the plan, name it instead of a recipe:
# session = "its id", then a day and a start, or skip = true.
#[[session]]
#recipe = "mobility"
#day = {day}
#start = "19:00"
#minutes = 25
"""


_RULES = """\
# Every rule can be changed or switched off; `seasonplan rules` lists them with their reasons.
#[rules.load-step]
#limit = 1.5

#[rules.few-changes]
#on = false
"""


# --- what a new year usually begins with ------------------------------------------------------


def usual_zone() -> str:
    """The zone this machine is set to, where it knows one; else UTC."""
    return machine_zone()


def coming_monday(day: date) -> date:
    """The first Monday from a day on: that day itself, where it is one."""
    return day + timedelta(days=-day.weekday() % 7)
