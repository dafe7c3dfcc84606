"""What each week of a block holds: minutes, effort and loads, under the rules on content.

Enforces `deload`, `lead-in-volume`, `rest-day`, `build-back` (loads), `injury-caps` and
`young-fingers`.
"""

from __future__ import annotations

from datetime import date
from functools import cached_property

from seasonplan import injury
from seasonplan.almanac import Almanac
from seasonplan.days import Span
from seasonplan.plan import Loads, Week
from seasonplan.reference import Profile, layoff_shares, profile
from seasonplan.rules import RuleBook
from seasonplan.vocabulary import Kind, Phase, Quality

TRAINED_IN_WAVES = (Kind.BASE, Kind.STRENGTH)


class Doses:
    """Weeks of blocks for one year under one rule book."""

    def __init__(self, almanac: Almanac, book: RuleBook) -> None:
        self._almanac = almanac
        self._book = book
        self._known: dict[Span, tuple[int, float]] = {}

    @cached_property
    def training_weekdays(self) -> frozenset[int]:
        """Weekdays that may be trained: those with most time, as many as `rest-day` allows."""
        rule = self._book.active("rest-day")
        most = 7 if rule is None else int(rule.number)
        routine = self._almanac.year.climber.minutes
        resting = self._almanac.resting_weekday
        order = sorted(range(7), key=lambda weekday: (-routine.on(weekday), weekday == resting))
        return frozenset(order[:most])

    def week(
        self,
        kind: Kind,
        span: Span,
        *,
        nth: int = 0,
        lead_in: bool = False,
        after_layoff: bool = False,
        phase: Phase | None = None,
    ) -> Week:
        """What `span`, in the `nth` calendar week of a block of `kind`, holds."""
        hurts = self._almanac.hurts(span.first) if phase is not None else ()
        capped = bool(hurts) and self._book.active("injury-caps") is not None
        away = self._almanac.short_trip(span.first) is not None
        if away and not capped and kind is not Kind.INJURED:
            kind, phase = Kind.TRIP, None
        if kind is Kind.ABSENCE:
            return Week(span=span, minutes=0, full_minutes=0, training_days=0, rpe=0, loads=Loads())
        if kind is Kind.TRIP:
            return self._trip(span)
        days, full = self._free(span)
        if capped:
            return _while_hurt(span, injury.allowed(hurts), days=days, full=full, nth=nth)
        if phase is not None:  # without `injury-caps` an injured climber would train on
            kind = Kind.STRENGTH
        held = profile(kind)
        light = self._light(kind, nth)
        share = self._share(held, nth, light=light, lead_in=lead_in)
        if after_layoff and self._book.active("build-back") and nth < len(layoff_shares()):
            # a lead-in is cut already, and no more than its rule allows
            share = min(share, layoff_shares()[nth]) if lead_in else share * layoff_shares()[nth]
        minutes = round(full * share)
        return Week(
            span=span,
            minutes=minutes,
            full_minutes=full,
            training_days=days,
            rpe=held.rpe,
            loads=_loads(held, minutes),
            deload=light,
            lead_in=lead_in,
            max_fingers=self._max_fingers(kind, span.first),
        )

    def _free(self, span: Span) -> tuple[int, float]:
        """Days of a span that may be trained, and the minutes free on them."""
        if span not in self._known:
            minutes = [
                self._almanac.minutes(day)
                for day in span.days()
                if day.weekday() in self.training_weekdays
            ]
            days = sum(free > 0 for free in minutes)
            self._known[span] = days, round(sum(minutes), 1)
        return self._known[span]

    def _light(self, kind: Kind, nth: int) -> bool:
        rule = self._book.active("deload")
        return rule is not None and kind in TRAINED_IN_WAVES and (nth + 1) % int(rule.number) == 0

    def _share(self, held: Profile, nth: int, *, light: bool, lead_in: bool) -> float:
        """Share of the free minutes that is trained in this week."""
        volume = held.volume_in("")
        if lead_in and self._book.active("lead-in-volume"):
            return held.lead_in
        if light:
            return volume * held.light
        if held.progression:
            rule = self._book.active("deload")
            step = nth % int(rule.number) if rule else nth
            return volume * held.progression[min(step, len(held.progression) - 1)]
        return volume

    def _max_fingers(self, kind: Kind, day: date) -> bool:
        if kind not in (Kind.STRENGTH, Kind.PERFORMANCE):
            return False
        rule = self._book.active("young-fingers")
        return rule is None or not self._almanac.under(rule.number, day)

    def _trip(self, span: Span) -> Week:
        held = profile(Kind.TRIP)
        minutes = round(held.minutes_a_day * span.length)
        return Week(
            span=span,
            minutes=minutes,
            full_minutes=minutes,
            training_days=span.length,
            rpe=held.rpe,
            loads=_loads(held, minutes),
        )


def _while_hurt(
    span: Span, held: injury.Allowed | None, *, days: int, full: float, nth: int
) -> Week:
    """What the hurt parts leave possible."""
    assert held is not None
    minutes = round(full * held.share(nth))
    return Week(
        span=span,
        minutes=minutes,
        full_minutes=full,
        training_days=days if minutes else 0,
        rpe=held.rpe,
        loads=_loads(held, minutes),
    )


def _loads(held: Profile | injury.Allowed, minutes: float) -> Loads:
    return Loads(**{q.value: round(held.rpe * minutes * held.mix.of(q), 1) for q in Quality})
