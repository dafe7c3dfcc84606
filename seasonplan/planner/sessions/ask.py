"""What one calendar week of a block asks for: load by quality, recipes allowed, finger dose."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from seasonplan.almanac import Almanac
from seasonplan.days import Span, week_start
from seasonplan.plan import Block, Loads, Week
from seasonplan.recipes import Need, Recipe, Sessions, finger_sessions
from seasonplan.vocabulary import BodyPart, Kind, Phase, Quality, Tissue

HURT = {
    BodyPart.FINGER: Tissue.FINGERS,
    BodyPart.WRIST: Tissue.FINGERS,
    BodyPart.ELBOW: Tissue.ELBOWS,
    BodyPart.SHOULDER: Tissue.SHOULDERS,
    BodyPart.SKIN: Tissue.SKIN,
}  # every other part counts as the whole body
TEST = "test-day"
REST = "rest-day"


@dataclass(frozen=True, slots=True)
class Ask:
    """One calendar week's part of a block, and what it should hold."""

    block: Block
    span: Span
    minutes: int
    loads: Loads
    recipes: tuple[Recipe, ...]
    fingers: tuple[Sessions, ...]
    test: bool
    most_days: int


def asks(
    block: Block, almanac: Almanac, *, book: Mapping[str, Recipe], most_days: int
) -> Iterator[Ask]:
    """Every calendar week of a block that is trained at home; short trips inside left out."""
    home = [week for week in block.weeks if almanac.short_trip(week.span.first) is None]
    begins = almanac.week_begins
    groups = [
        list(group) for _, group in groupby(home, key=lambda w: week_start(w.span.first, begins))
    ]
    for number, weeks in enumerate(groups):
        span = Span(weeks[0].span.first, weeks[-1].span.after)
        yield _ask(
            block, weeks, span, almanac, book=book, most_days=most_days,
            last=number == len(groups) - 1,
        )  # fmt: skip


def _ask(
    block: Block,
    weeks: list[Week],
    span: Span,
    almanac: Almanac,
    *,
    book: Mapping[str, Recipe],
    most_days: int,
    last: bool,
) -> Ask:
    loads = Loads(**{q.value: sum(week.loads.of(q) for week in weeks) for q in Quality})
    max_fingers = any(week.max_fingers for week in weeks)
    allowed = tuple(
        recipe
        for recipe in book.values()
        if _allowed(recipe, block, almanac, span, max_fingers=max_fingers)
    )
    wishes = almanac.year.sessions
    fingers: tuple[Sessions, ...] = ()
    if block.kind in (Kind.BASE, Kind.STRENGTH, Kind.PERFORMANCE) and Need.HANGBOARD in wishes.has:
        fingers = finger_sessions(
            loads.finger_strength,
            spread=wishes.spread_in(block.id, block.kind.value),
            book=book,
            max_fingers=max_fingers,
        )
    tested = (
        last
        and block.kind in (Kind.BASE, Kind.STRENGTH)
        and block.span.length >= 21
        and span.length >= 5
        and any(recipe.id == TEST for recipe in allowed)
    )
    return Ask(
        block,
        span,
        round(sum(week.minutes for week in weeks)),
        loads,
        allowed,
        fingers,
        tested,
        most_days,
    )


def _allowed(
    recipe: Recipe, block: Block, almanac: Almanac, span: Span, *, max_fingers: bool
) -> bool:
    """Whether a recipe fits the block, the climber's age, injury and what there is."""
    if block.kind not in recipe.kinds or recipe.id == REST:
        return False
    if recipe.max_fingers and not max_fingers:
        return False
    has = {*almanac.year.sessions.has, Need.NOTHING, Need.DAYLIGHT, Need.ROCK}
    return set(recipe.needs) <= has and not _hurts(recipe, almanac, span)


def _hurts(recipe: Recipe, almanac: Almanac, span: Span) -> bool:
    """Whether it loads a hurt part: at all while off, hard while easy or building."""
    for day in span.days():
        hurt = almanac.injury_on(day)
        if hurt is not None:
            tissue = HURT.get(hurt[0].part, Tissue.WHOLE_BODY)
            if recipe.stresses.get(tissue, 0) >= (1 if hurt[1] is Phase.OFF else 2):
                return True
    return False


def rock_here(recipe: Recipe, almanac: Almanac, day: date) -> float:
    """Chance of a good day at rock this recipe is for, 0 where there is none to go to."""
    return max(
        (
            spell.chance(day) * almanac.freedom(day, spell)
            for spell in almanac.spells
            if day in spell.span
            and (not recipe.disciplines or spell.entry.discipline in recipe.disciplines)
        ),
        default=0.0,
    )
