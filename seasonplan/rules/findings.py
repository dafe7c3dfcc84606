"""What a judge may say of a plan: a code, where, and numbers. Sentences belong to `explain`."""

from __future__ import annotations

from typing import Literal

from seasonplan.days import Span
from seasonplan.vocabulary import FrozenModel

# Codes that are no rules: a plan breaks these only by a mistake of ours or a stale file.
COVER = "cover"  # every day of the year lies in just one block
GIVEN = "given"  # trips, absences and injuries stand where the year says
PIN = "pin"  # what the climber fixed is kept
MINUTES = "minutes"  # no more is asked than the days have
SCORE = "score"  # the worth claimed is the worth recomputed
SUMS = "sums"  # weeks and sessions agree with each other, ids stand once
PROOF = "proof"  # what is said of how good the plan is can be so
PAST = "past"  # what is over is as it was


class Finding(FrozenModel):
    """One break of a rule. `found` and `limit` are in the unit of the rule.

    `sessions` are the ids of those that break it, where the rule is about sessions.
    """

    code: str
    strength: Literal["hard", "soft"]
    span: Span
    blocks: tuple[str, ...] = ()
    found: float | None = None
    limit: float | None = None
    about: str = ""
    sessions: tuple[str, ...] = ()
