"""`seasonplan week`: the sessions of a week, a line for each, and what does not fit."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from seasonplan.cli.options import Folder, Json, OnDay, Plain, Today, folder_or_day, now_of
from seasonplan.cli.screen import Screen, write_json
from seasonplan.cli.today import (
    did_text,
    gap,
    is_done,
    makes_anew,
    opened,
    tell_missed,
    tell_standing,
    to_leave_out,
)
from seasonplan.days import Span, weekday_text
from seasonplan.explain.words import day_text

if TYPE_CHECKING:
    from datetime import date

    from seasonplan.explain.agenda import Agenda, Day
    from seasonplan.plan import Session
    from seasonplan.workspace.desk import Desk

EXAMPLES = """Examples:

\b
  seasonplan week                       this week, the year in this folder
  seasonplan week my-year 2027-03-09    the week of that day
  seasonplan week 2027-03-09            the same, the year in this folder"""

HOURS, EFFORT = 13, 30  # columns: "18:00-19:30  ", "  90 min  somewhat hard 4.5/10"
WIDE = 80


def week(
    folder: Folder = Path(),
    day: OnDay = None,
    *,
    today: Today = None,
    plain: Plain = False,
    as_json: Json = False,
) -> None:
    """Tell what to do this week."""

    screen = Screen.here(plain=plain)
    folder, day = folder_or_day(folder, day, today=today)
    desk, agenda = opened(folder, screen)
    now = now_of(desk.year, today)
    wanted = day or now
    span = agenda.week_of(wanted)
    if as_json:
        write_json(_facts(desk, agenda, span, wanted=wanted, now=now))
    elif span is None:
        from seasonplan.explain.agenda import outside_text

        screen.say(outside_text(wanted, desk.year))
        if wanted < desk.year.span.first:
            first = desk.year.span.first
            screen.say(f"`seasonplan week {first}` tells of its first week.")
    else:
        _tell(screen, desk, agenda, span, now)


def _tell(screen: Screen, desk: Desk, agenda: Agenda, span: Span, now: date) -> None:
    from seasonplan.cli.listing import tell_shortfalls
    from seasonplan.explain.agenda import WEEKLY
    from seasonplan.explain.week import clocks_text
    from seasonplan.explain.words import span_text

    days = [agenda.on(day) for day in span.days()]
    screen.say(f"{span_text(span)}{':' if screen.plain else ''}", bold=True)
    held = _held(desk, agenda, days, now)
    out = _out(desk, agenda, days, now)
    lost = _lost(days, held)
    for number, day in enumerate(days):
        if number == 0 or day.block != days[number - 1].block:
            _tell_block(screen, agenda, day, until=span.last)
            screen.tell(_no_longer(agenda, day, lost))
    made = _not_missed(desk, held)
    screen.say(_sum(made, missed=len(held) - len(made)))
    clocks = clocks_text(span, desk.year)
    if clocks:
        screen.say(clocks)
    if not screen.plain:
        screen.draw()
    for number, day in enumerate(days):
        known = days[number - 1].remarks if number else ()
        _tell_day(screen, desk, agenda, day, now=now, known={*WEEKLY, *known})
    tell_shortfalls(screen, agenda.shortfalls(span))
    for text in filter(None, (_unused(desk, agenda, span, held, now=now), *makes_anew(out))):
        gap(screen)
        screen.say(text, hang=2)
    if now in span:
        tell_missed(screen, desk, now)
    _tell_cautions(screen, agenda, days)


def _tell_block(screen: Screen, agenda: Agenda, day: Day, *, until: date) -> None:
    from dataclasses import replace

    from seasonplan.explain.agenda import WEEKLY

    kept = tuple(text for text in day.remarks if text in WEEKLY)
    tell_standing(screen, agenda, replace(day, remarks=kept), until=until)


def _lost(days: Sequence[Day], held: Sequence[Session]) -> list[Session]:
    """The sessions that count no more by what their plan does not know of yet."""
    planned = (day for day in days if day.block is None or day.block.entry is None)
    return [one for day in planned for one in day.sessions if one not in held]


def _no_longer(agenda: Agenda, day: Day, out: Sequence[Session]) -> list[str]:
    """What a week was for, where sessions of it count no more."""
    from seasonplan.explain.week import aim_text

    now = aim_text(agenda, day, out={one.id for one in out})
    return [now] if now != aim_text(agenda, day) else []


def _out(desk: Desk, agenda: Agenda, days: Sequence[Day], now: date) -> list[Session]:
    """The sessions to come that must be left out."""
    return to_leave_out(desk, agenda, (s for day in days for s in day.sessions if day.day >= now))


def _held(desk: Desk, agenda: Agenda, days: Sequence[Day], now: date) -> list[Session]:
    """The sessions that count: done, or neither to be left out nor on days taken later."""
    sessions = [session for day in days for session in day.sessions]
    return [one for one in sessions if is_done(desk, one) or not _harm(agenda, one, now)]


def _not_missed(desk: Desk, sessions: Sequence[Session]) -> list[Session]:
    """Those of which the diary does not say that they were missed."""
    from seasonplan.diary import missed_ids

    missed = missed_ids(desk.diary_shown)
    return [one for one in sessions if one.id not in missed]


def _unused(desk: Desk, agenda: Agenda, span: Span, held: Sequence[Session], *, now: date) -> str:
    """Why free time stays free; empty while the plan waits for what must be left out of it."""
    from seasonplan.explain import free_time

    planned = [one for one in agenda.revision.sessions if one.day in span]
    if any(one.day >= now and agenda.harm_text(one) for one in planned):
        return ""
    revision = agenda.revision.model_copy(update={"sessions": tuple(_not_missed(desk, held))})
    return free_time.week_text(span, revision, desk.year)


def _sum(sessions: Sequence[Session], *, missed: int = 0) -> str:
    """Such as "9 sessions, 8 h 20 min, load 2410"; of those that were missed the number alone."""
    from seasonplan.days import count_text
    from seasonplan.explain.week import amount_text

    if missed:
        lost = count_text(missed, "session")
        return f"{_sum(sessions)} {lost} {'was' if missed == 1 else 'were'} missed."
    if not sessions:
        return "No sessions."
    load = sum(one.load for one in sessions)
    amount = amount_text(len(sessions), sum(one.minutes for one in sessions))
    return f"{amount}, load {load:.0f} (effort x minutes)."


def _tell_day(
    screen: Screen, desk: Desk, agenda: Agenda, day: Day, *, now: date, known: set[str]
) -> None:
    """A day with its remarks, less those that are `known` from the day before."""
    remarks = [text for text in day.remarks if text not in known]
    if screen.plain:
        told = [
            ". ".join(
                text.rstrip(".")
                for text in (_plain_line(desk, one), *_said(desk, agenda, one, now))
            )
            for one in day.sessions
        ]
        _tell_day_plain(screen, day, now=now, told=[*told, *day.left_out], remarks=remarks)
        return
    sign = ("→" if screen.unicode else ">") if day.day == now else " "
    name = f"{sign} {weekday_text(day.day)} {day.day.day:>2}"
    of_sessions = [_session_line(screen, desk, session) for session in day.sessions]
    lines: list[str] = []
    for session, line in zip(day.sessions, of_sessions, strict=True):
        lines += [line, *_said(desk, agenda, session, now)]
    lines = lines or [day.rest]
    lines += day.left_out
    lines += [f"({', '.join(remarks)})"] if remarks else []
    bold = day.day == now
    if screen.width >= WIDE:
        for place, line in enumerate(lines):
            lead = name if place == 0 else ""
            hang = HOURS if line in of_sessions else 2
            screen.say(f"{lead:<10}{line}", hang=10 + hang, bold=bold)
        return
    screen.say(name, bold=bold)
    for line in lines:
        head, _, title = line.partition("\n")
        screen.say(head, indent=4, bold=bold)
        if title:
            screen.say(title, indent=6, bold=bold)


def _session_line(screen: Screen, desk: Desk, session: Session) -> str:
    """Hours, title, length and effort: in columns, or in two lines where there is no room."""
    from seasonplan.explain import sessions as words

    title = words.session_title(session, desk.recipes.get(session.recipe))
    hours = words.hours_text(session, desk.year.climber.time_zone)
    effort = words.effort_text(session.rpe, short=True)
    if screen.width < WIDE:
        return f"{hours}  {effort}\n{title}"
    room = screen.width - 10 - HOURS - EFFORT
    return f"{hours}  {title:<{room}} {session.minutes:>3} min  {effort}"


def _said(desk: Desk, agenda: Agenda, session: Session, now: date) -> list[str]:
    """That a session was done or missed, why it must be left out, else what is new in it."""
    said = did_text(desk, session) or _harm(agenda, session, now)
    return [said] if said else _what(agenda, session)


def _what(agenda: Agenda, session: Session) -> list[str]:
    from seasonplan.explain.sessions import short_text

    return short_text(agenda.text(session))


def _harm(agenda: Agenda, session: Session, now: date) -> str:
    """That a session must be left out; of one that is over, that its day was taken later."""
    return agenda.harm_text(session) if session.day >= now else agenda.late_text(session)


def _plain_line(desk: Desk, one: Session) -> str:
    from seasonplan.explain import sessions as words

    return (
        f"{words.hours_text(one, desk.year.climber.time_zone)} "
        f"{words.session_title(one, desk.recipes.get(one.recipe))} ({one.id}), "
        f"{one.minutes} minutes, {words.effort_text(one.rpe)}"
    )


def _tell_day_plain(
    screen: Screen, day: Day, *, now: date, told: Sequence[str], remarks: Sequence[str]
) -> None:
    today = ", today" if day.day == now else ""
    parts = [text.rstrip(".") for text in (*(told or [day.rest]), *remarks)]
    screen.say(f"{day_text(day.day)}{today}: {'; '.join(parts)}.")


def _tell_cautions(screen: Screen, agenda: Agenda, days: Sequence[Day]) -> None:
    """Those of the year that this week is about; each session's own stand in `today`."""
    from seasonplan.explain.agenda import week_cautions

    screen.tell(week_cautions(agenda, days), head="" if screen.plain else "Take care")


def _facts(
    desk: Desk, agenda: Agenda, span: Span | None, *, wanted: date, now: date
) -> dict[str, object]:
    from seasonplan.cli.machine import day_facts, hurting_facts, shortfall_facts, span_facts
    from seasonplan.explain.agenda import week_cautions

    days = [agenda.on(day) for day in span.days()] if span else []
    sessions = _held(desk, agenda, days, now)
    missing = agenda.shortfalls(span) if span else []
    return {
        "asked": wanted.isoformat(),
        **(span_facts(span) if span else {"first": None, "last": None}),
        "stale": desk.lags,
        "missed": desk.missed_lines(now) if span and now in span else [],
        "minutes": sum(one.minutes for one in sessions),
        "load": round(sum(one.load for one in sessions)),
        "days": [day_facts(day, agenda, home=desk.year.climber.time_zone) for day in days],
        "shortfalls": [shortfall_facts(one) for one in missing],
        "anew": " ".join(makes_anew(_out(desk, agenda, days, now))) or None,
        "free_time": (_unused(desk, agenda, span, sessions, now=now) if span else "") or None,
        "cautions": week_cautions(agenda, days),
        "hurting": hurting_facts(desk.year, span) if span else [],
    }
