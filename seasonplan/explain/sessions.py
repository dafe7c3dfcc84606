"""What a person is told of a session: what, how long, how hard, why, and what to mind.

Owns the words for effort, needs, titles, notes and for what could not be fitted. Both faces and
the calendar say the same by asking here. Must not know how sessions are placed or drawn.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence

from seasonplan.body.newcomer import is_new
from seasonplan.days import count_text
from seasonplan.explain.care import caution_on, young_caution
from seasonplan.explain.steps import steps_of
from seasonplan.explain.words import (
    KIND_NAMES,
    TIME_OFF,
    UNTIL_BETTER,
    entry_name,
    is_illness,
    join,
    number_text,
    span_text,
)
from seasonplan.ical.appointments import UNWELL, hours, tells_of_health, trip_on
from seasonplan.ical.changes import goals_of
from seasonplan.plan import Block, Cause, Revision, Session, Shortfall
from seasonplan.recipes import (
    UNTESTED,
    WITH_WALL,
    Home,
    Need,
    OwnTests,
    Recipe,
    SessionText,
    Step,
    session_text,
)
from seasonplan.rules.tables import caution, table
from seasonplan.vocabulary import Kind
from seasonplan.year import Year

EFFORTS = tuple((int(least), str(word)) for least, word in table("effort")["words"])
REASONS = {
    Kind.BASE: "to build endurance",
    Kind.STRENGTH: "for finger strength and power",
    Kind.PERFORMANCE: "to climb what you trained for",
    Kind.REST: "little and easy",
    Kind.TRIP: "climbing away from home",
    Kind.ABSENCE: "no training is planned",
    Kind.INJURED: "only what spares the hurt part",
    Kind.RETURN: "load builds back",
}
CAUSES = {
    Cause.HOURS: "the free hours are too few or too short",
    Cause.BUSY: "busy calendars or absences take the time",
    Cause.SPACING: "hard sessions need hours between them, a week needs a rest day, "
    "or there is too little to train on",
}
WHAT_HELPS = {
    Cause.HOURS: "Free more time in your usual week (climber.minutes), or accept a lighter week.",
    Cause.BUSY: "Move what takes the time, or accept a lighter week.",
    Cause.SPACING: "Spread your free hours over more days, say what else you can train on (`has` "
    "under `sessions`), or accept a lighter week.",
}
ANEW = "`seasonplan replan` makes a plan that goes by what you entered."
LOST = "! What you entered since takes {lost} of its {of}. {anew}\n"


# --- one session ----------------------------------------------------------------------------


def session_title(session: Session, recipe: Recipe | None) -> str:
    """The recipe's name; its id where the recipe is gone."""
    return recipe.name if recipe else session.recipe


def effort_word(rpe: float) -> str:
    """Effort from 0 to 10 in words; what lies between two words has the lower one."""
    return next(word for least, word in reversed(EFFORTS) if rpe >= least)


def effort_band(rpe: float) -> int:
    """0 easy, 1 middling, 2 very hard: Foster's words in three, for what has room for three."""
    from_words = {word: least for least, word in EFFORTS}
    return sum(rpe >= from_words[word] for word in ("somewhat hard", "very hard"))


def effort_text(rpe: float, *, short: bool = False) -> str:
    """Such as "hard, 6 of 10", or "hard 6/10"."""
    number = f" {number_text(rpe)}/10" if short else f", {number_text(rpe)} of 10"
    return effort_word(rpe) + number


def hours_text(session: Session, home: str) -> str:
    """Such as "18:00-19:30", by the wall clock of the session's zone."""
    start, end = hours(session, home)
    return f"{start:%H:%M}-{end:%H:%M}"


def warm_up_minutes(session: Session, recipe: Recipe) -> int:
    return round(session.minutes - recipe.working_minutes(session.minutes))


def length_text(session: Session, recipe: Recipe | None) -> str:
    """Such as "90 minutes, 15 to warm up"."""
    warm_up = warm_up_minutes(session, recipe) if recipe else 0
    return count_text(session.minutes, "minute") + (f", {warm_up} to warm up" if warm_up else "")


def needs_text(recipe: Recipe) -> str:
    """Such as "wall, partner"; empty where nothing is needed."""
    return ", ".join(need.value for need in recipe.needs if need is not Need.NOTHING)


def facts_text(session: Session, recipe: Recipe | None, *, needs: bool = True) -> str:
    """How long, how hard and, unless that may not be told, with what, as every face says it."""
    wanted = needs_text(recipe) if recipe and needs else ""
    told = f"{length_text(session, recipe)}; {effort_text(session.rpe)}."
    return told + (f" With: {wanted}." if wanted else "")


def text_of(
    session: Session, recipe: Recipe | None, *,
    step: Step | None = None, tested: OwnTests = UNTESTED, home: Home = WITH_WALL,
) -> SessionText:  # fmt: skip
    """What a session says in its step (see `steps_of`); nothing where the recipe is gone."""
    if recipe is None:
        return SessionText()
    return session_text(
        recipe, step=step or Step(), light=session.light,
        minutes=session.minutes, hangs=session.hangs, tested=tested, home=home,
    )  # fmt: skip


def home_of(year: Year, session: Session) -> Home:
    """What there is in place of a day on rock, where that is."""
    from seasonplan.explain.notes import is_young

    has, young = {*year.sessions.has}, is_young(year) or is_new(year, session.day)
    return Home(
        wall=bool(has & {Need.WALL, Need.HOME_WALL}),
        hangs=Need.HANGBOARD in has and not young,
        grown=not young,
        away=trip_on(session, year) is not None,
    )


def short_text(text: SessionText) -> list[str]:
    """What a week tells of a session: what is new in it, the own test, what to do on wet rock."""
    wet = f"Wet or too warm? {text.wet}" if text.wet else ""
    return [line for line in (text.this_week, text.own_test, wet) if line]


def session_note(
    session: Session, recipe: Recipe | None, block: Block, year: Year, *,
    goals: Sequence[str] = (), health: bool = True, step: Step | None = None,
    tested: OwnTests = UNTESTED, refusal: str = "",
) -> str:  # fmt: skip
    """What to do, how long, how hard, why, and cautions, in short lines.

    `goals` are ids of the goals a performance block is for (see `goals_by_block`). Without
    `health` nothing tells that the climber is hurt: for calendars that others may read. A
    `refusal` says that it must be left out, and then nothing says how to do it.
    """
    if refusal:
        return f"{refusal}\n{length_text(session, recipe)}; {effort_text(session.rpe)}.\n{ANEW}"
    text = text_of(session, recipe, step=step, tested=tested, home=home_of(year, session))
    return "\n".join(_note_lines(session, recipe, block, year, text, goals=goals, health=health))


def _note_lines(
    session: Session, recipe: Recipe | None, block: Block, year: Year, text: SessionText, *,
    goals: Sequence[str], health: bool,
) -> Iterator[str]:  # fmt: skip
    private = recipe is not None and tells_of_health(recipe) and not health
    if not private:
        yield from filter(None, (text.do, *short_text(text)))
    yield f"{length_text(session, recipe)}; {effort_text(session.rpe)}."
    if block.kind not in UNWELL or health:
        yield why_text(session, block, year, goals=goals)
    if not private:
        yield from cautions_of(recipe, year)
    if block.kind in UNWELL and health:
        yield caution_on(year, [block.span])


def why_text(session: Session, block: Block, year: Year, *, goals: Sequence[str] = ()) -> str:
    """Why a session is there: its block, and the goals a performance block is for."""
    trip = trip_on(session, year)
    if trip is not None:
        return f"Trip {entry_name(year, trip.id)}."
    reason = f"for {join([entry_name(year, goal) for goal in goals])}" if goals else ""
    if not reason and block.emphasis and block.kind is not Kind.PERFORMANCE:
        reason = f"most of all for {block.emphasis}"
    if is_illness(block, year):
        return f"{TIME_OFF.capitalize()}, {UNTIL_BETTER}."
    return f"{KIND_NAMES[block.kind].capitalize()}, {reason or REASONS[block.kind]}."


def goals_by_block(revision: Revision) -> dict[str, tuple[str, ...]]:
    """The goals each performance block is for."""
    return {
        block.id: goals_of(revision, block)
        for block in revision.blocks
        if block.kind is Kind.PERFORMANCE
    }


def notes_by_session(
    revision: Revision,
    year: Year,
    *,
    book: Mapping[str, Recipe],
    health: bool,
    tested: OwnTests = UNTESTED,
    refused: Mapping[str, str] | None = None,
) -> dict[str, str]:
    """The note of every session by its id; of those `refused`, that it must be left out."""
    blocks = {block.id: block for block in revision.blocks}
    goals, steps = goals_by_block(revision), steps_of(revision, book, year)
    return {
        session.id: session_note(
            session, book.get(session.recipe), blocks[session.block], year,
            goals=goals.get(session.block, ()), health=health, step=steps.get(session.id),
            tested=tested, refusal=(refused or {}).get(session.id, ""),
        )
        for session in revision.sessions
        if session.block in blocks
    }  # fmt: skip


def lost_texts(revision: Revision, refused: Collection[str]) -> dict[str, str]:
    """How many sessions of a block are `refused` by now, by the block's id, as a line; of those
    that lost none nothing."""
    asked = [one for one in revision.sessions if one.minutes]
    of = Counter(one.block for one in asked)
    lost = Counter(one.block for one in asked if one.id in refused)
    return {
        block: LOST.format(lost=many, of=count_text(of[block], "session"), anew=ANEW)
        for block, many in lost.items()
    }


# --- what to mind ---------------------------------------------------------------------------


def may_be_young(year: Year) -> bool:
    """Whether the climber may be under 18, or did not say."""
    from seasonplan.explain.notes import is_young

    return year.climber.birth_year is None or is_young(year)


def cautions_of(recipe: Recipe | None, year: Year) -> tuple[str, ...]:
    """The cautions of a recipe; those for the young only for who may be one, and for who did not
    say so that it is seen."""
    told = recipe.cautions if recipe else ()
    young = young_caution(year) if may_be_young(year) else ""
    said = (young if text == caution("young") else text for text in told)
    return tuple(filter(None, said))


# --- what does not fit ----------------------------------------------------------------------


def shortfall_text(shortfall: Shortfall) -> str:
    """Which minutes of a week could not be fitted, and why."""
    return (
        f"{shortfall.block}, {span_text(shortfall.span)}: {shortfall.missing_minutes} of "
        f"{count_text(shortfall.asked_minutes, 'minute')} do not fit, "
        f"because {CAUSES[shortfall.cause]}."
    )


def shortfalls_text(shortfalls: Sequence[Shortfall], *, most: int = 5) -> list[str]:
    """Each shortfall in a sentence; where there are many, one for each cause. Then what helps."""
    causes = [cause for cause in Cause if any(one.cause is cause for one in shortfalls)]
    if len(shortfalls) <= most:
        told = [shortfall_text(one) for one in shortfalls]
    else:
        told = [_together([s for s in shortfalls if s.cause is cause]) for cause in causes]
    return told + [WHAT_HELPS[cause] for cause in causes]


def _together(shortfalls: Sequence[Shortfall]) -> str:
    missing = sum(one.missing_minutes for one in shortfalls)
    asked = sum(one.asked_minutes for one in shortfalls)
    worst = max(shortfalls, key=lambda one: one.missing_minutes)
    return (
        f"In {count_text(len(shortfalls), 'week')} {missing} of {asked} minutes do not fit, "
        f"because {CAUSES[worst.cause]}; "
        f"most in {worst.block}, {span_text(worst.span)}: {worst.missing_minutes}."
    )
