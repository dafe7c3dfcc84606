"""What a week is for: its load, its courses, its hangs.

Enforces `session-dose` (upward).
"""

from __future__ import annotations

from typing import NamedTuple

from seasonplan.planner.fingers import FingerAsk
from seasonplan.planner.gently import Gently
from seasonplan.planner.menus import Course
from seasonplan.rules.statements import RuleBook
from seasonplan.rules.tables import composing
from seasonplan.vocabulary import Kind

FIT = composing().fit


class Order(NamedTuple):
    """What a week is for. `aim` is its load, `whole` that of a normal week of its kind, asked where
    it has rock; `course_first`: what its block is named for before the hangs; `hang_days`: on no
    more days hangs that are a course, with no more than `holds` in each; `minutes`: most of them,
    and `opening` those of a day on rock with which a season opens in a lead-in; `climb_longer`:
    climbing longer than usual while a part comes back; `over`: the most that may stand, as a share
    of the aim, and `slack` what hangs may go beyond; `makes`: recipes that make what its block is
    named for; `hard_climb`: climbing should be hard on the fingers where it can; `hard`: most
    sessions that use something hard, tests apart; `gently`: how what comes back is loaded."""

    kind: Kind
    courses: tuple[Course, ...]
    aim: float
    fingers: FingerAsk
    light: bool = False
    lead_in: bool = False
    opening: int = 0
    minutes: int | None = None
    test: bool = False
    course_first: bool = False
    whole: float = 0.0
    hang_days: int = 7
    holds: int | None = None
    climb_longer: bool = False
    over: float = FIT.over
    slack: float = FIT.slack_load
    makes: frozenset[str] = frozenset()
    hard: int = 99
    gently: Gently | None = None
    hard_climb: bool = True


def over_share(rules: RuleBook) -> float:
    """The most load of a week as a share of its aim: less where the climber's rule says so."""
    rule = rules.active("session-dose")
    return min(FIT.over, 1 + rule.number / 100) if rule else FIT.over
