"""How many hangs each week asks for: by what it is for, the level, and what lies before and ahead.

The table is `fingers` of `shared/menus.toml`; how they are split is `fingers`.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import inf

from seasonplan.body.almanac import Almanac
from seasonplan.body.newcomer import is_new, weak_fingers
from seasonplan.planner.candidates import TRAINED_IN_WAVES, Role
from seasonplan.planner.care import is_young
from seasonplan.planner.fingers import FINGERS, FingerAsk, Splitter
from seasonplan.planner.frame import Frame
from seasonplan.planner.menus import BETWEEN, LEAD_IN, finger_table
from seasonplan.recipes import Recipe
from seasonplan.rules.statements import RuleBook
from seasonplan.rules.tables import response_table
from seasonplan.vocabulary import Kind


class FingerWeeks:
    """The hangs of the weeks of one climber."""

    def __init__(self, almanac: Almanac, rules: RuleBook, *, book: Mapping[str, Recipe]) -> None:
        self._almanac, self._rules, self._book = almanac, rules, book
        minutes = map(almanac.year.climber.minutes.on, range(7))
        self._short_days = sorted(minutes)[-2]
        sessions = almanac.year.before.hard_finger_sessions or 0.0
        before = sessions * response_table().usual_session_seconds
        self._more = max(1.0, before / finger_table().before)  # in weeks that build
        self._most_a_load = finger_table().most_a_load(almanac.year)
        self._splitters: dict[object, Splitter] = {}

    def _splitter(self, frame: Frame, kind: Kind) -> Splitter:
        key = (frame.span.first, frame.level.hang_share, kind)
        if key not in self._splitters:
            self._splitters[key] = Splitter(
                self._book,
                self._almanac.year.sessions.spread_in("", kind.value),
                frozenset.intersection(*(day.allowed for day in frame.days)),
                short_days=self._short_days,
                most_light=self._most_light(frame),
                share=frame.level.hang_share,
            )
        return self._splitters[key]

    def _most_light(self, frame: Frame) -> int:
        """Sessions of light holds a week, where they stand alone."""
        year, first = self._almanac.year, frame.span.first
        if is_new(year, first):
            return FINGERS.new_light_sessions
        weak = weak_fingers(year) and not year.before.hung_daily
        few = weak or is_young(self._almanac, first, rules=self._rules)
        return FINGERS.young_light_sessions if few else FINGERS.light_sessions

    def ask(
        self,
        frame: Frame,
        name: str,
        role: Role,
        *,
        aim: float,
        most: float = inf,
        days_to_rock: int,
    ) -> FingerAsk:
        """The hangs of a week by the `name` of its menu. `aim` is its load; `most`: hard seconds of
        a light week or one with a test; `days_to_rock`: until the first rock that serves a goal."""
        table, kind = finger_table(), role.kind
        if name not in table.seconds:
            return FingerAsk()
        splitter = self._splitter(frame, kind)
        more = self._more if role.kind in TRAINED_IN_WAVES and not role.lead_in else 1.0
        seconds = min(more * table.seconds[name], frame.level.hang_seconds, most)
        if frame.level.back is not None:
            seconds = min(seconds, table.a_session * frame.level.back)
        lead_in = name.startswith(LEAD_IN)
        light = role.light and not lead_in
        begins = frame.level.hang_seconds <= table.a_session
        if (light or lead_in) and begins:
            seconds = 0.0  # hard hangs do not begin in a light week, nor in a lead-in
        elif name == LEAD_IN and days_to_rock >= table.last_full_days:
            return splitter.before_rock(seconds / 2, most=frame.level.hang_seconds)
        bound = self._most_a_load * aim / (table.light_week if light else 1.0)
        seconds = min(seconds, bound)
        days = min(frame.level.finger_days, FINGERS.hurt_light_sessions if frame.spared else 7)
        if role.begun is not None:
            more = max(0, role.begun - (frame.before_share < 1))
            seconds = min(seconds, table.block_seconds[kind] + more * table.a_session)
            days = min(days, table.block_days[kind] + more)
        if light or role.test or role.begun == 0 or name.startswith(BETWEEN):
            splitter = splitter.shorter
        part = frame.days_home / 7
        ask = splitter.ask(
            seconds * max(part, 0.3), most_days=max(1, round(days * part)), light=light, part=part
        )
        ask = ask if frame.level.back is None else ask._replace(in_a_row=1)
        return ask._replace(most_hard=1) if begins and frame.level.hang_share < 1 else ask
