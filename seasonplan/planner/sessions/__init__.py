"""Fills the weeks of a block plan with sessions at free hours."""

from seasonplan.planner.sessions.earlier import Earlier
from seasonplan.planner.sessions.place import place
from seasonplan.planner.sessions.wished import Placed

__all__ = ["Earlier", "Placed", "place"]
