"""The plan as a hand left it: pins where they were put, the blocks around them giving way.

Solves nothing and judges nothing: the checker says what such a plan breaks.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from seasonplan.body.almanac import Almanac, almanac_of
from seasonplan.days import Span
from seasonplan.identity import carried, pin_id
from seasonplan.plan import Block
from seasonplan.planner.candidates import Candidates
from seasonplan.planner.fill import Filled, fill
from seasonplan.planner.grid import Grid
from seasonplan.planner.weeks import Weeks
from seasonplan.rules.statements import RuleBook
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import Emphasis, Kind, Phase, usual_emphasis
from seasonplan.year import Year

SHORT_DAYS = (
    composing().block.fill_days
)  # open days with no neighbour to go to: rest up to here, base beyond


@dataclass(frozen=True, slots=True)
class _Day:
    """What stands on a day: kind, and the entry that gave or pinned it."""

    kind: Kind
    entry: str | None
    pinned: bool
    phase: Phase | None
    emphasis: Emphasis = Emphasis.NONE
    light_first: int = 0


def arranged_plan(
    year: Year, blocks: Sequence[Block], *, book: RuleBook, used: Sequence[str] = (),
    done: Mapping[date, float] | None = None,
) -> Filled:  # fmt: skip
    """Blocks of the changed year without solving, with the sessions that fill them.

    Given things and pins stand where the year has them; every other day keeps its old kind,
    or goes to a neighbour where its block is gone or fixed elsewhere.
    `used` are ids that must not be given again; `done` is as the plan has it.
    """
    almanac = almanac_of(year)
    days = _days(almanac, blocks)
    spans = [
        (Span.through(group[0][0], group[-1][0]), group[0][1])
        for _, items in groupby(days, key=lambda item: _joined(item[1]))
        for group in [list(items)]
    ]
    cuts = [edge for span, _ in spans for edge in (span.first, span.after)]
    weeks = Weeks(Grid(almanac, cuts=cuts), book, done=done)
    candidates = Candidates(weeks.grid, book, back=weeks.levels.weeks_back)
    new = [_block(span, day) for span, day in spans]
    named = carried(new, old=blocks, used={*used, *(block.id for block in blocks)})
    return fill(weeks, candidates, named)


def _joined(day: _Day) -> object:
    """Days alike in this lie in one block; two pins never do."""
    fixed = day.entry if day.pinned or not day.kind.chosen else None
    return day.kind, fixed, day.phase, day.emphasis


def _days(almanac: Almanac, blocks: Sequence[Block]) -> list[tuple[date, _Day]]:
    old = {day: block for block in blocks for day in block.span.days()}
    fixed = {pin.id for pin in almanac.year.pins}
    elsewhere = {block.id for block in blocks if {block.entry, pin_id(block.id)} & fixed}
    days = list(almanac.span.days())
    found = [_on(almanac, day, old.get(day), elsewhere) for day in days]
    return list(zip(days, _filled(found), strict=True))


def _on(almanac: Almanac, day: date, old: Block | None, elsewhere: set[str]) -> _Day | None:
    """What stands on a day, or None where its old block is gone or was put `elsewhere`."""
    given = next((given for given in almanac.givens if day in given.span), None)
    if given is not None:
        return _Day(given.kind, given.entry, False, given.phase)
    pin = next((pin for pin in almanac.year.pins if day in pin.span), None)
    if pin is not None:
        emphasis, light = _as_before(pin.kind, old)
        return _Day(pin.kind, pin.id, True, None, pin.emphasis or emphasis, light)
    if old is None or not old.kind.chosen or old.id in elsewhere:
        return None
    return _Day(old.kind, None, False, None, *_as_before(old.kind, old))


def _as_before(kind: Kind, old: Block | None) -> tuple[Emphasis, int]:
    """The emphasis and light week of the block that stood there, if it was of that kind."""
    if old is not None and old.kind is kind:
        return old.emphasis or usual_emphasis(kind), old.light_first
    return usual_emphasis(kind), 0


def _filled(days: list[_Day | None]) -> list[_Day]:
    """Open days go to the block before them, or after, that is chosen and not fixed."""
    filled: list[_Day] = []
    for open_days, group in groupby(enumerate(days), key=lambda item: item[1] is None):
        run = list(group)
        if not open_days:
            filled += [day for _, day in run if day is not None]
            continue
        before = filled[-1] if filled else None
        after = days[run[-1][0] + 1] if run[-1][0] + 1 < len(days) else None
        filled += [_giving_way(before, after, len(run))] * len(run)
    return filled


def _giving_way(before: _Day | None, after: _Day | None, length: int) -> _Day:
    for neighbour in (before, after):
        if neighbour is not None and neighbour.kind.chosen and not neighbour.pinned:
            return neighbour
    kind = Kind.REST if length <= SHORT_DAYS else Kind.BASE
    return _Day(kind, None, False, None, usual_emphasis(kind))


def _block(span: Span, day: _Day) -> Block:
    return Block(
        id="-", kind=day.kind, span=span, weeks=(), entry=day.entry, pinned=day.pinned,
        phase=day.phase, emphasis=day.emphasis, light_first=day.light_first,
    )  # fmt: skip
