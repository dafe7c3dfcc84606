"""The plan that was accepted: its past is frozen, and each day changed from now on costs.

Knows what was, not why it changes.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property
from math import exp

from seasonplan.body.almanac import Almanac
from seasonplan.body.response import weekly_before
from seasonplan.days import Span
from seasonplan.plan import Block, Occasion, Revision, Session, Shortfall, Week
from seasonplan.rules.tables import composing, table
from seasonplan.vocabulary import Emphasis, Kind

LOOK_BACK_WEEKS = 12  # among which the fullest week and the best month are looked for
SAME_LOAD, SAME_RPE = 0.7, 0.01  # rounding, of six loads each
EMPHASIS_SHARE = composing().new_plan.emphasis_share


@dataclass(frozen=True)
class Accepted:
    """Blocks and sessions of the accepted plan and today.

    `keep` is the points a day changed today costs; `homes` is where the planner itself last put
    each session, moved or left out since or not; `done` is the share of its planned load to which
    a week that is over was done, by its first day, where it was missed in part, and `other_done`
    that the accepted plan knew otherwise; `occasions` is what its goals had, `shortfalls` what was
    missing in its weeks.
    """

    blocks: tuple[Block, ...]
    today: date
    keep: float = 0.0
    sessions: tuple[Session, ...] = ()
    homes: tuple[Session, ...] = ()
    done: Mapping[date, float] = field(default_factory=dict)
    occasions: tuple[Occasion, ...] = ()
    shortfalls: tuple[Shortfall, ...] = ()
    other_done: bool = False

    @classmethod
    def of(
        cls, revision: Revision, today: date, *, keep: float = 0.0,
        done: Mapping[date, float] | None = None,
    ) -> Accepted:  # fmt: skip
        """A revision as accepted; with `done` weeks went otherwise than it knew."""
        now = revision.done if done is None else done
        return cls(
            revision.blocks, today, keep, sessions=revision.sessions, homes=revision.sessions,
            done=now, other_done=now != revision.done,
        )  # fmt: skip

    def begun(self, day: date) -> Block | None:
        """The chosen block of a day that is over."""
        return self._old.get(day) if day < self.today else None

    @cached_property
    def _old(self) -> dict[date, Block]:
        return {day: b for b in self.blocks if b.kind.chosen for day in b.span.days()}

    @cached_property
    def _begun(self) -> dict[Span, Week]:
        weeks = (week for block in self.blocks for week in block.weeks)
        return {week.span: week for week in weeks if week.span.first < self.today}

    def as_it_was(self, week: Week) -> Week:
        """A week that is over as it was told, with the rules and recipes of its time; one that has
        begun where nothing in it is another.

        What does not add up with its sessions, or was made by an older program, is not kept.
        """
        old = self._begun.get(week.span)
        if old is None or not (old.aim or old.free_minutes):
            return week
        same = abs(old.load - week.load) < SAME_LOAD and abs(old.rpe - week.rpe) < SAME_RPE
        if same and _sums(old) == _sums(week):
            return old
        if week.span.after > self.today:
            return week
        told = {"aim": old.aim, "deload": old.deload, "lead_in": old.lead_in}
        return Week(**{**dict(week), **told})

    def borne(self, almanac: Almanac) -> dict[date, float]:
        """Of each missed week the most load that was really done in any of the weeks before it."""
        if not self.done:
            return {}
        loads = list(weekly_before(almanac.year))
        found = {}
        for week in almanac.weeks():
            if week.first in self.done:
                found[week.first] = max(loads[-LOOK_BACK_WEEKS:])
            planned = sum(one.load for one in self.sessions if one.day in week)
            loads.append(planned * self.done.get(week.first, 1.0))
        return found

    def edges(self) -> Iterator[date]:
        """Today, and where blocks met before it."""
        yield self.today
        for block in self.blocks:
            for edge in (block.span.first, block.span.after):
                if edge <= self.today:
                    yield edge

    def was_so(self, kind: Kind, span: Span, *, free: Span) -> bool:
        """Whether the part of `span` before today lay in one block of that kind, whole.

        Whole as far as `free`, the days around it that nothing given takes, lets it be. Days that
        were given and are no longer, or that no block had, count as one rest: what was done on
        them is not known.
        """
        if span.first >= self.today:
            return True
        block = self._old.get(span.first)
        if kind is not (block.kind if block else Kind.REST):
            return False
        stood = block.span if block else self._between(span.first, free)
        begins = max(stood.first, free.first)
        ends = min(stood.after, free.after, self.today)
        return span.first == begins and min(span.after, self.today) == ends

    def _between(self, day: date, free: Span) -> Span:
        """The days around one in no chosen block, as far as the chosen ones or `free` go."""
        chosen = [block.span for block in self.blocks if block.kind.chosen]
        return Span(
            max((span.after for span in chosen if span.after <= day), default=free.first),
            min((span.first for span in chosen if span.first > day), default=free.after),
        )

    def same_but_price(self, other: Accepted) -> bool:
        """Whether all that a choice hangs on is the same, but for what changes cost."""
        mine, theirs = (
            replace(one, keep=0.0, occasions=(), shortfalls=()) for one in (self, other)
        )
        return mine == theirs

    def changed(self, kind: Kind, emphasis: Emphasis, span: Span) -> float:
        """Days of this kind where another stood, the further ahead the less, none of the past.

        A day of which only the emphasis is another is a part of one.
        """
        return sum(
            keep_share((day - self.today).days) * self._differs(kind, emphasis, day)
            for day in span.days()
            if day >= self.today
        )

    def _differs(self, kind: Kind, emphasis: Emphasis, day: date) -> float:
        old = self._old.get(day)
        if old is None:
            return 0.0
        if old.kind is not kind:
            return 1.0
        return EMPHASIS_SHARE if old.emphasis and old.emphasis is not emphasis else 0.0


def keep_share(days_ahead: int) -> float:
    """What a day changed so far ahead costs, as a share of one changed today."""
    keep = table("response")["keep"]
    far, fading_days = keep["far_share"], keep["fading_days"]
    return float(far + (1 - far) * exp(-days_ahead / fading_days))


def _sums(week: Week) -> tuple[float, ...]:
    return week.minutes, week.training_days, week.rock_days
