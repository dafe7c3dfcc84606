"""What the climber entered, in a few words each, and what was understood of words typed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from pydantic import TypeAdapter, ValidationError

from seasonplan.days import MONTHS, WEEKDAYS, Span, count_text, dates_text
from seasonplan.edits.forms import Line, Takes
from seasonplan.edits.said import words_of
from seasonplan.edits.units import unit_of
from seasonplan.explain.notes import low_load
from seasonplan.explain.words import day_text, length_text, number_text
from seasonplan.injury import waits
from seasonplan.recipes import recipes
from seasonplan.vocabulary import Discipline, PlaceIs, Style
from seasonplan.year import (
    Absence,
    FixedSession,
    Goal,
    Injury,
    Outing,
    Pin,
    Season,
    Trip,
    Window,
    Year,
)
from seasonplan.year.forecast import Forecast
from seasonplan.year.grade import as_written, scale_of, scales
from seasonplan.year.place import Place
from seasonplan.year.routine import Free, FreeTime
from seasonplan.year.zones import known_zones

_FREE: TypeAdapter[FreeTime] = TypeAdapter(Free)


# --- entries ----------------------------------------------------------------------------------


def fact_line(entry: Any) -> str:
    """What matters most of an entry, without its name."""
    tell = _FACTS.get(type(entry))
    return tell(entry) if tell else ""


def entry_title(entry: Any, year: Year) -> str:
    """The climber's own name for it; a session, which may have none, by what it holds."""
    if isinstance(entry, FixedSession) and not entry.name:
        named = entry.recipe or entry.session.rpartition("/")[2].rpartition("-")[0]
        recipe = recipes(year.recipes).get(named)
        return recipe.name if recipe else entry.id
    return str(entry.name or entry.id)


def _goal(goal: Goal) -> str:
    style = "" if goal.style is Style.REDPOINT else f" {goal.style}"
    return f"{goal.grade} {goal.discipline.value}{style}, {goal.place}, priority {goal.priority}"


def _season(season: Season) -> str:
    first, last = season.first, season.last
    if isinstance(first, date) and isinstance(last, date):
        days = dates_text(Span.through(first, last))
    else:
        days = f"{_edge(first)} to {_edge(last)}"
    every = "every year " if isinstance(first, str) else ""
    return f"{every}{days}, {season.discipline.value}, {season.place}, {chance_text(season.chance)}"


def _edge(day: date | str) -> str:
    return yearly_text(day) if isinstance(day, str) else day_text(day)


def _window(window: Window) -> str:
    return f"{dates_text(window.span)}, {window.place}, {chance_text(window.chance)}"


def _trip(trip: Trip) -> str:
    what = f"{trip.place}, {chance_text(trip.chance)}" if trip.climbing else "without climbing"
    return f"{dates_text(trip.span)}, {what}"


def _absence(absence: Absence) -> str:
    left = f"{percent_text(absence.left)} of the minutes left" if absence.left else "no training"
    return f"{dates_text(absence.span)}, {left}"


def _injury(hurt: Injury) -> str:
    since = f"{hurt.part.value}, {_plain_day(hurt.happened)}"
    if waits(hurt):
        return f"{since}; no days named yet"
    return f"{since}, in full from {_plain_day(hurt.full_from)}"


def _plain_day(day: date) -> str:
    """A day as the days of other entries are told: without its weekday."""
    return dates_text(Span.through(day, day))


def _pin(pin: Pin) -> str:
    told = f", {pin.emphasis}" if pin.emphasis else ""
    return f"{pin.kind.value}{told}, {dates_text(pin.span)}"


def _outing(outing: Outing) -> str:
    every = "every week" if outing.weeks == 1 else f"one in {count_text(outing.weeks, 'week')}"
    return (
        f"{outing.discipline.value}, {every}, {minutes_text(outing.minutes)}, "
        f"{dates_text(outing.span)}"
    )


def _place(place: Place) -> str:
    good = f", {len(place.good)} x what is good" if len(place.good) > 1 else ""
    records = ", with weather records" if place.records else ""
    what = "" if place.what is PlaceIs.ROCK else f"{place.what}, "
    where = f"{minutes_text(place.travel_minutes)} from home" if place.travel_minutes else ""
    if place.point is not None:
        north, east = place.point
        where = f"{north:g} north, {east:g} east"
    return f"{what}{where}{good}{records}".strip(", ") or place.what.value


def _forecast(forecast: Forecast) -> str:
    return f"{dates_text(forecast.span)}, {forecast.place}"


def _session(session: FixedSession) -> str:
    if session.skip:
        return f"left out{_of_week(session.session)}"
    parts = [
        day_text(session.day) if session.day else "",
        f"{session.start:%H:%M}" if session.start else "",
        f"{session.minutes} min" if session.minutes else "",
    ]
    told = ", ".join(filter(None, parts))
    return f"as you moved it: {told}" if session.session else told


def _of_week(session_id: str) -> str:
    """Such as ", in the week from Mon 5 Jul 2027": the id of a planned session names it."""
    try:
        return f", in the week from {day_text(date.fromisoformat(session_id.split('/')[1]))}"
    except (IndexError, ValueError):  # whatever else was written
        return ""


_FACTS: Mapping[type, Callable[[Any], str]] = {
    Goal: _goal, Season: _season, Window: _window, Trip: _trip, Absence: _absence,
    Injury: _injury, Pin: _pin, Outing: _outing, Place: _place, Forecast: _forecast,
    FixedSession: _session,
}  # fmt: skip


# --- settings ---------------------------------------------------------------------------------


def setting_line(part: str, year: Year) -> str:
    """What matters most of a part of the settings."""
    return _SETTINGS[part](year)


def _climber(year: Year) -> str:
    climber = year.climber
    born = f", born {climber.birth_year}" if climber.birth_year else ""
    return f"{climber.name or 'no name'}, {climber.time_zone}{born}"


def _week(year: Year) -> str:
    routine = year.climber.minutes
    days = [
        f"{name[:3].capitalize()} {minutes_text(routine.on(number))}"
        for number, name in enumerate(WEEKDAYS)
        if routine.on(number)
    ]
    return f"{minutes_text(routine.week)} a week: {', '.join(days)}"


def _days(year: Year) -> str:
    return f"{dates_text(year.span)}, {length_text(year.span.length)}"


def _before(year: Year) -> str:
    before, told = year.before, []
    if before.weekly_load:
        mean = sum(before.weekly_load) / len(before.weekly_load)
        little = ": less than one evening at a wall" if low_load(year) else ""
        weeks = count_text(len(before.weekly_load), "week")
        told.append(f"{weeks}, load {number_text(mean)} on average{little}")
    if before.hard_finger_sessions is not None:
        told.append(f"{before.hard_finger_sessions:g} hard finger sessions a week")
    told += ["hung daily"] if before.hung_daily else []
    return ", ".join(told) or "nothing said"


def _sessions(year: Year) -> str:
    has = ", ".join(need.value for need in year.sessions.has) or "nothing to train on"
    return f"{year.sessions.spread.value}; {has}"


def _calendar(year: Year) -> str:
    wish = year.calendar
    told = ["one event a day" if wish.one_event_a_day else "an event for each session"]
    told += [f"blocks: {wish.blocks.value}", "with the way" if wish.way else "without the way"]
    return ", ".join(told)


_SETTINGS: Mapping[str, Callable[[Year], str]] = {
    "climber": _climber, "climber.minutes": _week, "year": _days, "before": _before,
    "sessions": _sessions, "calendar": _calendar,
}  # fmt: skip


# --- what was understood ----------------------------------------------------------------------


def understood(
    line: Line, value: Any, *, typed: str = "", discipline: str = "", year: Span | None = None
) -> str:
    """What the words on a line were taken for; nothing where they say it themselves.

    With `year` a day outside it is told to be so: such an entry is kept, and changes nothing.
    """
    tell = _UNDERSTOOD.get(line.takes)
    told = tell(value) if tell else _amount_told(line, value)
    if (
        line.key.rpartition(".")[2] == "grade"
        and line.takes is Takes.TEXT
        and isinstance(value, str)
        and scales(as_written(value))
    ):
        grade = as_written(value)
        known = discipline in [one.value for one in Discipline]
        scale = scale_of(grade, Discipline(discipline)) if known else scales(grade)[0]
        told = f"{scale} scale" if grade == value.strip() else f"{grade}, {scale} scale"
    if line.key.rpartition(".")[2] == "time_zone" and value in known_zones():
        told = str(value)
    if year is not None and type(value) is date and value not in year:
        told += ", before your year" if value < year.first else ", after your year"
    return "" if told.casefold() == typed.strip().casefold() else told


def _amount_told(line: Line, value: Any) -> str:
    """A number with the unit of its line; nothing for what is no number, or has none."""
    ends = value if isinstance(value, list) else [value]
    if not all(type(end) in (int, float) for end in ends):
        return ""
    if line.takes is Takes.LIMIT and line.unit:
        return f"{' to '.join(f'{end:g}' for end in ends)} {line.unit}"
    if line.takes is Takes.WHOLE and unit_of(line.key) == "minutes":
        return minutes_text(ends[0])
    return ""


def _day_told(value: Any) -> str:
    if isinstance(value, date):
        return day_text(value)
    return f"{yearly_text(value)}, every year" if _is_yearly(value) else ""


def _is_yearly(value: Any) -> bool:
    return isinstance(value, str) and len(value) == 5 and value[2:3] == "-" and _in_calendar(value)


def _in_calendar(month_day: str) -> bool:
    month, _, day = month_day.partition("-")
    return month.isdigit() and day.isdigit() and 1 <= int(month) <= 12 and 1 <= int(day) <= 31


def yearly_text(month_day: str) -> str:
    month, _, day = month_day.partition("-")
    return f"{int(day)} {MONTHS[int(month) - 1].capitalize()}"


def chance_told(value: Any) -> str:
    try:
        return chance_text(value)
    except (TypeError, ValueError):
        return ""


def _free_told(value: Any) -> str:
    try:
        return minutes_text(_FREE.validate_python(value).minutes)
    except ValidationError:
        return ""


def _choice_told(value: Any) -> str:
    """A choice in its own words; weekdays as one writes them."""
    chosen = value if isinstance(value, (list, tuple)) else [value]
    told = words_of(value)
    return told.title() if all(one in WEEKDAYS for one in chosen) else told


def _results_told(value: Any) -> str:
    """Results with points before their decimals; nothing where one is no number."""
    plain = isinstance(value, list) and not any(isinstance(one, str) for one in value)
    return ", ".join(f"{one:g}" for one in value) if plain else ""


_UNDERSTOOD: Mapping[Takes, Callable[[Any], str]] = {
    Takes.DAY: _day_told, Takes.DAY_OR_YEARLY: _day_told,
    Takes.CHOICE: _choice_told, Takes.CHOICES: _choice_told, Takes.YES_NO: words_of,
    Takes.CHANCE: chance_told, Takes.SHARE: chance_told, Takes.SHARES: chance_told,
    Takes.FREE: _free_told, Takes.RESULTS: _results_told,
}  # fmt: skip


def value_told(line: Line, value: Any) -> str:
    """A value of an entry as one says it: days with their weekday, shares in per cent."""
    if value is None:
        return ""
    tell = _UNDERSTOOD.get(line.takes)
    return (tell(value) if tell else _amount_told(line, value)) or words_of(value)


# --- amounts ----------------------------------------------------------------------------------


def percent_text(share: float) -> str:
    return f"{100 * share:.3g} %"


def chance_text(chance: Any) -> str:
    """Such as "40 %", "30 to 65 % by week", "March 35 %, April 45 %"."""
    if isinstance(chance, Mapping):
        return ", ".join(
            f"{month.capitalize()} {percent_text(one)}" for month, one in chance.items()
        )
    if isinstance(chance, (list, tuple)):
        weeks = ", ".join(f"{100 * one:.3g}" for one in chance)
        return f"{weeks} %"
    return percent_text(chance)


def minutes_text(minutes: int) -> str:
    """Such as "45 min", "1 h 30", "4 h"."""
    hours, rest = divmod(minutes, 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest:02}" if rest else f"{hours} h"
