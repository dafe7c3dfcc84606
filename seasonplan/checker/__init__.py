"""Judges a plan from dates alone: every finding, the soft costs, and the worth worked out again.

Owns the verdict on a plan. Must not know how the plan was made: it never meets the planner.
"""

from seasonplan.checker.judge import JUDGES, check
from seasonplan.checker.older import asked_of_older
from seasonplan.checker.past import HasPast, check_past
from seasonplan.checker.sessions import SESSION_JUDGES, check_sessions

__all__ = [
    "JUDGES", "SESSION_JUDGES", "HasPast", "asked_of_older", "check", "check_past",
    "check_sessions",
]  # fmt: skip
