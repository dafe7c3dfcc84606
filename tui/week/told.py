"""The words around a week: its head, and the slip of a day, a session or the question of effort.

Puts together what `seasonplan.explain` says; knows no key and no widget but the slip's parts.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta

from rich.cells import cell_len
from textual.content import Content

from seasonplan.days import Span, dates_text
from seasonplan.explain import sessions as words
from seasonplan.explain import week as week_words
from seasonplan.explain.agenda import Agenda
from seasonplan.explain.slip import Slip
from seasonplan.explain.words import day_text, entry_name, time_text
from seasonplan.injury import in_force_within
from seasonplan.plan import Session
from seasonplan.recipes import Recipe
from seasonplan.workspace.desk import Desk
from seasonplan.year import Year
from tui.bench import Bench
from tui.canvas import clean
from tui.slip_view import Headed, Part, Told
from tui.spoken import spoken
from tui.week.draw import LEGEND, SHORT_LEGEND, WeekFacts
from tui.week.sessions import NOT_HELD, Shown, Stand, shown
from tui.year.named import without_ids

CARE = "Take care"
WET = "Wet or too warm?"
BESIDE = "   "
LEGEND_FROM = 100  # columns from which the edges of sessions are explained
AHEAD_DAYS = 28  # in which the next session is looked for
BRIEF = 50  # columns below which the head of a week says less


def facts_of(bench: Bench, week: Span, sessions: Sequence[Shown]) -> WeekFacts:
    """What the sheet shows of a week."""
    days, almanac, year = list(week.days()), bench.sheet.almanac, bench.desk.year
    agenda, zone = bench.agenda, year.climber.time_zone
    taken = bench.taken
    return WeekFacts(
        week=week,
        inside=year.span.meet(week),
        sessions=sessions,
        names={one.session.id: _names(one, bench.desk.recipes) for one in sessions},
        wet={one.session.id: _wet(one, bench.desk) for one in sessions},
        hours={one.session.id: words.hours_text(one.session, zone) for one in sessions},
        free={day: almanac.windows(day) for day in days if day in year.span},
        busy={day: [(int(a), int(b)) for a, b in taken.get(day, ())] for day in days},
        notes={day: week_words.rest_words(agenda.on(day), year) for day in days} if agenda else {},
    )


def _names(one: Shown, book: Mapping[str, Recipe]) -> tuple[str, str]:
    """The long and the short name of a session."""
    recipe = book.get(one.session.recipe)
    title = words.session_title(one.session, recipe)
    return title, recipe.short_name if recipe else title


def _wet(one: Shown, desk: Desk) -> str:
    """What is done in place of a session on rock where it is wet or too warm; else empty."""
    recipe = desk.recipes.get(one.session.recipe)
    if recipe is None or not recipe.wet:
        return ""
    home = words.home_of(desk.year, one.session)
    said = words.text_of(one.session, recipe, tested=desk.tested, home=home)
    return f"Wet or too warm: {said.wet}"


# --- the head ---------------------------------------------------------------------------------


def title_of(
    bench: Bench, week: Span, sessions: Sequence[Shown], *, day: date, width: int, edges: bool
) -> Iterator[Part]:
    """The dates, how much, what for, and what is odd about a week; less where it is narrow.

    `edges`: whether sessions show their effort by an edge, which is then explained if it has room.
    """
    year, agenda, brief = bench.desk.year, bench.agenda, width < BRIEF
    inside = year.span.meet(week) or week
    lengths = [one.session.minutes for one in sessions if one.counts]
    amount = week_words.amount_text(len(lengths), sum(lengths))
    yield dates_text(inside), "bold"
    much = time_text(sum(lengths)) if brief and lengths else amount
    yield much, "$quiet"
    if edges and width < LEGEND_FROM:
        room = width - len(dates_text(inside)) - len(much) - 2 * len(BESIDE)
        yield (SHORT_LEGEND if len(SHORT_LEGEND) <= room else ""), "$quiet"
    if agenda is not None:
        on = agenda.on(day)
        out = frozenset(one.session.id for one in sessions if _is_lost(one, agenda))
        aim = [] if brief else [week_words.aim_text(agenda, on, out=out)]
        yield " ".join([week_words.standing_text(agenda, on), *aim]).strip(), "$accent"
        missing = week_words.missing_text(agenda.shortfalls(week))
        yield (f"! {missing}" if missing else ""), "$foreground"
    yield week_words.clocks_text(inside, year), "$quiet"
    yield (LEGEND if width >= LEGEND_FROM and lengths else ""), "$quiet"


def _is_lost(one: Shown, agenda: Agenda) -> bool:
    """Whether a session counts no more by what its plan does not know of yet."""
    block = agenda.on(one.session.day).block
    known = block is not None and block.entry is not None
    return one.stand is Stand.HURT or (bool(one.harm) and not one.counts and not known)


def flowing(parts: Sequence[Part], width: int) -> Content:
    """Parts beside each other as far as there is room, the rest on lines of their own."""
    content, used = Content(""), 0
    for text, style in parts:
        if not text:
            continue
        length = cell_len(text)
        beside = bool(used) and used + len(BESIDE) + length <= width
        gap = BESIDE if beside else "\n" if used else ""
        used = used + len(BESIDE) + length if beside else length
        content = Content.assemble(content, gap, (clean(text), style))
    return content


# --- the slip ---------------------------------------------------------------------------------


def day_told(bench: Bench, day: date, week: Span) -> Told:
    """A day without a session that is chosen."""
    agenda, year = bench.agenda, bench.desk.year
    if agenda is None:
        at_work = "The first plan is being made." if bench.planning else ""
        return _told(Slip(day_text(day), at_work or "There is no plan yet: press r to plan."))
    on = agenda.on(day)
    remarks = [f"{text[0].upper()}{text[1:]}." for text in on.remarks]
    short = agenda.shortfalls(week)
    missing = words.shortfalls_text(short) if short else []
    rest = on.rest if day in year.span else f"{week_words.OUTSIDE[0]}."
    said = (*remarks, *on.left_out, *missing, *_next(bench, day))
    told = tuple(without_ids(text, bench.blocks) for text in said)
    return _told(Slip(day_text(day), rest, (), told), _hurts(year, Span.through(day, day)))


def _next(bench: Bench, day: date) -> Iterator[str]:
    """The first session after a day without one, as it stands now."""
    ahead = Span(day + timedelta(days=1), day + timedelta(days=1 + AHEAD_DAYS))
    for one in shown(bench, ahead):
        if one.stand not in NOT_HELD:
            title = words.session_title(one.session, bench.desk.recipes.get(one.session.recipe))
            hours = words.hours_text(one.session, bench.desk.year.climber.time_zone)
            yield f"Next: {day_text(one.session.day)}, {hours}, {title}."
            return


def session_told(bench: Bench, one: Shown, *, today: date, brief: bool) -> Told:
    """The whole text of a session: warm-up, what to do, this week, when to stop; and what to mind.

    `brief`: in one narrow column, so that the first caution goes before all else.
    """
    session, recipe = one.session, bench.desk.recipes.get(one.session.recipe)
    lines = [words.facts_text(session, recipe), *_why(one, bench)]
    if bench.agenda is not None and not one.harm:
        lines += bench.agenda.on(session.day).left_out
    if session.day < today and one.entry is None:
        lines.insert(0, week_words.OVER)
    cautions = _cautions(one, bench)
    if brief and cautions:
        lines.insert(0, cautions.pop(0))
    out = bool(one.harm) and one.entry is None
    if out:
        anew = [spoken(words.ANEW)] if one.stand is Stand.HURT else []
        lines = [one.harm, *anew, *lines]
    title = words.session_title(session, recipe)
    do, wet, stop = _text_parts(session, recipe, bench) if recipe and not out else ((), (), ())
    if brief:
        do, wet, stop = (*do, *stop, *wet), (), ()
    slip = Slip(title, _when(one, bench), (), tuple(lines))
    return Told("•", slip, cost=cautions, head=CARE, parts=do, beside=wet, after=stop)


def _text_parts(session: Session, recipe: Recipe, bench: Bench) -> tuple[Sequence[Headed], ...]:
    """What the recipe says in its step: what to do, on a wet day, when to stop."""
    plain = words.text_of(session, recipe, tested=bench.desk.tested)
    said = bench.agenda.text(session) if bench.agenda else plain
    do: tuple[Headed, ...] = ("Warm up", said.warm_up), ("Do", (said.do,))
    do += ("This week", (said.this_week,)), ("Your test", (said.own_test,))
    groups: tuple[Sequence[Headed], ...] = (do, ((WET, (said.wet,)),), (("Stop", (said.stop,)),))
    return tuple(tuple(one for one in group if any(one[1])) for group in groups)


def _why(one: Shown, bench: Bench) -> Iterator[str]:
    """Its block; the rock that it goes to; the gap to the session before it."""
    block = bench.sheet.block(one.session.block)
    if block is not None:
        yield words.why_text(one.session, block, bench.desk.year)
    if one.session.rock is not None:
        chance = _chance(one, bench)
        good = f" Chance of a good day: {100 * chance:.0f} %." if chance else ""
        yield f"On rock: {entry_name(bench.desk.year, one.session.rock)}.{good}"


def _chance(one: Shown, bench: Bench) -> float:
    return max(
        (
            spell.chance(one.session.day)
            for spell in bench.sheet.almanac.spells
            if spell.entry.id == one.session.rock
        ),
        default=0.0,
    )


def _cautions(one: Shown, bench: Bench) -> list[str]:
    """What to mind: what is hurt first, then what the recipe says of what is not to be left out,
    then what always holds."""
    year, agenda = bench.desk.year, bench.agenda
    told = [*_hurts(year, Span.through(one.session.day, one.session.day))]
    if not one.harm or one.entry is not None:
        told += words.cautions_of(bench.desk.recipes.get(one.session.recipe), year)
    if agenda is not None:
        told += agenda.cautions([one.session], [bench.sheet.block(one.session.block)])
    return list(dict.fromkeys(told))


def _hurts(year: Year, span: Span) -> list[str]:
    """The cautions of what is hurt on some days, each once."""
    return list(dict.fromkeys(spoken(one.text) for one in in_force_within(year, span)))


def asked(bench: Bench, one: Shown) -> Told:
    """The question of effort, with what each digit says."""
    title = words.session_title(one.session, bench.desk.recipes.get(one.session.recipe))
    slip = Slip(
        week_words.ASKED, f"{title}, {_when(one, bench)}",
        week_words.effort_scale(), (week_words.HOW_TO_ANSWER,),
    )  # fmt: skip
    return Told("?", slip)


def _told(slip: Slip, cautions: Sequence[str] = ()) -> Told:
    return Told("•", slip, cost=tuple(dict.fromkeys(cautions)), head=CARE)


def _when(one: Shown, bench: Bench) -> str:
    """The day and hours of a session, and what became of it."""
    hours = words.hours_text(one.session, bench.desk.year.climber.time_zone)
    stand = f" · {one.stand.value}" if one.stand.value else ""
    if one.entry is not None and one.entry.date != one.session.day:
        stand += f" on {day_text(one.entry.date)}"
    if one.entry is not None and one.entry.rpe is not None:
        stand += f", effort {one.entry.rpe:g} of 10"
    return f"{day_text(one.session.day)}, {hours}{stand}"
