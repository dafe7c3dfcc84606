"""Pieces of news by name, and how much of a change they are."""

from __future__ import annotations

from dataclasses import dataclass

from seasonplan.explain.causes import CausingNews, Piece, ShareOfChange
from seasonplan.explain.words import entry_name, join
from seasonplan.rules.statements import RuleBook
from seasonplan.year import Year

SETTINGS = {
    "horizon": "the days of the year",
    "climber": "what you say of yourself",
    "before": "what came before the year",
    "sessions": "your wishes for sessions",
}


@dataclass(frozen=True, slots=True)
class Years:
    """The year that was planned, and the year as it is now."""

    old: Year
    new: Year


def piece_name(piece: Piece, years: Years, *, book: RuleBook) -> str:
    """An entry by the climber's own name, though it may be gone; a rule by its title."""
    if piece.field in SETTINGS:
        return SETTINGS[piece.field]
    if piece.field == "rules":
        return f"the rule “{book[piece.name].title}”"
    if piece.field in ("recipes", "fixed_sessions"):
        return f"your change of the session “{piece.name}”"
    there = years.new if years.new.entry(piece.name) else years.old
    return entry_name(there, piece.name)


def cause_text(cause: CausingNews, years: Years, *, book: RuleBook, many: bool = False) -> str:
    """How much the news are the cause, in a sentence; empty where there are none."""
    names = [piece_name(piece, years, book=book) for piece in cause.pieces]
    if not names:
        return ""
    it, change = ("They", "change") if many else ("It", "changes")
    if cause.part is ShareOfChange.ITSELF:
        return f"{it} {'are' if many else 'is'} what you entered: {names[0]}."
    if cause.part is ShareOfChange.NONE:
        return (
            f"{it} {change} not at all for {join(names)}, but without that too: days that "
            "passed, missed sessions, or a busy calendar."
        )
    if cause.part is ShareOfChange.EITHER:
        enough = "either is" if len(names) == 2 else "any one of them is"
        return f"{it} {change} for {join(names, last='or')}: {enough} enough."
    how = {
        ShareOfChange.WHOLLY: "for ",
        ShareOfChange.MOSTLY: "mostly for ",
        ShareOfChange.TOGETHER: "for ",
    }[cause.part]
    together = " together" if cause.part is ShareOfChange.TOGETHER else ""
    return f"{it} {change} {how}{join(names)}{together}."
