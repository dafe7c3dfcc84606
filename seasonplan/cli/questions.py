"""The questions of `seasonplan new`, and what their answers are taken for."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import typer
from pydantic import TypeAdapter, ValidationError

from seasonplan.cli.asking import a_day, ask, faults_told, one, told_day, understood_as, yes
from seasonplan.cli.screen import Screen, complain
from seasonplan.days import WEEKDAYS, day_text
from seasonplan.edits.forms import Takes
from seasonplan.explain.free_time import MIDDLING
from seasonplan.explain.words import time_text
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import Discipline, Spread, discipline_said
from seasonplan.year import Goal, Horizon, Routine, Season
from seasonplan.year.entries import DayOrYearly
from seasonplan.year.fresh import HARD_SPLIT, SPLITS, USUAL_MINUTES, Answers
from seasonplan.year.grade import Grade
from seasonplan.year.model import RockMinutes
from seasonplan.year.zones import known_zone, zone_said

LONGEST_NAME = 900  # a season is named after its place, and names have at most 1000 letters
FIRST_BIRTH, FOUR_DIGITS = 1900, 4
WEEKS_BEFORE, MOST_HOURS = 4, 40
DISCIPLINES = ", ".join(discipline.value for discipline in Discipline)


def asked(screen: Screen, zone: str, first: date, *, today: date) -> Answers:
    """Everything a year needs, a goal and a season if the climber has them."""
    screen.narrate("A few questions; press Enter to take what stands in brackets.")
    name = ask("Your name (may stay empty)", _name)
    born = ask(
        "Year of birth (may stay empty; more care under 18 and from 50 on)",
        one(lambda text: _birth_year(text, today)),
    )
    zone = ask("Time zone", one(lambda text: known_zone(zone_said(text) or text)), default=zone,
               told=_told_zone)  # fmt: skip
    first = ask("First day to plan", a_day(today), default=day_text(first), told=told_day)
    weeks = ask("How many weeks", lambda text: _weeks(text, first), default="52", told=_told_weeks)
    minutes = ask("Minutes on each weekday", _minutes, default=_minutes_text(USUAL_MINUTES))
    goal = _goal()
    season = _season(goal, today, since=max(today, first)) if goal else None
    days, there = _rock() if goal and season else ((), None)
    load = ask(
        "Hours a week of climbing and training in the last weeks, a day on rock as half of it "
        "(empty: not sure)",
        _load_before,
        told=_told_load,
    )
    hard, daily = _fingers()
    return Answers(
        zone, first, weeks, name=name, birth_year=born, minutes=minutes, goal=goal, season=season,
        rock_days=days, rock_minutes=there, weekly_load=(load,) * WEEKS_BEFORE if load else (),
        hard_finger_sessions=hard, hung_daily=daily, spread=_spread(screen),
    )  # fmt: skip


def _fingers() -> tuple[float | None, bool]:
    """Hard finger sessions a week before the year, and whether the climber hung daily."""
    hard = ask(
        "Hard finger sessions a week in the last twelve weeks, such as 1.5 (empty: not sure)",
        _sessions_a_week,
    )
    return hard, bool(hard) and yes("Did you hang on most days then", default="no")


def _spread(screen: Screen) -> Spread:
    """How finger work is to be split over a week."""
    ways = list(SPLITS)
    screen.narrate("Finger work can be split over a week in three ways:")
    for number, way in enumerate(ways, start=1):
        screen.narrate(f"{number}  {way.value}: {SPLITS[way]}.")
    screen.narrate(HARD_SPLIT)
    return ways[ask(f"Which, 1 to {len(ways)}", _one_of(len(ways)), default="1") - 1]


def _rock() -> tuple[tuple[str, ...], int | None]:
    """On which weekdays the climber can go to the rock, and how long such a day is there."""
    days = ask("Weekdays to go there, such as sat, sun (empty: any with the time)", _weekdays)
    if not days:
        return (), None
    usual = time_text(composing().rock.usual_minutes)
    there = ask("Time there on such a day, without the way", one(_rock_minutes), default=usual)
    return days, there


def _goal() -> Goal | None:
    name = ask("A goal: its name (empty for none yet)", _name)
    if not name:
        return None
    place = ask("Where is it", _place)
    discipline = ask(f"Discipline ({DISCIPLINES})", one(_discipline), default="sport")
    grade = ask("Grade, such as 7b+, 5.12c or E1 5b", one(TypeAdapter(Grade).validate_python))
    priority = ask("Priority, 1 matters most, 3 least", _one_of(3), default="1")
    return Goal(name=name, place=place, discipline=discipline, grade=grade, priority=priority)


def _season(goal: Goal, today: date, *, since: date) -> Season | None:
    """When the rock of the goal is in condition; both days dated, or both of every year."""
    complain(f"When is the rock at {goal.place} in condition?")
    while True:
        first = ask(
            "First day, such as september every year, or 12 sep (empty: later)",
            lambda text: _yearly(today, since=since)(text) if text else None,
            told=told_day,
        )
        if first is None:
            return None
        begins = first if isinstance(first, date) else None
        end = _yearly(today, since=since, begins=begins, last=True)
        last = ask("Last day", end, told=told_day)
        try:
            season = Season(
                name=f"Season at {goal.place}", place=goal.place, discipline=goal.discipline,
                first=first, last=last, chance=0,
            )  # fmt: skip
        except ValidationError as error:
            complain(faults_told(error), indent=2)
            continue
        chance = ask("Chance of a good day", _chance, default="40 %", told=_told_chance)
        return Season(**{**dict(season), "chance": chance})


# --- reading an answer ------------------------------------------------------------------------


def _told_weeks(weeks: int, text: str) -> str:
    return "" if text.isdigit() else f"{weeks} weeks"


def _told_chance(chance: float, text: str) -> str:
    return understood_as(Takes.CHANCE, chance, text)


def _told_zone(zone: str, text: str) -> str:
    return "" if zone.casefold() == text.casefold() else zone


def _yearly(
    today: date, *, since: date, begins: date | None = None, last: bool = False
) -> Callable[[str], date | str]:
    """A reader of a day, or of one of every year as "09-12"; of a month its first, or with `last`
    its last. What has no year is looked for from `since` on, an end from where it begins."""
    from seasonplan.year.spoken import day_said, end_said, yearly_said

    takes: TypeAdapter[date | str] = TypeAdapter(DayOrYearly)

    def read(text: str) -> date | str:
        day = (
            end_said(text, first=begins, today=today)
            if begins
            else day_said(text, today=today, last=last, since=since)
        )
        return takes.validate_python(yearly_said(text, last=last) or day or text)

    return one(read)


def _birth_year(text: str, today: date) -> int | None:
    """The year; nothing where it stays empty. Who is not born yet climbs nothing."""
    if not text:
        return None
    year = int(text) if len(text) == FOUR_DIGITS and text.isdigit() else 0
    if not FIRST_BIRTH <= year <= today.year:
        raise ValueError(
            f"found {text!r}; wanted a year from {FIRST_BIRTH} to {today.year}. Write all four "
            "digits, or nothing."
        )
    return year


def _weekdays(text: str) -> tuple[str, ...]:
    """Weekdays by their names or how these begin, each once."""
    found = []
    for part in filter(None, (part.strip() for part in text.split(","))):
        day = _weekday(part)
        if day is None:
            raise typer.BadParameter(f"found {part!r}; wanted weekdays. Write: sat, sun.")
        found.append(day)
    return tuple(dict.fromkeys(found))


def _weekday(name: str) -> str | None:
    days = [day for day in WEEKDAYS if len(name) > 1 and day.startswith(name.lower())]
    return days[0] if len(days) == 1 else None


def _rock_minutes(text: str) -> int:
    from seasonplan.edits.units import bare_amount

    amount = bare_amount(text, "minutes")
    if not amount.isdigit():
        raise ValueError(f"found {text!r}; wanted a time. Write 5h, or 300 min.")
    return TypeAdapter[int](RockMinutes).validate_python(int(amount))


def _name(text: str) -> str:
    if len(text) > LONGEST_NAME:
        raise typer.BadParameter(
            f"found {len(text)} letters; wanted at most {LONGEST_NAME}. Shorten it."
        )
    return text


def _place(text: str) -> str:
    if not text:
        raise typer.BadParameter("found nothing; wanted a place. Write its name.")
    return _name(text)


def _discipline(text: str) -> Discipline:
    found = discipline_said(text)
    if found is None:
        raise ValueError(f"found {text!r}; wanted {DISCIPLINES}. Choose one.")
    return found


def _load_before(text: str) -> float | None:
    """The load of a week of so much time, plain numbers in hours, at a middling effort."""
    from seasonplan.edits.units import bare_amount

    if not text:
        return None
    hours = text.replace(",", ".").removesuffix("hours").removesuffix("h").strip()
    amount = bare_amount(text, "minutes")
    try:
        minutes = 60 * float(hours)
    except ValueError:
        minutes = float(amount) if amount.isdigit() else -1.0
    if not 0 <= minutes <= 60 * MOST_HOURS:
        raise typer.BadParameter(
            f"found {text!r}; wanted hours from 0 to {MOST_HOURS}. Write 6, 4h30 or 5,5."
        )
    return float(round(minutes * MIDDLING))


def _told_load(load: float | None, _text: str) -> str:
    return f"{load:.0f} a week (effort x minutes, at an effort of {MIDDLING} of 10)" if load else ""


def _sessions_a_week(text: str) -> float | None:
    if not text:
        return None
    try:
        sessions = float(text.replace(",", "."))
    except ValueError:
        sessions = -1.0
    if not 0 <= sessions <= 14:
        raise typer.BadParameter(
            f"found {text!r}; wanted a number from 0 to 14. 1.5 means three in two weeks."
        )
    return sessions


def _one_of(most: int) -> Callable[[str], int]:
    def read(text: str) -> int:
        if text not in [str(number) for number in range(1, most + 1)]:
            raise typer.BadParameter(f"found {text!r}; wanted 1 to {most}. Choose one.")
        return int(text)

    return read


def _weeks(text: str, first: date) -> int:
    from seasonplan.edits.units import bare_amount

    amount = bare_amount(text, "weeks")
    if not amount.isdigit():
        raise typer.BadParameter(
            f"found {text!r}; wanted a number of weeks. Write 52, 30 weeks or a year."
        )
    weeks = int(amount)
    one(lambda _: Horizon(first=first, weeks=weeks))(text)
    return weeks


def _chance(text: str) -> float:
    from seasonplan.edits.said import share_said

    chance = share_said(text)
    if isinstance(chance, str) or not 0 <= chance <= 1:
        raise typer.BadParameter(
            f"found {text!r}; wanted a share. 40 % means four good days in ten."
        )
    return float(chance)


def _minutes(text: str) -> dict[str, int | str]:
    """Time by weekday, as written, from text such as "tue 90, sat 4h, sun 9:00-12:00"."""
    given: dict[str, str | int] = {}
    for part in filter(None, (part.strip() for part in text.split(","))):
        name, _, value = part.partition(" ")
        day = _weekday(name)
        if day is None or not value.strip():
            raise typer.BadParameter(
                f"found {part!r}; wanted a weekday and minutes. Write: tue 90, sat 4h."
            )
        if day in given:
            raise typer.BadParameter(f"found {day} twice; wanted it once. Leave one of them out.")
        given[day] = int(value) if value.strip().isdigit() else value.strip()
    try:
        Routine.model_validate(given)
    except ValidationError as error:
        raise typer.BadParameter(faults_told(error, by=lambda loc: f"{loc[0]}: ")) from None
    return given


def _minutes_text(minutes: dict[str, int | str]) -> str:
    return ", ".join(f"{day[:3]} {value}" for day, value in minutes.items())
