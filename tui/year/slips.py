"""Finds the words for a mark: asks `explain` for its slip, and picks the findings about it."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from datetime import date

from seasonplan.days import count_text, day_month_text, weekday_text
from seasonplan.explain import slip
from seasonplan.explain.breaks import in_turn
from seasonplan.explain.notes import bent_rules
from seasonplan.explain.signs import SIGNS
from seasonplan.explain.slip import Slip
from seasonplan.explain.words import percent_text, time_text
from seasonplan.plan import Block
from seasonplan.rules.findings import Finding
from seasonplan.year import Absence, Goal, Injury, Trip
from tui.bench import Bench
from tui.slip_view import Told
from tui.spoken import spoken
from tui.year.chances import season_at, weather_at
from tui.year.lanes import Lane, Mark, Sheet, WeekTime, goal_key
from tui.year.named import block_title, without_ids

TAKE = "press c"
MOST_HERE, MOST_ELSEWHERE = 4, 3


def whole_slip(mark: Mark, bench: Bench, sheet: Sheet, *, cost: Sequence[str]) -> Told:
    """A mark's slip with the rules broken there and elsewhere, and what moving it would cost."""
    findings = findings_at(mark, bench)
    here = [found for found in findings if found.strength == "hard"]
    elsewhere = [found for found in bench.broken if found not in here]
    sentences = list(told([*here, *elsewhere[:MOST_ELSEWHERE]], bench))
    return Told(
        sign=SIGNS[mark.kind].drawn if mark.kind else "•",
        slip=slip_of(mark, bench, sheet, broken={found.code for found in here}),
        broken=_first(sentences[: len(here)]),
        elsewhere=sentences[len(here) :],
        bent=bent_rules(findings, book=bench.desk.book),
        cost=cost,
        undo=bench.can_undo,
    )


def _first(sentences: list[str]) -> list[str]:
    """The first few, and how many more there are."""
    more = len(sentences) - MOST_HERE
    return [*sentences[:MOST_HERE], f"and {more} more"] if more > 0 else sentences


def slip_of(mark: Mark, bench: Bench, sheet: Sheet, *, broken: Collection[str] = ()) -> Slip:
    """What is told at once of a mark of a sheet, beside the rules that are told as `broken`."""
    year = bench.desk.year
    if mark.lane is Lane.CHANCE:
        return _chance_slip(mark, sheet, bench.now)
    if mark.lane is Lane.PLAN and (block := sheet.block(mark.key)) is not None:
        plan = bench.desk.plan
        found = slip.block_slip(
            block, year, blocks=bench.blocks, sessions=bench.sessions,
            ratings=plan.current.ratings if plan else {}, book=bench.desk.book, number="",
            broken=broken,
        )  # fmt: skip
        told = (*found.told, *_rock_in(block, sheet))
        return _without_ids(replace(found, title=block_title(block, year), told=told), bench)
    if mark.lane is Lane.ROCK:
        spell = next(
            s for s in sheet.almanac.spells if s.entry.id == mark.key and s.span == mark.span
        )
        found = slip.rock_slip(spell, year)
        return replace(found, why=(*found.why, *_by_records(mark, sheet)))
    if mark.lane is Lane.HOURS:
        week = next(week for week in sheet.times if week.span == mark.span)
        found = slip.week_slip(
            week.span, blocks=bench.blocks, asked=week.planned, free=week.free, load=week.load
        )
        told = (*found.told, *_unused(week), *_rock_in(week, sheet))
        return _without_ids(replace(found, told=told), bench)
    entry = year.entry(mark.key)
    if isinstance(entry, (Trip, Absence, Injury)):
        return slip.away_slip(entry, year)
    return _goal_slip(mark, bench)


def _chance_slip(mark: Mark, sheet: Sheet, today: date | None) -> Slip:
    from seasonplan.explain import conditions as words  # slow: only where there are records

    weather, found = weather_at(mark, sheet), season_at(mark, sheet)
    assert weather is not None, "a mark on this lane is of some place"
    if weather.study is not None:
        return words.chance_slip(
            weather.study,
            mark.span,
            season=found[0] if found else None,
            year=sheet.year,
            today=today,
            take=TAKE,
        )
    if weather.faults:
        return words.faulty_slip(weather.name, mark.span, weather.faults)
    return words.reading_slip(weather.name, mark.span)


def _by_records(mark: Mark, sheet: Sheet) -> Iterator[str]:
    """What the weather records say of a season, in a line."""
    weather, found = weather_at(mark, sheet), season_at(mark, sheet)
    if weather is None or found is None:
        return
    from seasonplan.explain import conditions as words

    if weather.study is not None:
        yield words.record_line(weather.study, found[0], mark.span, year=sheet.year, take=TAKE)
    elif weather.faults:
        yield words.FAULTY


def _goal_slip(mark: Mark, bench: Bench) -> Slip:
    row = next(row for row in bench.sheet.rows if mark in row.marks)
    assert row.goal is not None
    now = bench.desk.standing
    found = None
    if now is not None and not bench.desk.lags:
        found = next(
            (
                one
                for one in now.score.occasions
                if one.goal == row.goal.id and one.span == mark.span
            ),
            None,
        )
    made = slip.goal_slip(
        row.goal, bench.desk.year_as_tested, found=found, at=mark.span, form=None,
        sessions=now.sessions if now is not None else (),
    )  # fmt: skip
    said = _goal_told(mark, row.goal, bench.sheet)
    return replace(made, told=(*said, *made.told), why=tuple(spoken(text) for text in made.why))


def _goal_told(mark: Mark, goal: Goal, sheet: Sheet) -> Iterator[str]:
    """How form stands on the days of a goal, and which days on rock are planned for it."""
    chance = next((c for c in sheet.almanac.opportunities if goal_key(c) == mark.key), None)
    change = sheet.forms.on(chance) if chance else None
    if chance is None or change is None:
        return
    measure = sheet.forms.measure(goal)
    yield (
        f"{measure[0].upper()}{measure[1:]} on these days: {percent_text(change)} since the start. "
        "A model, not a measurement."
    )
    days = sheet.on_rock(chance)
    good = sum(chance.chances[day] for day in days)
    if days:
        count = count_text(len(days), "day")
        yield f"{count} on rock planned, about {int(good + 0.5)} of them good."


def _unused(week: WeekTime) -> Iterator[str]:
    if week.unused >= 1:
        yield f"{time_text(week.unused)} of the free time are not used."


def _rock_in(part: Block | WeekTime, sheet: Sheet) -> Iterator[str]:
    """Which days of a block or a week hold a session on rock."""
    days = sorted(day for day in sheet.rock_days if day in part.span)
    if days:
        named = ", ".join(f"{weekday_text(day)} {day_month_text(day)}" for day in days)
        yield f"On rock {count_text(len(days), 'day')}: {named}."


def _without_ids(found: Slip, bench: Bench) -> Slip:
    """The same with blocks called by kind and day."""
    told, why = (
        tuple(without_ids(text, bench.blocks) for text in texts)
        for texts in (found.told, found.why)
    )
    return replace(found, told=told, why=why)


def findings_at(mark: Mark, bench: Bench) -> list[Finding]:
    """Findings about these days or this block, hard ones first."""
    mine = [
        found
        for found in bench.findings
        if (mark.key in found.blocks if found.blocks and mark.lane is Lane.PLAN
            else found.span.meet(mark.span))
    ]  # fmt: skip
    return sorted(mine, key=lambda found: found.strength != "hard")


def told(findings: list[Finding], bench: Bench) -> Iterator[str]:
    """Each finding as a sentence; what a rule asks is said once."""
    for text in in_turn(findings, book=bench.desk.book):
        yield spoken(without_ids(text, bench.blocks))
