"""`seasonplan today`: what to do on a day, when, with what, how hard, and what to mind."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from seasonplan.cli.options import Folder, Json, Plain, Today, no_plan_yet, now_of
from seasonplan.cli.screen import Screen, tell_old, write_json
from seasonplan.days import Span

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from datetime import date

    from seasonplan.diary import DiaryEntry
    from seasonplan.explain.agenda import Agenda, Day
    from seasonplan.plan import Session
    from seasonplan.recipes import Recipe
    from seasonplan.workspace.desk import Desk

EXAMPLES = """Examples:

\b
  seasonplan today                              the year in this folder
  seasonplan today my-year --today 2027-03-09   another day
  seasonplan today my-year --json               for another program"""

WIDE = 60
MARGIN = 13  # room for "18:00-19:30  "


def today(
    folder: Folder = Path(), *, today: Today = None, plain: Plain = False, as_json: Json = False
) -> None:
    """Tell what to do today."""

    screen = Screen.here(plain=plain)
    desk, agenda = opened(folder, screen)
    now = now_of(desk.year, today)
    if as_json:
        write_json(_facts(desk, agenda, now))
    elif now in desk.year.span:
        _tell(screen, desk, agenda, now)
    else:
        from seasonplan.explain.agenda import outside_text

        screen.say(outside_text(now, desk.year))
        _tell_next(screen, desk, agenda, now)


def opened(folder: Path, screen: Screen) -> tuple[Desk, Agenda]:
    """The desk and the agenda of its plan; says so where the plan is old, or the diary cannot be
    read."""
    from seasonplan.errors import BadInput
    from seasonplan.explain.agenda import Agenda
    from seasonplan.workspace.desk import Desk

    desk = Desk(folder)
    if desk.standing is None:
        raise no_plan_yet(folder)
    tell_old(screen, desk)
    try:
        _ = desk.diary
    except BadInput as error:  # the plan is told all the same, without what was done
        screen.narrate(str(error.faults[0]))
    return desk, Agenda(
        desk.year, desk.standing, book=desk.recipes, tested=desk.tested, taken=desk.taken_since
    )


def _tell(screen: Screen, desk: Desk, agenda: Agenda, now: date) -> None:
    from seasonplan.explain.words import day_text

    day = agenda.on(now)
    screen.say(f"{day_text(now)}{':' if screen.plain else ''}", bold=True)
    tell_standing(screen, agenda, day)
    tell_missed(screen, desk, now)
    if day.rest:
        gap(screen)
        screen.say(day.rest)
    told: set[str] = set()
    for session in day.sessions:
        gap(screen)
        _tell_session(screen, desk, session, agenda, told=told)
    out = to_leave_out(desk, agenda, day.sessions)
    for text in (*day.left_out, *makes_anew(out)):
        gap(screen)
        screen.say(text, hang=2)
    mind = [text for text in _to_mind(desk, agenda, day) if text not in told]
    screen.tell(mind, head="" if screen.plain else "Take care")
    _tell_next(screen, desk, agenda, now)


def _to_mind(desk: Desk, agenda: Agenda, day: Day) -> list[str]:
    """Pain in the diary that deserves a word, then what to mind in the sessions of a day."""
    from seasonplan.cli.injury_book import is_young
    from seasonplan.explain import care

    year, now = desk.year, day.day
    sore = care.notice(desk.diary_shown, now, injuries=year.injuries, young=is_young(year, now))
    told = agenda.cautions(day.sessions, [day.block], days=Span.through(now, now))
    return [*sore, *(text for text in told if text not in sore)]


def tell_missed(screen: Screen, desk: Desk, now: date) -> None:
    """What the diary says of sessions missed lately, where it is worth a word."""
    told = desk.missed_lines(now)
    if told:
        gap(screen)
    screen.tell(told)


def gap(screen: Screen) -> None:
    """An empty line, where there is room for one."""
    if not screen.plain:
        screen.draw()


def tell_standing(screen: Screen, agenda: Agenda, day: Day, *, until: date | None = None) -> None:
    """Block and week of a day, or of days up to another; and what else is special about it."""
    from seasonplan.explain.signs import SIGNS

    if day.block is not None:
        sign = SIGNS[day.block.kind]
        mark = "" if screen.plain else f"{sign.mark(unicode=screen.unicode)} "
        standing = agenda.standing(day.block, day.day, until=until)
        screen.say(f"{mark}{standing}", hang=2, colour=sign.colour)
    if day.remarks:
        text = ", ".join(day.remarks)
        screen.say(f"{text[0].upper()}{text[1:]}.", hang=2)


def _tell_session(
    screen: Screen, desk: Desk, session: Session, agenda: Agenda, *, told: set[str]
) -> None:
    """One session with its own caution, unless that was `told`; why it must be left out, or that it
    was done or missed, stands in place of what to do."""
    from seasonplan.explain import sessions as words

    recipe = desk.recipes.get(session.recipe)
    title = words.session_title(session, recipe)
    hours = words.hours_text(session, desk.year.climber.time_zone)
    zone = f" ({session.zone} time)" if session.zone else ""
    did = did_text(desk, session)
    harm = "" if did else agenda.harm_text(session)
    what = () if harm or did else (*agenda.text(session).lines, *_own(recipe, told))
    facts = [harm, did, words.facts_text(session, recipe), *what]
    if screen.plain:
        screen.say(" ".join([f"{hours}{zone} {title} ({session.id}):", *filter(None, facts)]))
        return
    screen.say(f"{hours}  {title}{zone}", hang=MARGIN, bold=True)
    indent = MARGIN if screen.width >= WIDE else 2
    for text in filter(None, facts):
        screen.say(text, indent=indent)


def _own(recipe: Recipe | None, told: set[str]) -> Iterator[str]:
    """The caution of a recipe, where it was not `told` today; it is told by then."""
    if recipe and recipe.caution and recipe.caution not in told:
        told.add(recipe.caution)
        yield recipe.caution


def makes_anew(out: Sequence[Session]) -> list[str]:
    """The command that makes a plan anew, where some sessions are to be left out."""
    from seasonplan.explain.sessions import ANEW

    return [ANEW] if out else []


def to_leave_out(desk: Desk, agenda: Agenda, sessions: Iterable[Session]) -> list[Session]:
    """Those of some sessions to come that must be left out."""
    return [one for one in sessions if not did_text(desk, one) and agenda.harm_text(one)]


def did_text(desk: Desk, session: Session) -> str:
    """What the diary says of a session, as the phone says it; "" while it says nothing."""
    from seasonplan.ical.appointments import did
    from seasonplan.ical.labels import did_line

    return did_line(did(session, _rows(desk)))


def is_done(desk: Desk, session: Session) -> bool:
    """Whether the diary says that a session was done."""
    from seasonplan.diary import Did

    row = _rows(desk).get(session.id)
    return row is not None and row.kind is Did.DONE


def _rows(desk: Desk) -> dict[str, DiaryEntry]:
    """The last word of the diary on each session."""
    from seasonplan.diary import outcomes

    return {row.session: row for row in outcomes(desk.diary_shown) if row.session}


def _tell_next(screen: Screen, desk: Desk, agenda: Agenda, now: date) -> None:
    from seasonplan.explain import sessions as words
    from seasonplan.explain.words import day_text

    coming = agenda.next_after(now)
    if coming is None:
        return
    title = words.session_title(coming, desk.recipes.get(coming.recipe))
    hours = words.hours_text(coming, desk.year.climber.time_zone)
    gap(screen)
    screen.say(f"Next: {day_text(coming.day)}, {hours}, {title}.", hang=6)


def _facts(desk: Desk, agenda: Agenda, now: date) -> dict[str, object]:
    from seasonplan.cli.machine import day_facts, hurting_facts, session_facts

    day = agenda.on(now)
    coming = agenda.next_after(now)
    return {
        **day_facts(day, agenda, home=desk.year.climber.time_zone),
        "inside": now in desk.year.span,
        "stale": desk.lags,
        "missed": desk.missed_lines(now),
        "anew": " ".join(makes_anew(to_leave_out(desk, agenda, day.sessions))) or None,
        "cautions": _to_mind(desk, agenda, day),
        "hurting": hurting_facts(desk.year, Span.through(now, now)),
        "next": session_facts(coming, agenda, home=desk.year.climber.time_zone) if coming else None,
    }
