"""The questions of `seasonplan injury`: few, on stderr, asked again until they can be used."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from enum import StrEnum
from typing import TypeVar

from seasonplan.cli.asking import a_day, ask, one, told_day, yes
from seasonplan.cli.screen import Screen
from seasonplan.days import ONE_DAY, day_text
from seasonplan.errors import did_you_mean
from seasonplan.explain import care
from seasonplan.injury import Dates, Grade, Hurt, Suggestion, between, suggestion
from seasonplan.vocabulary import BodyPart, Severity, Side
from seasonplan.year import Injury

Known = TypeVar("Known", bound=StrEnum)


def hurt(screen: Screen, today: date, *, young: Callable[[date], bool]) -> Hurt:
    """Everything about a new injury; shows the table where there is one."""
    screen.narrate("Sorry to hear that. A few questions; press Enter for what is in brackets.")
    part = ask(f"What hurts ({', '.join(BodyPart)})", word(BodyPart))
    side = ask("Side (left, right, both, none)", word(Side), default="none")
    happened = day("Day it happened", today, today=today, past=True)
    healed = _healed(happened, today) if happened < today else None
    grade = _grade() if part is BodyPart.FINGER else None
    severity = Severity.UNKNOWN
    if grade is None:
        severity = ask("How bad (mild, moderate, severe, unknown)", word(Severity),
                       default="unknown")  # fmt: skip
    name = ask("What to call it (empty: a plain name)", str)
    return Hurt(
        part=part, side=side, happened=happened, grade=grade, severity=severity, name=name,
        healed=healed,
        dates=Dates() if healed else
        _dates(screen, part, grade, happened, young=young(happened), today=today),
    )  # fmt: skip


def dates_again(entry: Injury, *, today: date) -> Dates:
    """Other days for an injury, the ones it has in brackets."""
    old_easy, old_full = (None, None) if entry.waits else (entry.easy_from, entry.full_from)
    easy = day("Light load from", old_easy, today=today, least=entry.happened)
    least = max(easy, entry.happened + ONE_DAY)
    full = day("Everything from", old_full and max(least, old_full), today=today, least=least)
    return Dates(
        easy_from=easy,
        building_from=_building(easy, full, today=today),
        full_from=full,
        cleared=yes("Did a doctor or physiotherapist name these days", default="no"),
    )


def day(
    question: str,
    default: date | None,
    *,
    today: date,
    least: date | None = None,
    past: bool = False,
    begins: date | None = None,
) -> date:
    """A day from `least` on, the default in brackets; with `past` none after today; `begins` is
    the first day of what it ends."""
    read = _day_between(today, least=least, past=past, begins=begins)
    return ask(question, read, default=day_text(default) if default else "", told=told_day)


def _day_between(
    today: date, *, least: date | None, past: bool, begins: date | None = None
) -> Callable[[str], date]:
    """A reader of a day from `least` on; with `past` none after today."""
    read = a_day(today, past=past, begins=begins)

    def late_enough(text: str) -> date:
        found = read(text)
        if least is not None and found < least:
            raise ValueError(
                f"found {day_text(found)}; wanted {day_text(least)} or later. Correct the day."
            )
        if past and found > today:
            raise ValueError(
                f"found {day_text(found)}; wanted today, {day_text(today)}, or before. Correct it."
            )
        return found

    return one(late_enough)


def word(words: type[Known]) -> Callable[[str], Known]:
    """A reader of one of our words, also by its beginning where that is of no other."""

    def read(text: str) -> Known:
        said = text.lower()
        begun = [one for one in words if said and one.startswith(said)]
        if said in list(words) or len(begun) == 1:
            return words(said if said in list(words) else begun[0])
        do = did_you_mean(said, words, otherwise="Choose one.")
        raise ValueError(f"found {text!r}; wanted {', '.join(words)}. {do}")

    return one(read)


def _healed(happened: date, today: date) -> date | None:
    """Since when the part is fully loaded again; None where it is not yet."""
    read = _day_between(today, least=happened + ONE_DAY, past=True)
    question = "If it is healed: fully loaded since (empty: not yet)"
    return ask(question, lambda text: read(text) if text else None, told=told_day)


def _grade() -> Grade | None:
    """The grade of a pulley injury, None where nobody examined it or it is something else."""

    def read(text: str) -> Grade | None:
        try:
            return Grade(text.upper()) if text else None
        except ValueError:
            raise ValueError(
                f"found {text!r}; wanted I, II, III or IV. Leave it empty if nobody told you."
            ) from None

    return ask("If it is a pulley and was examined: its grade, I to IV (empty: not known)",
               one(read))  # fmt: skip


def _dates(
    screen: Screen, part: BodyPart, grade: Grade | None, happened: date, *, young: bool, today: date
) -> Dates:
    """The days of the phases: the table's cautious end in brackets, or none without a clinician."""
    found = suggestion(part, grade, happened=happened, young=young)
    if found is not None:
        return _from_table(screen, found, today=today)
    screen.narrate(care.no_suggestion_text(part, grade, young=young))
    cleared = yes("Has a doctor or physiotherapist named days for it", default="no")
    if not cleared and (
        (young and part is BodyPart.FINGER)
        or not yes("Then it stays off until you say otherwise. Name days of your own", default="no")
    ):
        return Dates()
    easy = day("Light load from", None, today=today, least=happened)
    full = day("Everything from", None, today=today, least=max(easy, happened + ONE_DAY))
    building = _building(easy, full, today=today)
    return Dates(easy_from=easy, building_from=building, full_from=full, cleared=cleared)


def _from_table(screen: Screen, found: Suggestion, *, today: date) -> Dates:
    """The table's cautious end in brackets; earlier than its earliest only with a clinician."""
    for text in care.suggestion_text(found):
        screen.narrate(text)
    easy = day("Light load from", found.easy_latest, today=today, least=found.happened)
    least = max(easy, found.happened)
    full = day("Everything from", max(easy, found.full_latest), today=today, least=least)
    early = easy < found.easy_earliest or full < found.full_earliest
    cleared = early and yes("That is early. Did a doctor or physiotherapist say so", default="no")
    if (
        early
        and not cleared
        and not yes("Keep them as your own days; no: those of the table", default="no")
    ):
        screen.narrate("Then the cautious days of the table stand.")
        return Dates()
    building = _building(easy, full, today=today)
    return Dates(easy_from=easy, building_from=building, full_from=full, cleared=cleared)


def _building(easy: date, full: date, *, today: date) -> date:
    """More load, between the two."""
    return min(day("More load from", between(easy, full), today=today, least=easy), full)
