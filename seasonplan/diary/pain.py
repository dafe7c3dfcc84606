"""Pain in the diary that deserves a word. Counts and dates only; diagnoses nothing.

How often and how much stands in `shared/injuries.toml`, a preference and no medical threshold.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta

from seasonplan.days import ONE_DAY, Span
from seasonplan.diary.entry import DiaryEntry
from seasonplan.injury import PainWatch, pain_watch
from seasonplan.vocabulary import BodyPart, FrozenModel, Side

BOTH_SIDES = (Side.NONE, Side.BOTH)  # may be either side, so they count for both


class Sore(FrozenModel):
    """A part that hurt often or much: how often since `first`, and the worst of it."""

    part: BodyPart
    side: Side
    times: int
    first: date
    last: date
    worst: float
    high: bool


def sore(entries: Iterable[DiaryEntry], *, today: date) -> tuple[Sore, ...]:
    """The parts that the diary names often enough, or with enough pain, up to `today`."""
    watch = pain_watch()
    span = Span(today - timedelta(days=watch.within_days - 1), today + ONE_DAY)
    recent = [one for one in entries if one.part and one.pain and one.date in span]
    parts = dict.fromkeys(one.part for one in recent if one.part)
    return tuple(
        found
        for part in parts
        for side in _sides([one for one in recent if one.part is part])
        if (found := _sore(part, side, recent, watch)) is not None
    )


def _sides(entries: Sequence[DiaryEntry]) -> tuple[Side, ...]:
    """The sides that are named; if none is, the part as a whole."""
    named = dict.fromkeys(one.side for one in entries if one.side not in BOTH_SIDES)
    return tuple(named) or (entries[0].side,)


def _sore(
    part: BodyPart, side: Side, entries: Iterable[DiaryEntry], watch: PainWatch
) -> Sore | None:
    mine = [
        (one.date, one.pain)
        for one in entries
        if one.part is part and one.pain and (one.side is side or one.side in BOTH_SIDES)
    ]
    worst = max(pain for _, pain in mine)
    if len(mine) < watch.times and worst <= watch.above:
        return None
    days = [day for day, _ in mine]
    return Sore(
        part=part,
        side=side,
        times=len(mine),
        first=min(days),
        last=max(days),
        worst=worst,
        high=worst > watch.above,
    )
