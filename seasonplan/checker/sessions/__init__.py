"""Judges sessions from dates and hours alone, against the blocks they fill and the year."""

from seasonplan.checker.sessions.judge import SESSION_JUDGES, check_sessions

__all__ = ["SESSION_JUDGES", "check_sessions"]
