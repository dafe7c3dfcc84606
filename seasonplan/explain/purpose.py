"""What a block is there for: what of the climber and what of a goal it answers, in sentences.

Out of the plan alone, at once: what a change would cost is `explain.why`, which searches the year.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from seasonplan.body.almanac import Almanac, almanac_of
from seasonplan.body.gains import Gain, gains
from seasonplan.body.response import QUALITIES, as_tested, body_of, trainings
from seasonplan.body.worth import Aims, demands
from seasonplan.days import count_text, day_month_text, length_text
from seasonplan.explain.resting import rest_reason
from seasonplan.explain.short_days import short_days_of
from seasonplan.explain.words import a_kind, entry_name, join, number_text, quality_text
from seasonplan.plan import Block, Session
from seasonplan.recipes import Recipe, recipes
from seasonplan.rules.statements import RuleBook
from seasonplan.vocabulary import EMPHASES, TRAINS, Kind, Quality
from seasonplan.year import Year

MUCH_MORE = 1.5  # by so much another quality must gain to be told before the emphasis (preference)
ALSO = 0.5  # a second goal is told from this share of the first one's gain (preference)
LITTLE = 0.1  # points of a gain that is next to nothing: a thirtieth of a sure day (preference)


@dataclass(frozen=True)
class Purposes:
    """What blocks with their sessions are there for.

    `ratings` are those that tests gave, in place of the climber's own in `year`. What is
    `shared`, as calendars are, tells neither ratings and shares nor what a trip is called.
    """

    year: Year
    blocks: Sequence[Block]
    sessions: Sequence[Session]
    book: RuleBook
    ratings: Mapping[Quality, float]
    shared: bool = False

    def of(self, block: Block) -> tuple[str, ...]:
        """Why a block that the plan chose is there; nothing of what the year gives."""
        if block.pinned or not block.kind.chosen:
            return ()
        if block.kind is Kind.REST:
            told = rest_reason(block, self.year, self.blocks, book=self.book, shared=self.shared)
            return (told,)
        if block.kind is Kind.PERFORMANCE:
            return (self._for_rock(block),)
        short = "" if self.shared else short_days_of(block, self.year)
        return (*self._trains(block), *((short,) if short else ()))

    # --- rock -------------------------------------------------------------------------------------

    def _for_rock(self, block: Block) -> str:
        days = {
            (one.day, one.rock)
            for one in self.sessions
            if one.day in block.span and one.role is not None
        }
        if not days:
            return self._leads_in(block)
        served = [
            chance for chance in self._almanac.opportunities
            if any((day, chance.spell.entry.id) in days for day in chance.chances)
        ]  # fmt: skip
        if not served:
            return f"It is there for {count_text(len({day for day, _ in days}), 'day')} on rock."
        best: dict[object, float] = {}
        for chance in served:
            for day, share in chance.chances.items():
                if (day, chance.spell.entry.id) in days:
                    best[day] = max(best.get(day, 0.0), share)
        goals = dict.fromkeys(entry_name(self.year, one.goal.id) for one in served)
        told, good = count_text(len(best), "day"), number_text(sum(best.values()))
        return (
            f"It is there because of {told} on rock in it, about {good} of them good, "
            f"for {join(list(goals))}."
        )

    def _leads_in(self, block: Block) -> str:
        coming = [one for one in self.blocks if one.span.first == block.span.after]
        if coming and coming[0].kind is Kind.TRIP and coming[0].entry:
            trip = "" if self.shared else f" {entry_name(self.year, coming[0].entry)}"
            return (
                f"It leads into the trip{trip}: fewer minutes, the effort stays, so that you come "
                f"rested and as strong on {day_month_text(block.span.after)}."
            )
        return "It is there for the rock, though no day on rock could be planned in it."

    # --- training ---------------------------------------------------------------------------------

    def _trains(self, block: Block) -> Iterator[str]:
        done = trainings((block,), self.sessions, self._recipes)
        named = TRAINS.get(block.emphasis)
        found = [one for one in gains(done, self._aims) if one.goal and max(one.points) > 0]
        if not found or named is None:
            yield self._whole(block)
            return
        at = QUALITIES.index(named)
        own = max(found, key=lambda one: one.points[at])
        gain, top = _most(found)
        if gain.points[top] < LITTLE:
            yield f"It keeps form up. {_said_first(self._standing(own, at))}. {_far(block, own)}"
        elif top != at and gain.points[top] >= MUCH_MORE * own.points[at]:
            yield f"It is there because {self._standing(gain, top)}."
            yield self._wanted(block, gain, top)
            alike = gain.goal == own.goal
            yield (
                f"{_said_first(quality_text(named))} comes first in its weeks and names it, though "
                f"it counts for less: {self._standing(own, at, it=alike)}."
            )
        else:
            also = self._also(own, at, found)
            yield f"It is there because {self._standing(own, at)}{also}."
            yield self._wanted(block, own, at)
            yield from self._not_furthest(block, own, at)

    def _wanted(self, block: Block, gain: Gain, at: int) -> str:
        """When what it builds is wanted, and how much of it is there then, in tenths."""
        if gain.first < block.span.after:
            begun = gain.first < block.span.first
            return (
                "The rock for that has begun." if begun else "The rock for that begins within it."
            )
        told = f"The rock for that begins {_when(block, gain)}"
        if self.shared:
            return f"{told}."
        tenths = min(round(10 * gain.left[at]), 9)
        share = f"about {10 * tenths} %" if tenths else "less than a tenth"
        return f"{told}: {share} of what it builds lasts so long."

    def _also(self, gain: Gain, at: int, found: list[Gain]) -> str:
        """A second goal that wins nearly as much."""
        others = dict.fromkeys(
            one.goal.id for one in found
            if one.goal and one.goal != gain.goal and one.points[at] >= ALSO * gain.points[at]
        )  # fmt: skip
        names = [entry_name(self.year, goal) for goal in others]
        return f"; it counts for {join(names)}, too" if names else ""

    def _not_furthest(self, block: Block, gain: Gain, at: int) -> Iterator[str]:
        """Why it does not train what is furthest behind, where it does not."""
        assert gain.goal is not None
        behind = [a - b for a, b in zip(demands(gain.goal), self._own, strict=True)]
        most = behind.index(max(behind))
        if not 0 < behind[at] < behind[most]:
            return
        name = _said_first(quality_text(QUALITIES[most]))
        if all(TRAINS.get(one) is not QUALITIES[most] for one in EMPHASES[block.kind]):
            yield f"{name} is further behind, but {a_kind(block.kind)} is not for that."
        elif gain.first >= block.span.after and gain.left[most] < gain.left[at]:
            yield f"{name} is further behind, but less of it would last so long."

    def _standing(self, gain: Gain, at: int, *, it: bool = False) -> str:
        """How a quality stands to what a goal asks, such as "finger strength is furthest behind
        what “Long Traverse” asks (5 of 5; you rate yourself 1)"."""
        assert gain.goal is not None
        asked, own = demands(gain.goal), self._own
        goal = "it" if it else entry_name(self.year, gain.goal.id)
        behind = [a - b for a, b in zip(asked, own, strict=True)]
        figures = f" ({number_text(asked[at])} of 5; {self._said(at)})" if not self.shared else ""
        name = quality_text(QUALITIES[at])
        if behind[at] <= 0:
            return f"{goal} asks no more of {name} than you have{figures}, and that is to be kept"
        if behind[at] < max(behind):
            return f"{name} is behind what {goal} asks{figures}"
        also = ", with others," if behind.count(behind[at]) > 1 else ""
        return f"{name} is{also} furthest behind what {goal} asks{figures}"

    def _whole(self, block: Block) -> str:
        """Of a block that leads up to no rock: the year's form, and what of it comes first."""
        named = TRAINS.get(block.emphasis)
        told = "It raises form as a whole, as no rock for a goal comes after it"
        if named is None:
            return f"{told}."
        at = QUALITIES.index(named)
        if min(self._own) == self._own[at] < max(self._own):
            said = f" ({self._said(at)})" if not self.shared else ""
            return f"{told}; {quality_text(named)} is where you are weakest{said}."
        return f"{told}; of what {a_kind(block.kind)} can train, {block.emphasis} adds most."

    def _said(self, at: int) -> str:
        quality, own = QUALITIES[at], number_text(self._own[at])
        if quality in self.ratings:
            return f"your tests say {own}"
        rated, endurances = self.year.climber.level, (Quality.POWER_ENDURANCE, Quality.ENDURANCE)
        if quality in rated or (quality in endurances and Quality.ENDURANCE in rated):
            return f"you rate yourself {own}"
        return f"not rated by you, so a middling {own} is taken"

    @cached_property
    def _own(self) -> tuple[float, ...]:
        return body_of(self._tested).rating

    @cached_property
    def _tested(self) -> Year:
        return as_tested(self.year, self.ratings)

    @cached_property
    def _almanac(self) -> Almanac:
        return almanac_of(self._tested)

    @cached_property
    def _aims(self) -> Aims:
        return Aims(self._almanac)

    @cached_property
    def _recipes(self) -> Mapping[str, Recipe]:
        return recipes(self.year.recipes)


def _most(found: list[Gain]) -> tuple[Gain, int]:
    """The gain and the quality with the most points."""
    best = max(found, key=lambda one: max(one.points))
    return best, best.points.index(max(best.points))


def _said_first(text: str) -> str:
    """The text as a sentence begins."""
    return text[0].upper() + text[1:]


def _far(block: Block, gain: Gain) -> str:
    if gain.first < block.span.after:
        return "Few days on rock are left for that."
    when = _when(block, gain)
    return f"The rock for that begins {when}, and little of what it builds lasts so long."


def _when(block: Block, gain: Gain) -> str:
    """Such as "16 weeks after it (25 Sep)"."""
    days = (gain.first - block.span.after).days
    after = f"{length_text(days if days < 14 else 7 * round(days / 7))} after it" if days else ""
    return f"{after or 'right after it'} ({day_month_text(gain.first)} {gain.first.year})"
