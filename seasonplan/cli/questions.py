"""The questions of `seasonplan new`: on stderr, asked again until the answer can be used."""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import date
from typing import Any, TypeVar

import typer
from pydantic import TypeAdapter, ValidationError

from seasonplan.cli.screen import Screen, complain
from seasonplan.days import WEEKDAYS, day_text
from seasonplan.edits.forms import Line, Takes
from seasonplan.vocabulary import Discipline, Spread, discipline_said
from seasonplan.year import Goal, Horizon, Routine, Season
from seasonplan.year.entries import Day, DayOrYearly
from seasonplan.year.fresh import HARD_SPLIT, SPLITS, USUAL_MINUTES, Answers
from seasonplan.year.grade import Grade
from seasonplan.year.zones import known_zone, zone_said

Value = TypeVar("Value")
LONGEST_NAME = 900  # a season is named after its place, and names have at most 1000 letters
DISCIPLINES = ", ".join(discipline.value for discipline in Discipline)


def asked(screen: Screen, zone: str, first: date, *, today: date) -> Answers:
    """Everything a year needs, a goal and a season if the climber has them."""
    screen.narrate("A few questions; press Enter to take what stands in brackets.")
    name = ask("Your name (may stay empty)", _name)
    zone = ask("Time zone", one(lambda text: known_zone(zone_said(text) or text)), default=zone,
               told=_told_zone)  # fmt: skip
    first = ask("First day to plan", a_day(today), default=day_text(first), told=told_day)
    weeks = ask("How many weeks", lambda text: _weeks(text, first), default="52", told=_told_weeks)
    minutes = ask("Minutes on each weekday", _minutes, default=_minutes_text(USUAL_MINUTES))
    goal = _goal()
    season = _season(goal, today, since=max(today, first)) if goal else None
    hard, daily = _fingers()
    return Answers(
        zone, first, weeks, name=name, minutes=minutes, goal=goal, season=season,
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


def _goal() -> Goal | None:
    name = ask("A goal: its name (empty for none yet)", _name)
    if not name:
        return None
    place = ask("Where is it", _place)
    discipline = ask(f"Discipline ({DISCIPLINES})", one(_discipline), default="sport")
    grade = ask("Grade, such as 7b+ or 5.12c", one(TypeAdapter(Grade).validate_python))
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
        chance = ask("Chance of a good day", _chance, default="40 %", told=_told_chance)
        name = f"Season at {goal.place}"
        try:
            return Season(
                name=name, place=goal.place, discipline=goal.discipline,
                first=first, last=last, chance=chance,
            )  # fmt: skip
        except ValidationError as error:
            complain(_told(error), indent=2)


def ask(
    question: str,
    read: Callable[[str], Value],
    *,
    default: str = "",
    told: Callable[[Value, str], str] = lambda _value, _text: "",
) -> Value:
    """Ask until `read` takes the answer; an empty one is the default. Raises Abort at the end.

    `told` says what an answer was taken for, where the words do not say it themselves.
    Not typer.prompt: that writes a space to stdout for each question.
    """
    from seasonplan.edits.said import bare

    offered = f" [{default}]" if default else ""
    while True:
        typer.echo(f"{question}{offered}: ", err=True, nl=False)
        line = sys.stdin.readline()
        if not line:
            raise typer.Abort
        text = bare(line)
        try:
            found = read(text or default)
        except typer.BadParameter as error:
            complain(error.message, indent=2)
            continue
        if text and (meaning := told(found, text)):
            complain(f"that is {meaning}", indent=2)
        return found


def yes(question: str, *, default: str) -> bool:
    """Ask until the answer is yes or no."""

    def read(text: str) -> bool:
        if text.lower() not in ("y", "yes", "n", "no"):
            raise typer.BadParameter(f"found {text!r}; wanted yes or no. Write one of them.")
        return text.lower().startswith("y")

    return ask(f"{question} (yes, no)", read, default=default)


# --- reading an answer ------------------------------------------------------------------------


def one(read: Callable[[Any], Value]) -> Callable[[str], Value]:
    """A reader that turns our refusals into the prompt's own, so that it asks again."""

    def tried(text: str) -> Value:
        try:
            return read(text)
        except ValidationError as error:
            raise typer.BadParameter(_told(error)) from None
        except ValueError as error:
            raise typer.BadParameter(_refusal(error)) from None

    return tried


def a_day(
    today: date, *, past: bool = False, begins: date | None = None
) -> Callable[[str], date]:  # fmt: skip
    """A reader of a day in words; of an end from where it `begins` on."""
    from seasonplan.year.spoken import day_said, end_said

    takes: TypeAdapter[date] = TypeAdapter(Day)

    def said(text: str) -> date | None:
        if begins is not None:
            return end_said(text, first=begins, today=today)
        return day_said(text, today=today, past=past)

    return one(lambda text: takes.validate_python(said(text) or text))


def told_day(day: date | str | None, text: str) -> str:
    """The day that was meant, in full; nothing where it was written so."""
    return _understood(Takes.DAY_OR_YEARLY, day, text)


def _told_weeks(weeks: int, text: str) -> str:
    return "" if text.isdigit() else f"{weeks} weeks"


def _told_chance(chance: float, text: str) -> str:
    return _understood(Takes.CHANCE, chance, text)


def _told_zone(zone: str, text: str) -> str:
    return "" if zone.casefold() == text.casefold() else zone


def _understood(takes: Takes, value: Any, text: str) -> str:
    from seasonplan.explain.entries import understood

    line = Line(key="", label="", help="", takes=takes)
    return "" if str(value) == text else understood(line, value, typed=text)


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


def _refusal(error: ValueError) -> str:
    message = getattr(error, "message", None)
    return _answered(str(message()) if callable(message) else str(error))


def _told(error: ValidationError, *, by: Callable[[Any], str] = lambda _loc: "") -> str:
    """Each fault on a line of its own, `by` what of the answer it is about."""
    from seasonplan.year.told import told

    faults = [(by(each["loc"]), told(each)) for each in error.errors()]
    return "\n".join(
        _answered(f"{about}found {f.found}; wanted {f.wanted}. {f.do}") for about, f in faults
    )


def _answered(text: str) -> str:
    """A fault as one answers a question: without the file's way of writing."""
    from seasonplan.edits.in_form import in_form

    return in_form(text, about="", lines=())


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
        days = [day for day in WEEKDAYS if len(name) > 1 and day.startswith(name.lower())]
        if len(days) != 1 or not value.strip():
            raise typer.BadParameter(
                f"found {part!r}; wanted a weekday and minutes. Write: tue 90, sat 4h."
            )
        given[days[0]] = int(value) if value.strip().isdigit() else value.strip()
    try:
        Routine.model_validate(given)
    except ValidationError as error:
        raise typer.BadParameter(_told(error, by=lambda loc: f"{loc[0]}: ")) from None
    return given


def _minutes_text(minutes: dict[str, int | str]) -> str:
    return ", ".join(f"{day[:3]} {value}" for day, value in minutes.items())
