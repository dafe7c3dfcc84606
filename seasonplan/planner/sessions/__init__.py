"""Fills the weeks of a block plan with sessions at free hours."""

from seasonplan.planner.sessions.place import Placed, place

__all__ = ["Placed", "place"]
