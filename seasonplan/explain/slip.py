"""What is told at once of one thing on the wall: a block, rock, days away, a week, a goal there.

Cheap facts only; what moving a block would cost is `explain.why`, which searches the year.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from seasonplan.body.almanac import Almanac, Opportunity, RockSpell, almanac_of
from seasonplan.body.response import QUALITIES, body_of
from seasonplan.body.worth import demands, shortfall_worth, weights
from seasonplan.days import ONE_DAY, Span
from seasonplan.explain.grades import grade_text
from seasonplan.explain.notes import block_note, occasion_text
from seasonplan.explain.purpose import Purposes
from seasonplan.explain.unserved import unserved
from seasonplan.explain.words import (
    block_name,
    day_text,
    entry_name,
    form_text,
    join,
    length_text,
    names_itself,
    number_text,
    quality_text,
    span_text,
    time_text,
)
from seasonplan.plan import Block, Occasion, Session, Week
from seasonplan.rules.statements import RuleBook
from seasonplan.vocabulary import Kind, Quality
from seasonplan.year import Absence, Goal, Injury, Trip, Year

AGO_DAYS = 200  # rock farther off than this is not what a block is for
LENGTHS = {
    Kind.BASE: "base-length",
    Kind.STRENGTH: "strength-length",
    Kind.PERFORMANCE: "performance-length",
    Kind.REST: "rest-length",
}


@dataclass(frozen=True, slots=True)
class Slip:
    """A heading, the days in words, and sentences. `why` are those that say why it is there."""

    title: str
    days: str
    told: tuple[str, ...] = ()
    why: tuple[str, ...] = ()


def block_slip(
    block: Block, year: Year, *, blocks: Sequence[Block], sessions: Sequence[Session],
    ratings: Mapping[Quality, float], book: RuleBook, number: str, broken: Collection[str] = (),
) -> Slip:  # fmt: skip
    """A block: what for, how much, and what put it there. `number` is the id it is known by,
    `ratings` those that tests gave, `broken` the rules that are told of it as broken."""
    purpose = " ".join(Purposes(year, blocks, sessions, book, ratings).of(block))
    own = number if block.kind.chosen else ""
    return Slip(
        title=" ".join(filter(None, (block_name(block, year), own))),
        days=days_text(block.span),
        told=tuple(_asks(block, year, book)),
        why=(
            *_given(block, year),
            *((purpose,) if purpose else _around(block, year, blocks)),
            *_length(block, book, broken),
        ),
    )


def _asks(block: Block, year: Year, book: RuleBook) -> Iterator[str]:
    """What a block is for and asks; its weeks on one line, without their dates."""
    for line in block_note(block, year, book=book).splitlines()[1:]:
        if line.startswith("Minutes:"):
            weeks = ", ".join(_week(week) for week in block.weeks if week.minutes >= 1)
            yield f"Minutes a week: {weeks}."
        elif not line.startswith("Light week") and line != "You fixed this block.":
            yield line


def _week(week: Week) -> str:
    light = " (light)" if week.deload else " (lead-in)" if week.lead_in else ""
    return f"{week.minutes:.0f}{light}"


def _given(block: Block, year: Year) -> Iterator[str]:
    """Whose it is, where the plan did not choose it."""
    if block.entry is not None:
        fixed = "You fixed it here" if block.pinned else "Your year gives it"
        alone = names_itself(year.entry(block.entry))
        yield f"{fixed}." if alone else f"{fixed}: {entry_name(year, block.entry)}."


def _around(block: Block, year: Year, blocks: Sequence[Block]) -> Iterator[str]:
    """What lies around a block that the plan gives no reason for: rock in it, after it, blocks."""
    almanac = almanac_of(year)
    within = [chance for chance in almanac.opportunities if _on(chance, block.span)]
    if within:
        goals = dict.fromkeys(entry_name(year, chance.goal.id) for chance in within)
        days = sum(chance.chances[day] for chance in within for day in _on(chance, block.span))
        yield f"Rock for {join(list(goals))} lies in it: about {number_text(days)} good days."
    elif block.kind.chosen and block.kind is not Kind.REST:
        yield from _towards(block, almanac)
    around = _neighbours(block, blocks)
    if around:
        yield around


def _length(block: Block, book: RuleBook, broken: Collection[str]) -> Iterator[str]:
    """The rule on how long a block of its kind may be, where that is not told as broken."""
    rule = book.active(LENGTHS[block.kind]) if block.kind in LENGTHS else None
    if rule is not None and not block.pinned and LENGTHS[block.kind] not in broken:
        yield f"{rule.statement} ({rule.evidence.value})"


def _on(chance: Opportunity, span: Span) -> list[date]:
    return [day for day in chance.chances if day in span]


def _towards(block: Block, almanac: Almanac) -> Iterator[str]:
    """The next rock that a goal has after the block."""
    coming = [
        (min(chance.chances), chance)
        for chance in almanac.opportunities
        if 0 <= (min(chance.chances) - block.span.after).days <= AGO_DAYS
    ]
    if not almanac.year.goals:
        yield "No goal is entered that it could lead to."
        return
    if not coming:
        yield "No rock for a goal comes after it for a long time."
        return
    first, chance = min(coming, key=lambda pair: pair[0])
    gap = (first - block.span.after).days
    when = f"{length_text(gap)} after it" if gap else "right after it"
    year = almanac.year
    yield (
        f"The next rock is for {entry_name(year, chance.goal.id)} at "
        f"{entry_name(year, chance.spell.entry.id)}, {when}."
    )


def _neighbours(block: Block, blocks: Sequence[Block]) -> str:
    names = [one.id for one in blocks]
    if block.id not in names:
        return ""
    at = names.index(block.id)
    before = f"after {names[at - 1]}" if at else "first in the year"
    after = f"before {names[at + 1]}" if at + 1 < len(names) else "last in the year"
    return f"It stands {before}, {after}."


def rock_slip(spell: RockSpell, year: Year) -> Slip:
    """A season spell or window: how likely a good day is, and whom it serves."""
    entry = spell.entry
    chances = [100 * spell.chance(day) for day in spell.span.days()]
    low, high = f"{min(chances):.0f}", f"{max(chances):.0f}"
    chance = f"{low} %" if low == high else f"{low} to {high} %"
    served = [one for one in almanac_of(year).opportunities if one.spell == spell]
    what = f", {entry.discipline.value}" if entry.discipline else ""
    return Slip(
        title=entry.name,
        days=days_text(spell.span),
        told=(
            f"{entry.place}{what}. Chance of a good day: {chance}.",
            *filter(None, (entry.note,)),
        ),
        why=tuple(
            f"It serves {entry_name(year, one.goal.id)}: {number_text(one.possible)} good days "
            "are possible, counting the days you can go."
            for one in served
        )
        or ("It serves no goal.",),
    )


def away_slip(entry: Trip | Absence | Injury, year: Year) -> Slip:
    """A trip, an absence or an injury: what it takes from the year."""
    if isinstance(entry, Injury):
        told = [f"{entry.part.value.capitalize()}: {_phases(entry)}."]
        open_end = max(year.span.after, entry.happened + ONE_DAY)
        span = Span(entry.happened, open_end if entry.waits else entry.full_from)
    else:
        span, told = entry.span, [_takes(entry, year)]
    return Slip(entry.name, days_text(span), (*told, *filter(None, (entry.note,))))


def _phases(entry: Injury) -> str:
    if entry.waits:
        return f"off since {day_text(entry.happened)}; no days named yet"
    return "; ".join(f"{phase.value} {span_text(span)}" for phase, span in entry.phases)


def _takes(entry: Trip | Absence, year: Year) -> str:
    if isinstance(entry, Trip):
        if not entry.climbing:
            return "Away without climbing; nothing is planned at home."
        what = entry.discipline.value if entry.discipline else "climbing"
        return (
            f"{entry.place}, {what}. Chance of a good day: {100 * entry.chance:.0f} %."
            if (isinstance(entry.chance, float))
            else f"{entry.place}, {what}."
        )
    minutes = sum(
        year.climber.minutes.on(day.weekday()) * (1 - entry.left) for day in entry.span.days()
    )
    return f"It takes {time_text(minutes)} of your training time."


def week_slip(
    week: Span, *, blocks: Sequence[Block], asked: float, free: float, load: float
) -> Slip:
    """A calendar week: what is asked of it and what is free. Minutes."""
    inside = [block for block in blocks if block.span.meet(week)]
    pieces = [piece for block in inside for piece in block.weeks if piece.span.meet(week)]
    told = [f"{time_text(asked)} of training are asked for; {time_text(free)} are free at home."]
    if inside:
        told.append(f"Load {load:.0f} (effort from 0 to 10, times minutes that count).")
    return Slip(
        title=f"Week of {day_text(week.first)}",
        days=days_text(week),
        told=(*told, *_kinds_of_week(pieces)),
        why=(f"It lies in {join([block.id for block in inside])}.",) if inside else (),
    )


def _kinds_of_week(pieces: Sequence[Week]) -> Iterator[str]:
    if any(piece.deload for piece in pieces):
        yield "A light week: less, so that the body takes in what was done."
    if any(piece.lead_in for piece in pieces):
        yield "Lead-in: fewer minutes, the effort stays."


def goal_slip(
    goal: Goal, year: Year, *, found: Occasion | None, at: Span, form: float | None,
    sessions: Sequence[Session] = (),
) -> Slip:  # fmt: skip
    """A goal at one spell: days on rock, the form then, and what counts most for it.

    Where nothing serves it that comes first; no form is told, as it begins on no day.
    """
    lacking = unserved(almanac_of(year)).get(goal.id)
    most = [quality_text(quality) for quality in _counts_most(goal, year)[:2]]
    grade = grade_text(goal.grade, goal.discipline)
    told = [f"{goal.place}, {goal.discipline.value}, {grade}. Priority {goal.priority}."]
    if found is not None:
        told.append(occasion_text(found, year, sessions))
    elif form is not None and lacking is None:
        told.append(f"Form when it begins: {form_text(form)}. A model, not a measurement.")
    told.append(f"What counts most for it, and for you: {join(most)}.")
    if lacking is not None:
        return Slip(goal.name, "In this year on no day.", tuple(told), (f"! {lacking}",))
    return Slip(goal.name, days_text(at), tuple(told))


def _counts_most(goal: Goal, year: Year) -> list[Quality]:
    """Qualities by what a step more of them is worth: what the goal asks, and what is missing."""
    rating = body_of(year).rating
    worth = {
        quality: weight * shortfall_worth(asked - own)
        for quality, weight, asked, own in zip(
            QUALITIES, weights(goal), demands(goal), rating, strict=True
        )
    }
    return sorted(worth, key=lambda quality: -worth[quality])


def days_text(span: Span) -> str:
    """The days of a span and how long that is."""
    return f"{span_text(span)} · {length_text(span.length)}"
