"""How a calendar shows a plan: a choice of the climber, and what the diary says of sessions."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from seasonplan.ical.taken import Taken
from seasonplan.vocabulary import BlocksAs

if TYPE_CHECKING:
    from seasonplan.diary import DiaryEntry


@dataclass(frozen=True, slots=True)
class Manner:
    """`days_as_one`: the sessions of a day are one event; `way`: an event holds the way there and
    back. `diary` has the last row about each session, by its id; `refused` are the ids of those
    that must be left out by now, some because of busy time, which is `taken`.
    """

    days_as_one: bool = False
    blocks: BlocksAs = BlocksAs.WHOLE
    way: bool = True
    diary: Mapping[str, DiaryEntry] = field(default_factory=dict)
    refused: frozenset[str] = frozenset()
    taken: Taken = field(default_factory=dict)


PLAIN = Manner()
